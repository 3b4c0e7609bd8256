package cell

import "math"

// fitLater looks for an onset from which the cell is slower.
func (q *pair) fitLater() fit {
	sums := make([][]float64, len(q.taus))
	gains := make([]float64, len(q.taus))
	for t := range q.taus {
		f := q.steadyAt(t)
		gains[t] = f.gain
		sums[t] = q.running(q.predict(f))
	}
	n := len(q.weight)
	best := fit{shape: later, cost: math.Inf(1)}
	for a := range q.taus {
		if q.t90(a) > q.p.SlowT90S {
			break
		}
		for b := a + 1; b < len(q.taus); b++ {
			if q.t90(b) <= q.p.SlowT90S {
				continue
			}
			total := sums[b][n]
			for k := 1; k < n; k++ {
				if c := sums[a][k] + total - sums[b][k]; c < best.cost {
					best = fit{shape: later, tau: a, tauAfter: b, gain: gains[a], onsetS: q.timeS[k], cost: c}
				}
			}
		}
	}
	if !math.IsInf(best.cost, 1) {
		q.spreadOnset(&best, sums[best.tau], sums[best.tauAfter])
	}
	return best
}

// spreadOnset finds the onsets that cost nearly the same. Where nothing moved for
// a while, the onset may lie anywhere in it: the middle is taken.
func (q *pair) spreadOnset(f *fit, before, after []float64) {
	n := len(q.weight)
	f.onsetLow, f.onsetHigh = math.Inf(1), math.Inf(-1)
	for k := 1; k < n; k++ {
		if before[k]+after[n]-after[k] <= f.cost+halfChi {
			f.onsetLow, f.onsetHigh = math.Min(f.onsetLow, q.timeS[k]), math.Max(f.onsetHigh, q.timeS[k])
		}
	}
	if f.onsetHigh-f.onsetLow > q.p.OnsetVagueS {
		f.onsetS = (f.onsetLow + f.onsetHigh) / 2
	}
}
