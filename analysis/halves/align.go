package halves

import (
	"fmt"
	"math"
)

// Alignment is where B's clock stands by A's.
type Alignment struct {
	// Aligned is false where depth could not tell; Reason then says why.
	Aligned bool
	Reason  string
	// OffsetS is what to add to B's time at ReferenceS (the middle of the common
	// stretch, by B's clock) to get A's; DriftPPM how much faster A's clock counts, in
	// parts per million. OffsetHalfS and DriftHalfPPM are half their 95 % intervals.
	OffsetS, OffsetHalfS   float64
	DriftPPM, DriftHalfPPM float64
	ReferenceS             float64
	// DepthZeroM and DepthFactor relate the depths: z_B = zero + factor z_A.
	DepthZeroM, DepthFactor float64
	// FromS to ToS is the common stretch by A's clock, CommonS the time in it that
	// both recorded, MovingS that in which depth changed.
	FromS, ToS, CommonS, MovingS float64
	// RangeM is by how much depth changed in it, ResidualM what remains between the
	// depths (root mean square), AgreeM the distance up to which they agree, and
	// AgreeFraction and MovingAgreeFraction the shares of time in which they do.
	RangeM, ResidualM, AgreeM          float64
	AgreeFraction, MovingAgreeFraction float64
}

// ToA is A's time at B's time tB.
func (a Alignment) ToA(tB float64) float64 {
	return tB + a.OffsetS + a.DriftPPM*1e-6*(tB-a.ReferenceS)
}

// ToB is B's time at A's time tA.
func (a Alignment) ToB(tA float64) float64 {
	q := a.DriftPPM * 1e-6
	return (tA - a.OffsetS + q*a.ReferenceS) / (1 + q)
}

// HalfAt is half of the 95 % interval of A's time at B's time tB: that of the
// offset, and what the drift's adds away from the reference.
func (a Alignment) HalfAt(tB float64) float64 {
	return math.Hypot(a.OffsetHalfS, a.DriftHalfPPM*1e-6*(tB-a.ReferenceS))
}

// Align finds B's clock by A's, or says why it can't. It panics where slices of
// a series differ in length.
func Align(a, b Series, p Params) Alignment {
	for _, s := range []Series{a, b} {
		if len(s.TimeS) != len(s.DepthM) || s.GapAfter != nil && len(s.GapAfter) != len(s.TimeS) {
			panic("halves: time, depth and gaps differ in length")
		}
		if len(s.TimeS) < 10 {
			return refuse("fewer than ten rows")
		}
	}
	ga, gb := grids(a, b, p)
	if r := math.Min(spread(ga.z), spread(gb.z)); !(r >= p.MinRangeM) {
		if math.IsNaN(r) {
			return refuse("one of the logs holds no depth over a long enough stretch")
		}
		return refuse("depth changes by %.1f m only in one of the logs; %.0f m is the least that can tell the time", r, p.MinRangeM)
	}
	candidates := search(ga, gb, p)
	if len(candidates) == 0 {
		return refuse("no shift of the clocks leaves a common stretch of %.0f s and half of the shorter log in which depth changes by %.0f m", p.MinOverlapS, p.MinRangeM)
	}
	fits := refine(ga, gb, candidates, p)
	if len(fits) == 0 {
		return refuse("no shift of the clocks could be fitted")
	}
	return judge(ga, gb, fits, math.Max(a.usualS(), b.usualS()), p)
}

func refuse(format string, args ...any) Alignment {
	nan := math.NaN()
	return Alignment{Reason: fmt.Sprintf(format, args...), OffsetS: nan, OffsetHalfS: nan, DriftPPM: nan, DriftHalfPPM: nan, ReferenceS: nan,
		DepthZeroM: nan, DepthFactor: nan, FromS: nan, ToS: nan, CommonS: nan, MovingS: nan, RangeM: nan, ResidualM: nan, AgreeM: nan,
		AgreeFraction: nan, MovingAgreeFraction: nan}
}

// grids puts both series on steps of one length, smoothed alike.
func grids(a, b Series, p Params) (ga, gb grid) {
	span := math.Max(a.TimeS[len(a.TimeS)-1]-a.TimeS[0], b.TimeS[len(b.TimeS)-1]-b.TimeS[0])
	stepS := math.Max(p.StepS, span/maxSteps)
	smoothS := math.Max(math.Max(p.SmoothS, 2*stepS), 2*math.Max(a.usualS(), b.usualS()))
	return evenly(a, stepS, smoothS), evenly(b, stepS, smoothS)
}

// refine fits every candidate on thinned steps, best first.
func refine(a, b grid, candidates []shift, p Params) []clock {
	const thinned, rounds = 1500, 12
	every := max(1, len(b.z)/thinned)
	var out []clock
	for _, s := range candidates {
		c, ok := fit(a, b, s, every, rounds, p)
		if !ok {
			continue
		}
		c.measure(a, b, p)
		if float64(c.common)*b.stepS < p.MinOverlapS || float64(c.common) < p.MinShare*float64(min(a.known, b.known)) {
			continue
		}
		at := len(out)
		for at > 0 && c.better(out[at-1]) {
			at--
		}
		out = append(out[:at], append([]clock{c}, out[at:]...)...)
	}
	return out
}

// better prefers a clock with the larger share in which depths agree while they
// change, then the smaller residual.
func (c clock) better(than clock) bool {
	x, y := share(c.agree+c.agreeMoving, c.common+c.moving), share(than.agree+than.agreeMoving, than.common+than.moving)
	if math.Abs(x-y) > 0.02 {
		return x > y
	}
	return c.residualM < than.residualM
}

