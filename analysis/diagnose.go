package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/calibration"
	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
	"afterloop/analysis/vote"
)

// The two policies that are not functions of one row: the estimate of the loop
// model, looking ahead and causal.
const (
	modelPolicy     = "model"
	modelLivePolicy = "model-live"
)

// modelRules say in one sentence what the policies of the model do.
var modelRules = map[string]string{
	modelPolicy:     "the estimate by the loop's physics, each cell used where it obeys it; looks ahead, which no unit could",
	modelLivePolicy: "the same estimate from the past alone, all cells taken as healthy",
}

// ModelPolicies lists the policies that package vote does not replay, with their rules.
func ModelPolicies() []vote.Policy {
	return []vote.Policy{{Name: modelPolicy, Rule: modelRules[modelPolicy]}, {Name: modelLivePolicy, Rule: modelRules[modelLivePolicy]}}
}

// diagnosis is what the physics of the loop says of cells, valves and PO2.
type diagnosis struct {
	cells    cell.Diagnosis
	valves   loop.ValveDiagnosis
	estimate loop.Estimate
	states   []loop.CellState
	// outside is how far the unit's PO2 lies outside the estimate's band, by row;
	// followed are the stretches in which it did so for long. nil without such a PO2.
	outside  []float64
	followed []span
}

// diagnose judges cells and valves and estimates PO2: the cells first, with each
// other and the loop; then PO2 from what is left of them; then the valves by
// that PO2; then PO2 again without the openings that delivered nothing.
func (b *bench) diagnose() {
	if b.p.SkipDiagnosis || len(b.tS) < 3 || len(b.dive.Cells) == 0 {
		return
	}
	r := b.loopRecord()
	p := b.p.Loop
	p.LoopTempC = b.loopTempC() // one temperature for the whole debrief
	d := &diagnosis{cells: cell.Diagnose(r, b.p.Cell)}
	d.states = cell.States(r, d.cells)
	d.estimate = loop.Smooth(r, d.states, p)
	d.valves = loop.Valves(r, d.states, d.estimate.PO2Bar, p)
	if len(d.valves.Faults) > 0 {
		d.estimate = loop.Smooth(loop.Delivered(r, d.valves.Faults), d.states, p)
	}
	if d.cells.NotFollowing != nil {
		d.estimate = noEstimate(d.estimate, len(b.tS))
	}
	b.diag = d
	b.leaveBand()
	e := d.estimate
	b.replays = append(b.replays,
		b.modelReplay(modelPolicy, e.PO2Bar, e.LowBar, e.HighBar, b.used()),
		b.modelReplay(modelLivePolicy, e.LiveBar, e.LiveLowBar, e.LiveHighBar, nil))
	b.describeEstimate()
	table := calibration.Current()
	b.debrief.Calibration = &table
}

// noEstimate is e without PO2: what readings that may not have followed would say, or
// depth and openings alone, is not shown as if it were measured. Helium stays.
func noEstimate(e loop.Estimate, rows int) loop.Estimate {
	none := make([]float64, rows)
	for i := range none {
		none[i] = math.NaN()
	}
	e.PO2Bar, e.LowBar, e.HighBar, e.LiveBar, e.LiveLowBar, e.LiveHighBar = none, none, none, none, none, none
	e.BandMedianBar, e.ScaleLow, e.ScaleHigh = math.NaN(), math.NaN(), math.NaN()
	return e
}

// loopTempC is the median of the recorded loop temperature, or what is assumed.
func (b *bench) loopTempC() float64 {
	if t := medianOf(b.dive.LoopTempC); !math.IsNaN(t) {
		return t
	}
	return b.p.Gas.LoopTempC
}

// modelReplay gives the estimate the form of a vote: undecided where its band is
// wider than the tolerance of the vote.
func (b *bench) modelReplay(name string, po2, low, high []float64, in []uint64) vote.Result {
	r := vote.Result{Policy: name, Cells: b.numbers, PO2Bar: po2, LowBar: low, HighBar: high, In: in, State: make([]vote.State, len(po2))}
	if in == nil {
		r.In = make([]uint64, len(po2))
		for i := range r.In {
			r.In[i] = 1<<len(b.numbers) - 1
		}
	}
	for i := range po2 {
		switch {
		case math.IsNaN(po2[i]):
			r.State[i] = vote.None
		case high[i]-low[i] > b.p.Vote.OutBar+tol:
			r.State[i] = vote.Undecided
		default:
			r.State[i] = vote.Agreed
		}
	}
	for _, s := range spansWhere(b.tS, b.gapAfter, func(i int) bool { return r.State[i] == vote.Undecided }) {
		r.Undecided, r.UndecidedS = append(r.Undecided, vote.Span{FromS: s.fromS, ToS: s.toS}), r.UndecidedS+s.seconds()
	}
	if name == modelPolicy {
		for _, f := range b.diag.cells.Faults {
			if !f.Borderline && f.Confidence != cell.Possible {
				r.VotedOut = append(r.VotedOut, vote.Out{Cell: f.Cell, FromS: f.FromS, ToS: b.endOr(f.ToS), Reason: string(f.Kind) + ": used only where it obeys the physics"})
			}
		}
	}
	return r
}

