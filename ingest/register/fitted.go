package register

import (
	"database/sql"
	"fmt"
	"strings"

	"afterloop/ingest/benchlog"
)

// fitFromLog takes the day on which a log says that a cell was installed over as the
// start of its fitting, where the register knows of none. It never changes what is
// there: a place that the register gives to another cell stays that cell's, since a log
// states what somebody typed into a unit. What was done, or why not, goes into out.
func fitFromLog(tx *sql.Tx, id int64, d *Document, c DocumentCell, at string, out *Imported) error {
	if c.Installed == "" || c.Serial == "" {
		return nil // a cell found by its place has a fitting
	}
	var fitted int
	if err := tx.QueryRow("SELECT count(*) FROM fitting WHERE cell_id = ?", id).Scan(&fitted); err != nil || fitted > 0 {
		return err
	}
	day, why := installedDay(d, c, at)
	if why == "" {
		var err error
		if why, err = placeTaken(tx, id, d.Unit, c.Position, day); err != nil {
			return err
		}
	}
	if why != "" {
		out.NotFitted = append(out.NotFitted, fmt.Sprintf("%s (installed %s): %s", c.Serial, c.Installed, why))
		return nil
	}
	if _, err := tx.Exec("INSERT INTO fitting (cell_id, unit, position, from_day) VALUES (?, ?, ?, ?)", id, d.Unit, c.Position, day); err != nil {
		return fmt.Errorf("cell %s: %w", c.Serial, err)
	}
	out.Fitted = append(out.Fitted, fmt.Sprintf("%s in %s, position %d, since %s", c.Serial, d.Unit, c.Position, day))
	return nil
}

// installedDay is the day of installation, or why none can be taken over.
func installedDay(d *Document, c DocumentCell, at string) (day, why string) {
	t, ok := benchlog.Moment(c.Installed)
	switch {
	case !ok:
		return "", "that is no day"
	case d.Unit == "":
		return "", "the log names no unit"
	case d.Joined:
		return "", "the debrief joins two logs, whose cells it numbers anew"
	}
	day = t.Format("2006-01-02")
	if day > at[:len(day)] {
		return "", "that is later than the dive"
	}
	return day, ""
}

// placeTaken says why the register itself speaks against a fitting from that day on.
func placeTaken(tx *sql.Tx, id int64, unit string, position int, day string) (string, error) {
	var retired sql.NullString
	if err := tx.QueryRow("SELECT retired FROM cell WHERE id = ?", id).Scan(&retired); err != nil {
		return "", err
	}
	if retired.Valid {
		return "it was retired on " + retired.String, nil
	}
	var others []string
	q, err := tx.Query(`SELECT serial, from_day FROM fitting JOIN cell ON cell.id = cell_id
		WHERE unit = ? AND position = ? AND (to_day IS NULL OR to_day > ?) ORDER BY from_day, serial`, unit, position, day)
	if err != nil {
		return "", err
	}
	defer q.Close()
	for q.Next() {
		var serial, from string
		if err := q.Scan(&serial, &from); err != nil {
			return "", err
		}
		others = append(others, serial+" since "+from)
	}
	if len(others) == 0 {
		return "", q.Err()
	}
	return fmt.Sprintf("the register has %s at position %d of %s; `afterloop register fit` changes that", strings.Join(others, ", "), position, unit), q.Err()
}
