package report

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"math"
	"strings"
)

// All samples of a log travel inside its page. A column becomes integers (its
// values times ten to its decimals), the integers become differences from a
// forecast, the differences bytes, and the bytes are deflated. The page unpacks
// them with what browsers have built in (DecompressionStream, deflate-raw),
// which works from a file.
//
//	code = 0                       not recorded
//	code = zigzag(n - forecast)+1  else; zigzag(r) = 2r or -2r-1
//
// Codes are written with seven bits to the byte, low ones first, the eighth bit
// set where more follow. A value that is not recorded leaves the forecast as it
// was.

// forecast says how the next integer of a column is foretold.
type forecast struct {
	// Order 0 foretells 0, 1 the value before, 2 the line through the two before.
	Order int `json:"order"`
	// Like, from 0, foretells what that earlier column holds in the same row; -1
	// for none. The order is 0 then.
	Like int `json:"like"`
}

// packedColumn describes one column to the page.
type packedColumn struct {
	ID       string `json:"id"`
	Decimals int    `json:"decimals"`
	// Wide is true where the integers need more than 32 bits.
	Wide bool `json:"wide"`
	forecast
	// Length is how many characters of the text are this column's.
	Length int `json:"length"`
}

// samples packs columns one after the other.
type samples struct {
	Columns []packedColumn
	text    strings.Builder
	whole   [][]int64 // the integers of earlier columns, to foretell others by
	spare   []int64   // those of a column that foretells none, to be used again
	coded   []byte    // the same of the codes
	rows    int
	deflate *flate.Writer
}

// missing stands for "not recorded" among the integers.
const missing = math.MinInt64

// widest is the largest integer that the page's numbers hold exactly, with room
// for a difference of three.
const widest = 1 << 50

// add packs v with at most the given decimals: fewer where fewer say the same.
func (s *samples) add(id string, v []float64, mostDecimals int) {
	if len(v) != s.rows {
		panic("report: series of unequal length")
	}
	decimals := decimalsOf(v, mostDecimals)
	n := s.integers(v, decimals)
	c := packedColumn{ID: id, Decimals: decimals, Wide: wide(n), forecast: s.bestForecast(n, decimals)}
	text := base64.StdEncoding.EncodeToString(s.deflated(s.codes(n, c.forecast, 0, len(n))))
	c.Length = len(text)
	s.text.WriteString(text)
	s.Columns = append(s.Columns, c)
	if decimals == 0 { // see bestForecast
		n, s.spare = nil, n
	}
	s.whole = append(s.whole, n)
}

// decimalsOf is the least number of decimals, up to most, that holds every value.
func decimalsOf(v []float64, most int) int {
	d := 0
	for _, x := range v {
		for d < most && math.Abs(x*pow10[d]-math.Round(x*pow10[d])) > 1e-5 {
			d++
		}
	}
	return d
}

func (s *samples) integers(v []float64, decimals int) []int64 {
	n := s.spare
	if s.spare = nil; n == nil {
		n = make([]int64, len(v))
	}
	for i, x := range v {
		y := math.Round(x * pow10[decimals])
		if math.Abs(y) < widest {
			n[i] = int64(y)
		} else {
			n[i] = missing // NaN, infinite, or no figure of any instrument
		}
	}
	return n
}

func wide(n []int64) bool {
	for _, x := range n {
		if x != missing && (x >= math.MaxInt32 || x <= math.MinInt32) {
			return true
		}
	}
	return false
}

// bestForecast tries the orders and the earlier columns of the same decimals on
// parts of the column, and keeps the one that leaves least to write.
func (s *samples) bestForecast(n []int64, decimals int) forecast {
	best, least := forecast{1, -1}, math.Inf(1)
	try := func(f forecast) {
		if b := s.bits(n, f); b < least {
			best, least = f, b
		}
	}
	try(forecast{1, -1})
	try(forecast{2, -1})
	for k := range s.Columns {
		if s.Columns[k].Decimals == decimals && decimals > 0 {
			try(forecast{0, k})
		}
	}
	return best
}

// bits is about how much the codes of some stretches of the column would take:
// their entropy, byte by byte.
func (s *samples) bits(n []int64, f forecast) float64 {
	const stretches, rows = 4, 256
	var seen [256]float64
	total := 0.0
	for k := 0; k < stretches; k++ {
		lo := k * len(n) / stretches
		for _, b := range s.codes(n, f, lo, min(lo+rows, (k+1)*len(n)/stretches)) {
			seen[b]++
			total++
		}
	}
	sum := 0.0
	for _, c := range seen {
		if c > 0 {
			sum -= c * math.Log2(c/total)
		}
	}
	return sum
}

// codes are the bytes of rows lo to hi; the next call writes over them.
func (s *samples) codes(n []int64, f forecast, lo, hi int) []byte {
	out := s.coded[:0]
	var before, step, like int64
	for i := lo; i < hi; i++ {
		guess := int64(0)
		switch {
		case f.Like >= 0:
			if x := s.whole[f.Like][i]; x != missing {
				like = x
			}
			guess = like
		case f.Order == 1:
			guess = before
		case f.Order == 2:
			guess = before + step
		}
		if n[i] == missing {
			out = append(out, 0)
			continue
		}
		out = appendCode(out, n[i]-guess)
		before, step = n[i], n[i]-before
	}
	s.coded = out
	return out
}

func appendCode(b []byte, r int64) []byte {
	u := uint64(r) << 1
	if r < 0 {
		u = ^u
	}
	for u++; u >= 0x80; u >>= 7 {
		b = append(b, byte(u)|0x80)
	}
	return append(b, byte(u))
}

// deflateLevel is one below the default: a fifth faster for a thousandth more.
const deflateLevel = 5

// deflated is raw deflate (RFC 1951).
func (s *samples) deflated(b []byte) []byte {
	var out bytes.Buffer
	if s.deflate == nil {
		w, err := flate.NewWriter(&out, deflateLevel)
		if err != nil {
			panic("report: deflate") // the level is a constant
		}
		s.deflate = w
	} else {
		s.deflate.Reset(&out)
	}
	s.deflate.Write(b) //nolint:errcheck // a bytes.Buffer takes all
	s.deflate.Close()  //nolint:errcheck
	return out.Bytes()
}
