package register

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// migrations bring the schema from version k to k+1. A migration that was ever
// released is never changed: a new one is added.
var migrations = [...]string{
	// 1: cells, where they were fitted, what was read, what it measured. Days are
	// YYYY-MM-DD, moments RFC 3339 or a day: text that sorts as time does.
	`CREATE TABLE cell (
	id INTEGER PRIMARY KEY,
	serial TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (serial <> ''),
	made TEXT,
	note TEXT NOT NULL DEFAULT '',
	retired TEXT
) STRICT;
CREATE TABLE fitting (
	id INTEGER PRIMARY KEY,
	cell_id INTEGER NOT NULL REFERENCES cell (id),
	unit TEXT NOT NULL COLLATE NOCASE CHECK (unit <> ''),
	position INTEGER NOT NULL CHECK (position >= 1),
	from_day TEXT NOT NULL,
	to_day TEXT CHECK (to_day IS NULL OR to_day >= from_day)
) STRICT;
CREATE TABLE source (
	id INTEGER PRIMARY KEY,
	sha256 TEXT NOT NULL UNIQUE,
	kind TEXT NOT NULL,
	file TEXT NOT NULL,
	at TEXT NOT NULL,
	tool TEXT NOT NULL
) STRICT;
CREATE TABLE measurement (
	id INTEGER PRIMARY KEY,
	source_id INTEGER NOT NULL REFERENCES source (id) ON DELETE CASCADE,
	cell_id INTEGER NOT NULL REFERENCES cell (id),
	quantity TEXT NOT NULL,
	value REAL NOT NULL,
	low REAL,
	high REAL,
	UNIQUE (source_id, cell_id, quantity)
) STRICT;`,
	// 2: why a cell was retired; and the way in which measurements are read.
	`ALTER TABLE cell ADD COLUMN retired_reason TEXT NOT NULL DEFAULT '';
CREATE INDEX measurement_of_cell ON measurement (cell_id, quantity);`,
}

// SchemaVersion is the version that this program writes.
const SchemaVersion = len(migrations)

// migrate makes the schema or brings it up to date, all in one transaction: a
// process killed in between leaves the old version.
func (r *Register) migrate() error {
	if v, err := r.version(); err != nil || v == SchemaVersion {
		return err
	}
	return r.change(func(tx *sql.Tx) error {
		v, err := versionOf(tx) // another process may have been faster
		if err != nil {
			return err
		}
		for ; v < SchemaVersion; v++ {
			if _, err := tx.Exec(migrations[v]); err != nil {
				return fmt.Errorf("schema version %d: %w", v+1, err)
			}
		}
		_, err = tx.Exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, SchemaVersion))
		return err
	})
}

type querier interface {
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

func (r *Register) version() (int, error) { return versionOf(r.db) }

// versionOf is the schema version of a register, 0 for an empty file; a file
// that is something else, or newer than this program, is an error.
func versionOf(q querier) (int, error) {
	var app, version, tables int
	// One statement, so that all three are of one moment: another process may be making the schema.
	err := q.QueryRowContext(context.Background(), `SELECT (SELECT count(*) FROM sqlite_schema),
	(SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version)`).Scan(&tables, &app, &version)
	if err != nil {
		return 0, fmt.Errorf("no register can be read from it: %w", busy(err))
	}
	switch {
	case app == 0 && version == 0 && tables == 0:
		return 0, nil
	case app != applicationID:
		return 0, errors.New("it is a database, but no register of cells")
	case version > SchemaVersion:
		return 0, fmt.Errorf("it was written by a newer program (schema version %d; this one knows %d)", version, SchemaVersion)
	}
	return version, nil
}