func share(part, whole int) float64 {
	if whole == 0 {
		return 0
	}
	return float64(part) / float64(whole)
}

// agreeM is the distance up to which depths agree, for a range of depth.
func (p Params) agreeM(rangeM float64) float64 {
	return math.Max(p.AgreeLeastM, math.Min(p.AgreeM, p.AgreeShare*rangeM))
}

// measure counts the common steps, and those in which the depths agree.
func (c *clock) measure(a, b grid, p Params) {
	limit := p.agreeM(math.Min(spread(a.z), spread(b.z)))
	var sum float64
	res, rows, own := residuals(a, b, c, 1, p.MovingMS)
	c.common, c.moving, c.agree, c.agreeMoving = len(res), 0, 0, 0
	for i, r := range res {
		sum += r * r
		near, moves := math.Abs(r) <= limit, math.Abs(rows[i][pOffset]) > p.MovingMS || own[i]
		if near {
			c.agree++
		}
		if moves {
			c.moving++
		}
		if moves && near {
			c.agreeMoving++
		}
	}
	c.residualM = math.Sqrt(sum / float64(max(1, c.common)))
}

// accepted tells whether depths agree as those of one dive do.
func (c *clock) accepted(p Params) bool {
	return c.common > 0 && share(c.agree, c.common) >= p.MinAgree && share(c.agreeMoving, c.moving) >= p.MinAgreeMoving &&
		math.Abs(c.factor-1) <= p.MaxDepthFactor
}

// finalRounds are more than a fit that settles at all has ever taken.
const finalRounds = 30

// judge fits the best clock on all steps and accepts it or says why not.
func judge(a, b grid, fits []clock, intervalS float64, p Params) Alignment {
	best := fits[0]
	c, ok := fit(a, b, shift{offsetS: best.offsetS}, 1, finalRounds, p)
	if !ok {
		return refuse("no shift of the clocks could be fitted")
	}
	c.centre(a, b)
	c, ok = fit(a, b, shift{offsetS: c.offsetS}, 1, finalRounds, p) // with the reference in the middle of what is common
	if !ok {
		return refuse("no shift of the clocks could be fitted")
	}
	c.measure(a, b, p)
	out := c.describe(a, b, p)
	switch {
	case out.RangeM < p.MinRangeM:
		out.Reason = fmt.Sprintf("depth changes by %.1f m only within the common stretch; %.0f m is the least that can tell the time", out.RangeM, p.MinRangeM)
		return out
	case !c.accepted(p):
		out.Reason = fmt.Sprintf("at the best shift of the clocks (%+.0f s) depths agree within %.1f m for %.0f %% of the common time, and for %.0f %% of it while depth changed; %.0f and %.0f %% are asked of one dive",
			c.offsetS, out.AgreeM, 100*out.AgreeFraction, 100*out.MovingAgreeFraction, 100*p.MinAgree, 100*p.MinAgreeMoving)
		return out
	}
	for _, o := range fits[1:] {
		if math.Abs(o.toA(c.refS)-c.toA(c.refS)) > p.ApartS && o.accepted(p) && o.residualM < p.AmbiguousRatio*math.Max(best.residualM, p.ResidualFloorM) {
			out.Reason = fmt.Sprintf("the profile repeats itself: shifts of %+.0f s and %+.0f s fit alike", c.toA(c.refS)-c.refS, o.toA(c.refS)-c.refS)
			return out
		}
	}
	c.doubt(equations(a, b, &c, 1, p))
	out.OffsetHalfS = math.Hypot(c.quantile()*c.sdOffsetS, math.Max(0.05, p.TimeOfRowShare*intervalS))
	out.DriftHalfPPM = c.quantile() * c.sdDrift * 1e6
	if math.Abs(out.DriftPPM)-out.DriftHalfPPM > p.MaxDriftPPM {
		out.Reason = fmt.Sprintf("depths agree within %.1f m for %.0f %% of the common time if the clocks run apart by a constant drift of about %+.0f parts per million, %.1f s in the common stretch; more than %.0f is refused, since lost rows or a clock that was set meanwhile look alike: if one clock did run so, correct its times first",
			out.AgreeM, 100*out.AgreeFraction, out.DriftPPM, math.Abs(out.DriftPPM)*1e-6*(c.toS-c.fromS), p.MaxDriftPPM)
		return out
	}
	out.Aligned = true
	return out
}

func (c *clock) describe(a, b grid, p Params) Alignment {
	out := Alignment{OffsetS: c.offsetS, OffsetHalfS: math.NaN(), DriftPPM: c.drift * 1e6, DriftHalfPPM: math.NaN(), ReferenceS: c.refS,
		DepthZeroM: c.zeroM, DepthFactor: c.factor, FromS: c.toA(c.fromS), ToS: c.toA(c.toS), CommonS: float64(c.common) * b.stepS,
		MovingS: float64(c.moving) * b.stepS, ResidualM: c.residualM, AgreeM: p.agreeM(math.Min(spread(a.z), spread(b.z))),
		AgreeFraction: share(c.agree, c.common), MovingAgreeFraction: share(c.agreeMoving, c.moving)}
	var common []float64
	for i, z := range b.z {
		if !math.IsNaN(a.at(a.z, c.toA(b.startS+float64(i)*b.stepS))) {
			common = append(common, z)
		}
	}
	out.RangeM = spread(common)
	return out
}
