package register

import (
	"database/sql"
	"errors"
	"fmt"
)

// ImportOptions say how a document is taken in.
type ImportOptions struct {
	AddCells bool   // cells that the register does not know are added
	Replace  bool   // a source that is there already is read again
	Date     string // day of a document that states no time
}

// Imported is what became of a document.
type Imported struct {
	Known        bool // the source was there already, and nothing was changed
	Replaced     bool
	Cells        int // cells that got a measurement
	Measurements int
	Added        []string // serial numbers that were added
	Skipped      []string // cells of which nothing was taken, with the reason
	Fitted       []string // fittings that were taken over from the log
	NotFitted    []string // cells whose day of installation was not taken over, with the reason
}

// Import takes a document in, whole or not at all.
func (r *Register) Import(d *Document, o ImportOptions) (Imported, error) {
	var out Imported
	at, err := d.moment(o.Date)
	if err != nil {
		return out, err
	}
	err = r.change(func(tx *sql.Tx) error {
		out = Imported{}
		id, done, err := claim(tx, d, at, o, &out)
		if err != nil || done {
			return err
		}
		for _, c := range d.Cells {
			if err := importCell(tx, id, d, c, at, o, &out); err != nil {
				return err
			}
		}
		if out.Cells == 0 {
			return fmt.Errorf("nothing in it can be given to a cell: %s", firstOr(out.Skipped, "it holds no cells"))
		}
		return nil
	})
	return out, err
}

func firstOr(s []string, other string) string {
	if len(s) == 0 {
		return other
	}
	return s[0]
}

// claim notes the source; done tells that it was known and stays as it is.
func claim(tx *sql.Tx, d *Document, at string, o ImportOptions, out *Imported) (id int64, done bool, err error) {
	err = tx.QueryRow("SELECT id FROM source WHERE sha256 = ?", d.SHA256).Scan(&id)
	switch {
	case err == nil && !o.Replace:
		out.Known = true
		return id, true, nil
	case err == nil:
		out.Replaced = true
		if _, err := tx.Exec("DELETE FROM source WHERE id = ?", id); err != nil {
			return 0, false, err
		}
	case !errors.Is(err, sql.ErrNoRows):
		return 0, false, err
	}
	res, err := tx.Exec("INSERT INTO source (sha256, kind, file, at, tool) VALUES (?, ?, ?, ?, ?)", d.SHA256, d.Kind, d.File, at, d.Tool)
	if err != nil {
		return 0, false, err
	}
	id, err = res.LastInsertId()
	return id, false, err
}

// importCell gives a cell's figures to the cell of the register.
func importCell(tx *sql.Tx, source int64, d *Document, c DocumentCell, at string, o ImportOptions, out *Imported) error {
	name := fmt.Sprintf("cell %d", c.Position)
	if len(c.Figures) == 0 {
		out.Skipped = append(out.Skipped, name+": nothing was measured")
		return nil
	}
	id, err := findCell(tx, d, c, at)
	if errors.Is(err, sql.ErrNoRows) {
		switch {
		case c.Serial == "":
			out.Skipped = append(out.Skipped, name+": no serial number, and no fitting of that day tells which it was")
			return nil
		case !o.AddCells:
			return fmt.Errorf("%s is %s, which is not in the register; add it first, or import with --add-cells", name, c.Serial)
		}
		if err := addCell(tx, c.Serial, "", ""); err != nil {
			return err
		}
		out.Added = append(out.Added, c.Serial)
		id, err = cellID(tx, c.Serial)
	}
	if err != nil {
		return err
	}
	for _, f := range c.Figures {
		if _, err := tx.Exec("INSERT INTO measurement (source_id, cell_id, quantity, value, low, high) VALUES (?, ?, ?, ?, ?, ?)", source, id, f.Quantity, f.Value, f.Low, f.High); err != nil {
			return fmt.Errorf("%s, %s: %w", name, f.Quantity, err)
		}
		out.Measurements++
	}
	out.Cells++
	return fitFromLog(tx, id, d, c, at, out)
}

// findCell finds a cell by its serial number, or by where it was fitted on the
// day; sql.ErrNoRows where neither tells.
func findCell(tx *sql.Tx, d *Document, c DocumentCell, at string) (id int64, err error) {
	if c.Serial != "" {
		err = tx.QueryRow("SELECT id FROM cell WHERE serial = ?", c.Serial).Scan(&id)
		return id, err
	}
	if d.Unit == "" {
		return 0, sql.ErrNoRows
	}
	day := at[:len("2006-01-02")]
	err = tx.QueryRow(`SELECT cell_id FROM fitting WHERE unit = ? AND position = ? AND from_day <= ? AND (to_day IS NULL OR to_day > ?)
		ORDER BY from_day DESC LIMIT 1`, d.Unit, c.Position, day, day).Scan(&id)
	return id, err
}
