package linearity

import (
	"math"

	"afterloop/analysis/fit"
)

// Level is a stretch on which the pressure stood.
type Level struct {
	From, To    int // rows, To included
	PressureBar float64
	Fraction    float64 // of oxygen in the dry gas
	PO2Bar      float64
	PO2SDBar    float64 // standard uncertainty
	Rising      bool    // reached from below
}

// PotPO2 is the PO2 in the pot in every row, with the oxygen fraction, by the
// history of its pressure: each stretch between two turning points is filling or
// venting. Noise of the gauge is no turn: see Params.TurnBar.
func PotPO2(in Input, p Params) (po2Bar, fraction []float64) {
	n := len(in.TimeS)
	fraction = make([]float64, n)
	switch {
	case in.FractionRows != nil:
		copy(fraction, in.FractionRows)
	case in.Constant:
		for i := range fraction {
			fraction[i] = in.Fraction
		}
	default:
		in.fractions(fraction, p.TurnBar)
	}
	po2Bar = make([]float64, n)
	for i := range po2Bar {
		po2Bar[i] = fraction[i] * in.dry(i)
	}
	return po2Bar, fraction
}

func (in *Input) dry(i int) float64 {
	if in.VapourBar == nil || math.IsNaN(in.VapourBar[i]) {
		return in.PressureBar[i]
	}
	return math.Max(0, in.PressureBar[i]-in.VapourBar[i])
}

// fractions walks from turning point to turning point. While the pot fills, the
// fraction follows the highest pressure so far; while it is vented, or cools, it
// stays.
func (in *Input) fractions(out []float64, turn float64) {
	x := in.Fraction
	for _, l := range legs(in.TimeS, smoothed(in.TimeS, in.PressureBar), turn) {
		from, to, top := x, x, l.low
		for i := l.from; i < l.to; i++ {
			if p := in.PressureBar[i]; l.filling && math.Min(p, l.high) > top {
				top = math.Min(p, l.high)
				to = Filled(from, in.SupplyO2, l.low, top)
			}
			out[i] = to
		}
		if l.filling {
			x = Filled(from, in.SupplyO2, l.low, l.high)
		}
	}
}

// leg is a stretch of rows, to excluded, on which the pot was filled or not.
type leg struct {
	from, to  int
	filling   bool
	low, high float64
}

// legs cuts the rows at the turning points: a rise of more than turn above the
// lowest since is filling, a fall of more than turn below the highest since ends it.
// Filling begins at the last row that still lay near the lowest, from the pressure
// that stood there: from the lowest row on, noise alone would fill the pot.
func legs(tS, p []float64, turn float64) []leg {
	var out []leg
	cur, extreme := leg{low: math.Inf(1)}, 0
	end := func(at int, next leg) {
		cur.to = at
		out = append(out, cur)
		cur = next
	}
	for i, v := range p {
		switch {
		case math.IsNaN(v):
		case !cur.filling && v < cur.low:
			cur.low, extreme = v, i
		case !cur.filling && v > cur.low+turn:
			begin := i
			for begin > extreme && !(p[begin] <= cur.low+turn/2) {
				begin--
			}
			end(begin, leg{from: begin, filling: true, low: stood(tS, p, begin), high: v})
			extreme = i
		case cur.filling && v > cur.high:
			cur.high, extreme = v, i
		case cur.filling && v < cur.high-turn:
			end(i, leg{from: i, low: v})
			extreme = i
		}
	}
	end(len(p), leg{})
	return out
}

// stood is the median pressure of the 10 s up to row i.
func stood(tS, p []float64, i int) float64 {
	const lookS = 10
	from := i
	for from > 0 && tS[i]-tS[from-1] <= lookS {
		from--
	}
	return fit.Median(recorded(p[from : i+1]))
}

// recorded leaves out what is not recorded.
func recorded(v []float64) []float64 {
	var out []float64
	for _, a := range v {
		if !math.IsNaN(a) {
			out = append(out, a)
		}
	}
	return out
}

// smoothed is the mean over 2 s either side, or the highest and lowest reading of
// a noisy gauge would be taken for the turning points.
func smoothed(tS, v []float64) []float64 {
	const halfS = 2
	out := make([]float64, len(v))
	from, to := 0, 0
	for i := range v {
		for tS[i]-tS[from] > halfS {
			from++
		}
		for to < len(v) && tS[to]-tS[i] <= halfS {
			to++
		}
		out[i] = meanOf(v[from:to])
	}
	return out
}

// Levels are the stretches on which the pressure stood, with their PO2. The
// pressure of a level is that of its settled end.
func Levels(in Input, po2Bar, fraction []float64, p Params) []Level {
	var out []Level
	for i := 0; i < len(in.TimeS); {
		j := standsUntil(in.PressureBar, i, p.PlateauBar)
		if in.TimeS[j]-in.TimeS[i] < p.PlateauS {
			i++
			continue
		}
		out = append(out, in.level(i, j, po2Bar, fraction, p, out))
		i = j + 1
	}
	return out
}

// standsUntil is the last row up to which the pressure stays within span. The
// first rows of the next move are taken off again: they lie off the middle.
func standsUntil(v []float64, i int, span float64) int {
	low, high, last := v[i], v[i], i
	for j := i; j < len(v); j++ {
		if math.IsNaN(v[j]) {
			continue
		}
		low, high = math.Min(low, v[j]), math.Max(high, v[j])
		if !(high-low <= span) {
			break
		}
		last = j
	}
	middle := fit.Median(v[i+(last-i)/2 : last+1])
	for last > i && math.Abs(v[last]-middle) > span/2 {
		last--
	}
	return last
}

func (in *Input) level(i, j int, po2Bar, fraction []float64, p Params, before []Level) Level {
	from := settledFrom(in.TimeS, i, j, p.SettledS)
	l := Level{From: i, To: j, PressureBar: meanOf(in.PressureBar[from : j+1]), Fraction: meanOf(fraction[from : j+1]), PO2Bar: meanOf(po2Bar[from : j+1])}
	l.PO2SDBar = math.Hypot(l.Fraction*p.PressureSDBar, l.PressureBar*p.FractionSD)
	l.Rising = len(before) == 0 || l.PO2Bar > before[len(before)-1].PO2Bar
	return l
}

// settledFrom is the first row of the last s seconds of rows i to j.
func settledFrom(tS []float64, i, j int, s float64) int {
	k := j
	for k > i && tS[j]-tS[k-1] <= s {
		k--
	}
	return k
}

// meanOf is the mean of what is known, NaN where nothing is.
func meanOf(v []float64) float64 {
	s, n := 0.0, 0
	for _, a := range v {
		if !math.IsNaN(a) {
			s, n = s+a, n+1
		}
	}
	if n == 0 {
		return nan
	}
	return s / float64(n)
}
