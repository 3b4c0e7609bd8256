package ingest

import (
	"math"
	"strconv"
)

// exactDigits is the number of decimal digits that always fit into a float64's
// 53 bits; with a power of ten up to 1e22, which is exact too, one division
// rounds correctly (Clinger 1990, "How to read floating point numbers accurately").
const exactDigits = 15

var powersOfTen = [exactDigits + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// parseDecimal reads a plain decimal: a sign or none, digits with at most one
// point, an exponent or none. It takes no NaN, Inf, hexadecimal number, digit
// separator or comma. Spaces and tabs at the ends are let pass. decimals is the
// number of digits after the point, less the exponent.
//
// It exists beside strconv because strconv takes the forms above, says nothing
// of the decimals, and costs three times as much for the short numbers of a log.
func parseDecimal(b []byte) (v float64, decimals int, ok bool) {
	i, neg := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		i, neg = 1, b[0] == '-'
	}
	var mantissa uint64
	digits, point := 0, -1
	for ; i < len(b); i++ {
		switch c := b[i]; {
		case c-'0' <= 9:
			mantissa = mantissa*10 + uint64(c-'0')
			digits++
		case c == '.' && point < 0:
			point = digits
		default:
			return parseRareDecimal(b)
		}
	}
	if digits == 0 || digits > exactDigits {
		return parseRareDecimal(b)
	}
	v = float64(mantissa)
	if point >= 0 {
		decimals = digits - point
		v /= powersOfTen[decimals]
	}
	if neg {
		v = -v
	}
	return v, decimals, true
}

// parseRareDecimal takes spaces at the ends, exponents and many digits.
func parseRareDecimal(b []byte) (v float64, decimals int, ok bool) {
	b = trimBlank(b)
	decimals, ok = decimalForm(b)
	if !ok {
		return 0, 0, false
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, 0, false
	}
	return v, decimals, true
}

// decimalForm checks the form of a plain decimal and counts its decimals.
func decimalForm(b []byte) (decimals int, ok bool) {
	i := 0
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		i++
	}
	whole := countDigits(b[i:])
	i += whole
	if i < len(b) && b[i] == '.' {
		i++
		decimals = countDigits(b[i:])
		i += decimals
	}
	if whole+decimals == 0 {
		return 0, false
	}
	if i == len(b) {
		return decimals, true
	}
	if b[i] != 'e' && b[i] != 'E' {
		return 0, false
	}
	exponent, err := strconv.Atoi(string(b[i+1:]))
	if err != nil {
		return 0, false
	}
	return max(0, decimals-exponent), true
}

func countDigits(b []byte) int {
	for i, c := range b {
		if c-'0' > 9 {
			return i
		}
	}
	return len(b)
}

// trimBlank takes spaces and tabs off both ends.
func trimBlank(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	return b
}

// appendNumber writes v so that parseDecimal gives it back, and nothing for
// "not recorded".
func appendNumber(b []byte, v float64) []byte {
	if IsMissing(v) {
		return b
	}
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e15) {
		return strconv.AppendFloat(b, v, 'e', -1, 64)
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// roundingStep is the step to which values were rounded in the file, in the
// file's unit, from the values in the file's unit and the most decimals seen.
// It is 10^-decimals, or a coarser 2 or 5 or tenfold of it that divides every
// value. Few different values may do so by chance: that n of them are multiples of
// d has a probability of d^-(n-1), the first being given, and coarseProof or less
// is asked for, or ten values. 0 where there is no value or the decimals are more
// than a float64 holds.
func roundingStep(values []float64, perUnit float64, decimals int) float64 {
	if decimals < 0 || decimals > 9 || len(values) == 0 {
		return 0
	}
	scale := powersOfTen[decimals]
	common, different := commonDivisor(values, perUnit*scale)
	if different == 0 {
		return 0
	}
	d := float64(roundestDivisor(common))
	if different < minDifferentValues && math.Pow(d, -float64(different-1)) > coarseProof {
		return 1 / scale
	}
	return d / scale
}

const (
	minDifferentValues = 10
	coarseProof        = 1e-3
)

// commonDivisor is the greatest integer that divides every value*scale, and how
// many different values were seen before that was settled.
func commonDivisor(values []float64, scale float64) (common int64, different int) {
	var seen [minDifferentValues]int64
	for _, v := range values {
		if IsMissing(v) {
			continue
		}
		n := int64(math.Round(math.Abs(v) * scale))
		common = gcd(common, n)
		different = addDifferent(&seen, different, n)
		if common == 1 && different == minDifferentValues {
			break
		}
	}
	return common, different
}

func addDifferent(seen *[minDifferentValues]int64, n int, v int64) int {
	if n == len(seen) {
		return n
	}
	for _, s := range seen[:n] {
		if s == v {
			return n
		}
	}
	seen[n] = v
	return n + 1
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// roundestDivisor is the largest of 1, 2, 5, 10, 20, 50 ... that divides n.
func roundestDivisor(n int64) int64 {
	best := int64(1)
	for ten := int64(1); n > 0 && ten <= n; ten *= 10 {
		for _, d := range [...]int64{ten, 2 * ten, 5 * ten} {
			if n%d == 0 {
				best = d
			}
		}
		if ten > math.MaxInt64/100 {
			break
		}
	}
	return best
}
