package cell

import (
	"fmt"
	"math"

	"afterloop/analysis/loop"
)

// excitation is a stretch in which PO2 moves enough to tell cells apart.
type excitation struct {
	kind         string
	fromS, toS   float64
	startBar     float64
	endBar       float64
	first, after int // blocks first..after-1, the time a slow cell takes to follow included
}

func (e excitation) String() string {
	return fmt.Sprintf("%s %.0f-%.0f s, %.2f to %.2f bar", e.kind, e.fromS, e.toS, e.startBar, e.endBar)
}

// findExcitations lists the stretches in which the mean of the good cells keeps
// moving one way, at 0.03 bar/min or more, through at least StepBar.
func (d *dive) findExcitations(out *Diagnosis, v *verdict) {
	x, _ := d.goodMean(v, -1)
	if x == nil {
		return
	}
	p := x[v.views.quick]
	phases := loop.Phases(d.Record, 30, 3)
	for k := 1; k < len(p); {
		e, next := d.moving(p, k)
		k = next
		if !(math.Abs(e.endBar-e.startBar) >= d.p.StepBar) { // nothing is known of the ends, or they are too near
			continue
		}
		e.kind = name(e, phases, d.TimeS)
		out.excitations = append(out.excitations, e)
		out.Excitations = append(out.Excitations, e.String())
	}
}

// moving is the stretch of one-way movement that starts at block k-1, and where to go on.
func (d *dive) moving(p []float64, k int) (excitation, int) {
	const slowest, followS = 0.03 / 60, 60
	side := 0.0
	start := k - 1
	for ; k < len(p); k++ {
		r := rateAt(d.blocks, p, k)
		if !(math.Abs(r) >= slowest) || side*r < 0 || math.IsNaN(p[k]) || d.Gap(d.blocks[k-1].to-1) {
			break
		}
		side = r
	}
	e := excitation{first: start, after: k, fromS: d.blocks[start].timeS, toS: d.blocks[k-1].timeS, startBar: p[start], endBar: p[k-1]}
	for e.after < len(p) && d.blocks[e.after].timeS < e.toS+followS {
		e.after++
	}
	return e, max(k, start+2)
}

// name says what moved PO2: the phase of depth that covers most of it, else oxygen
// let in or used.
func name(e excitation, phases []loop.Phase, timeS []float64) string {
	best, longest := "", 0.5*(e.toS-e.fromS)
	for _, ph := range phases {
		over := math.Min(e.toS, timeS[ph.To]) - math.Max(e.fromS, timeS[ph.From])
		if over > longest && ph.Kind != loop.Level {
			best, longest = string(ph.Kind), over
		}
	}
	switch {
	case best != "":
		return best
	case e.endBar > e.startBar:
		return "rise at depth"
	}
	return "fall at depth"
}

// supporting lists the excitations in which a slow cell's relation beats the best
// quick one of the same shape by a nat or more.
func (d *dive) supporting(out *Diagnosis, q *pair, f fit) []string {
	quick := f
	best := math.Inf(1)
	for t, c := range q.profile(f) {
		if q.t90(t) <= d.p.SlowT90S && c < best {
			best, quick.tau, quick.tauAfter = c, t, t
		}
	}
	if f.shape == later {
		quick.tau = f.tau
	}
	a, b := q.running(q.predict(quick)), q.running(q.predict(f))
	var out2 []string
	for _, e := range out.excitations {
		if gain := (a[e.after] - a[e.first]) - (b[e.after] - b[e.first]); gain >= 1 {
			out2 = append(out2, e.String())
		}
	}
	return out2
}

// predict is what a relation predicts for each block.
func (q *pair) predict(f fit) func(k int) float64 {
	x, after := q.x[f.tau], q.x[f.tauAfter]
	t0 := q.timeS[0]
	switch f.shape {
	case later:
		return func(k int) float64 {
			if q.timeS[k] < f.onsetS {
				return f.gain * x[k]
			}
			return f.gain * after[k]
		}
	case ceiling:
		return func(k int) float64 {
			b := knee(f.kneeBar, f.sinkPerS, q.timeS[k]-t0)
			return f.gain * (math.Min(x[k], b) + f.slope*math.Max(x[k]-b, 0))
		}
	case drift:
		return func(k int) float64 { return (f.gain + f.ratePerS*math.Max(q.timeS[k]-f.onsetS, 0)) * x[k] }
	}
	return func(k int) float64 { return f.gain * x[k] }
}
