package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

// Line is a straight line y = Intercept + Slope x by (weighted) least squares.
type Line struct {
	Intercept, Slope     float64
	InterceptSE, SlopeSE float64 // standard errors
	// Covariance is that of intercept and slope.
	Covariance float64
	// ResidualSD is sqrt(sum w r^2 / DF).
	ResidualSD float64
	DF         int // points less 2
}

// LeastSquares fits a line to y over x:
//
//	b = sum w (x - xm)(y - ym) / sum w (x - xm)^2,  a = ym - b xm
//
// w are the weights, nil for equal ones. With weights that are 1/variance and
// known is true, the errors follow from the weights alone, widened by the
// residuals where those are larger than the weights foretell; else they follow
// from the residuals. Fewer than 2 different x give NaN; with 2 points the
// errors are NaN unless known.
func LeastSquares(x, y, w []float64, known bool) Line {
	sameLength(x, y)
	l := Line{nan, nan, nan, nan, nan, nan, len(x) - 2}
	if w == nil {
		w = ones(len(x))
	}
	sameLength(x, w)
	sw := floats.Sum(w)
	if len(x) < 2 || !(sw > 0) {
		return l
	}
	xm, ym := floats.Dot(w, x)/sw, floats.Dot(w, y)/sw
	sxx, sxy := 0.0, 0.0
	for i := range x {
		sxx += w[i] * (x[i] - xm) * (x[i] - xm)
		sxy += w[i] * (x[i] - xm) * (y[i] - ym)
	}
	if !(sxx > 0) {
		return l
	}
	l.Slope = sxy / sxx
	l.Intercept = ym - l.Slope*xm
	l.errors(x, y, w, known, sw, xm, sxx)
	return l
}

// errors fills the standard errors.
func (l *Line) errors(x, y, w []float64, known bool, sw, xm, sxx float64) {
	rss := 0.0
	for i := range x {
		r := y[i] - l.Intercept - l.Slope*x[i]
		rss += w[i] * r * r
	}
	variance := nan
	if l.DF > 0 {
		variance = rss / float64(l.DF)
		l.ResidualSD = math.Sqrt(variance)
	}
	if known {
		variance = math.Max(1, orZero(variance))
	}
	l.SlopeSE = math.Sqrt(variance / sxx)
	l.InterceptSE = math.Sqrt(variance * (1/sw + xm*xm/sxx))
	l.Covariance = -xm * variance / sxx
}

// At is the line's value at x.
func (l Line) At(x float64) float64 { return l.Intercept + l.Slope*x }

// SEAt is the standard error of the line's value at x.
func (l Line) SEAt(x float64) float64 {
	v := l.InterceptSE*l.InterceptSE + 2*x*l.Covariance + x*x*l.SlopeSE*l.SlopeSE
	return math.Sqrt(math.Max(0, v))
}

// StudentT is the two-sided quantile of Student's t: the factor that makes an
// interval of the given level (0.95) out of a standard error with df degrees of
// freedom; that of the normal distribution for df <= 0.
func StudentT(level float64, df int) float64 {
	p := 1 - (1-level)/2
	if df <= 0 {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile(p)
}

func ones(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

func orZero(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}
