package cell

import (
	"math"

	"afterloop/analysis/loop"
)

// absoluteT90 is T90 by the ascents alone. There PO2 follows the ambient pressure
// at once, whatever the cells do; so a fit of
//
//	y = L(tau) p,  p of the loop equation (see [basis])
//
// to windows around ascents needs no other cell, and tells when all are slow. How
// oxygen mixes is not known: the mixing time with the least cost counts. It
// returns the windows that agree: which alone would put T90 on the same side of
// the limit, and how many there were.
func (d *dive) absoluteT90(v views, y []float64, noise float64) clock {
	c := clock{t90: unknown("no ascent to judge it by")}
	if len(d.AmbientBar) == 0 {
		return c
	}
	taus := coarse(v.taus)
	total := make([]float64, len(taus))
	for _, a := range d.ascents() {
		w := d.windowCosts(a, y, taus, noise)
		if w == nil {
			continue
		}
		c.windows++
		for t := range taus {
			total[t] += w[t]
		}
		quick, slow := d.bestSides(taus, w)
		switch {
		case quick-slow > 1:
			c.forSlow++
		case slow-quick > 1:
			c.forQuick++
		}
	}
	if c.windows > 0 {
		c.t90 = minimum(taus, total)
		c.quickCost, c.slowCost = d.bestSides(taus, total)
		c.margin = c.quickCost - c.slowCost
	}
	return c
}

// NotFollowing is what the ascents say where no lag explains the readings: PO2 follows
// the pressure at once, and these readings hardly move. Cells at their ceilings read so,
// all together, and very slow ones; which, the ascents do not tell.
type NotFollowing struct {
	Ascents    int     // windows that say so for themselves
	MarginNats float64 // by which a lag above SlowT90S is cheaper than a quick cell
	T90LowS    float64 // the least lag that would explain them, s
}

// unfollowed tells whether the ascents prove that the readings do not follow: as for
// [clock.saysSlow], but as plainly as what is sure, and with no end of the lag in sight.
func (c clock) unfollowed(p Params) bool {
	return c.forSlow >= 2 && 2*c.forSlow >= c.windows && c.forSlow >= 4*c.forQuick &&
		c.margin >= p.SureMargin && c.t90.Low > p.UnfollowedT90S && c.t90.High > p.ClockMostS
}

// flatTopped tells whether readings stand under a lid: hardly any reaches far above
// their median, as it would where PO2 itself was held there, rising in every descent.
func (d *dive) flatTopped(x []float64) bool {
	return loop.Quantile(x, 0.995)-loop.Quantile(x, 0.5) <= d.p.UnfollowedTop
}

// writtenLate tells by how many seconds PO2 would have to be written later than depth
// for quick cells to explain the ascents as well as slow ones do, which c says; 0 where
// up to LateMostS no such delay does. The log can't tell the two apart: a recorder's
// smoothing or a late column looks like a lag of all cells.
func (d *dive) writtenLate(c clock, v views, y []float64, noise float64) float64 {
	const tries = 2
	for k := 1; k <= tries; k++ {
		late := d.p.LateMostS * float64(k) / tries
		early := d.absoluteT90(v, d.advanced(y, late), noise)
		if early.windows == c.windows && early.quickCost <= c.slowCost+d.p.FaultPenalty {
			return late
		}
	}
	return 0
}

// advanced is y as it was a time byS later, between rows on a straight line.
func (d *dive) advanced(y []float64, byS float64) []float64 {
	out := make([]float64, len(y))
	j := 0
	for i, t := range d.TimeS {
		for j+1 < len(y) && d.TimeS[j+1] < t+byS {
			j++
		}
		if out[i] = math.NaN(); j+1 < len(y) {
			w := (t + byS - d.TimeS[j]) / (d.TimeS[j+1] - d.TimeS[j])
			out[i] = y[j] + w*(y[j+1]-y[j])
		}
	}
	return out
}

// clock is an absolute T90 and how many windows say slow and quick for themselves.
type clock struct {
	t90                        Interval
	windows, forSlow, forQuick int
	quickCost, slowCost        float64 // nats, over all windows
	margin                     float64 // nats by which slow is cheaper
	lateS                      float64 // see writtenLate
}

// saysSlow tells whether the ascents prove it: T90's interval lies above the limit,
// half of the windows at least say so for themselves, hardly any the contrary.
func (c clock) saysSlow(p Params) bool {
	return c.forSlow >= 2 && 2*c.forSlow >= c.windows && c.forSlow >= 4*c.forQuick &&
		c.margin >= p.FaultPenalty && c.t90.Low > p.SlowT90S && c.t90.High <= p.ClockMostS
}

// bestSides are the least costs with a quick and with a slow cell.
func (d *dive) bestSides(taus, cost []float64) (quick, slow float64) {
	quick, slow = math.Inf(1), math.Inf(1)
	for t, tau := range taus {
		if tau*math.Ln10 <= d.p.SlowT90S {
			quick = math.Min(quick, cost[t])
		} else {
			slow = math.Min(slow, cost[t])
		}
	}
	return quick, slow
}

