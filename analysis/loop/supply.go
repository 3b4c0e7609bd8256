package loop

import (
	"fmt"
	"math"
)

// supplyLost looks for a stretch in which no valve responds and PO2 falls as
// consumption asks. Two lines of evidence add up: the short response to the
// openings, and the balance of what was commanded against what PO2 did. Where a
// dead valve may starve the loop, the balance alone proves nothing.
func supplyLost(r Record, rs *response, w working, po2 []float64, starved bool, p Params) []ValveFault {
	all := func(int) bool { return true }
	resp := rs.odds(w, all)
	bal := newBalance(r, rs, w, po2, p)
	sum := make([]float64, len(resp))
	for i := range sum {
		sum[i] = resp[i] + bal.odds(i)
	}
	from, to, odds := best(sum)
	if odds < p.LogOddsLikely {
		return nil
	}
	from, bottom := bal.fall(from, to)
	from, to, end := openEnds(r, all, sum, from, to, p)
	if bottom < to { // oxygen came again
		to, end = bottom, r.TimeS[bottom]
	}
	fall, fallS := bal.still[from]-bal.still[to], math.Max(1, r.TimeS[to]-r.TimeS[from])
	balOdds, n := -bal.held(from, to), 0
	for _, v := range r.Valves {
		n += openingsIn(v, from, to)
	}
	value, low, high := rs.share(w, all, from, to)
	seen := high < 1 // the short response speaks too
	if n < p.MinOpenings || fall < p.LossFallBar || fallS < p.ShutS || fall/fallS < p.LossShare*bal.usual ||
		!(low < p.WorkingShare/2) || (!seen && (starved || balOdds < 1.4*p.LogOddsLikely)) || !bal.steady(from, to) {
		return nil
	}
	f := ValveFault{Kind: SupplyLost, FromS: r.TimeS[from], ToS: end, Value: value, Low: low, High: high, Unit: shareUnit,
		Confidence: grade(odds, p, balOdds > p.LogOddsLikely/2 && seen), LinesOfEvidence: 2,
		Evidence: []string{
			fmt.Sprintf("%d commanded openings of all valves were followed by %.0f %% of the usual response (95 %%: %.0f to %.0f)", n, 100*value, 100*low, 100*high),
			fmt.Sprintf("PO2 fell by %.2f bar in %.0f s meanwhile, as consumption asks", fall, fallS)},
		Alternatives: []string{"the cylinder was shut or empty, or the line to all valves blocked", "all valves failed at once"}}
	return []ValveFault{f}
}

// shareUnit is the unit of a response.
const shareUnit = "share of the usual response"

// balance holds what was commanded against what PO2 did, per row.
type balance struct {
	r       Record
	still   []float64 // PO2 less what depth did, bar
	slope   []float64 // of that over BalanceS, bar/s
	fed     []float64 // what the openings should have given over the same time, bar/s
	usual   float64   // middle of fed over the dive: what consumption took
	hidden  []bool
	windowS float64
}

func newBalance(r Record, rs *response, w working, po2 []float64, p Params) balance {
	dr := drives(r, po2, p)
	b := balance{r: r, windowS: math.Max(p.BalanceS, 3*r.UsualStepS())}
	b.still = subtractDepth(po2, dr, 1e-6, r)
	b.hidden = unjudged(r, b.still, p)
	b.slope = Slope(r.TimeS, b.still, b.windowS)
	sum := make([]float64, len(dr))
	for i := 1; i < len(dr); i++ {
		sum[i] = sum[i-1] + dr[i].valve*w.a*(1-p.overshootShare())
	}
	b.fed = Slope(r.TimeS, sum, b.windowS)
	var seen []float64
	for i, v := range b.fed {
		if !b.hidden[i] && v > 0 {
			seen = append(seen, v)
		}
	}
	b.usual = math.Max(p.ConsumeLowBarS, math.Min(p.ConsumeHighBarS, quantileInPlace(seen, 0.5)))
	if math.IsNaN(b.usual) {
		b.usual = p.ConsumeLowBarS
	}
	return b
}

// odds is ln of the odds for "nothing came" against "it came" at row i: with
// oxygen PO2 should move by what was fed less what is usually used, without it
// should fall by what is used; both within half of that, since work varies.
func (b *balance) odds(i int) float64 {
	if i == 0 || b.hidden[i] || math.IsNaN(b.slope[i]) || !(b.fed[i] > 0.5*b.usual) {
		return 0
	}
	sd := b.usual / 2
	came := math.Min(0, b.slope[i]-(b.fed[i]-b.usual))
	nothing := math.Max(0, b.slope[i]+b.usual)
	h := b.r.TimeS[i] - b.r.TimeS[i-1]
	return (surprise(came, sd) - surprise(nothing, sd)) * h / b.windowS
}

// held is the ln of the odds that oxygen came in rows from..to, against none.
func (b *balance) held(from, to int) float64 {
	s := 0.0
	for i := from; i <= to; i++ {
		s -= b.odds(i)
	}
	return s
}

// fall is the largest fall of PO2, less what depth did, within rows from..to:
// the rows of its top and bottom.
func (b *balance) fall(from, to int) (top, bottom int) {
	top, bottom = from, from
	high := from
	for i := from; i <= to; i++ {
		if b.still[i] >= b.still[high] {
			high = i
		}
		if b.still[high]-b.still[i] > b.still[top]-b.still[bottom] {
			top, bottom = high, i
		}
	}
	return top, bottom
}

// steady tells whether PO2 fell about as fast in both halves of the time from
// row from to row to, as consumption does; a flush that was not logged falls at once.
func (b *balance) steady(from, to int) bool {
	half := (b.r.TimeS[from] + b.r.TimeS[to]) / 2
	mid := from
	for mid < to && b.r.TimeS[mid] < half {
		mid++
	}
	first := (b.still[from] - b.still[mid]) / (b.still[from] - b.still[to])
	return first > 0.2 && first < 0.8
}