// used has bit k set in the rows in which the k-th replayed cell feeds the estimate.
func (b *bench) used() []uint64 {
	in := make([]uint64, len(b.tS))
	for k := range b.dive.Cells {
		bit := b.replayIndex(b.dive.Cells[k].Number)
		if bit < 0 {
			continue
		}
		for _, s := range b.diag.states[k].Spans {
			for i, t := range b.tS {
				if !(t < s.FromS) && !(t > s.ToS) && !(b.dive.Cells[k].PO2Bar[i] > s.CeilingBar) {
					in[i] |= 1 << bit
				}
			}
		}
	}
	return in
}

// replayIndex is the place of a cell among those replayed, or -1.
func (b *bench) replayIndex(number int) int {
	for k, n := range b.numbers {
		if n == number && k < vote.MaxCells {
			return k
		}
	}
	return -1
}

// endOr is t, or the end of the record where t is not known.
func (b *bench) endOr(t float64) float64 {
	if math.IsNaN(t) {
		return b.tS[len(b.tS)-1]
	}
	return t
}

// describeEstimate fills the debrief's own account of the estimate.
func (b *bench) describeEstimate() {
	e := b.diag.estimate
	var sum, n float64
	for i := range e.PO2Bar {
		if w := e.HighBar[i] - e.LowBar[i]; !math.IsNaN(w) {
			sum, n = sum+w*w/(4*1.96*1.96), n+1
		}
	}
	x := &Estimate{Method: "Kalman filter and fixed-interval smoother on the loop equation, driven by depth and openings; the shared scale by priors and witnesses",
		RMSEBar: unknown, BandMedianBar: Float(e.BandMedianBar), Excitations: b.diag.cells.Excitations, T90VisibleS: Float(b.diag.cells.T90VisibleS),
		ScaleLow: Float(e.ScaleLow), ScaleHigh: Float(e.ScaleHigh)}
	if b.diag.cells.NotFollowing != nil {
		x.Method, x.T90VisibleS = "none: in the ascents no cell may have followed PO2", unknown
	}
	if n > 0 {
		x.RMSEBar = Float(math.Sqrt(sum / n))
	}
	if x.Excitations == nil {
		x.Excitations = []string{}
	}
	b.debrief.Estimate = x
}

// judge fills what the diagnosis knows of one cell.
func (b *bench) judge(out *Cell) {
	if b.diag == nil {
		return
	}
	for _, r := range b.diag.cells.Cells {
		if r.Cell == out.Cell {
			out.T90S, out.Gain, out.CeilingBar = cellInterval(r.T90S), cellInterval(r.Gain), cellInterval(r.CeilingBar)
			out.DriftPerH, out.NoiseBar = cellInterval(r.DriftPerH), cellInterval(r.NoiseBar)
		}
	}
}

func cellInterval(v cell.Interval) Interval {
	return Interval{Float(v.Value), Float(v.Low), Float(v.High), v.Reason}
}

// falseAt tells whether a cell is judged false, at least likely, at moment t.
func (b *bench) falseAt(number int, t float64) bool {
	if b.diag == nil {
		return false
	}
	for _, f := range b.diag.cells.Faults {
		if f.Cell == number && !f.Borderline && f.Confidence != cell.Possible && t >= f.FromS && !(t > f.ToS) {
			return true
		}
	}
	return false
}

// judgedFalse names the fault for which a cell is not believed, or nothing.
func (b *bench) judgedFalse(number int) string {
	if b.diag == nil {
		return ""
	}
	for _, f := range b.diag.cells.Faults {
		if f.Cell == number && !f.Borderline && f.Confidence != cell.Possible {
			return string(f.Kind)
		}
	}
	return ""
}

// costOfVote says what a policy did with cells that told the truth and cells
// that did not, and how far it lay from the estimate.
func (b *bench) costOfVote(r *vote.Result, v *Vote) {
	if b.diag == nil {
		return
	}
	kept, lost := 0.0, 0.0
	for i, t := range b.tS {
		w := rowSeconds(b.tS, b.gapAfter, i)
		for k, n := range b.numbers {
			if k < vote.MaxCells && r.In[i]>>k&1 == 1 && b.falseAt(n, t) {
				kept += w
				break
			}
		}
	}
	for _, o := range r.VotedOut {
		if b.judgedFalse(o.Cell) == "" {
			lost += o.ToS - o.FromS
		}
	}
	v.KeptFalseS, v.VotedOutTrueS = Float(kept), Float(lost)
	diff := make([]float64, len(b.tS))
	for i := range diff {
		if diff[i] = math.NaN(); b.onLoop[i] {
			diff[i] = math.Abs(r.PO2Bar[i] - b.diag.estimate.PO2Bar[i])
		}
	}
	v.MeanAbsDifferenceFromEstimateBar = Float(b.timeMean(diff))
}

// bandSeries is one end of the estimate's band where it is narrow enough to tell.
func (b *bench) bandSeries(end []float64) []float64 {
	e := b.diag.estimate
	out := make([]float64, len(end))
	for i := range out {
		if out[i] = math.NaN(); e.HighBar[i]-e.LowBar[i] <= b.p.Vote.OutBar+tol {
			out[i] = end[i]
		}
	}
	return out
}

// notDiagnosed is why there is no diagnosis; empty where there is one.
func (b *bench) notDiagnosed() string {
	switch {
	case b.diag != nil:
		return ""
	case b.p.SkipDiagnosis:
		return "the diagnosis was switched off"
	}
	return fmt.Sprintf("%d rows are too few", len(b.tS))
}
