package scenario

import "math"

// The kinds of fault that a Spec may hold.
const (
	Slow      = "slow"       // T90S instead of the cell's own, from FromS
	Limited   = "limited"    // reading bends at CeilingBar, slope Slope above it, ceiling sinks by SinkBarPerH
	Gain      = "gain"       // gain is Gain instead of the cell's own, from FromS
	Drift     = "drift"      // gain changes by Change, in a straight line from FromS to ToS
	Frozen    = "frozen"     // reading stands still from FromS to ToS
	Erratic   = "erratic"    // jumps of sd AmplitudeBar at RatePerS that decay with DecayS
	ValveDead = "valve-dead" // commanded, gives nothing
	ValveLeak = "valve-leak" // RateLMin flows although shut
	OxygenOff = "oxygen-off" // no valve gives, nor leaks
)

// Fault is one thing that is wrong. ToS 0 means until the end of the dive.
type Fault struct {
	Kind  string  `json:"kind"`
	Cell  int     `json:"cell,omitempty"`  // from 1
	Valve int     `json:"valve,omitempty"` // from 1; a leak may leave it out
	FromS float64 `json:"from_s"`
	ToS   float64 `json:"to_s,omitempty"`

	T90S         float64 `json:"t90_s,omitempty"`
	CeilingBar   float64 `json:"ceiling_bar,omitempty"`    // the knee, as a reading
	Slope        float64 `json:"slope,omitempty"`          // above the knee, 0 to 0.5
	SinkBarPerH  float64 `json:"sink_bar_per_h,omitempty"` // positive: the knee sinks
	Gain         float64 `json:"gain,omitempty"`
	Change       float64 `json:"change,omitempty"` // of gain, relative
	AmplitudeBar float64 `json:"amplitude_bar,omitempty"`
	RatePerS     float64 `json:"rate_per_s,omitempty"`
	DecayS       float64 `json:"decay_s,omitempty"`
	RateLMin     float64 `json:"rate_l_min,omitempty"` // STPD
}

// end is when the fault ends, the last moment of the dive where it does not.
func (f Fault) end() float64 {
	if f.ToS == 0 {
		return math.Inf(1)
	}
	return f.ToS
}

// at tells whether the fault is there at time t: FromS <= t < end.
func (f Fault) at(tS float64) bool { return tS >= f.FromS && tS < f.end() }

// onCell tells whether the fault is of a cell.
func (f Fault) onCell() bool {
	switch f.Kind {
	case Slow, Limited, Gain, Drift, Frozen, Erratic:
		return true
	}
	return false
}

// check reports what is wrong with a fault of a unit with so many cells and valves.
func (f Fault) check(p *problems, path string, cells, valves int) {
	p.oneOf(path+".kind", f.Kind, Slow, Limited, Gain, Drift, Frozen, Erratic, ValveDead, ValveLeak, OxygenOff)
	p.notNegative(path+".from_s", f.FromS)
	if f.ToS != 0 && !(f.ToS > f.FromS) {
		p.add(path+".to_s", f.ToS, "0 (to the end) or later than from_s")
	}
	if f.onCell() {
		p.between(path+".cell", float64(f.Cell), 1, float64(cells))
	}
	switch f.Kind {
	case Slow:
		p.between(path+".t90_s", f.T90S, 0.5, 600)
	case Limited:
		p.between(path+".ceiling_bar", f.CeilingBar, 0.1, 4)
		p.between(path+".slope", f.Slope, 0, 0.5)
		p.between(path+".sink_bar_per_h", f.SinkBarPerH, -1, 1)
	case Gain:
		p.between(path+".gain", f.Gain, 0.2, 3)
	case Drift:
		p.between(path+".change", f.Change, -0.8, 2)
	case Erratic:
		p.between(path+".amplitude_bar", f.AmplitudeBar, 0.001, 5)
		p.between(path+".rate_per_s", f.RatePerS, 0.001, 5)
		p.between(path+".decay_s", f.DecayS, 0.1, 600)
	case ValveDead:
		p.between(path+".valve", float64(f.Valve), 1, float64(valves))
	case ValveLeak:
		p.between(path+".rate_l_min", f.RateLMin, 0.01, 100)
	}
}
