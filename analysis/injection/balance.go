package injection

import (
	"math"

	"afterloop/analysis/gas"
)

// Where flow/V comes from.
const (
	FromStated   = "stated volume and flow"
	FromSingle   = "responses to single openings"
	FromContrast = "comparison of stretches"
)

// Oxygen is the oxygen balance of the dive.
type Oxygen struct {
	// FlowPerVolume is flow/V in bar/s: how fast PO2 would rise in a loop without
	// oxygen while one valve is open. FlowFrom says where it comes from.
	FlowPerVolume Interval
	FlowFrom      string
	// Measured is flow/V as found from the log, also where volume and flow are
	// stated; MeasuredFrom says how. A measured value far from the stated one is
	// worth a look.
	Measured     Interval
	MeasuredFrom string
	// VO2PerVolume is VO2/V in 1/min: litres STPD a minute for each litre of V.
	VO2PerVolume Interval
	// VO2LMin is oxygen consumption in L/min STPD. It needs the volume or the flow
	// beside flow/V; VO2Basis says what was used.
	VO2LMin  Interval
	VO2Basis string
	// Windows are the level windows looked at, used or not.
	Windows []Window
}

// Window is a level stretch over which consumption was taken from the balance.
type Window struct {
	FromS, ToS, DepthM float64
	// OpenS is the seconds commanded open in it, UptakeBar the balance of PO2.
	OpenS, UptakeBar float64
	// VO2PerVolume in 1/min, with the range that unknown make-up leaves.
	VO2PerVolume Interval
	Used         bool
	Reason       string
}

// perMinute is what one litre STPD a minute is in bar L/s.
func (in Input) perMinute(p Params) float64 {
	t := in.LoopTempC
	if math.IsNaN(t) {
		t = p.AssumedLoopTempC
	}
	return gas.STPDToLoop(1, t)
}

// statedFlowPerVolume in bar/s, NaN where volume or flow is not stated.
func (in Input) statedFlowPerVolume(p Params) float64 {
	if in.LoopVolumeL > 0 && in.FlowLMin > 0 {
		return in.FlowLMin * in.perMinute(p) / in.LoopVolumeL
	}
	return math.NaN()
}

// measure finds flow/V from the log: from single openings where enough stand
// alone, since that asks least of the record, else from the comparison of stretches.
func measure(in Input, l ledger, byValve [][]float64, p Params) (Interval, string) {
	if dt := usualInterval(in); !(dt <= p.MaxIntervalS) {
		return unknownInterval("the rows are too far apart"), ""
	}
	single := flowPerVolumeFromResponses(byValve, p)
	if single.known() {
		return single, FromSingle
	}
	contrast := flowPerVolumeFromLegs(l.legs(in, p), p)
	if contrast.known() {
		return contrast, FromContrast
	}
	return unknownInterval(single.Reason + "; " + contrast.Reason), ""
}

// usualInterval is the median time between rows, gaps left out.
func usualInterval(in Input) float64 {
	var dt []float64
	for i := 1; i < len(in.TimeS); i++ {
		if !on(in.GapAfter, i-1, false) {
			dt = append(dt, in.TimeS[i]-in.TimeS[i-1])
		}
	}
	return median(dt)
}

// balance draws up the oxygen balance.
func balance(in Input, s signal, l ledger, byValve [][]float64, p Params) Oxygen {
	var o Oxygen
	o.Measured, o.MeasuredFrom = measure(in, l, byValve, p)
	o.FlowPerVolume, o.FlowFrom = o.Measured, o.MeasuredFrom
	if g := in.statedFlowPerVolume(p); !math.IsNaN(g) {
		o.FlowPerVolume, o.FlowFrom = Interval{Value: g, Low: g, High: g}, FromStated
	}
	if !o.FlowPerVolume.known() {
		reason := "neither volume and flow nor flow/V are known: " + o.FlowPerVolume.Reason
		o.VO2PerVolume, o.VO2LMin = unknownInterval(reason), unknownInterval(reason)
		return o
	}
	o.Windows = windows(in, s, l, o.FlowPerVolume.Value, p)
	o.consumption(in, p)
	return o
}

// windows are the level stretches, each with what it says of consumption.
func windows(in Input, s signal, l ledger, flowPerVolume float64, p Params) []Window {
	settle := p.SettleT90 * known(in.CellT90S, p.AssumedCellT90S)
	var out []Window
	for _, st := range levelStretches(in, s.usable, p.LevelM, p.WindowS+settle, p.WindowMaxS+settle) {
		a, b := l.endsWithin(in, st, settle)
		if a < 0 || in.TimeS[b]-in.TimeS[a] < p.WindowS-1e-9 {
			continue
		}
		out = append(out, window(in, s, l, a, b, flowPerVolume, p))
	}
	return out
}

// endsWithin are the first and the last row of the stretch, once the cells have
// settled, at which a window may end.
func (l ledger) endsWithin(in Input, st stretch, settle float64) (a, b int) {
	a, b = -1, -1
	for i := st.from; i < st.to; i++ {
		if in.TimeS[i]-in.TimeS[st.from] < settle || !l.canEnd[i] {
			continue
		}
		if a < 0 {
			a = i
		}
		b = i
	}
	return a, b
}

