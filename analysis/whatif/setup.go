package whatif

import (
	"math"
	"strings"
)

// setBar is the set point in force with the changes: each holds until the next of them.
func (r resolved) setBar(c *course) []float64 {
	out := append([]float64(nil), c.setBar...)
	for i, t := range c.tS {
		from := math.Inf(-1)
		for _, s := range r.setPoints {
			if t >= s.fromS && s.fromS >= from {
				from, out[i] = s.fromS, s.bar
			}
		}
	}
	return out
}

// changed is the controller with the changes.
func (c Changes) changed(k Controller) Controller {
	if c.Controller != "" && c.Controller != k.Kind {
		k = ofKind(c.Controller, k)
	}
	set := func(to *Float, v *float64) {
		if v != nil {
			*to, k.Basis = Float(*v), "with what was given; the rest "+strings.TrimPrefix(k.Basis, "with what was given; the rest ")
		}
	}
	set(&k.IntervalS, c.IntervalS)
	set(&k.PulseS, c.PulseS)
	set(&k.DeadbandBar, c.DeadbandBar)
	return k
}

// ofKind is a controller of another kind with the interval, the dead band and the turns of k.
func ofKind(kind string, k Controller) Controller {
	n := Controller{Kind: kind, IntervalS: k.IntervalS, DeadbandBar: k.DeadbandBar, Turns: k.Turns, PulseS: unknown, BaseS: unknown, SPerBar: unknown, MinS: unknown, MaxS: unknown,
		Basis: "given; interval, dead band and turns as inferred"}
	switch kind {
	case FixedPulse:
		n.PulseS = 1
		if k.BaseS.Known() {
			n.PulseS = Float(roundTo(math.Max(0.1, float64(k.BaseS)+0.05*float64(k.SPerBar)), 0.1))
		}
		n.Basis += "; the pulse is what the inferred controller gives at an error of 0.05 bar, or 1 s"
	case ProportionalPulse: // those of package scenario, ours
		n.BaseS, n.SPerBar, n.MinS, n.MaxS = 0.3, 12, 0.2, 4
		n.Basis += "; 0.3 s + 12 s/bar x error, 0.2 to 4 s, are assumed"
	}
	return n
}
