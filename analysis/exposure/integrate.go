package exposure

import "math"

// Result is the dose of one course of PO2.
type Result struct {
	// Total is what the readings show. A gap counts nothing in it.
	Total Dose
	// Low and High bound the dose with its gaps: Low charges them with nothing and so
	// equals Total, High at the higher of their two ends for their whole length. What
	// lies before the first reading and after the last is in neither.
	Low, High Dose
	// GapS is the length of the gaps between readings, in seconds.
	GapS float64
	// RunningCNSStep (a fraction) and RunningOTU are Total up to each row; they stand
	// still over gaps. [IntegrateTotal] leaves them nil.
	RunningCNSStep, RunningOTU []float64
}

// Integrate is the dose of PO2 poBar (bar, NaN = not recorded) at the times tS
// (seconds, strictly increasing). gapAfter tells of a gap between a row and the
// next and may be nil. Rows without a reading are bridged by a straight line if
// no gap lies among them and the hole is no longer than o.MaxHoleS; else they are
// a gap, which is never interpolated.
//
// CNS24h is the sum over the whole course: for one longer than a day, or several
// in a day, see [Rolling24h].
func Integrate(tS, poBar []float64, gapAfter []bool, o Options) Result {
	return integrate(tS, poBar, gapAfter, o, Result{
		RunningCNSStep: make([]float64, len(tS)),
		RunningOTU:     make([]float64, len(tS)),
	})
}

// IntegrateTotal is [Integrate] without the running doses, for whoever asks for
// many courses.
func IntegrateTotal(tS, poBar []float64, gapAfter []bool, o Options) Result {
	return integrate(tS, poBar, gapAfter, o, Result{})
}

func integrate(tS, poBar []float64, gapAfter []bool, o Options, r Result) Result {
	checkLengths(tS, poBar, gapAfter)
	done := 0 // rows before it have their running dose
	hold := func(row int) {
		for ; done < min(row, len(r.RunningOTU)); done++ {
			r.RunningCNSStep[done], r.RunningOTU[done] = r.Total.CNSStep, r.Total.OTU
		}
	}
	var unseen Dose
	eachPair(tS, poBar, gapAfter, o.maxHoleS(), func(i, j int, gap bool) {
		dtS := tS[j] - tS[i]
		if gap {
			p := math.Max(poBar[i], poBar[j])
			unseen = unseen.Add(Segment(p, p, dtS, o))
			hold(j)
			return
		}
		slope := (poBar[j] - poBar[i]) / dtS
		from := poBar[i]
		for k := i + 1; k <= j; k++ {
			hold(k)
			to := poBar[j]
			if k < j {
				to = poBar[i] + slope*(tS[k]-tS[i])
			}
			r.Total = r.Total.Add(Segment(from, to, tS[k]-tS[k-1], o))
			from = to
		}
	})
	hold(len(tS))
	r.Low, r.High, r.GapS = r.Total, r.Total.Add(unseen), unseen.Seconds
	return r
}

// eachPair calls visit for every two neighbouring readings, in order of time, and
// says whether a gap lies between them.
func eachPair(tS, poBar []float64, gapAfter []bool, maxHoleS float64, visit func(i, j int, gap bool)) {
	last, gap := -1, false
	for j, p := range poBar {
		if !math.IsNaN(p) && !math.IsInf(p, 0) {
			if last >= 0 {
				hole := j > last+1 && tS[j]-tS[last] > maxHoleS
				visit(last, j, gap || hole)
			}
			last, gap = j, false
		}
		if gapAfter != nil && gapAfter[j] {
			gap = true
		}
	}
}

// BandTime is the time spent in one band of the table.
type BandTime struct {
	// FromBar (exclusive) and ToBar (inclusive) are the band's edges in bar: -Inf and
	// +Inf where it is open.
	FromBar, ToBar float64
	Minutes        float64
	// LimitMin is the limit of a single exposure: +Inf where time costs nothing, NaN
	// beyond the table.
	LimitMin float64
}

// MinutesByBand is the time spent in each band of the table, from the free one to
// the one beyond the table: 13 bands, always all of them. Gaps and holes are
// treated as in [Integrate] and count nothing.
func MinutesByBand(tS, poBar []float64, gapAfter []bool, o Options) []BandTime {
	checkLengths(tS, poBar, gapAfter)
	bands := emptyBands(o)
	eachPair(tS, poBar, gapAfter, o.maxHoleS(), func(i, j int, gap bool) {
		if gap {
			return
		}
		minutes := (tS[j] - tS[i]) / 60
		p0, p1 := o.tablePO2(poBar[i]), o.tablePO2(poBar[j])
		eachBand(math.Min(p0, p1), math.Max(p0, p1), func(band int, share float64) {
			bands[band].Minutes += share * minutes
		})
	})
	return bands
}

func emptyBands(o Options) []BandTime {
	bands := make([]BandTime, bandAbove+1)
	from := math.Inf(-1)
	for band := range bands {
		to := math.Inf(1)
		if band < bandAbove {
			to = o.barOf(math.Round(bandTop(band)*10) / 10)
		}
		bands[band] = BandTime{FromBar: from, ToBar: to, LimitMin: singleMin[band]}
		from = to
	}
	bands[bandAbove].LimitMin = math.NaN()
	return bands
}

func checkLengths(tS, poBar []float64, gapAfter []bool) {
	if len(tS) != len(poBar) || gapAfter != nil && len(gapAfter) != len(tS) {
		panic("exposure: time, PO2 and gaps differ in length")
	}
}
