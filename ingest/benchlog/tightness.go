package benchlog

import (
	"math"
	"time"

	"afterloop/ingest"
)

// TightnessTest is a tightness test of a loop as recorded.
type TightnessTest struct {
	Source   ingest.Source
	Problems []ingest.Problem
	Unknown  []string
	// Name, Tester, Unit and Date are free text; Date should be RFC 3339.
	Name, Tester, Unit, Date string
	// Kind is what the file states: positive, negative, or empty.
	Kind  string
	TimeS []float64
	// LoopMbar is relative to ambient, AmbientBar per row or one value for all.
	LoopMbar       []float64
	LoopStepMbar   float64
	AmbientBar     []float64
	AmbientAssumed bool
	AmbientRows    bool // recorded row by row
	TempC          []float64
	Events         []Event
	// LoopVolumeL, ComplianceLMbar, KnownVolumeL and LimitMbarMin are NaN where not stated.
	LoopVolumeL, ComplianceLMbar, KnownVolumeL, LimitMbarMin float64
}

// Event is a word on a row: closed, known_volume, disturbed or opened.
type Event struct {
	AtS  float64
	Kind string
}

// TightnessFormat is the format bench-tightness, version 1.
func TightnessFormat() ingest.SheetFormat {
	return ingest.SheetFormat{Name: "bench-tightness", Columns: []ingest.SheetColumnDef{
		{Name: "loop_mbar", Key: "loop", Mul: 1, Lowest: -900, Highest: 2000, Unit: "mbar"},
		{Name: "loop_kpa", Key: "loop", Mul: 10, Lowest: -90, Highest: 200, Unit: "kPa"},
		{Name: "pressure_mbar", Key: "absolute", Mul: 1, Lowest: 200, Highest: 3000, Unit: "mbar"},
		{Name: "pressure_bar", Key: "absolute", Mul: 1000, Lowest: 0.2, Highest: 3, Unit: "bar"},
		{Name: "ambient_mbar", Key: "ambient", Mul: 1, Lowest: 400, Highest: 1100, Unit: "mbar"},
		{Name: "ambient_bar", Key: "ambient", Mul: 1000, Lowest: 0.4, Highest: 1.1, Unit: "bar"},
		{Name: "temp_c", Key: "temp", Mul: 1, Lowest: -20, Highest: 80, Unit: "C"},
		{Name: "event", Key: "event", Words: []string{"closed", "known_volume", "disturbed", "opened"}},
		{Name: "note", Key: "note", Words: []string{"*"}},
	}}
}

// ReadTightness reads a tightness test.
func ReadTightness(path string, o Options) (*TightnessTest, error) {
	s, err := ingest.ReadSheetFile(path, o.Stdin, TightnessFormat())
	if err != nil {
		return nil, err
	}
	m, err := newMetaReader(s, "bench-tightness", "name", "tester", "unit", "date", "test", "ambient_pressure_bar", "loop_volume_l",
		"compliance_l_mbar", "known_volume_l", "limit_mbar_min")
	if err != nil {
		return nil, err
	}
	t := &TightnessTest{Name: m.text("name"), Tester: m.text("tester"), Unit: m.text("unit"), Date: m.text("date"), Kind: m.word("test", "positive", "negative"),
		TimeS: s.TimeS, TempC: values(s, "temp"), Unknown: s.Unknown,
		LoopVolumeL: m.number("loop_volume_l", 0.2, 100), ComplianceLMbar: m.number("compliance_l_mbar", 0, 10),
		KnownVolumeL: m.number("known_volume_l", -10, 10), LimitMbarMin: m.number("limit_mbar_min", 1e-3, 1000)}
	if err := t.pressure(s, m); err != nil {
		return nil, err
	}
	if c := s.Find("event", 0); c != nil {
		for i, w := range c.Words {
			if w != "" {
				t.Events = append(t.Events, Event{s.TimeS[i], w})
			}
		}
	}
	t.Source, t.Problems = s.Source, s.Problems()
	return t, firstGrave(t.Problems, o.Strict)
}

// pressure fills the loop's pressure relative to ambient.
func (t *TightnessTest) pressure(s *ingest.Sheet, m *metaReader) error {
	ambient, assumed := m.ambient()
	rows := values(s, "ambient")
	t.AmbientBar, t.AmbientRows = make([]float64, len(s.TimeS)), rows != nil
	t.AmbientAssumed = assumed && rows == nil
	for i := range t.AmbientBar {
		t.AmbientBar[i] = ambient
		if rows != nil && !math.IsNaN(rows[i]) {
			t.AmbientBar[i] = rows[i] / 1000
		}
	}
	loop, absolute := s.Find("loop", 0), s.Find("absolute", 0)
	switch {
	case loop != nil:
		t.LoopMbar, t.LoopStepMbar = loop.Values, loop.Step()
	case absolute != nil && t.AmbientAssumed:
		return s.Fatal(s.HeaderLine, "no-ambient", absolute.Name, "an absolute pressure without that of the room, so that nothing is relative to it",
			"a line # ambient_pressure_bar: 1.013 or a column ambient_mbar")
	case absolute != nil:
		t.LoopStepMbar = absolute.Step()
		for i, v := range absolute.Values {
			t.LoopMbar = append(t.LoopMbar, v-1000*t.AmbientBar[i])
		}
	default:
		return s.Fatal(s.HeaderLine, "no-pressure", "a header without a pressure", "no tightness test", "a column loop_mbar (relative to ambient) or pressure_mbar (absolute)")
	}
	return nil
}

// Moment reads a date as the tests state it: RFC 3339, or a day alone.
func Moment(s string) (time.Time, bool) {
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02"} {
		if t, err := time.Parse(form, s); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}
