package score

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Rate is a share of cases with its 95 % interval; unknown where there are none.
type Rate struct {
	Right int   `json:"right"`
	Of    int   `json:"of"`
	Share Float `json:"share"`
	Low   Float `json:"low"`
	High  Float `json:"high"`
}

// z95 is the 97.5 % point of the normal distribution.
const z95 = 1.959963984540054

// rateOf is a share with Wilson's score interval (Wilson, "Probable inference",
// JASA 22, 1927), which stays honest at 0 and at 1:
//
//	(p + z2/2n +- z sqrt(p(1-p)/n + z2/4n2)) / (1 + z2/n),   z2 = z^2
func rateOf(right, of int) Rate {
	if of == 0 {
		return Rate{0, 0, unknown, unknown, unknown}
	}
	n := float64(of)
	p := float64(right) / n
	middle := p + z95*z95/(2*n)
	half := z95 * math.Sqrt(p*(1-p)/n+z95*z95/(4*n*n))
	by := 1 + z95*z95/n
	// At the ends rounding must not take the interval off the share.
	return Rate{right, of, Float(p), Float(math.Max(0, math.Min(p, (middle-half)/by))), Float(math.Min(1, math.Max(p, (middle+half)/by)))}
}

// tally counts cases towards a rate.
type tally struct{ right, of int }

func (t *tally) add(right bool) {
	t.of++
	if right {
		t.right++
	}
}

func (t *tally) rate() Rate { return rateOf(t.right, t.of) }

// Count is a number of events and their rate, with the exact upper limit.
type Count struct {
	Count int   `json:"count"`
	Per   Float `json:"per"` // dives or hours
	Rate  Float `json:"rate"`
	High  Float `json:"rate_high"` // 95 %, one-sided
}

// countOf is a number of events over an exposure with the exact upper limit of a
// Poisson mean (Garwood, Biometrika 28, 1936), one-sided, 95 %:
//
//	upper(n) = chi2(0.95; 2n+2) / 2
//
// which is 3.00 for no event in any time: "none in T hours" is at most 3/T.
func countOf(n int, per float64) Count {
	if !(per > 0) {
		return Count{n, Float(per), unknown, unknown}
	}
	upper := distuv.ChiSquared{K: float64(2*n + 2)}.Quantile(0.95) / 2
	return Count{n, Float(per), Float(float64(n) / per), Float(upper / per)}
}

// Mean is the mean over dives with a 95 % interval.
type Mean struct {
	Mean Float `json:"mean"`
	Low  Float `json:"low"`
	High Float `json:"high"`
}

// bootstraps is how many times the dives are drawn again.
const bootstraps = 2000

// meanOf is the mean over dives with its percentile bootstrap interval (Efron
// 1979), dives being drawn again with replacement: rows of one dive share their
// errors, so that they are no independent cases. The chance is seeded: the same
// dives give the same interval.
func meanOf(x []float64) Mean {
	if len(x) == 0 {
		return Mean{unknown, unknown, unknown}
	}
	r := rand.New(rand.NewPCG(uint64(len(x)), bootstraps))
	means := make([]float64, bootstraps)
	for i := range means {
		for range x {
			means[i] += x[r.IntN(len(x))]
		}
		means[i] /= float64(len(x))
	}
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return Mean{Float(sum / float64(len(x))), Float(quantile(means, 0.025)), Float(quantile(means, 0.975))}
}
