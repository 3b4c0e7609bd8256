package cell

import (
	"fmt"
	"math"
)

// undecided is why a ceiling is not believed.
func (p passage) undecided() string {
	switch {
	case p.beyondS > 0:
		return fmt.Sprintf("the higher one reads more than the pressure of the gas for %.0f s, so that the lower one need not have a ceiling", p.beyondS)
	case p.count == 0:
		return "they part while both stand, never while PO2 is seen to pass from below to above: a ceiling of the lower one and an offset of the higher one explain it alike"
	}
	return "a ceiling of the lower one and an offset of the higher one that comes and goes explain it alike"
}

// passage sums up the times above a knee.
type passage struct {
	fromS  float64 // first time PO2 passes the knee
	aboveS float64 // time at least CeilingExcessBar above it
	count  int     // times it passed in one go, see [dive.passedInOneGo]
	topBar float64
	// beyondS is the time above it in which the others read more than the dry gas can
	// hold, by more than a gain may be off: their word is then worth nothing.
	beyondS float64
}

func (d *dive) passages(q *pair, f fit) passage {
	p := passage{fromS: math.NaN()}
	x := q.x[q.quick]
	for k, w := range q.weight {
		if w == 0 {
			continue
		}
		b := knee(f.kneeBar, f.sinkPerS, q.timeS[k]-q.timeS[0])
		p.topBar = math.Max(p.topBar, x[k])
		if x[k] > b && math.IsNaN(p.fromS) {
			p.fromS = d.crossed(q, k, b)
		}
		if x[k] > b+d.p.CeilingExcessBar {
			p.aboveS += d.blocks[k].lengthS
			if i := d.blocks[k].from; x[k] > (1+d.p.GainOff)*(d.AmbientBar[i]-d.VapourLowBar) {
				p.beyondS += d.blocks[k].lengthS
			}
		}
	}
	p.count = d.passedInOneGo(q, f, 1) + d.passedInOneGo(q, f, -1)
	return p
}

// passedInOneGo counts the passages of the knee, upwards (1) or downwards (-1, the
// record read backwards), that tell of a ceiling: PO2 comes from
// CeilingExcessBar below to as much above without a rest, the cell comes along up to the
// knee, and PO2 stays above for CorrelationS. Where both stand for minutes at
// what is then called the knee, and one leaves, it was never seen that the other followed.
func (d *dive) passedInOneGo(q *pair, f fit, dir int) int {
	const slackS, slower = 30, 3
	x, n, e := q.x[f.tau], len(q.weight), d.p.CeilingExcessBar
	count, below, at, above := 0, -1, -1, -1 // blocks: last far below, last below, first far above
	first := 0
	if dir < 0 {
		first = n - 1
	}
	for k := first; k >= 0 && k < n; k += dir {
		b := knee(f.kneeBar, f.sinkPerS, q.timeS[k]-q.timeS[0])
		switch {
		case q.weight[k] == 0:
			continue
		case x[k] < b-e:
			below, at, above = k, k, -1
		case x[k] <= b && above < 0:
			at = k
		case x[k] > b+e && below >= 0:
			if above < 0 {
				above = k
			}
			if math.Abs(q.timeS[k]-q.timeS[above]) < d.p.CorrelationS {
				continue
			}
			up, on := math.Abs(q.timeS[at]-q.timeS[below]), math.Abs(q.timeS[above]-q.timeS[at])
			if up <= slower*on+slackS && q.y[at]-q.y[below] >= 0.5*f.gain*(x[at]-x[below]) {
				count++
			}
			below = -1
		}
	}
	return count
}

// crossed is when the reference rose through b before block k.
func (d *dive) crossed(q *pair, k int, b float64) float64 {
	x := q.x[q.quick]
	if k == 0 || q.weight[k-1] == 0 || x[k-1] >= b {
		return d.TimeS[d.blocks[k].from]
	}
	lag := q.taus[q.quick] // the reference is behind its own filter and the quick one
	return q.timeS[k-1] + (b-x[k-1])/(x[k]-x[k-1])*(q.timeS[k]-q.timeS[k-1]) - 2*lag
}
