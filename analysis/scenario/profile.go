package scenario

import (
	"math"
	"math/rand/v2"
)

// course returns the waypoints of a profile: as given for custom, else drawn.
//
//	shallow  straight down, up to 60 % of the depth, then 5 m
//	mid      down, a few changes of level, stops at 12, 9 and 6 m
//	deep     down, up to 55 % of the depth, stops every 3 m
//	yoyo     down, then up and down between 30 and 100 % of the depth
//
// Rates are 10 to 20 m/min down and 3 to 10 m/min up (yoyo up to 15): the order
// of the navy handbook's limits, 60 ft/min down and 30 ft/min up (standards.md
// 5.1).
func (p Profile) course(seed uint64) []Waypoint {
	r := newRand(seed, streamProfile)
	switch p.Kind {
	case "shallow":
		return p.shallow(r)
	case "mid":
		return p.mid(r)
	case "deep":
		return p.deep(r)
	case "yoyo":
		return p.yoyo(r)
	}
	return p.Waypoints
}

// path builds waypoints leg by leg.
type path []Waypoint

// hold stays at the depth reached.
func (w *path) hold(s float64) {
	last := (*w)[len(*w)-1]
	*w = append(*w, Waypoint{last.TimeS + math.Round(s), last.DepthM})
}

// to goes to a depth at so many m/min.
func (w *path) to(depthM, mMin float64) {
	last := (*w)[len(*w)-1]
	s := math.Max(1, math.Abs(depthM-last.DepthM)/mMin*60)
	*w = append(*w, Waypoint{last.TimeS + s, depthM})
}

func (p Profile) shallow(r *rand.Rand) path {
	w := path{{0, 1.2}}
	w.hold(uniform(r, 50, 75))
	w.to(p.MaxDepthM, uniform(r, 11, 13))
	w.hold(p.BottomS)
	w.to(0.6*p.MaxDepthM, 7)
	w.hold(uniform(r, 450, 530))
	w.to(5, 7)
	w.hold(uniform(r, 220, 260))
	w.to(0, 5)
	return w
}

func (p Profile) mid(r *rand.Rand) path {
	w := path{{0, 1}}
	w.hold(uniform(r, 70, 95))
	w.to(p.MaxDepthM, uniform(r, 14, 16))
	levels := r.IntN(4)
	w.hold(p.BottomS * uniform(r, 0.55, 0.95))
	for range levels {
		depthM := uniform(r, 0.45, 1.15) * p.MaxDepthM
		w.to(math.Max(14, math.Min(depthM, 1.15*p.MaxDepthM)), uniform(r, 7, 8))
		w.hold(uniform(r, 200, 450))
	}
	w.to(12, 9)
	w.hold(uniform(r, 60, 400))
	w.to(9, 6)
	w.hold(uniform(r, 60, 400))
	w.to(6, 6)
	w.hold(uniform(r, 60, 400))
	w.to(0, 4)
	return w
}

func (p Profile) deep(r *rand.Rand) path {
	w := path{{0, 1.5}}
	w.hold(uniform(r, 80, 100))
	w.to(p.MaxDepthM, uniform(r, 17, 19))
	w.hold(p.BottomS)
	stop := 3 * math.Floor(0.55*p.MaxDepthM/3)
	w.to(stop, 9)
	for stop > 0 {
		w.hold(uniform(r, 70, 170) * (1 + 4/(2+stop)))
		stop -= 3
		if stop > 0 {
			w.to(stop, 6)
		}
	}
	w.to(0, 3)
	return w
}

func (p Profile) yoyo(r *rand.Rand) path {
	w := path{{0, 1.2}}
	w.hold(uniform(r, 50, 75))
	w.to(p.MaxDepthM, uniform(r, 11, 18))
	w.hold(uniform(r, 5, 60))
	for end := w[len(w)-1].TimeS + p.BottomS; w[len(w)-1].TimeS < end; {
		w.to(uniform(r, 0.35, 0.6)*p.MaxDepthM, uniform(r, 8, 15))
		w.hold(uniform(r, 60, 350))
		w.to(uniform(r, 0.75, 1)*p.MaxDepthM, uniform(r, 8, 15))
		w.hold(uniform(r, 60, 350))
	}
	w.to(5, 9)
	w.hold(uniform(r, 100, 200))
	w.to(0, 5)
	return w
}

// depthCourse gives the true depth step by step.
type depthCourse struct {
	points []Waypoint
	next   int
	sdM    float64
	offM   float64
	rnd    *rand.Rand
}

// wanderTauS is the correlation time of the wander about a level: a diver's
// buoyancy cycle of the order of a minute (ours).
const wanderTauS = 60

func newDepthCourse(s Spec) *depthCourse {
	return &depthCourse{points: s.Profile.course(s.Seed), next: 1, sdM: s.Profile.WanderM, rnd: newRand(s.Seed, streamWander)}
}

func (d *depthCourse) endS() float64 { return d.points[len(d.points)-1].TimeS }

// at returns the depth at tS; calls must come in order of time, one per step.
func (d *depthCourse) at(tS float64) float64 {
	for d.next < len(d.points)-1 && d.points[d.next].TimeS < tS {
		d.next++
	}
	a, b := d.points[d.next-1], d.points[d.next]
	depthM := b.DepthM
	if tS < b.TimeS {
		depthM = a.DepthM + (b.DepthM-a.DepthM)*(tS-a.TimeS)/(b.TimeS-a.TimeS)
	}
	d.offM = ornstein(d.offM, d.sdM, wanderTauS, d.rnd)
	// Near the surface the wander fades, so that it never lifts the diver out.
	return math.Max(0, depthM+d.offM*math.Min(1, depthM/3))
}

// ornstein takes one step of a first-order random course with standard
// deviation sd and correlation time tauS.
func ornstein(x, sd, tauS float64, r *rand.Rand) float64 {
	if sd == 0 {
		return 0
	}
	a := math.Exp(-stepS / tauS)
	return a*x + sd*math.Sqrt(1-a*a)*r.NormFloat64()
}