// coarse is every second time constant of a grid.
func coarse(taus []float64) []float64 {
	var out []float64
	for i := 0; i < len(taus); i += 2 {
		out = append(out, taus[i])
	}
	return out
}

// ascent is a window of rows from..to around the start or the end of an ascent; rows
// from warm on only start the filters.
type ascent struct{ warm, from, to int }

// ascents lists the windows: from 60 s before a start to 90 s after the end; a
// long ascent gives one at each end.
func (d *dive) ascents() []ascent {
	const warmS, beforeS, afterS, longS, leastM = 100, 60, 90, 180, 1.5
	var out []ascent
	add := func(from, to float64) {
		a := ascent{d.rowAt(from - warmS), d.rowAt(from), d.rowAt(to)}
		if a.to-a.from >= 12 && d.unbroken(a.warm, a.to) {
			out = append(out, a)
		}
	}
	for _, ph := range loop.Phases(d.Record, 30, 3) {
		s, e := d.TimeS[ph.From], d.TimeS[ph.To]
		switch {
		case ph.Kind != loop.Ascent || d.DepthM[ph.From]-d.DepthM[ph.To] < leastM:
		case e <= s+longS:
			add(s-beforeS, e+afterS)
		default:
			add(s-beforeS, s+longS)
			add(e-afterS, e+afterS)
		}
	}
	return out
}

// unbroken tells whether rows from..to are usable and without a gap.
func (d *dive) unbroken(from, to int) bool {
	for i := from; i <= to; i++ {
		if !d.Usable(i) || (i < to && d.Gap(i)) || math.IsNaN(d.AmbientBar[i]) {
			return false
		}
	}
	return true
}

// rowAt is the first row at or after t, or the last row.
func (d *dive) rowAt(t float64) int {
	lo, hi := 0, len(d.TimeS)-1
	for lo < hi {
		if m := (lo + hi) / 2; d.TimeS[m] < t {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return lo
}

// windowCosts is the cost of one window at each time constant, with the best
// mixing time; nil where pressure moves too little or readings are missing. The
// scale of a residual is at least that of the window's best fit: where the loop
// model fits badly at every time constant, the window says little.
func (d *dive) windowCosts(a ascent, y, taus []float64, noise float64) []float64 {
	const leastMove, rowsPerColumn = 0.04, 6
	b := d.newBasis(a, y)
	y, skip := y[a.warm:a.to+1], a.from-a.warm
	if b.moved() < leastMove || present(y[skip:]) < rowsPerColumn*(len(b.free)+len(d.Valves)) {
		return nil
	}
	best := make([][]float64, len(taus))
	floor := math.Inf(1)
	for t, tau := range taus {
		least := math.Inf(1)
		free := b.filtered(b.free, tau)
		for _, mix := range mixings {
			cols := free
			for _, in := range b.inflow[mix] {
				cols = append(cols, loop.LowPass(nil, b.timeS, in, tau, nil))
			}
			if r, ms := residuals(cols, y, skip); ms < least {
				best[t], least = r, ms
			}
		}
		floor = math.Min(floor, least)
	}
	if floor > sq(d.p.AscentPoorBar) {
		return nil
	}
	span := b.timeS[len(b.timeS)-1] - b.timeS[skip]
	w := math.Min(1, 3*span/float64(len(best[0]))/d.p.CorrelationS)
	s := math.Sqrt(sq(noise) + sq(d.p.AscentModelBar) + floor)
	cost := make([]float64, len(taus))
	for t, r := range best {
		for _, v := range r {
			cost[t] += w * (d.p.FreedomNu + 1) / 2 * math.Log1p(sq(v/s)/d.p.FreedomNu)
		}
	}
	return cost
}

// residuals are those of the least-squares fit of y by the columns from row skip
// on, and their mean square; missing readings are left out.
func residuals(cols [][]float64, y []float64, skip int) ([]float64, float64) {
	n := newNormal(len(cols))
	row := make([]float64, len(cols))
	for i := skip; i < len(y); i++ {
		if !math.IsNaN(y[i]) {
			n.add(at(row, cols, i), y[i], 1)
		}
	}
	co := n.solve()
	out := make([]float64, 0, len(y)-skip)
	sum := 0.0
	for i := skip; i < len(y); i++ {
		if r := y[i] - dot(co, at(row, cols, i)); !math.IsNaN(r) {
			out, sum = append(out, r), sum+r*r
		}
	}
	return out, sum / float64(len(out))
}

func present(y []float64) int {
	n := 0
	for _, v := range y {
		if !math.IsNaN(v) {
			n++
		}
	}
	return n
}

// at copies row i of the columns into row.
func at(row []float64, cols [][]float64, i int) []float64 {
	for c := range cols {
		row[c] = cols[c][i]
	}
	return row
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
