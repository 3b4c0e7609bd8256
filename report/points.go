package report

import (
	"encoding/json"
	"math"
	"strconv"
)

// point is one drawn sample; a NaN value breaks the line.
type point struct{ tS, v float64 }

// points is a drawn series that is no column of the log. Its JSON form is that
// of a chart's data: pairs of time and value, null where the line breaks. A sample that stands alone
// between two breaks would leave no line, so it carries a symbol of its own.
type points struct {
	data     []point
	decimals int    // of the value
	symbol   string // of samples that stand alone; a small dot if empty
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
	whole := n / int64(scale)
	frac := uint32(n - whole*int64(scale))
	b = strconv.AppendInt(b, whole, 10)
	if frac == 0 {
		return b
	}
	for frac%10 == 0 { // no zeros at the end; a constant divisor is a multiplication
		frac /= 10
		decimals--
	}
	at := len(b) + decimals
	b = append(b, ".000000"[:decimals+1]...)
	for ; frac > 0; frac /= 10 {
		b[at] = byte('0' + frac%10)
		at--
	}
	return b
}

var pow10 = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6}
