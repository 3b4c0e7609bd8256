package scenario

import (
	"math"
	"math/rand/v2"
)

// sensor is one cell as it behaves, faults and all.
type sensor struct {
	spec    Cell
	faults  []Fault
	common  float64 // gain that all cells share, from a wrong calibration
	lagged  float64 // first-order response to the PO2 seen, bar
	walk    float64 // correlated noise
	jump    float64 // of an erratic cell
	reading float64
	noise   *rand.Rand
	walkRnd *rand.Rand
	jumpRnd *rand.Rand
	crossed float64 // time at which the reading first passed a ceiling, NaN if never
}

func newSensor(s Spec, k int, common, startBar float64) *sensor {
	c := &sensor{spec: s.Cells[k], common: common, lagged: startBar, crossed: math.NaN(),
		noise:   newRand(s.Seed, streamCell+stream(k)),
		walkRnd: newRand(s.Seed, streamWalk+stream(k)),
		jumpRnd: newRand(s.Seed, streamErratic+stream(k))}
	for _, f := range s.Faults {
		if f.onCell() && f.Cell == k+1 {
			c.faults = append(c.faults, f)
		}
	}
	return c
}

// respond advances the lag by one step towards the PO2 that the cell sees, which
// moved in a straight line from fromBar to toBar:
//
//	L(h) = p1 - s tau + (L0 - p0 + s tau) exp(-h/tau),   s = (p1 - p0)/h
func (c *sensor) respond(tS, fromBar, toBar float64) {
	tau := c.t90At(tS) / math.Ln10
	slope := (toBar - fromBar) / stepS
	c.lagged = toBar - slope*tau + (c.lagged-fromBar+slope*tau)*math.Exp(-stepS/tau)
	c.walk = ornstein(c.walk, c.spec.WanderBar, 20, c.walkRnd)
	c.shake(tS)
}

// t90At is the response time in force.
func (c *sensor) t90At(tS float64) float64 {
	for _, f := range c.faults {
		if f.Kind == Slow && f.at(tS) {
			return f.T90S
		}
	}
	return c.spec.T90S
}

// gainAt is the gain in force. A drift stays where it ended.
func (c *sensor) gainAt(tS, diveS float64) float64 {
	g := c.spec.Gain
	for _, f := range c.faults {
		switch {
		case f.Kind == Gain && f.at(tS):
			g = f.Gain
		case f.Kind == Drift && tS > f.FromS:
			end := math.Min(f.end(), diveS)
			g *= 1 + f.Change*math.Min(1, (tS-f.FromS)/(end-f.FromS))
		}
	}
	return g * c.common
}

// shake adds the jumps of an erratic cell: a shot noise whose jumps decay.
func (c *sensor) shake(tS float64) {
	for _, f := range c.faults {
		if f.Kind != Erratic {
			continue
		}
		if u, z := c.jumpRnd.Float64(), c.jumpRnd.NormFloat64(); f.at(tS) && u < f.RatePerS*stepS {
			c.jump += f.AmplitudeBar * z
		}
		c.jump *= math.Exp(-stepS / f.DecayS)
		if !f.at(tS) {
			c.jump = 0
		}
	}
}

// read takes a reading at tS, unrounded, and keeps it. Readings are never
// negative.
func (c *sensor) read(tS, diveS float64) float64 {
	noise := c.noise.NormFloat64() * c.spec.NoiseBar // drawn even if frozen
	if c.holds(tS) {
		return c.reading
	}
	y := c.bend(tS, c.gainAt(tS, diveS)*c.lagged) + noise + c.walk + c.jump
	c.reading = math.Max(0, y)
	return c.reading
}

// holds tells whether the cell is frozen at tS: it keeps the last reading that
// it gave.
func (c *sensor) holds(tS float64) bool {
	for _, f := range c.faults {
		if f.Kind == Frozen && f.at(tS) {
			return true
		}
	}
	return false
}

// bend applies a ceiling: above the knee the reading rises by Slope only.
func (c *sensor) bend(tS, y float64) float64 {
	for _, f := range c.faults {
		if f.Kind != Limited || !f.at(tS) {
			continue
		}
		knee := f.CeilingBar - f.SinkBarPerH*(tS-f.FromS)/3600
		if y <= knee {
			continue
		}
		if math.IsNaN(c.crossed) {
			c.crossed = tS
		}
		y = knee + f.Slope*(y-knee)
	}
	return y
}
