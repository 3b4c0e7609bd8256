package whatif

import (
	"math"

	"afterloop/analysis/scenario"
)

// fitEvents finds, one after the other, the sizes of what was added by hand between two
// rows: that with which the loop has the estimate's PO2 some time later.
func (m *model) fitEvents(c *course, rig scenario.Rig, w walker, from, to int, use float64) {
	for k, e := range c.events {
		if e.atS < c.tS[from] || e.atS >= c.tS[to] {
			continue
		}
		seen := c.rowAt(math.Min(e.atS+m.p.EventSeenS, m.nextEvent(c, k)))
		if seen <= from {
			continue
		}
		m.shares[k] = m.eventShare(c, rig, w, k, seen, use)
	}
}

func (m *model) nextEvent(c *course, k int) float64 {
	if k+1 < len(c.events) {
		return c.events[k+1].atS
	}
	return math.Inf(1)
}

// eventShare bisects: PO2 rises with oxygen added and falls with diluent, or rises where
// the diluent is richer than the loop.
func (m *model) eventShare(c *course, rig scenario.Rig, w walker, k, seen int, use float64) float64 {
	po2 := make([]float64, seen+1)
	off := func(share float64) float64 {
		m.shares[k] = share
		m.drive(c, rig, w, seen, use, po2)
		return po2[seen] - m.estBar[seen]
	}
	low, high := 0.0, 4.0
	if !c.events[k].toAll {
		high = 0.5
	}
	atLow, atHigh := off(low), off(high)
	if math.Abs(atLow) < m.p.FitSDBar || (atLow < 0) == (atHigh < 0) {
		if math.Abs(atHigh) < math.Abs(atLow) && math.Abs(atLow) >= m.p.FitSDBar {
			return high
		}
		return 0
	}
	for range 14 {
		mid := (low + high) / 2
		if (off(mid) < 0) == (atLow < 0) {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
