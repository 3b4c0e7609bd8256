package whatif

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/fit"
	"afterloop/analysis/injection"
	"afterloop/analysis/scenario"
)

// Kinds of controller.
const (
	FixedPulse        = "fixed-pulse"
	ProportionalPulse = "proportional-pulse"
	OnOff             = "on-off"
)

// Controllers are the kinds of controller, each with its rule.
func Controllers() [][2]string {
	return [][2]string{
		{FixedPulse, "opens a valve for a fixed time whenever PO2 is below the set point less the dead band, once an interval"},
		{ProportionalPulse, "the same, open for longer the farther PO2 is below"},
		{OnOff, "keeps a valve open from one interval to the next while PO2 is below the set point less the dead band"},
	}
}

// Controller is a controller as it is simulated.
type Controller struct {
	Kind      string         `json:"kind"`
	IntervalS analysis.Float `json:"interval_s"`
	// PulseS is the length of a fixed pulse; a proportional one is BaseS + SPerBar x
	// error, not under MinS nor over MaxS. Null where it does not apply.
	PulseS      analysis.Float `json:"pulse_s"`
	BaseS       analysis.Float `json:"base_s"`
	SPerBar     analysis.Float `json:"s_per_bar"`
	MinS        analysis.Float `json:"min_s"`
	MaxS        analysis.Float `json:"max_s"`
	DeadbandBar analysis.Float `json:"deadband_bar"`
	Turns       string         `json:"turns"` // alternate or together
	// Basis says what it was inferred from, or that it was given.
	Basis string `json:"basis"`
}

var unknown = analysis.Float(math.NaN())

// spec is the controller in the form of the simulator.
func (k Controller) spec() scenario.Controller {
	s := scenario.Controller{Style: "fixed", IntervalS: float64(k.IntervalS), DeadbandBar: float64(k.DeadbandBar), Turns: k.Turns}
	switch k.Kind {
	case OnOff:
		s.PulseS = s.IntervalS
	case FixedPulse:
		s.PulseS = float64(k.PulseS)
	default:
		s.Style = "variable"
		s.BaseS, s.SPerBar, s.MinS, s.MaxS = float64(k.BaseS), float64(k.SPerBar), float64(k.MinS), float64(k.MaxS)
	}
	return s
}

// opening is one commanded opening with the error that the unit saw before it.
type opening struct{ fromS, openS, errorBar float64 }

// infer finds a controller that opens the valves much as the record has it: the interval
// from the least time between openings, the length as fixed where it hardly varies, else
// as a straight line in the error, the dead band from the smallest error at an opening.
//
// Where rows are far apart there are two candidates; the one with which the simulation
// comes nearer to the dive is taken.
func infer(c *course, unitBar []float64, p Params) []Controller {
	if c.usualS() > p.CoarseS {
		return c.coarse(unitBar, p)
	}
	all := c.openings()
	var os []opening
	for _, o := range all {
		i := max(0, c.rowAt(o.FromS)-1)
		os = append(os, opening{o.FromS, o.OpenS, c.setBar[i] - unitBar[i]})
	}
	k := Controller{Kind: FixedPulse, IntervalS: analysis.Float(p.AssumedIntervalS), PulseS: analysis.Float(p.AssumedPulseS), BaseS: unknown, SPerBar: unknown, MinS: unknown, MaxS: unknown,
		Turns: "alternate", Basis: "too few openings to infer one: assumed"}
	if len(os) < 8 {
		return []Controller{k}
	}
	lengths := column(os, func(o opening) float64 { return o.openS })
	k.Turns = c.turns(all)
	k.IntervalS = analysis.Float(roundTo(math.Max(interval(os), scenario.RigStepS*2), 0.2))
	k.Basis = fmt.Sprintf("inferred from %d recorded openings", len(os))
	q10, q50, q90 := quantile(lengths, 0.1), quantile(lengths, 0.5), quantile(lengths, 0.9)
	if q90-q10 <= math.Max(0.25*q50, 0.11) {
		k.PulseS = analysis.Float(roundTo(q50, 0.1))
	} else {
		k.proportional(os, lengths)
	}
	if low := quantile(column(os, func(o opening) float64 { return o.errorBar }), 0.1); low > 0.01 {
		k.DeadbandBar = analysis.Float(roundTo(low, 0.005))
	}
	return []Controller{k}
}

// proportional fits the length of an opening to the error before it.
func (k *Controller) proportional(os []opening, lengths []float64) {
	k.Kind, k.PulseS = ProportionalPulse, unknown
	var n, se, sl, see, sel float64
	most := quantile(lengths, 0.98)
	for _, o := range os {
		if math.IsNaN(o.errorBar) || o.openS > 0.95*most { // at its longest an opening says nothing of the error
			continue
		}
		n, se, sl, see, sel = n+1, se+o.errorBar, sl+o.openS, see+o.errorBar*o.errorBar, sel+o.errorBar*o.openS
	}
	gain := (n*sel - se*sl) / (n*see - se*se)
	if !(gain > 0) || math.IsInf(gain, 0) {
		gain = 0
	}
	if n == 0 {
		n, sl = 1, quantile(lengths, 0.5)
	}
	k.SPerBar, k.BaseS = analysis.Float(roundTo(gain, 0.01)), analysis.Float(roundTo(math.Max(0, (sl-gain*se)/n), 0.01))
	k.MinS, k.MaxS = analysis.Float(roundTo(math.Max(0.1, quantile(lengths, 0.02)), 0.1)), analysis.Float(roundTo(math.Max(0.1, quantile(lengths, 0.98)), 0.1))
}

