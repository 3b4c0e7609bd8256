package report

import (
	"encoding/json"
	"math"
	"strconv"
)

// point is one drawn sample; a NaN value breaks the line.
type point struct{ tS, v float64 }

// points is a drawn series. Its JSON form is that of a chart's data: pairs of
// time and value, null where the line breaks. A sample that stands alone
// between two breaks would leave no line, so it carries a symbol of its own.
type points struct {
	data     []point
	decimals int    // of the value
	symbol   string // of samples that stand alone; a small dot if empty
}

// thin returns the samples to draw. The rows are cut into buckets of bucketRows
// (1 keeps all rows), and each bucket keeps its lowest and its highest sample at
// their own times, so that an excursion of one sample stays visible. Breaks (a
// gap in the record, or a value that is not known) are kept.
//
// A sample inside a run of equal values is left out: the line through its
// neighbours is the same line.
func thin(tS, v []float64, gapAfter []bool, bucketRows int) []point {
	if len(v) != len(tS) {
		panic("report: series of unequal length")
	}
	out := make([]point, 0, min(len(v), 2*(len(v)/max(bucketRows, 1)+1)))
	last := -1
	for lo := 0; lo < len(v); lo += bucketRows {
		a, b := extremes(v, lo, min(lo+bucketRows, len(v)))
		for _, i := range [...]int{a, b} {
			if i < 0 || i == last {
				continue
			}
			if last >= 0 && broken(v, gapAfter, last, i) {
				out = append(out, point{tS[last], math.NaN()})
			}
			out = appendPoint(out, point{tS[i], v[i]})
			last = i
		}
	}
	return out
}

// stems returns one upright stroke per bucket that has a value above 0, as tall
// as the largest one in it.
func stems(tS, v []float64, bucketRows int) []point {
	var out []point
	for lo := 0; lo < len(v); lo += bucketRows {
		top := -1
		for i := lo; i < min(lo+bucketRows, len(v)); i++ {
			if v[i] > 0 && (top < 0 || v[i] > v[top]) {
				top = i
			}
		}
		if top >= 0 {
			out = append(out, point{tS[top], 0}, point{tS[top], v[top]}, point{tS[top], math.NaN()})
		}
	}
	return out
}

// extremes returns the rows of the lowest and the highest known value in
// [lo, hi), in order of time; both -1 where nothing is known.
func extremes(v []float64, lo, hi int) (int, int) {
	low, high := -1, -1
	for i := lo; i < hi; i++ {
		if math.IsNaN(v[i]) || math.IsInf(v[i], 0) {
			continue
		}
		if low < 0 || v[i] < v[low] {
			low = i
		}
		if high < 0 || v[i] > v[high] {
			high = i
		}
	}
	return min(low, high), max(low, high)
}

// broken tells whether the line may not be drawn from row a to row b.
func broken(v []float64, gapAfter []bool, a, b int) bool {
	for i := a; i < b; i++ {
		if gapAfter != nil && gapAfter[i] || math.IsNaN(v[i+1]) || math.IsInf(v[i+1], 0) {
			return true
		}
	}
	return false
}

// appendPoint adds p, or moves the end of a run of equal values to p.
func appendPoint(out []point, p point) []point {
	if n := len(out); n >= 2 && out[n-1].v == p.v && out[n-2].v == p.v {
		out[n-1].tS = p.tS
		return out
	}
	return append(out, p)
}

// alone tells whether point i has no neighbour to be joined with.
func (p points) alone(i int) bool {
	d := p.data
	return !math.IsNaN(d[i].v) &&
		(i == 0 || math.IsNaN(d[i-1].v)) && (i == len(d)-1 || math.IsNaN(d[i+1].v))
}

// mark ends the JSON of a sample that stands alone.
func (p points) mark() string {
	if p.symbol != "" {
		return `,"symbol":"` + p.symbol + `","symbolSize":9}`
	}
	return `,"symbol":"circle","symbolSize":4}`
}

// MarshalJSON writes the pairs.
func (p points) MarshalJSON() ([]byte, error) {
	b := make([]byte, 0, 16*len(p.data)+2)
	b = append(b, '[')
	for i, q := range p.data {
		if i > 0 {
			b = append(b, ',')
		}
		lone := p.alone(i)
		if lone {
			b = append(b, `{"value":`...)
		}
		b = append(b, '[')
		b = appendFixed(b, q.tS, 3)
		b = append(b, ',')
		if math.IsNaN(q.v) {
			b = append(b, "null"...)
		} else {
			b = appendFixed(b, q.v, p.decimals)
		}
		b = append(b, ']')
		if lone {
			b = append(b, p.mark()...)
		}
	}
	return append(b, ']'), nil
}

var _ json.Marshaler = points{}

// appendFixed writes v with at most the given decimals and no idle zeros. It
// rounds by way of an integer: strconv's fixed form is several times slower,
// and a series of 432,000 rows has some ten million fields.
func appendFixed(b []byte, v float64, decimals int) []byte {
	scale := pow10[decimals]
	if math.Abs(v) >= 9e15/scale {
		return strconv.AppendFloat(b, v, 'f', -1, 64)
	}
	n := int64(math.Round(v * scale))
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	whole, frac := n/int64(scale), n%int64(scale)
	b = strconv.AppendInt(b, whole, 10)
	if frac == 0 {
		return b
	}
	b = append(b, '.')
	for s := int64(scale) / 10; s > 0 && frac > 0; s /= 10 {
		b = append(b, byte('0'+frac/s))
		frac %= s
	}
	return b
}

var pow10 = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6}
