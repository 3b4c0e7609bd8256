package ingest

import "afterloop/analysis/gas"

// Inspection is what a log holds and what is wrong with it, without any
// judgement of cells or people. Slices are never nil; what is not known is null.
type Inspection struct {
	File          string `json:"file"`
	SHA256        string `json:"sha256"`
	Bytes         int64  `json:"bytes"`
	Gzip          bool   `json:"gzip"`
	FormatVersion int    `json:"format_version"` // 0: not stated
	Truncated     bool   `json:"truncated"`
	Mapping       string `json:"mapping,omitempty"` // with which a foreign file was read
	MappingSHA256 string `json:"mapping_sha256,omitempty"`
	Encoding      string `json:"encoding,omitempty"`
	Part          string `json:"dive,omitempty"` // of several in one file
	PartOf        int    `json:"dives,omitempty"`

	Rows           int        `json:"rows"`
	TimeColumn     string     `json:"time_column"`
	FirstS         float64    `json:"first_s"`
	LastS          float64    `json:"last_s"`
	UsualIntervalS *float64   `json:"usual_interval_s"`
	Gaps           []Gap      `json:"gaps"`
	PressureFrom   string     `json:"pressure_from"`
	Cells          []CellSeen `json:"cells"`
	Valves         []int      `json:"valves"`
	Events         int        `json:"events"`
	Notes          int        `json:"notes"`

	Columns     []ColumnSeen `json:"columns"`
	Metadata    []Stated     `json:"metadata"`
	Assumptions []string     `json:"assumptions"`

	Warnings int       `json:"warnings"` // problems of severity warning or worse
	Problems []Problem `json:"problems"`
}

// Gap is a stretch in which nothing was recorded.
type Gap struct {
	FromS float64 `json:"from_s"`
	ToS   float64 `json:"to_s"`
	Line  int     `json:"line"` // of the row before
}

// CellSeen is what the log holds of one cell.
type CellSeen struct {
	Cell          int      `json:"cell"`
	Readings      int      `json:"readings"`
	Missing       int      `json:"missing"`
	StepBar       *float64 `json:"step_bar"`
	FromMV        bool     `json:"from_mv"`
	HasMV         bool     `json:"has_mv"`
	HasVote       bool     `json:"has_vote"`
	AtLimit       int      `json:"at_display_limit_rows"`
	Serial        string   `json:"serial"`
	CalibratedBar *float64 `json:"calibrated_at_bar"`
}

// ColumnSeen is what one column of the file holds; Min and Max are in the base unit.
type ColumnSeen struct {
	Name     string   `json:"name"`
	Meaning  string   `json:"meaning"`
	Known    bool     `json:"known"`
	Filled   int      `json:"filled"`
	Missing  int      `json:"missing"`
	Min      *float64 `json:"min"`
	Max      *float64 `json:"max"`
	Decimals *int     `json:"decimals"`
}

// Stated is one line of metadata as it was understood.
type Stated struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// Inspect lists what d holds.
func Inspect(d *Dive) Inspection {
	n := d.Rows()
	in := Inspection{File: d.Source.File, SHA256: d.Source.SHA256, Bytes: d.Source.Bytes, Gzip: d.Source.Gzip,
		FormatVersion: d.Source.FormatVersion, Truncated: d.Source.Truncated,
		Rows: n, TimeColumn: d.Source.TimeForm, UsualIntervalS: known(d.UsualIntervalS()), PressureFrom: d.AmbientFrom,
		Gaps: d.gaps(), Cells: []CellSeen{}, Valves: []int{}, Events: len(d.Events), Notes: len(d.Notes),
		Columns: []ColumnSeen{}, Metadata: []Stated{}, Assumptions: d.assumptions(), Problems: append([]Problem{}, d.Problems...)}
	in.MappingSHA256 = d.Source.MappingSHA256
	in.Mapping, in.Encoding, in.Part, in.PartOf = d.Source.Mapping, d.Source.Encoding, d.Source.Part, d.Source.PartOf
	if n > 0 {
		in.FirstS, in.LastS = d.TimeS[0], d.TimeS[n-1]
	}
	for i := range d.Cells {
		in.Cells = append(in.Cells, d.Cells[i].seen())
	}
	for _, v := range d.Valves {
		in.Valves = append(in.Valves, v.Number)
	}
	for _, c := range d.Columns {
		in.Columns = append(in.Columns, c.seen(n))
	}
	for _, kv := range d.metaLines() {
		if kv.Key != versionKey {
			in.Metadata = append(in.Metadata, Stated{kv.Key, kv.Value})
		}
	}
	for _, p := range d.Problems {
		if p.Severity.rank() >= Warning.rank() {
			in.Warnings++
		}
	}
	return in
}

// known is a pointer to v with nine significant digits, or nil where it is not known.
func known(v float64) *float64 {
	if !finite(v) {
		return nil
	}
	return rounded(v)
}

func (d *Dive) gaps() []Gap {
	gaps := []Gap{}
	for i, gap := range d.GapAfter() {
		if gap {
			gaps = append(gaps, Gap{FromS: d.TimeS[i], ToS: d.TimeS[i+1], Line: d.Line[i]})
		}
	}
	return gaps
}

func (c *Cell) seen() CellSeen {
	readings := recordedValues(c.PO2Bar)
	s := CellSeen{Cell: c.Number, Readings: readings, Missing: len(c.PO2Bar) - readings, FromMV: c.FromMV, HasMV: c.MV != nil,
		HasVote: c.Vote != nil, AtLimit: count(c.AtDisplayLimit), Serial: c.Serial, CalibratedBar: known(c.CalPO2Bar)}
	if c.StepBar > 0 {
		s.StepBar = known(c.StepBar)
	}
	return s
}

func (c ColumnFacts) seen(rows int) ColumnSeen {
	s := ColumnSeen{Name: c.Name, Meaning: c.Meaning, Known: c.Known, Filled: c.Filled, Missing: rows - c.Filled,
		Min: known(c.Min), Max: known(c.Max)}
	if c.Decimals >= 0 {
		s.Decimals = &c.Decimals
	}
	return s
}

// assumptions lists what the log does not say and reading it had to assume.
func (d *Dive) assumptions() []string {
	list := []string{}
	add := func(applies bool, text string) {
		if applies {
			list = append(list, text)
		}
	}
	add(d.Source.FormatVersion == 0 && d.Source.MappingSHA256 == "", "the format is a loop log of version 1")
	add(d.Meta.SurfaceAssumed, "the surface pressure is "+shortNumber(gas.StandardSurfaceBar)+" bar")
	add(d.Meta.DensityAssumed, "the instrument took the water to have "+shortNumber(gas.SeaWater)+" kg/m3")
	add(!d.breathingKnown(), "the diver was on the loop throughout")
	add(d.calibrationAssumed(), "the calibration gas was dry")
	return list
}

// calibrationAssumed is true where a calibration is used whose gas may have been humid.
func (d *Dive) calibrationAssumed() bool {
	c := d.Meta.Calibration
	return c.Humid == nil && !IsMissing(c.GasO2*c.PressureBar)
}