// window draws the balance between rows a and b:
//
//	VO2/V = (flow/V open seconds - uptake) / seconds
//
// Where PO2 fell, diluent may have replaced what was used; the fall is then
// worth less: (1-x)/(1-F_dil) of it. And where the diver bobbed, diluent may
// have washed oxygen out. With and without make the range.
func window(in Input, s signal, l ledger, a, b int, flowPerVolume float64, p Params) Window {
	seconds := in.TimeS[b] - in.TimeS[a]
	w := Window{FromS: in.TimeS[a], ToS: in.TimeS[b], DepthM: in.depth(a), OpenS: l.openS[b] - l.openS[a], UptakeBar: l.uptake[b] - l.uptake[a]}
	given := flowPerVolume * w.OpenS
	v := Interval{Value: given - w.UptakeBar, Low: given - w.UptakeBar, High: given - w.UptakeBar}
	if w.UptakeBar < 0 {
		v.Low = given - w.UptakeBar*madeUpShare(in, s, a)
	}
	v.Low -= l.washed[b] - l.washed[a]
	v.Value = (v.Low + v.High) / 2
	w.VO2PerVolume = v.times(1 / seconds / in.perMinute(p))
	switch {
	case l.broken[a] != l.broken[b]:
		w.Reason = "something else moved PO2, or a valve is known to have failed"
	case !(v.Value > 0):
		w.Reason = "more oxygen than was given: it came from elsewhere"
	case v.High-v.Low > p.MakeUpSpread*v.Value:
		w.Reason = "PO2 or depth fell, and what diluent came in is not known"
	case math.Abs(w.UptakeBar) > p.MaxUptakeShare*given:
		w.Reason = "much of the oxygen went into changing PO2 and not into the diver"
	case l.strays(in, s, a, b, flowPerVolume, v.Value/seconds, p):
		w.Reason = "PO2 moved in a way that injection and steady use do not explain"
	default:
		w.Used = true
	}
	return w
}

// madeUpShare is (1-x)/(1-F_dil) at row i; with an unknown diluent F_dil is taken
// as 0, which gives the widest range.
func madeUpShare(in Input, s signal, i int) float64 {
	f := value(in.FO2Diluent, i)
	if !(f >= 0 && f < s.x[i]) {
		f = 0
	}
	return (1 - s.x[i]) / (1 - f)
}

// strays tells whether PO2 left the course between a and b that the openings and
// a steady consumption give.
func (l ledger) strays(in Input, s signal, a, b int, flowPerVolume, usePerS float64, p Params) bool {
	for i := a; i <= b; i++ {
		course := flowPerVolume*(l.openS[i]-l.openS[a]) - usePerS*(in.TimeS[i]-in.TimeS[a])
		if math.Abs(l.uptake[i]-l.uptake[a]-course)*(1-s.x[i]) > p.ClosureBar {
			return true
		}
	}
	return false
}

// consumption sums up the windows, each weighing its length.
func (o *Oxygen) consumption(in Input, p Params) {
	var seconds, openS, uptake, makeUp float64
	for _, w := range o.Windows {
		if w.Used {
			t := w.ToS - w.FromS
			seconds += t
			openS += w.OpenS
			uptake += w.UptakeBar
			makeUp += (w.VO2PerVolume.High - w.VO2PerVolume.Low) * t
		}
	}
	if seconds == 0 {
		o.VO2PerVolume = unknownInterval("no level window of at least 3 min without disturbance")
		o.VO2LMin = o.VO2PerVolume
		return
	}
	unit, makeUp := in.perMinute(p), makeUp/seconds
	o.VO2PerVolume = o.overall(makeUp, func(g float64) float64 { return (g*openS - uptake) / seconds / unit })
	switch v, f := in.LoopVolumeL, in.FlowLMin; {
	case v > 0:
		o.VO2LMin, o.VO2Basis = o.VO2PerVolume.times(v), "stated volume; "+o.FlowFrom
	case f > 0: // V = flow/(flow/V), which hardly matters where PO2 ended as it began
		volume := f * unit / o.FlowPerVolume.Value
		o.VO2LMin = o.overall(makeUp*volume, func(g float64) float64 { return f * (openS - uptake/g) / seconds })
		o.VO2Basis = "stated flow; " + o.FlowFrom
	default:
		o.VO2LMin = unknownInterval("neither volume nor flow is stated: only VO2/V is known")
	}
}

// overall evaluates f, which takes nothing for made up, over the interval of
// flow/V, and takes off the spread that unknown make-up leaves: half of it from
// the value, all of it from the low end.
func (o *Oxygen) overall(makeUp float64, f func(flowPerVolume float64) float64) Interval {
	a, b := f(o.FlowPerVolume.Low), f(o.FlowPerVolume.High)
	v := f(o.FlowPerVolume.Value) - makeUp/2
	model := modelShare * math.Abs(v)
	return Interval{Value: v, Low: v - math.Hypot(v-(math.Min(a, b)-makeUp), model), High: v + math.Hypot(math.Max(a, b)-v, model)}
}

// modelShare is what a single well-mixed volume, a stated volume and a stated flow
// leave open in any consumption, as a share of it (95 %). Ours: published models of
// one compartment keep within 1 % of oxygen, which is some 10 % of a window's uptake.
const modelShare = 0.10
