package register

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Cell is one cell of the register. Days are YYYY-MM-DD or empty.
type Cell struct {
	ID            int64     `json:"-"`
	Serial        string    `json:"serial"`
	Made          string    `json:"made"`
	Note          string    `json:"note"`
	Retired       string    `json:"retired"`
	RetiredReason string    `json:"retired_reason"`
	Fittings      []Fitting `json:"fittings"`
}

// Fitting is where a cell was, from and to a day; To is empty while it is there.
type Fitting struct {
	Serial   string `json:"-"`
	Unit     string `json:"unit"`
	Position int    `json:"position"`
	From     string `json:"from"`
	To       string `json:"to"`
}

// Day checks a day and writes it as YYYY-MM-DD.
func Day(s string) (string, error) {
	t, err := time.Parse("2006-01-02", strings.TrimSpace(s))
	if err != nil {
		return "", fmt.Errorf("%q is no day; write YYYY-MM-DD", s)
	}
	return t.Format("2006-01-02"), nil
}

// Add puts a cell into the register. made is a day or empty.
func (r *Register) Add(serial, made, note string) error {
	return r.change(func(tx *sql.Tx) error {
		if _, err := cellID(tx, serial); err == nil {
			return fmt.Errorf("cell %s is in the register already", serial)
		}
		return addCell(tx, serial, made, note)
	})
}

func addCell(tx *sql.Tx, serial, made, note string) error {
	if serial = strings.TrimSpace(serial); serial == "" {
		return errors.New("a cell needs a serial number")
	}
	if made != "" {
		var err error
		if made, err = Day(made); err != nil {
			return err
		}
	}
	_, err := tx.Exec("INSERT INTO cell (serial, made, note) VALUES (?, ?, ?)", serial, orNull(made), note)
	return err
}

// Fit notes that a cell was fitted to a position of a unit on a day. A cell that
// was there, and the place where this cell was, end on that day.
func (r *Register) Fit(serial, unit string, position int, day string) error {
	day, err := Day(day)
	if err != nil {
		return err
	}
	if unit = strings.TrimSpace(unit); unit == "" || position < 1 {
		return errors.New("a fitting needs a unit and a position from 1")
	}
	return r.change(func(tx *sql.Tx) error {
		id, err := cellID(tx, serial)
		if err != nil {
			return err
		}
		var retired, later sql.NullString
		if err := tx.QueryRow("SELECT retired FROM cell WHERE id = ?", id).Scan(&retired); err != nil {
			return err
		}
		if retired.Valid {
			return fmt.Errorf("cell %s was retired on %s", serial, retired.String)
		}
		const open = " FROM fitting WHERE to_day IS NULL AND (cell_id = ? OR unit = ? AND position = ?)"
		if err := tx.QueryRow("SELECT max(from_day)"+open, id, unit, position).Scan(&later); err != nil {
			return err
		}
		if later.Valid && later.String > day {
			return fmt.Errorf("the cell or the place was fitted on %s, which is later than %s", later.String, day)
		}
		if _, err := tx.Exec("UPDATE fitting SET to_day = ? WHERE to_day IS NULL AND (cell_id = ? OR unit = ? AND position = ?)", day, id, unit, position); err != nil {
			return err
		}
		_, err = tx.Exec("INSERT INTO fitting (cell_id, unit, position, from_day) VALUES (?, ?, ?, ?)", id, unit, position, day)
		return err
	})
}

// Retire takes a cell out of use on a day.
func (r *Register) Retire(serial, day, reason string) error {
	day, err := Day(day)
	if err != nil {
		return err
	}
	return r.change(func(tx *sql.Tx) error {
		id, err := cellID(tx, serial)
		if err != nil {
			return err
		}
		var from sql.NullString
		if err := tx.QueryRow("SELECT max(from_day) FROM fitting WHERE cell_id = ? AND to_day IS NULL", id).Scan(&from); err != nil {
			return err
		}
		if from.Valid && from.String > day {
			return fmt.Errorf("cell %s was fitted on %s, which is later than %s", serial, from.String, day)
		}
		if _, err := tx.Exec("UPDATE fitting SET to_day = ? WHERE cell_id = ? AND to_day IS NULL", day, id); err != nil {
			return err
		}
		_, err = tx.Exec("UPDATE cell SET retired = ?, retired_reason = ? WHERE id = ?", day, reason, id)
		return err
	})
}

