// Package register keeps oxygen cells by their serial numbers over the months:
// where each was fitted, when it was retired, and what each debrief and bench
// test measured of it, in one SQLite file.
//
// It belongs to ingest because it only takes in what others concluded and gives
// it back as it was: it judges nothing. The driver is modernc.org/sqlite, SQLite
// in pure Go, so that the program stays one binary on every system.
//
// The file is opened with a rollback journal rather than a write-ahead log: at
// rest it is one single file that can be copied and mailed. Each change is one
// transaction that takes the write lock at its beginning; a second process waits.
// What was committed survives a killed process and a lost power supply
// (synchronous EXTRA); what was not is rolled back by whoever opens the file next.
package register

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	_ "modernc.org/sqlite" // the driver "sqlite"
)

// applicationID marks the file as a register ("aflp" in ASCII), so that no other
// SQLite file is taken for one.
const applicationID = 0x61666c70

// busyMS is how long a process waits for another one.
const busyMS = 20_000

// Register is an open register. It may be used by one goroutine at a time.
type Register struct {
	db   *sql.DB
	path string
}

// ErrNone tells that there is no register at the path.
var ErrNone = errors.New("there is no register")

// Open opens the register at path and brings its schema up to date. Without
// create an absent file is [ErrNone], so that a mistyped path makes no new one.
func Open(path string, create bool) (*Register, error) {
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		if !create {
			return nil, fmt.Errorf("%w at %s", ErrNone, path)
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return nil, fmt.Errorf("the folder of %s can't be made: %w", path, err)
		}
	}
	db, err := sql.Open("sqlite", dsn(path, "rwc"))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1) // one connection: pragmas and locks are its own
	r := &Register{db, path}
	if err := r.migrate(); err != nil {
		db.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// dsn is the address of a file for the driver. The path is escaped, since a
// question mark in it would begin the options.
func dsn(path, mode string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		abs = path
	}
	abs = filepath.ToSlash(abs)
	if !strings.HasPrefix(abs, "/") { // a drive letter
		abs = "/" + abs
	}
	return fmt.Sprintf("file:%s?mode=%s&_txlock=immediate&_pragma=busy_timeout(%d)&_pragma=foreign_keys(1)&_pragma=synchronous(EXTRA)",
		(&url.URL{Path: abs}).EscapedPath(), mode, busyMS)
}

// Close closes the file.
func (r *Register) Close() error { return r.db.Close() }

// Path is the file's name.
func (r *Register) Path() string { return r.path }

// change runs f in one transaction.
func (r *Register) change(f func(tx *sql.Tx) error) error {
	tx, err := r.db.BeginTx(context.Background(), nil)
	if err != nil {
		return busy(err)
	}
	if err := f(tx); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return busy(tx.Commit())
}

// busy says in words that another process holds the file.
func busy(err error) error {
	if err != nil && strings.Contains(err.Error(), "SQLITE_BUSY") {
		return fmt.Errorf("another process has been holding the register for %d s: %w", busyMS/1000, err)
	}
	return err
}
