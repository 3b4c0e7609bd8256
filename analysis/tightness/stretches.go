package tightness

import (
	"math"

	"afterloop/analysis/fit"
)

// Stretch is a part of the record and what it was taken for.
type Stretch struct {
	FromS, ToS float64
	Kind       string
	// RateMbarMin is the fall of the pressure difference, positive towards ambient.
	RateMbarMin float64
	MeanMbar    float64 // pressure difference, positive
}

// Kinds of stretches.
const (
	Before    = "before"    // not closed yet
	Settling  = "settling"  // creep of the bags, gas that cools
	Relief    = "relief"    // a relief valve closing
	Held      = "held"      // held level before it began to fall: gas still went in
	Disturbed = "disturbed" // a jump
	Judged    = "judged"
	After     = "after" // opened again
)

// series is the test in bins, as a pressure difference that a leak makes smaller.
type series struct {
	t, u  []float64
	stepS float64
	noise float64
}

const mostBins = 240

// bins takes medians over equal times, so that cost is bounded and one wild
// reading counts for nothing.
func bins(tS, v []float64, sign float64) series {
	s := series{}
	if len(tS) == 0 {
		return s
	}
	span := tS[len(tS)-1] - tS[0]
	s.stepS = math.Max(span/mostBins, 1)
	for i := 0; i < len(tS); {
		end := tS[i] + s.stepS - 1e-9
		var t, u []float64
		for ; i < len(tS) && (tS[i] < end || len(t) == 0); i++ {
			if !math.IsNaN(v[i]) {
				t, u = append(t, tS[i]), append(u, sign*v[i])
			}
		}
		if len(t) > 0 {
			s.t, s.u = append(s.t, fit.Median(t)), append(s.u, fit.Median(u))
		}
	}
	return s
}

// cutOff finds where the test begins and ends: when it was said to be closed, or
// when it was there; when it was said to be opened, or when most of
// the difference went within a moment.
func (s *series) cutOff(in Input) (from, to int) {
	to = len(s.t)
	if !math.IsNaN(in.ClosedS) {
		for from < to && s.t[from] < in.ClosedS {
			from++
		}
	} else {
		from = s.filled()
	}
	for i := from; i < to; i++ {
		opened := !math.IsNaN(in.OpenedS) && s.t[i] >= in.OpenedS
		if opened || i >= from+3 && s.u[i] < 0.3*s.u[i-1] && s.u[i-1]-s.u[i] > 3 {
			return from, i
		}
	}
	return from, to
}

// filled is the first bin at which the pressure difference is there and no longer
// rises: not the highest one, since a warming loop goes on rising.
func (s *series) filled() int {
	const share, risingMbar = 0.6, 0.5
	top := maxOf(s.u)
	for i, u := range s.u {
		if u >= share*top && (i+1 == len(s.u) || s.u[i+1]-u <= risingMbar) {
			return i
		}
	}
	return 0
}

// piece is a straight part of the test while it is classified.
type piece struct {
	from, to int // bins, to excluded
	line     fit.Line
	kind     string
	group    int
}

// pieces cuts the test into straight parts, at jumps and where something is said
// to have happened.
func (s *series) pieces(from, to int, in Input, p Params) []piece {
	s.noise = math.Max(fit.Noise(s.t[from:to], s.u[from:to]), 0.3*math.Max(in.StepMbar, 1e-3))
	if math.IsNaN(s.noise) {
		s.noise = 0.3 * p.ResolutionMbar
	}
	moments := append(append([]float64{}, in.DisturbedS...), in.KnownS...)
	var out []piece
	for _, r := range s.split(from, to, moments, p.DisturbedS) {
		n := r[1] - r[0]
		penalty := 14 * s.noise * s.noise * math.Log(float64(max(n, 3)))
		starts := fit.Segments(s.t[r[0]:r[1]], s.u[r[0]:r[1]], fit.Sloped, penalty, 5)
		for k, b := range starts {
			end := r[1]
			if k+1 < len(starts) {
				end = r[0] + starts[k+1]
			}
			out = append(out, s.piece(r[0]+b, end, Judged))
		}
	}
	return out
}

func (s *series) piece(from, to int, kind string) piece {
	return piece{from: from, to: to, kind: kind, line: fit.LeastSquares(s.t[from:to], s.u[from:to], nil, false)}
}

