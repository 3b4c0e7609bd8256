package cell

import "math"

// verdict is the relation of each cell to a reference.
type verdict struct {
	ref   int
	quick float64 // T90 taken for the reference, s
	views views
	fits  []fit     // of each cell; that of the reference itself is trivial
	pairs []pair    // the comparison behind each fit; no readings where there was none
	good  []bool    // quick and of constant gain
	gain  []float64 // against the reference cell
	// total is the cost, with penalties, of taking each cell for the truth; by
	// holds the fits that go with it.
	total []float64
	by    [][]fit
}

// relate takes each cell in turn for the truth and asks what the others would
// then suffer from. A cell can lag but not lead, and a limited cell can't look
// expansive; so the reference with the least total cost is truthful in its
// dynamics, in the majority or not. Gain has no say: any constant gain is free.
// Each cell is then judged again against the mean of the good ones but itself.
func (d *dive) relate(quickT90S float64) verdict {
	v := verdict{quick: quickT90S, views: d.newViews(quickT90S), total: make([]float64, d.n), by: make([][]fit, d.n)}
	least := math.Inf(1)
	for j := range d.y {
		v.by[j], v.total[j] = d.against(v.views, j, least+3*d.p.SureMargin)
		least = math.Min(least, v.total[j])
		if v.total[j] < v.total[v.ref] {
			v.ref = j
		}
	}
	v.fits = v.by[v.ref]
	d.markGood(&v)
	d.refit(&v)
	return v
}

// against fits every cell to cell j and adds up the costs; it stops once they
// exceed enough.
func (d *dive) against(v views, j int, enough float64) ([]fit, float64) {
	fits := make([]fit, d.n)
	total := d.missing(j) / d.p.CorrelationS
	for i := range d.y {
		fits[i] = fit{gain: 1, tau: v.quick, tauAfter: v.quick}
		if i == j || total > enough {
			continue
		}
		q := d.newPair(v, v.through[i][v.quick], v.through[j], d.scatter(i), d.scatter(j))
		fits[i] = q.best()
		total += fits[i].penalised
	}
	return fits, total
}

// missing is the time, in seconds, over which a cell has no usable reading. A
// reference is disfavoured by it: it would be judged by what it does not see.
func (d *dive) missing(j int) float64 {
	sum := 0.0
	for _, b := range d.blocks {
		bad := 0
		for i := b.from; i < b.to; i++ {
			if math.IsNaN(d.y[j][i]) {
				bad++
			}
		}
		if 2*bad > b.to-b.from {
			sum += b.lengthS
		}
	}
	return sum
}

// markGood tells which cells are as quick as the reference and of constant gain.
func (d *dive) markGood(v *verdict) {
	const grossGain = 3 // a cell further off measures nothing
	limit := math.Max(0.85*d.p.SlowT90S, 1.15*v.quick)
	v.good, v.gain = make([]bool, d.n), make([]float64, d.n)
	for i, f := range v.fits {
		v.gain[i] = f.gain
		steadyQuick := f.shape == steady && v.views.taus[f.tau]*math.Ln10 <= limit
		v.good[i] = i == v.ref || (steadyQuick && f.gain > 1/grossGain && f.gain < grossGain)
	}
}

// refit judges each cell against the mean of the good ones but itself.
func (d *dive) refit(v *verdict) {
	v.pairs = make([]pair, d.n)
	fits := append([]fit(nil), v.fits...)
	for i := range d.y {
		x, noise := d.goodMean(v, i)
		if x == nil {
			continue
		}
		v.pairs[i] = d.newPair(v.views, v.views.through[i][v.views.quick], x, d.scatter(i), noise)
		fits[i] = v.pairs[i].best()
		if f := fits[i]; f.shape != steady || v.pairs[i].t90(f.tau) > d.p.SlowT90S {
			fits[i].margin = v.pairs[i].margin(f)
		}
	}
	v.fits = fits
}

// goodMean is the mean of the good cells but one (-1: of all), their gains taken
// out, behind every filter, and its noise; nil where there is no such cell.
func (d *dive) goodMean(v *verdict, but int) ([][]float64, float64) {
	var use []int
	noise := 0.0
	for j := range d.y {
		if v.good[j] && j != but {
			use = append(use, j)
			noise += sq(d.scatter(j))
		}
	}
	if len(use) == 0 {
		return nil, 0
	}
	x := make([][]float64, len(v.views.taus))
	for t := range x {
		x[t] = make([]float64, len(d.blocks))
		for k := range x[t] {
			x[t][k] = meanAt(v, use, t, k)
		}
	}
	return x, math.Sqrt(noise) / float64(len(use))
}

// meanAt is the mean over some cells in one block, their gains taken out.
func meanAt(v *verdict, use []int, t, k int) float64 {
	sum, n := 0.0, 0
	for _, j := range use {
		if a := v.views.through[j][t][k]; !math.IsNaN(a) {
			sum, n = sum+a/v.gain[j], n+1
		}
	}
	return sum / float64(n)
}

// refMargin is how much dearer the best other reference is under which cell i
// would not suffer from the same fault; +Inf where none.
func (v *verdict) refMargin(i int, s shape) float64 {
	best := math.Inf(1)
	for j, fits := range v.by {
		if j != v.ref && (j == i || fits[i].shape != s) {
			best = math.Min(best, v.total[j]-v.total[v.ref])
		}
	}
	return best
}
