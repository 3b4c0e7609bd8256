package analysis

import (
	"math"
	"sort"

	"afterloop/ingest"
)

// carrier takes the series of the second log to the rows of the joined one.
type carrier struct {
	tA  []float64 // its rows, by the first log's clock
	gap []bool
	// For each joined row: the second log's row at or before it (-1 for none), how far
	// on the way to the next, and whether both belong to one stretch.
	before []int
	part   []float64
	inside []bool
}

func newCarrier(tS []float64, d *ingest.Dive, toA func(float64) float64) *carrier {
	n := len(tS)
	c := &carrier{tA: make([]float64, d.Rows()), gap: d.GapAfter(), before: make([]int, n), part: make([]float64, n), inside: make([]bool, n)}
	for k, t := range d.TimeS {
		c.tA[k] = math.Round(toA(t)*1000) / 1000
	}
	last := len(c.tA) - 1
	k := -1
	for i, t := range tS {
		for k < last && c.tA[k+1] <= t {
			k++
		}
		c.before[i] = k
		switch {
		case k < 0:
		case t == c.tA[k]:
			c.inside[i] = true
		case k < last && !c.gap[k]:
			c.inside[i], c.part[i] = true, (t-c.tA[k])/(c.tA[k+1]-c.tA[k])
		}
	}
	return c
}

// nearest is the row of the second log nearest to joined row i, -1 where it recorded nothing.
func (c *carrier) nearest(i int) int {
	switch {
	case !c.inside[i]:
		return -1
	case c.part[i] > 0.5:
		return c.before[i] + 1
	}
	return c.before[i]
}

// line is a series on the joined rows: linear between the rows around; where
// these differ by more than jump, or apart says so, the nearer one as read.
func (c *carrier) line(x []float64, jump float64, apart []bool) []float64 {
	if x == nil {
		return nil
	}
	out := make([]float64, len(c.before))
	for i := range out {
		k := c.before[i]
		switch near := c.nearest(i); {
		case near < 0:
			out[i] = math.NaN()
		case c.part[i] == 0:
			out[i] = x[k]
		case math.Abs(x[k+1]-x[k]) > jump || apart != nil && (apart[k] || apart[k+1]):
			out[i] = x[near]
		default:
			out[i] = x[k] + (x[k+1]-x[k])*c.part[i]
		}
	}
	return out
}

// plain is line for quantities of which every change is one.
func (c *carrier) plain(x []float64) []float64 { return c.line(x, math.Inf(1), nil) }

// carried is any series of words or marks, from the nearest row.
func carried[T any](c *carrier, x []T) []T {
	if x == nil {
		return nil
	}
	out := make([]T, len(c.before))
	for i := range out {
		if k := c.nearest(i); k >= 0 {
			out[i] = x[k]
		}
	}
	return out
}

// amounts puts what was counted since the row before on the joined rows, so that
// no row gets more seconds than it lasts where others have room. most is what a
// row can hold, or nil.
func (c *carrier) amounts(tS, x, most []float64) []float64 {
	if x == nil {
		return nil
	}
	out := make([]float64, len(c.before))
	for i := range out {
		if out[i] = math.NaN(); c.inside[i] {
			out[i] = 0
		}
	}
	put := func(i int, v float64) float64 {
		if i < 0 || i >= len(out) || v <= 0 {
			return v
		}
		room := v
		if most != nil {
			room = math.Min(v, math.Max(0, most[i]-orZero(out[i])))
		}
		if room > 0 {
			out[i] = orZero(out[i]) + room
		}
		return v - room
	}
	for k, v := range x {
		i := min(sort.SearchFloat64s(tS, c.tA[k]-1e-6), len(out)-1)
		if math.IsNaN(v) {
			continue
		}
		if math.IsNaN(out[i]) {
			out[i] = 0
		}
		for _, to := range []int{i, i - 1, i + 1} {
			v = put(to, v)
		}
		if v > 0 { // no room beside it either: what was recorded is kept
			out[i] += v
		}
	}
	return out
}

func orZero(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}

// joinedRow is a row of the joined dive: row of the first log, or of the second.
type joinedRow struct {
	tS            float64
	first, second int // -1 where the row is not of that log
}

// joinRows lists the rows of the first log, and those of the second that fall
// where the first recorded nothing, half an interval from its rows.
func joinRows(a, b *ingest.Dive, toA func(float64) float64) []joinedRow {
	guard := 0.5 * math.Min(usualOr(a, 1), usualOr(b, 1))
	gap := a.GapAfter()
	var out []joinedRow
	k := 0
	fill := func(fromS, toS float64) {
		for ; k < b.Rows(); k++ {
			t := math.Round(toA(b.TimeS[k])*1000) / 1000
			if t >= toS-guard {
				return
			}
			if t > fromS+guard && (len(out) == 0 || t > out[len(out)-1].tS) {
				out = append(out, joinedRow{t, -1, k})
			}
		}
	}
	fill(math.Inf(-1), a.TimeS[0])
	for i, t := range a.TimeS {
		out = append(out, joinedRow{t, i, -1})
		switch {
		case i+1 == a.Rows():
			fill(t, math.Inf(1))
		case gap[i]:
			fill(t, a.TimeS[i+1])
		}
	}
	return out
}

func usualOr(d *ingest.Dive, s float64) float64 {
	if u := d.UsualIntervalS(); u > 0 {
		return u
	}
	return s
}