// usualS is the median time between rows.
func (c *course) usualS() float64 {
	var d []float64
	for i := 1; i < len(c.tS); i++ {
		d = append(d, c.tS[i]-c.tS[i-1])
	}
	return quantile(d, 0.5)
}

// coarse is the controller where rows hold several openings, or part of one: what opened
// between two rows, as a share of the time, against the error before, put into pulses of
// the assumed interval: as pulses of one length, and as pulses that grow with the error.
func (c *course) coarse(unitBar []float64, p Params) []Controller {
	k := Controller{Kind: FixedPulse, IntervalS: analysis.Float(p.AssumedIntervalS), PulseS: analysis.Float(p.AssumedPulseS), BaseS: unknown, SPerBar: unknown, MinS: unknown, MaxS: unknown,
		Turns: "alternate", Basis: "too few rows to infer one: assumed"}
	var os []opening
	for i := 1; i < len(c.tS); i++ {
		e := c.setBar[i-1] - unitBar[i-1]
		if c.gapAfter[i-1] || !(e > 0.005) || !c.onLoop[i] { // half a step of usual rounding
			continue
		}
		sum := 0.0
		for v := range c.valves {
			sum += c.openS[v][i]
		}
		os = append(os, opening{c.tS[i-1], p.AssumedIntervalS * sum / (c.tS[i] - c.tS[i-1]), e})
	}
	if len(os) < 20 {
		return []Controller{k}
	}
	lengths := column(os, func(o opening) float64 { return o.openS })
	k.Basis = fmt.Sprintf("inferred from %d rows; they are %.0f s apart and hold several openings, or part of one: an interval of %g s is assumed", len(os), c.usualS(), p.AssumedIntervalS)
	fixed := k
	fixed.PulseS = analysis.Float(roundTo(math.Max(longOpen(os), 0.1), 0.1))
	k.proportional(os, lengths)
	k.MinS = scenario.RigStepS
	return []Controller{fixed, k}
}

// longOpen is the mean length of the openings at errors well above rounding.
func longOpen(os []opening) float64 {
	sum, n := 0.0, 0.0
	for _, o := range os {
		if o.errorBar > 0.02 {
			sum, n = sum+o.openS, n+1
		}
	}
	if n < 10 {
		return quantile(column(os, func(o opening) float64 { return o.openS }), 0.75)
	}
	return sum / n
}

// openings are the commanded openings of all valves in order of time.
func (c *course) openings() []injection.Opening {
	in := injection.Input{TimeS: c.tS, AmbientBar: c.dryBar, GapAfter: c.gapAfter}
	for v := range c.valves {
		in.Valves = append(in.Valves, injection.Valve{Number: c.valves[v], OpenS: c.openS[v]})
	}
	return injection.Openings(in, injection.DefaultParams())
}

// turns is together where most openings have one of another valve at the same time.
func (c *course) turns(os []injection.Opening) string {
	same := 0
	for i := 1; i < len(os); i++ {
		if os[i].Valve != os[i-1].Valve && os[i].FromS-os[i-1].FromS < 0.3 {
			same++
		}
	}
	if len(c.valves) > 1 && 2*same > len(os)*(len(c.valves)-1)/len(c.valves) {
		return "together"
	}
	return "alternate"
}

// interval is the time between two decisions: the least usual time between openings, but
// no less than the busiest two minutes show.
func interval(os []opening) float64 {
	var apart []float64
	busiest, from := 1, 0
	for i := 1; i < len(os); i++ {
		if d := os[i].fromS - os[i-1].fromS; d > 0.3 {
			apart = append(apart, d)
		}
		for os[i].fromS-os[from].fromS > busyS {
			from++
		}
		busiest = max(busiest, i-from)
	}
	return math.Max(quantile(apart, 0.1), busyS/float64(busiest))
}

// busyS is the length of the busiest stretch, s. Ours.
const busyS = 120

func column(os []opening, of func(opening) float64) []float64 {
	var out []float64
	for _, o := range os {
		if v := of(o); !math.IsNaN(v) {
			out = append(out, v)
		}
	}
	return out
}

// quantile of values in any order.
func quantile(v []float64, q float64) float64 {
	return fit.Quantile(slices.Sorted(slices.Values(v)), q)
}

func roundTo(v, step float64) float64 { return math.Round(math.Round(v/step)*step*1e6) / 1e6 }
