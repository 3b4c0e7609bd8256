package fit

import "math"

// Quantile of ascending values, linear between order statistics:
//
//	h = (n-1) p;  x[floor h] + (h - floor h) (x[floor h + 1] - x[floor h])
//
// Definition 7 of Hyndman and Fan, 1996 (memory). p lies in 0..1. NaN of nothing.
func Quantile(sorted []float64, p float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	h := float64(len(sorted)-1) * p
	i := int(math.Floor(h))
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (h-float64(i))*(sorted[i+1]-sorted[i])
}
