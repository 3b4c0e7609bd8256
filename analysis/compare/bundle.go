package compare

import "math"

// Bundle is many courses in one: at each place of the axis how many of them are
// there, their median and quartiles (of the means), and their range (of the
// extremes, so that one sample's spike widens it).
type Bundle struct {
	X                                  []float64
	N                                  []int
	Low, Quartile, Median, Upper, High []float64
}

// BundleOf puts courses together on a grid of n places from x0 to x1. xs and ys
// are the rows, ascending in x; mx and my the means. A place without a row takes
// none from a neighbour, so a gap stays a gap, and a place where fewer than three
// courses are is NaN.
func BundleOf(n int, x0, x1 float64, xs, ys, mx, my [][]float64) Bundle {
	b := Bundle{X: make([]float64, n), N: make([]int, n), Low: nans(n), Quartile: nans(n), Median: nans(n), Upper: nans(n), High: nans(n)}
	step := (x1 - x0) / float64(n)
	lows, highs, means := make([][]float64, n), make([][]float64, n), make([][]float64, n)
	for k := range xs {
		low, high, mean := onGrid(n, x0, step, xs[k], ys[k], mx[k], my[k])
		for i := range n {
			if !math.IsNaN(mean[i]) {
				lows[i], highs[i], means[i] = append(lows[i], low[i]), append(highs[i], high[i]), append(means[i], mean[i])
			}
		}
	}
	for i := range n {
		b.X[i], b.N[i] = x0+(float64(i)+0.5)*step, len(means[i])
		s := SpreadOf(means[i])
		b.Quartile[i], b.Median[i], b.Upper[i] = float64(s.Quartile), float64(s.Median), float64(s.Upper)
		if s.N >= rangeFrom {
			b.Low[i], b.High[i] = float64(SpreadOf(lows[i]).Min), float64(SpreadOf(highs[i]).Max)
		}
	}
	return b
}

// onGrid brings one course onto the grid.
func onGrid(n int, x0, step float64, xs, ys, mx, my []float64) (low, high, mean []float64) {
	low, high, mean = nans(n), nans(n), nans(n)
	count := make([]float64, n)
	place := func(x float64) int {
		if i := math.Floor((x - x0) / step); i >= 0 && i < float64(n) {
			return int(i)
		}
		return -1
	}
	for j, x := range xs {
		if i := place(x); i >= 0 && !math.IsNaN(ys[j]) {
			low[i], high[i] = least(low[i], ys[j]), most(high[i], ys[j])
		}
	}
	for j, x := range mx {
		if i := place(x); i >= 0 && !math.IsNaN(my[j]) {
			if count[i]++; count[i] == 1 {
				mean[i] = my[j]
			} else {
				mean[i] += my[j]
			}
		}
	}
	for i := range mean {
		if count[i] > 0 {
			mean[i] /= count[i]
		} else if !math.IsNaN(low[i]) {
			mean[i] = (low[i] + high[i]) / 2
		}
	}
	bridge(n, x0, step, mx, my, low, high, mean)
	return
}

// bridge fills places between two rows that are further apart than a place is
// wide: a row holds until the next. A gap has a row of NaN, and stays open.
func bridge(n int, x0, step float64, mx, my []float64, low, high, mean []float64) {
	for j := 0; j+1 < len(mx); j++ {
		if math.IsNaN(my[j]) {
			continue
		}
		from, to := int(math.Floor((mx[j]-x0)/step)), int(math.Floor((mx[j+1]-x0)/step))
		for i := max(from+1, 0); i < min(to, n); i++ {
			if math.IsNaN(mean[i]) {
				low[i], high[i], mean[i] = my[j], my[j], my[j]
			}
		}
	}
}

func least(a, b float64) float64 {
	if b < a || math.IsNaN(a) {
		return b
	}
	return a
}

func most(a, b float64) float64 {
	if b > a || math.IsNaN(a) {
		return b
	}
	return a
}

func nans(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = math.NaN()
	}
	return v
}
