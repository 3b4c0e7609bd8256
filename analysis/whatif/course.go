package whatif

import (
	"math"
	"sort"

	"afterloop/analysis"
	"afterloop/analysis/gas"
	"afterloop/analysis/loop"
	"afterloop/analysis/scenario"
	"afterloop/ingest"
)

// course is the recorded dive as the model of the loop is driven by it: one value a
// row, nothing missing.
type course struct {
	tS       []float64
	gapAfter []bool
	onLoop   []bool
	dryBar   []float64 // holes bridged by straight lines
	estBar   []float64 // the estimate of PO2 at the cells
	// under is true on rows under water.
	under []bool
	// usable rows are compared and fitted: on the loop, away from events.
	usable  []bool
	setBar  []float64 // set point in force; NaN before the first
	diluent []gas.Mix
	// openS is, by valve, the seconds commanded since the row before; gaveS the same
	// without openings that are judged to have delivered nothing.
	openS, gaveS [][]float64
	valves       []int
	events       []event
	leaks        []leak
	faults       []loop.ValveFault
}

// leak is oxygen that comes in with the valves shut, 1/min of the loop's volume.
type leak struct{ fromS, toS, perMin float64 }

// event is gas added by hand, its size as a share of the loop's volume.
type event struct {
	kind      string
	atS, forS float64
	oxygen    bool
	toAll     bool
	share     float64
}

// newCourse takes the dive apart. The log has valves, set point, diluent and an estimate.
func newCourse(d *ingest.Dive, ev analysis.Evidence, p analysis.Parameters) *course {
	c := &course{tS: d.TimeS, gapAfter: d.GapAfter(), onLoop: ev.Record.OnLoop, estBar: ev.Estimate.PO2Bar}
	ambient := bridged(d.TimeS, d.AmbientBar)
	c.dryBar, c.usable, c.diluent = make([]float64, len(c.tS)), make([]bool, len(c.tS)), make([]gas.Mix, len(c.tS))
	c.under = make([]bool, len(c.tS))
	last := d.Meta.Diluent
	for _, g := range d.Diluent {
		if g.Known {
			last = g
			break
		}
	}
	for i := range c.tS {
		c.under[i] = ev.Record.DepthM[i] >= submergedM
		c.dryBar[i] = gas.Dry(ambient[i], p.Gas.VapourBar/2)
		c.usable[i] = ev.Record.Usable(i) && !math.IsNaN(c.estBar[i])
		if d.Diluent[i].Known {
			last = d.Diluent[i]
		}
		c.diluent[i] = last.Mix
	}
	c.setBar = held(d.SetPointBar)
	for _, v := range d.Valves {
		open := make([]float64, len(c.tS))
		for i, s := range v.OpenS {
			if s > 0 {
				open[i] = s
			}
		}
		c.valves, c.openS = append(c.valves, v.Number), append(c.openS, open)
		c.gaveS = append(c.gaveS, delivered(c.tS, open, v.Number, ev.Valves))
	}
	c.events, c.faults = eventsOf(ev.Record.Events), ev.Valves
	c.leaks = leaksOf(ev.Valves, d.Meta.LoopVolumeL)
	return c
}

// submergedM is the depth from which a row counts as under water, as in the debrief.
const submergedM = 0.5

// bridged fills what was not recorded by straight lines, and the ends by the nearest value.
func bridged(tS, v []float64) []float64 {
	out := append([]float64(nil), v...)
	last := -1
	for i := range v {
		if math.IsNaN(v[i]) {
			continue
		}
		for j := last + 1; j < i; j++ {
			if out[j] = v[i]; last >= 0 {
				out[j] = v[last] + (v[i]-v[last])*(tS[j]-tS[last])/(tS[i]-tS[last])
			}
		}
		last = i
	}
	for j := last + 1; j < len(v) && last >= 0; j++ {
		out[j] = v[last]
	}
	return out
}

// held keeps the last value over what was not recorded.
func held(v []float64) []float64 {
	out := append([]float64(nil), v...)
	for i := 1; i < len(out); i++ {
		if math.IsNaN(out[i]) {
			out[i] = out[i-1]
		}
	}
	for i := len(out) - 2; i >= 0; i-- {
		if math.IsNaN(out[i]) {
			out[i] = out[i+1]
		}
	}
	return out
}

// delivered is open without the openings over which the valve is judged dead, or the
// supply lost, more than possibly.
func delivered(tS, open []float64, valve int, faults []loop.ValveFault) []float64 {
	out := append([]float64(nil), open...)
	for _, f := range faults {
		if !stops(f, valve) {
			continue
		}
		for i, t := range tS {
			if t >= f.FromS && !(t > f.ToS) {
				out[i] = 0
			}
		}
	}
	return out
}

// stops tells whether a fault keeps a valve from delivering.
func stops(f loop.ValveFault, valve int) bool {
	return f.Confidence != loop.Possible && (f.Kind == loop.DeadValve && f.Valve == valve || f.Kind == loop.SupplyLost)
}

// leaksOf are the leaks that are more than possible. Where only the volume turns one into
// a share of it, and it is not known, the leak stays part of the oxygen use.
func leaksOf(faults []loop.ValveFault, volumeL float64) []leak {
	var out []leak
	for _, f := range faults {
		if f.Kind != loop.LeakingValve || f.Confidence == loop.Possible {
			continue
		}
		l := leak{f.FromS, f.ToS, f.Value}
		if math.IsNaN(l.toS) {
			l.toS = math.Inf(1)
		}
		if f.Unit == "L/min" {
			l.perMin = f.Value / volumeL
		}
		if !math.IsNaN(l.perMin) {
			out = append(out, l)
		}
	}
	return out
}

// Lengths of what the diver does by hand, in seconds; as in package scenario, ours.
const (
	diluentFlushS, oxygenFlushS, additionS = 20, 12, 3
)

// eventsOf are the additions by hand, their sizes still to be fitted.
func eventsOf(es []loop.Event) []event {
	var out []event
	for _, e := range es {
		switch e.Kind {
		case loop.DiluentFlush:
			out = append(out, event{string(e.Kind), e.AtS, diluentFlushS, false, true, 0})
		case loop.OxygenFlush:
			out = append(out, event{string(e.Kind), e.AtS, oxygenFlushS, true, true, 0})
		case loop.ManualOxygen:
			out = append(out, event{string(e.Kind), e.AtS, additionS, true, false, 0})
		case loop.ManualDiluent:
			out = append(out, event{string(e.Kind), e.AtS, additionS, false, false, 0})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].atS < out[j].atS })
	return out
}

// walker goes through the record in steps of the rig.
type walker struct {
	c      *course
	row    int // the last row at or before now
	n      int // steps since the first row
	startS float64
}

// now is the time of the step that begins.
func (w *walker) now() float64 { return w.startS + float64(w.n)*scenario.RigStepS }

// next takes one step and returns the dry pressure at its end.
func (w *walker) next() float64 {
	w.n++
	t := w.now()
	for w.row+1 < len(w.c.tS) && w.c.tS[w.row+1] <= t+1e-6 {
		w.row++
	}
	if w.row+1 == len(w.c.tS) {
		return w.c.dryBar[w.row]
	}
	return w.c.at(w.c.dryBar, w.row, t)
}

// at is the straight line between a row and the next.
func (c *course) at(v []float64, row int, tS float64) float64 {
	if row+1 >= len(v) {
		return v[len(v)-1]
	}
	return v[row] + (v[row+1]-v[row])*(tS-c.tS[row])/(c.tS[row+1]-c.tS[row])
}
