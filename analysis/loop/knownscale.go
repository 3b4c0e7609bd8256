package loop

import "math"

// knownScale is the log-likelihood of the scale shared by the cells, given the
// stretches in which PO2 is known from outside (calibration, plateau of a flush)
// and the PO2 c estimated at scale 0; nil without any.
//
//	ln L = -sum [ (mean c exp(-delta) - mid)^2 / (2 s^2) ],  s = half width/1.96
//
// s is no less than the noise of a reading.
func knownScale(r Record, c []float64, p Params) func(delta float64) float64 {
	type point struct{ c, mid, sd float64 }
	var points []point
	for _, k := range r.Known {
		s, n := 0.0, 0.0
		for i, t := range r.TimeS {
			if t >= k.FromS && t <= k.ToS {
				s, n = s+c[i], n+1
			}
		}
		if n > 0 && k.HighBar >= k.LowBar {
			points = append(points, point{s / n, (k.LowBar + k.HighBar) / 2, math.Max((k.HighBar-k.LowBar)/3.92, p.CellNoiseBar)})
		}
	}
	if len(points) == 0 {
		return nil
	}
	return func(delta float64) float64 {
		l := 0.0
		for _, q := range points {
			l -= sq((q.c*math.Exp(-delta)-q.mid)/q.sd) / 2
		}
		return l
	}
}