// cellID finds a cell by its serial number, upper and lower case alike.
func cellID(tx *sql.Tx, serial string) (int64, error) {
	var id int64
	err := tx.QueryRow("SELECT id FROM cell WHERE serial = ?", strings.TrimSpace(serial)).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, fmt.Errorf("cell %s is not in the register", serial)
	}
	return id, err
}

func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// Measurement is one figure that one source gave of one cell. Low and High are
// nil where the source gives no interval.
type Measurement struct {
	Serial   string   `json:"-"`
	Quantity string   `json:"quantity"`
	At       string   `json:"at"`
	Value    float64  `json:"value"`
	Low      *float64 `json:"low"`
	High     *float64 `json:"high"`
	Kind     string   `json:"source_kind"`
	File     string   `json:"source_file"`
	SHA256   string   `json:"source_sha256"`
}

// Source is one file that was imported.
type Source struct {
	SHA256 string `json:"sha256"`
	Kind   string `json:"kind"`
	File   string `json:"file"`
	At     string `json:"at"`
	Tool   string `json:"tool"`
}

// Content is everything in the register.
type Content struct {
	Cells        []Cell
	Measurements []Measurement
	Sources      []Source
}

// Read reads the whole register as it stood at one moment.
func (r *Register) Read() (Content, error) {
	var c Content
	err := r.change(func(tx *sql.Tx) error { // a transaction, so that all parts are of one moment
		return errors.Join(c.readCells(tx), c.readFittings(tx), c.readSources(tx), c.readMeasurements(tx))
	})
	return c, err
}

// rows runs f on each row of a query.
func rows(tx *sql.Tx, query string, f func(*sql.Rows) error) error {
	q, err := tx.Query(query)
	if err != nil {
		return err
	}
	defer q.Close()
	for q.Next() {
		if err := f(q); err != nil {
			return err
		}
	}
	return q.Err()
}

func (c *Content) readCells(tx *sql.Tx) error {
	c.Cells = []Cell{}
	return rows(tx, "SELECT id, serial, coalesce(made, ''), note, coalesce(retired, ''), retired_reason FROM cell ORDER BY serial", func(q *sql.Rows) error {
		x := Cell{Fittings: []Fitting{}}
		err := q.Scan(&x.ID, &x.Serial, &x.Made, &x.Note, &x.Retired, &x.RetiredReason)
		c.Cells = append(c.Cells, x)
		return err
	})
}

func (c *Content) readFittings(tx *sql.Tx) error {
	at := map[int64]int{}
	for i := range c.Cells {
		at[c.Cells[i].ID] = i
	}
	return rows(tx, "SELECT cell_id, unit, position, from_day, coalesce(to_day, '') FROM fitting ORDER BY from_day, id", func(q *sql.Rows) error {
		var id int64
		var f Fitting
		if err := q.Scan(&id, &f.Unit, &f.Position, &f.From, &f.To); err != nil {
			return err
		}
		x := &c.Cells[at[id]]
		f.Serial = x.Serial
		x.Fittings = append(x.Fittings, f)
		return nil
	})
}

func (c *Content) readSources(tx *sql.Tx) error {
	c.Sources = []Source{}
	return rows(tx, "SELECT sha256, kind, file, at, tool FROM source ORDER BY at, sha256", func(q *sql.Rows) error {
		var s Source
		err := q.Scan(&s.SHA256, &s.Kind, &s.File, &s.At, &s.Tool)
		c.Sources = append(c.Sources, s)
		return err
	})
}

func (c *Content) readMeasurements(tx *sql.Tx) error {
	c.Measurements = []Measurement{}
	return rows(tx, `SELECT cell.serial, quantity, at, value, low, high, kind, file, sha256
		FROM measurement JOIN cell ON cell.id = cell_id JOIN source ON source.id = source_id
		ORDER BY cell.serial, quantity, at, sha256`, func(q *sql.Rows) error {
		var m Measurement
		err := q.Scan(&m.Serial, &m.Quantity, &m.At, &m.Value, &m.Low, &m.High, &m.Kind, &m.File, &m.SHA256)
		c.Measurements = append(c.Measurements, m)
		return err
	})
}