// split takes the time around each moment out.
func (s *series) split(from, to int, moments []float64, marginS float64) [][2]int {
	var out [][2]int
	begin := from
	for i := from; i <= to; i++ {
		near := i < to && within(s.t[i], moments, marginS)
		if i == to || near {
			if i-begin >= 2 {
				out = append(out, [2]int{begin, i})
			}
			begin = i + 1
		}
	}
	return out
}

func within(t float64, moments []float64, marginS float64) bool {
	for _, m := range moments {
		if math.Abs(t-m) <= marginS {
			return true
		}
	}
	return false
}

// rate of a piece in mbar/min towards ambient.
func (q piece) rate() float64 { return -60 * q.line.Slope }

// classify names the pieces: short ones between jumps are disturbed; early ones
// that are much faster, or flat before the fall, are no leak. What is left is judged.
func (s *series) classify(ps []piece, p Params) {
	s.groups(ps, p)
	if len(ps) == 0 {
		return
	}
	startS := s.t[ps[0].from]
	for k := 0; k+1 < len(ps); k++ {
		later := s.later(ps[k+1:])
		if math.IsNaN(later.perMbar) || s.t[ps[k].to-1]-startS > math.Max(p.SettleS, 0.5*(s.t[ps[len(ps)-1].to-1]-startS)) {
			return
		}
		if ps[k].kind == Disturbed {
			continue
		}
		kind := s.early(ps[k], ps[k+1], later, p)
		if kind == "" {
			return
		}
		ps[k].kind = kind
	}
}

// laterRate is what the rest of the test does.
type laterRate struct{ mbarMin, perMbar float64 }

func (s *series) later(ps []piece) laterRate {
	rate, mean, w := 0.0, 0.0, 0.0
	for _, q := range ps {
		if q.kind == Disturbed {
			continue
		}
		d := s.t[q.to-1] - s.t[q.from] + s.stepS
		rate, mean, w = rate+d*q.rate(), mean+d*s.mean(q), w+d
	}
	return laterRate{rate / w, rate / math.Max(mean, 1e-9)}
}

func (s *series) mean(q piece) float64 { return q.line.At((s.t[q.from] + s.t[q.to-1]) / 2) }

// early tells what an early piece was, or "" where it goes on like the rest.
func (s *series) early(q, next piece, later laterRate, p Params) string {
	rate, perMbar := q.rate(), q.rate()/math.Max(s.mean(q), 1e-9)
	clear := 0.25 + 120*s.noise/math.Max(s.t[q.to-1]-s.t[q.from], 1) // mbar/min that noise may fake
	switch {
	case rate-later.mbarMin > clear && perMbar > p.ReliefFactor*math.Max(next.rate(), 0)/math.Max(s.mean(next), 1e-9) && q.line.At(s.t[q.from])-q.line.At(s.t[q.to-1]) > 2:
		return Relief
	case rate-later.mbarMin > clear && perMbar > p.SettleFactor*math.Max(later.perMbar, 0):
		return Settling
	case later.mbarMin-rate > clear && rate < later.mbarMin/3:
		return Held
	}
	return ""
}

// groups numbers the stretches between jumps, and sets short pieces on a jump aside.
func (s *series) groups(ps []piece, p Params) {
	group := 0
	for k := range ps {
		if k > 0 {
			a, b := ps[k-1].line, ps[k].line
			at := (s.t[ps[k].from] + s.t[ps[k-1].to-1]) / 2
			gap := s.t[ps[k].from] - s.t[ps[k-1].to-1]
			// On a steep part half a bin is a step already.
			jump := math.Abs(b.At(at)-a.At(at)) - gap*math.Max(math.Abs(a.Slope), math.Abs(b.Slope))
			if jump > math.Max(p.JumpMbar, 6*s.noise) {
				group++
				short := 2 * p.DisturbedS
				if d := s.t[ps[k].to-1] - s.t[ps[k].from]; d < short {
					ps[k].kind = Disturbed
				}
				if d := s.t[ps[k-1].to-1] - s.t[ps[k-1].from]; d < short {
					ps[k-1].kind = Disturbed
				}
			}
		}
		ps[k].group = group
	}
}
