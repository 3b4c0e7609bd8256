package tracking

import "math"

// Figures say how large the error was over some time. With AssessedS 0 the
// others are NaN.
type Figures struct {
	// AssessedS is the time over which the error is known and counts, s.
	AssessedS float64
	// MeanErrorBar is the mean of PO2 - set point; positive is too much oxygen.
	MeanErrorBar float64
	// MAEBar is the mean of the absolute error, RMSEBar the root of the mean square.
	MAEBar, RMSEBar float64
	// IAEBarS is the integral of the absolute error, bar s.
	IAEBarS float64
	// Within005 and Within010 are the shares of AssessedS with an error of at
	// most TightBar and LooseBar.
	Within005, Within010 float64
}

// PhaseFigures are the figures of one kind of phase.
type PhaseFigures struct {
	Phase Phase
	Figures
}

// Result is how well the set point was followed.
type Result struct {
	Figures
	// UnattainableS is the time on the loop with a set point above ambient
	// pressure; it is left out of the figures.
	UnattainableS float64
	// AboveDryS is the time with a set point above the pressure of the dry gas but
	// not above ambient. It is part of the figures and said apart: a humid loop
	// can't reach such a set point.
	AboveDryS float64
	// ByPhase lists the phases that have assessed time, in the order of [AllPhases].
	ByPhase []PhaseFigures
	// ErrorBar is the error by row, NaN where it does not count.
	ErrorBar []float64
}

// sums are the running integrals behind Figures.
type sums struct{ s, e, abs, square, tight, loose float64 }

func (a *sums) add(e, w float64) {
	abs := math.Abs(e)
	a.s += w
	a.e += e * w
	a.abs += abs * w
	a.square += e * e * w
	if abs <= TightBar+tolBar {
		a.tight += w
	}
	if abs <= LooseBar+tolBar {
		a.loose += w
	}
}

func (a sums) figures() Figures {
	if a.s == 0 {
		nan := math.NaN()
		return Figures{0, nan, nan, nan, nan, nan, nan}
	}
	return Figures{
		AssessedS: a.s, MeanErrorBar: a.e / a.s, MAEBar: a.abs / a.s, RMSEBar: math.Sqrt(a.square / a.s),
		IAEBarS: a.abs, Within005: a.tight / a.s, Within010: a.loose / a.s,
	}
}

// Track computes the figures of control performance. The error is
//
//	e = PO2 - set point
//
// over rows on the loop whose set point is at most ambient pressure; every row
// weighs the time to the next (the last row, and a row before a gap, as the one
// before), so gaps count nothing. phases is the result of [Phases], or nil for
// no figures by phase. Nothing in these figures can be tuned; the parameters are
// taken so that all functions of the package are called alike.
//
//	MAE = ∫|e| dt / T    RMSE = sqrt(∫e² dt / T)    IAE = ∫|e| dt
func Track(in Input, phases []Phase, _ Params) Result {
	if phases != nil && len(phases) != len(in.TimeS) {
		panic("tracking: phases differ in length")
	}
	r := Result{ErrorBar: ErrorBar(in)}
	var all sums
	var byPhase [Ascent + 1]sums
	for i, e := range r.ErrorBar {
		w := rowS(in.TimeS, in.GapAfter, i)
		attain := in.attain(i)
		if attain == unattainable {
			r.UnattainableS += w
		}
		if math.IsNaN(e) {
			continue
		}
		if attain == aboveDry {
			r.AboveDryS += w
		}
		all.add(e, w)
		if phases != nil {
			byPhase[phases[i]].add(e, w)
		}
	}
	r.Figures = all.figures()
	for _, ph := range AllPhases() {
		if byPhase[ph].s > 0 {
			r.ByPhase = append(r.ByPhase, PhaseFigures{ph, byPhase[ph].figures()})
		}
	}
	return r
}
