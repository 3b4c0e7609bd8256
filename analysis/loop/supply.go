package loop

import (
	"fmt"
	"math"
)

// supplyLost looks for a stretch in which no valve responds and PO2 falls as
// consumption asks. Two lines of evidence add up: the short response to the
// openings, and the balance of what was commanded against what PO2 did. Where a
// dead valve may starve the loop, the balance alone proves nothing; where the
// openings do not show elsewhere, nor does the response. doubt says which fall
// can't be told from one of harder work; it is empty where there is none.
func supplyLost(r Record, rs *response, w working, po2 []float64, starved bool, p Params) (lost []ValveFault, doubt string) {
	bal := newBalance(r, rs, w, po2, p)
	l, ok := findLoss(r, rs, w, &bal, p)
	if ok && (l.seen || (!starved && l.balOdds >= 1.4*p.LogOddsLikely)) {
		return []ValveFault{l.fault(r, rs.blur(p), p)}, ""
	}
	if ok && !starved {
		doubt = fmt.Sprintf("PO2 fell by %.2f bar from %.0f to %.0f s in spite of %d commanded openings, whose responses can't be told there: either nothing came, or more was used than they gave",
			l.fall, r.TimeS[l.from], r.TimeS[l.to], l.openings)
	}
	return nil, doubt
}

// loss is a stretch, rows from..to, in which the supply may have been gone.
type loss struct {
	from, to         int
	endS             float64 // NaN: to the end of the record
	odds, balOdds    float64 // ln; of both lines were work as usual, of the balance alone were it the hardest
	fall, fallS      float64 // bar, s
	openings         int
	value, low, high float64 // response to the openings, as a share of the usual
	seen             bool    // the short response speaks too
}

// findLoss is the likeliest loss, were work as usual, if PO2 fell in it as it
// must; balOdds then allow for the hardest work.
func findLoss(r Record, rs *response, w working, bal *balance, p Params) (l loss, ok bool) {
	all := func(int) bool { return true }
	sum := rs.odds(w, all)
	for i := range sum {
		sum[i] += bal.odds(i, bal.usual)
	}
	l.from, l.to, l.odds = best(sum)
	if l.odds < p.LogOddsLikely {
		return l, false
	}
	var bottom int
	l.from, bottom = bal.fall(l.from, l.to)
	l.from, l.to, l.endS = openEnds(r, all, sum, l.from, l.to, p)
	if bottom < l.to { // oxygen came again
		l.to, l.endS = bottom, r.TimeS[bottom]
	}
	l.fall, l.fallS = bal.still[l.from]-bal.still[l.to], math.Max(1, r.TimeS[l.to]-r.TimeS[l.from])
	for _, v := range r.Valves {
		l.openings += openingsIn(v, l.from, l.to)
	}
	l.value, l.low, l.high = rs.share(w, all, l.from, l.to)
	l.balOdds = -bal.held(l.from, l.to)
	l.seen = l.silence(1.25) && rs.shown(w, l.from, l.to, p)
	return l, l.openings >= p.MinOpenings && l.fall >= p.LossFallBar && l.fallS >= p.ShutS && l.fall/l.fallS >= p.LossShare*bal.usual &&
		bal.steady(l.from, l.to) && l.low < p.WorkingShare/2
}

// confidence is sure only where the openings would plainly have shown, or where
// both lines tell.
func (l loss) confidence(blur float64, p Params) string {
	plain := l.seen && l.high < p.WorkingShare && l.silence(math.Min(1.25*blur, 2))
	switch c := grade(l.odds, p, plain || l.seen && l.balOdds > p.LogOddsLikely/2); {
	case c == Possible && l.seen:
		return Likely
	default:
		return c
	}
}

// fault words the loss.
func (l loss) fault(r Record, blur float64, p Params) ValveFault {
	f := ValveFault{Kind: SupplyLost, FromS: r.TimeS[l.from], ToS: l.endS, Value: l.value, Low: l.low, High: l.high, Unit: shareUnit,
		Confidence: l.confidence(blur, p), LinesOfEvidence: 2,
		Evidence: []string{
			fmt.Sprintf("%d commanded openings of all valves were followed by %.0f %% of the usual response (95 %%: %.0f to %.0f)", l.openings, 100*l.value, 100*l.low, 100*l.high),
			fmt.Sprintf("PO2 fell by %.2f bar in %.0f s meanwhile, as consumption asks", l.fall, l.fallS)},
		Alternatives: []string{"the cylinder was shut or empty, or the line to all valves blocked", "all valves failed at once"}}
	if !l.seen {
		f.LinesOfEvidence, f.Evidence = 1, []string{fmt.Sprintf("PO2 fell by %.2f bar in %.0f s in spite of %d commanded openings, faster than work explains had they given oxygen; their own responses can't be told", l.fall, l.fallS, l.openings)}
		f.Alternatives = append(f.Alternatives, "more was used than the openings gave")
	}
	return f
}

// silence tells whether the share of a response is one of none, told from a full
// one: 1 and 0 lie apart by the 95 % half width times apart. One far below none
// tells of something else that moved PO2, not of openings.
func (l loss) silence(apart float64) bool {
	return l.high < 1 && l.value > -1 && (l.high-l.low)/2*apart < 1
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
	work    float64   // what the hardest work uses, bar/s
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
	b.work = p.FlushBarS
	return b
}

// odds is ln of the odds for "nothing came" against "it came" at row i: with
// oxygen PO2 should fall no faster than by what work may use less what was
// fed, without it by what is usually used at least; both within half of the
// usual. A unit whose openings are all it can give loses against hard work, so a
// fall alone is no proof: only one that no work explains.
func (b *balance) odds(i int, work float64) float64 {
	if i == 0 || b.hidden[i] || math.IsNaN(b.slope[i]) || !(b.fed[i] > 0.5*b.usual) {
		return 0
	}
	sd := b.usual / 2
	came := math.Min(0, b.slope[i]-(b.fed[i]-work))
	nothing := math.Max(0, b.slope[i]+b.usual)
	h := b.r.TimeS[i] - b.r.TimeS[i-1]
	return (surprise(came, sd) - surprise(nothing, sd)) * h / b.windowS
}

// held is the ln of the odds that oxygen came in rows from..to, against none.
func (b *balance) held(from, to int) float64 {
	s := 0.0
	for i := from; i <= to; i++ {
		s -= b.odds(i, b.work)
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
