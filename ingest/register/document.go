package register

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"sort"
	"strings"

	"afterloop/ingest/benchlog"
)

// Document is what the register takes from a debrief or a bench test in JSON.
type Document struct {
	Kind   string // debrief or bench-cells
	SHA256 string // of the log or logs it was made from
	File   string
	At     string // RFC 3339 or a day; empty where the log states none
	Unit   string
	Tool   string
	// Joined tells that it was made from several logs, so that cells are numbered anew.
	Joined bool
	Cells  []DocumentCell
}

// DocumentCell is one cell of it.
type DocumentCell struct {
	Position int
	Serial   string
	// Installed is the day on which the log says that it was fitted, as written.
	Installed string
	Figures   []Figure
}

// Figure is one measured quantity.
type Figure struct {
	Quantity  string
	Value     float64
	Low, High *float64
}

// Quantities are those that a register keeps, with their units, in the order in
// which they are shown.
func Quantities() []Quantity {
	return []Quantity{{"mv_per_bar", "sensitivity", "mV/bar"}, {"t90_s", "T90", "s"}, {"gain", "gain", ""}, {"ceiling_bar", "ceiling", "bar"},
		{"drift_per_h", "drift", "1/h"}, {"offset_bar", "offset", "bar"}, {"follows_to_bar", "shown to follow up to", "bar"}}
}

// Quantity is a name in the register, in words, and its unit.
type Quantity struct{ Key, Name, Unit string }

// maxDocument bounds a JSON file; a debrief has some 100 kB.
const maxDocument = 64 << 20

// jsonInterval is a figure as debriefs and bench tests write it; it may be null,
// a bare number, or one with its interval.
type jsonInterval struct{ Value, Low, High *float64 }

func (v *jsonInterval) UnmarshalJSON(b []byte) error {
	if len(b) > 0 && b[0] != '{' {
		return json.Unmarshal(b, &v.Value)
	}
	type plain jsonInterval
	return json.Unmarshal(b, (*plain)(v))
}

type jsonDocument struct {
	Schema  string
	Tool    struct{ Version string }
	Sources []struct{ File, SHA256 string }
	Dive    struct{ Start, Unit string }
	Test    struct{ Date string }
	Cells   []struct {
		Cell         int
		Serial       string
		Installed    string
		MVPerBar     jsonInterval `json:"mv_per_bar"`
		T90S         jsonInterval `json:"t90_s"`
		Gain         jsonInterval
		CeilingBar   jsonInterval `json:"ceiling_bar"`
		DriftPerH    jsonInterval `json:"drift_per_h"`
		OffsetBar    jsonInterval `json:"offset_bar"`
		FollowsToBar jsonInterval `json:"follows_to_bar"`
		MV           *struct {
			MVPerBar jsonInterval `json:"mv_per_bar"`
		}
	}
}

// ReadDocument reads what `--json` of a debrief or of a bench test wrote.
func ReadDocument(r io.Reader) (*Document, error) {
	b, err := io.ReadAll(io.LimitReader(r, maxDocument+1))
	if err != nil {
		return nil, err
	}
	if len(b) > maxDocument {
		return nil, fmt.Errorf("more than %d bytes: that is no debrief", maxDocument)
	}
	var j jsonDocument
	if err := json.Unmarshal(b, &j); err != nil {
		return nil, placed(b, err)
	}
	d := &Document{Tool: j.Tool.Version, Joined: len(j.Sources) > 1}
	switch j.Schema {
	case "afterloop/debrief/1":
		d.Kind, d.At, d.Unit = "debrief", j.Dive.Start, j.Dive.Unit
	case "afterloop/bench-cells/1":
		d.Kind, d.At = "bench-cells", j.Test.Date
	case "afterloop/bench-tightness/1":
		return nil, errors.New("a tightness test measures no cell: there is nothing to import")
	default:
		return nil, fmt.Errorf("schema %q: it is no debrief and no test of cells that this program knows (write one with --json)", j.Schema)
	}
	if d.SHA256, d.File, err = identity(j); err != nil {
		return nil, err
	}
	d.cells(j)
	return d, nil
}

// identity is the hash by which a source counts once: that of the log, so that a
// debrief of the same log by another version is the same source.
func identity(j jsonDocument) (sha, file string, err error) {
	var sums []string
	for _, s := range j.Sources {
		if len(s.SHA256) != 64 {
			return "", "", errors.New("a source without its SHA-256: it can't be told from others")
		}
		sums = append(sums, strings.ToLower(s.SHA256))
	}
	switch len(sums) {
	case 0:
		return "", "", errors.New("no source is named: it can't be told from others")
	case 1:
		return sums[0], j.Sources[0].File, nil
	}
	sort.Strings(sums)
	all := sha256.Sum256([]byte(strings.Join(sums, "\n")))
	return hex.EncodeToString(all[:]), j.Sources[0].File, nil
}

func (d *Document) cells(j jsonDocument) {
	for _, c := range j.Cells {
		x := DocumentCell{Position: c.Cell, Serial: strings.TrimSpace(c.Serial), Installed: strings.TrimSpace(c.Installed)}
		mv := c.MVPerBar
		if c.MV != nil {
			mv = c.MV.MVPerBar
		}
		for k, v := range []jsonInterval{mv, c.T90S, c.Gain, c.CeilingBar, c.DriftPerH, c.OffsetBar, c.FollowsToBar} {
			if v.Value != nil && !math.IsInf(*v.Value, 0) {
				x.Figures = append(x.Figures, Figure{Quantities()[k].Key, *v.Value, v.Low, v.High})
			}
		}
		d.Cells = append(d.Cells, x)
	}
}

// placed says at which line and column JSON is wrong.
func placed(b []byte, err error) error {
	var s *json.SyntaxError
	var t *json.UnmarshalTypeError
	at := int64(-1)
	switch {
	case errors.As(err, &s):
		at = s.Offset
	case errors.As(err, &t):
		at = t.Offset
	}
	if at < 0 || at > int64(len(b)) {
		return err
	}
	line := 1 + bytes.Count(b[:at], []byte("\n"))
	col := int(at) - (bytes.LastIndexByte(b[:at], '\n') + 1)
	return fmt.Errorf("line %d, column %d: %w", line, col, err)
}

// moment checks that the document has a time that can be sorted.
func (d *Document) moment(fallback string) (string, error) {
	at := d.At
	if at == "" {
		at = fallback
	}
	if at == "" {
		return "", errors.New("it states no time; give the day with --date")
	}
	t, ok := benchlog.Moment(at)
	if !ok {
		return "", fmt.Errorf("its time %q can't be read; give the day with --date", at)
	}
	return t.UTC().Format("2006-01-02T15:04:05Z"), nil
}
