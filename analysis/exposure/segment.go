package exposure

import "math"

// otuExponent is the exact inverse of the 6/5 exponent of time in the original
// dose; 0.83 and 0.833 are seen in print.
const otuExponent = 5.0 / 6

// Segment is the dose of dtS seconds during which PO2 runs straight from p0Bar to
// p1Bar. The way it runs, up or down, makes no difference.
//
// By the step rule it is the sum over the bands of the table of the minutes spent
// in each over its limit. By the linear rule, over a piece on which the limit
// runs from L0 to L1 in t minutes, it is
//
//	t ln(L1/L0) / (L1 - L0)
//
// and the pulmonary dose, over the part above 0.5 with its share t of the time, is
//
//	(6/11) t (B^(11/6) - A^(11/6)) / (B - A), A = (a-0.5)/0.5, B = (b-0.5)/0.5
//
// with the limits t/L and t A^(5/6) where the ends are equal. A dtS of 0 or less
// gives no dose. The ends must be finite; NaN in gives NaN out.
func Segment(p0Bar, p1Bar, dtS float64, o Options) Dose {
	if dtS <= 0 {
		return Dose{}
	}
	p0, p1 := o.tablePO2(p0Bar), o.tablePO2(p1Bar)
	lo, hi, minutes := math.Min(p0, p1), math.Max(p0, p1), dtS/60
	if math.IsNaN(lo) {
		nan := math.NaN()
		return Dose{CNSStep: nan, CNSLinear: nan, CNS24h: nan, OTU: nan, Seconds: dtS}
	}
	if hi <= freeBelow {
		return Dose{Seconds: dtS}
	}
	d := Dose{Seconds: dtS, CNSLinear: cnsLinear(lo, hi, minutes), OTU: otu(lo, hi, minutes)}
	if band := bandOf(lo); band == bandOf(hi) {
		d.inBand(band, minutes, dtS)
		return d
	}
	eachBand(lo, hi, func(band int, share float64) { d.inBand(band, share*minutes, share*dtS) })
	return d
}

// inBand adds the step doses of a time in one band.
func (d *Dose) inBand(band int, minutes, seconds float64) {
	d.CNSStep += minutes / singleMin[band]
	d.CNS24h += minutes / dailyMin[band]
	if band == bandAbove {
		d.AboveTableS += seconds
	}
}

// eachBand calls visit for each band of the table that PO2 passes on its way from
// lo to hi, lowest first, with the share of the time spent there.
func eachBand(lo, hi float64, visit func(band int, share float64)) {
	first, last := bandOf(lo), bandOf(hi)
	if first == last {
		visit(first, 1)
		return
	}
	from := lo
	for band := first; band <= last; band++ {
		to := math.Min(hi, bandTop(band))
		visit(band, (to-from)/(hi-lo))
		from = to
	}
}

// cnsLinear is the fraction of the single limit by the linear rule.
func cnsLinear(lo, hi, minutes float64) float64 {
	if hi <= knot(0) {
		return 0
	}
	if lo == hi {
		return minutes / interpolated(&singleMin, linearPiece(lo), lo)
	}
	from := math.Max(lo, knot(0))
	k := linearPiece(from)
	if from == lo && (k == tableRows || hi <= rowPO2[k]) { // one piece, as most often
		return minutes * meanInverse(interpolated(&singleMin, k, lo), interpolated(&singleMin, k, hi))
	}
	perBar := minutes / (hi - lo)
	sum := 0.0
	for ; from < hi; k++ {
		to := hi
		if k < tableRows {
			to = math.Min(hi, rowPO2[k])
		}
		long, short := interpolated(&singleMin, k, from), interpolated(&singleMin, k, to)
		sum += (to - from) * perBar * meanInverse(long, short)
		from = to
	}
	return sum
}

// closeEnds is the half-width over the middle below which the means use the first
// terms of their series: to 1e-13, in half the time of the closed form.
const closeEnds = 0.02

// meanInverse is the mean of 1/L while L runs straight from long to short, which
// is not longer and above 0:
//
//	ln(short/long) / (short - long) = atanh(u) / (u m)
//
// with m the middle and u the half-width over it, a form that keeps its digits
// where the ends are close.
func meanInverse(long, short float64) float64 {
	m, u := (long+short)/2, (long-short)/(long+short)
	if u < closeEnds {
		u2 := u * u
		return (1 + u2*(1.0/3+u2*(1.0/5+u2*(1.0/7)))) / m
	}
	return math.Atanh(u) / u / m
}

// otu is the pulmonary dose while PO2 runs from lo to hi.
func otu(lo, hi, minutes float64) float64 {
	if hi <= freeBelow {
		return 0
	}
	if lo < freeBelow {
		minutes *= (hi - freeBelow) / (hi - lo)
		lo = freeBelow
	}
	return minutes * meanPower((lo-freeBelow)/0.5, (hi-freeBelow)/0.5)
}

// meanPower is the mean of x^e, e = 5/6, while x runs straight from a to b,
// 0 <= a <= b, b > 0:
//
//	(b^(e+1) - a^(e+1)) / ((e+1) (b - a))
//
// Where the ends are close, with m the middle and w the half-width over it:
//
//	m^e (1 + e(e-1)/6 w^2 + e(e-1)(e-2)(e-3)/120 w^4)
func meanPower(a, b float64) float64 {
	const e = otuExponent
	m := (a + b) / 2
	w := (b - a) / (b + a)
	if w < closeEnds {
		w2 := w * w
		return power(m) * (1 + e*(e-1)/6*w2*(1+(e-2)*(e-3)/20*w2))
	}
	return (b*power(b) - a*power(a)) / ((e + 1) * (b - a))
}

// power is x^(5/6) = x / x^(1/6), at a quarter of the time of math.Pow and to
// 1e-15; 0 for 0.
func power(x float64) float64 {
	if x == 0 {
		return 0
	}
	return x / math.Cbrt(math.Sqrt(x))
}
