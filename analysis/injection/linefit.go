package injection

import "math"

// lineFit is a running least-squares fit of y = a + b t + c h.
type lineFit struct {
	n, t, h, y, tt, th, hh, ty, hy, yy float64
	c, seC, ss                         float64
}

func (f *lineFit) add(t, h, y float64) {
	f.n++
	f.t += t
	f.h += h
	f.y += y
	f.tt += t * t
	f.th += t * h
	f.hh += h * h
	f.ty += t * y
	f.hy += h * y
	f.yy += y * y
}

// solve returns c and its standard error, NaN where the rows do not settle them.
// It removes the means first, then the line, so that small numbers stay exact.
func (f *lineFit) solve() (c, se float64) {
	n := f.n
	tt, th, hh := f.tt-f.t*f.t/n, f.th-f.t*f.h/n, f.hh-f.h*f.h/n
	ty, hy, yy := f.ty-f.t*f.y/n, f.hy-f.h*f.y/n, f.yy-f.y*f.y/n
	left := hh - th*th/tt // of h, once the line is out
	if n < 4 || !(tt > 0) || !(left > 1e-9*hh) {
		f.ss = math.Inf(1)
		return math.NaN(), math.NaN()
	}
	f.c = (hy - th*ty/tt) / left
	f.ss = math.Max(0, yy-ty*ty/tt-f.c*f.c*left)
	f.seC = math.Sqrt(f.ss / (n - 3) / left)
	return f.c, f.seC
}

// residual sum of squares after solve.
func (f *lineFit) residual() float64 { return f.ss }
