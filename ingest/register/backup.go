package register

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
)

// Backup writes a whole copy of the register to a new file, as it stands at one
// moment, while others may go on reading. An existing file is never overwritten.
func (r *Register) Backup(target string) error {
	if _, err := os.Stat(target); err == nil {
		return fmt.Errorf("%s exists and is never overwritten", target)
	}
	temp, err := os.MkdirTemp(filepath.Dir(target), ".afterloop-")
	if err != nil {
		return fmt.Errorf("%s can't be written: %w", target, err)
	}
	defer os.RemoveAll(temp)
	copied := filepath.Join(temp, "copy")
	if _, err := r.db.Exec("VACUUM INTO ?", copied); err != nil {
		return fmt.Errorf("%s can't be written: %w", target, busy(err))
	}
	if err := errors.Join(Verify(copied), sync(copied)); err != nil {
		return err
	}
	if err := os.Link(copied, target); err == nil || errors.Is(err, os.ErrExist) { // fails where the target came to be meanwhile
		return err
	}
	return os.Rename(copied, target) // a file system without links
}

func sync(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Verify checks that a file is a sound register of a known version.
func Verify(path string) error {
	if _, err := os.Stat(path); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", dsn(path, "ro"))
	if err != nil {
		return err
	}
	defer db.Close()
	v, err := versionOf(db)
	if err == nil && v == 0 {
		err = errors.New("it is empty")
	}
	if err == nil {
		err = sound(db)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// sound runs SQLite's own checks.
func sound(db *sql.DB) error {
	var word string
	if err := db.QueryRow("PRAGMA integrity_check").Scan(&word); err != nil {
		return fmt.Errorf("the file is damaged: %w", err)
	}
	if word != "ok" {
		return fmt.Errorf("the file is damaged: %s", word)
	}
	var broken int
	if err := db.QueryRow("SELECT count(*) FROM pragma_foreign_key_check").Scan(&broken); err != nil {
		return err
	}
	if broken > 0 {
		return fmt.Errorf("the file is damaged: %d rows point to nothing", broken)
	}
	return nil
}

// Restore replaces what is in the register by a backup. It goes through SQLite,
// page by page in one transaction, rather than by moving files: another process
// that has the register open sees the old or the new content, and a journal left
// by a killed process can't spoil the new one. A register with cells is replaced
// only if asked.
func (r *Register) Restore(backup string, replace bool) error {
	if err := Verify(backup); err != nil {
		return err
	}
	var cells int
	if err := r.db.QueryRow("SELECT count(*) FROM cell").Scan(&cells); err != nil {
		return err
	}
	if cells > 0 && !replace {
		return fmt.Errorf("%s holds %d cells; make a backup of it and give --replace", r.path, cells)
	}
	if err := r.copyFrom(backup); err != nil {
		return fmt.Errorf("restoring %s: %w", backup, busy(err))
	}
	return r.migrate() // the backup may be of an older version
}

func (r *Register) copyFrom(backup string) error {
	conn, err := r.db.Conn(context.Background())
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(driver any) error {
		c, ok := driver.(interface {
			NewRestore(string) (*sqlite.Backup, error)
		})
		if !ok {
			return errors.New("the driver can't restore")
		}
		b, err := c.NewRestore(dsn(backup, "ro"))
		if err != nil {
			return err
		}
		for more := true; more && err == nil; {
			more, err = b.Step(-1)
		}
		return errors.Join(err, b.Finish())
	})
}
