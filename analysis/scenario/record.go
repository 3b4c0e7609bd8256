package scenario

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"afterloop/analysis/gas"
)

// recorder keeps the rows of the log and of the truth.
type recorder struct {
	spec     Recording
	columns  []Column
	truthRow []TruthRow
	depth    *rand.Rand
	openGas  gas.Mix
	events   []mark
	notes    []mark
}

// mark is a word that is due on the first row at or after its time.
type mark struct {
	atS  float64
	text string
}

func newRecorder(s Spec, open gas.Mix) recorder {
	r := recorder{spec: s.Recording, depth: newRand(s.Seed, streamDepthSensor), openGas: open}
	for _, n := range s.Recording.Notes {
		r.notes = append(r.notes, mark{n.TimeS, n.Text})
	}
	for _, e := range s.Events {
		r.markEvent(e)
	}
	slices.SortStableFunc(r.notes, func(a, b mark) int { return cmp.Compare(a.atS, b.atS) })
	r.columns = columnsOf(s, len(r.events) > 0 || s.Recording.EventColumn, len(r.notes) > 0)
	return r
}

// markEvent puts an event where the spec wants it: event column, note or nowhere.
func (r *recorder) markEvent(e Event) {
	switch e.Kind {
	case "diluent_flush", "oxygen_flush":
		if r.spec.FlushAsNote {
			r.notes = append(r.notes, mark{e.AtS, e.Kind[:len(e.Kind)-len("_flush")] + " flush"})
			return
		}
	case "manual_oxygen", "manual_diluent":
		if r.spec.HideManual {
			return
		}
	case "bailout", "on_loop":
		if r.spec.BreathingColumn {
			return
		}
	}
	r.events = append(r.events, mark{e.AtS, e.Kind})
}

// columnsOf lists the columns of the log in order.
func columnsOf(s Spec, events, notes bool) []Column {
	po2 := decimals(s.Recording.PO2StepBar)
	cols := []Column{{Name: "time_s", Decimals: decimals(s.Recording.IntervalS)}, {Name: "depth_m", Decimals: decimals(s.Recording.DepthStepM)}}
	for k := range s.Cells {
		cols = append(cols, Column{Name: fmt.Sprintf("cell%d_po2_bar", k+1), Decimals: po2})
	}
	cols = append(cols, Column{Name: "setpoint_bar", Decimals: 2}, Column{Name: "po2_bar", Decimals: po2})
	for v := range s.Valves {
		cols = append(cols, Column{Name: fmt.Sprintf("valve%d_open_s", v+1), Decimals: 1})
		if s.Recording.Openings {
			cols = append(cols, Column{Name: fmt.Sprintf("valve%d_openings", v+1)})
		}
	}
	if s.Helium != nil {
		cols = append(cols, Column{Name: "loop_he", Decimals: 3})
	}
	cols = append(cols, s.Supply.columns()...)
	cols = append(cols, textColumns(s, events, notes)...)
	return cols
}

func textColumns(s Spec, events, notes bool) []Column {
	var cols []Column
	if s.Recording.Votes {
		for k := range s.Cells {
			cols = append(cols, Column{Name: fmt.Sprintf("cell%d_vote", k+1), IsText: true})
		}
	}
	if s.Recording.BreathingColumn {
		cols = append(cols, Column{Name: "breathing", IsText: true})
	}
	if events {
		cols = append(cols, Column{Name: "event", IsText: true})
	}
	if notes {
		cols = append(cols, Column{Name: "note", IsText: true})
	}
	return cols
}

// decimals is how many digits after the point show a step of this size.
func decimals(step float64) int {
	n := 0
	for n < 9 && math.Abs(step-math.Round(step)) > 1e-9 {
		step *= 10
		n++
	}
	return n
}

// record writes a row of the log and of the truth, except in a gap. What is
// commanded in a gap adds up to the next row; words that fall due wait for it.
func (d *dive) record(tS float64) {
	row := d.numbers(tS) // taken in a gap too, so that a gap shifts no noise
	for _, g := range d.spec.Recording.Gaps {
		if tS > g.FromS && tS < g.ToS {
			return
		}
	}
	for i, f := range append(row, d.words(tS)...) {
		d.recorder.columns[i].append(f)
	}
	inhaled := d.loop.inhaledBar()
	if !d.onLoop {
		inhaled = d.openGas.O2 * d.pBar
	}
	d.recorder.truthRow = append(d.recorder.truthRow, TruthRow{TimeS: tS, SensedBar: d.sensedBar, InhaledBar: inhaled, VO2LMin: d.vo2LMin})
	d.startRow()
}

// startRow clears what is counted from row to row.
func (d *dive) startRow() {
	for v := range d.openS {
		d.openS[v], d.unit.started[v] = 0, 0
	}
}

// field is one value of a row.
type field struct {
	num  float64
	text string
}

// numbers takes the readings of this moment in the order of columnsOf.
func (d *dive) numbers(tS float64) []field {
	rec := d.spec.Recording
	depthM := d.depthM + math.Max(0, rec.DepthNoiseM)*d.recorder.depth.NormFloat64()
	row := []field{{num: tS}, {num: math.Max(0, toStep(depthM, rec.DepthStepM))}}
	for _, y := range d.readings {
		row = append(row, field{num: toStep(y, rec.PO2StepBar)})
	}
	row = append(row, field{num: d.setBar}, field{num: toStep(d.unit.po2Bar, rec.PO2StepBar)})
	for v := range d.openS {
		row = append(row, field{num: d.openS[v]})
		if rec.Openings {
			row = append(row, field{num: float64(d.unit.started[v])})
		}
	}
	if d.helium != nil {
		row = append(row, field{num: d.helium.read()})
	}
	if d.carried != nil {
		row = append(row, d.carried.numbers(tS, d.openS)...)
	}
	return row
}

// words are the text fields of a row, in the order of textColumns.
func (d *dive) words(tS float64) []field {
	var row []field
	if d.spec.Recording.Votes {
		for _, out := range d.unit.out {
			row = append(row, field{text: either(out, "out", "in")})
		}
	}
	if d.spec.Recording.BreathingColumn {
		row = append(row, field{text: either(d.onLoop, "loop", "open")})
	}
	for _, c := range d.recorder.columns {
		switch c.Name {
		case "event":
			row = append(row, field{text: due(&d.recorder.events, tS)})
		case "note":
			row = append(row, field{text: due(&d.recorder.notes, tS)})
		}
	}
	return row
}

func either(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

// due takes the first mark whose time has come; a second at the same time waits
// for the next row.
func due(marks *[]mark, tS float64) string {
	if len(*marks) == 0 || (*marks)[0].atS > tS+1e-9 {
		return ""
	}
	text := (*marks)[0].text
	*marks = (*marks)[1:]
	return text
}

// toStep rounds to a multiple of step.
func toStep(v, step float64) float64 { return math.Round(v/step) * step }
