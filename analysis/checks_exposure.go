package analysis

import (
	"fmt"
	"math"
)

// checkCNSSingle compares the headline CNS fraction with the single-exposure limit.
func checkCNSSingle(b *bench) verdict {
	return b.dose("cns-single-limit", "CNS by the single-exposure limits", "NOAA Diving Manual, table of oxygen exposure limits",
		func(s ExposureSource) float64 { return float64(s.CNSPercent) / 100 }, b.runningCNS)
}

// checkCNSDaily compares the CNS fraction by the 24-hour limits. Earlier dives are not in this log.
func checkCNSDaily(b *bench) verdict {
	return b.dose("cns-daily-limit", "CNS by the 24-hour limits", "NOAA Diving Manual, 24-hour limits, no decay; earlier dives are not counted",
		func(s ExposureSource) float64 { return float64(s.CNS24hPercent) / 100 }, nil)
}

// checkOTU compares the pulmonary dose with the limit of a first day.
func checkOTU(b *bench) verdict {
	return b.dose("otu-daily-limit", "OTU of this dive", "REPEX (Hamilton, Kenyon and Peterson, 1988): 850 on the first day; earlier days are not counted",
		func(s ExposureSource) float64 { return float64(s.OTU) / repexFirstDayOTU }, nil)
}

// repexFirstDayOTU is the REPEX limit of a single day, see package exposure.
const repexFirstDayOTU = 850

// dose judges one figure of the headline's source against its limit.
func (b *bench) dose(kindName, what, source string, share func(ExposureSource) float64, running func(string) []float64) verdict {
	s, ok := b.headlineSource()
	if !ok {
		return notAssessed(noBelievedPO2)
	}
	v, l := share(s), b.p.Limits
	fraction := b.debrief.Assessable.TimeFraction
	if math.IsNaN(v) {
		return notAssessed("the dose of " + s.Source + " could not be computed")
	}
	if v < l.ExposureCautionFraction-1e-9 {
		return ran(float64(fraction))
	}
	f := Finding{Kind: kindName, Severity: Caution, Confidence: b.doseConfidence(share, l.ExposureCautionFraction), WhySure: "graded by how many of the possible sources of PO2 pass the same mark",
		FromS: Float(b.tS[0]), ToS: Float(b.tS[len(b.tS)-1]),
		Observed: fmt.Sprintf("%s reached %s of the limit (%s).", what, shareText(v), sourceName(s.Source)),
		Onset:    noValue("%"), Worst: constant(100*v, "%"), End: constant(100*v, "%"),
		Limit: constant(100, "%"), LimitSource: source, Others: b.doseRange(share)}
	if v >= l.ExposureWarningFraction-1e-9 {
		f.Severity = Warning
	}
	if running != nil {
		if i := firstAtLeast(running(s.Source), l.ExposureCautionFraction); i >= 0 {
			f.FromS, f.Onset = Float(b.tS[i]), Value{Value: Float(100 * l.ExposureCautionFraction), Unit: "%", AtS: Float(b.tS[i])}
		}
	}
	return ran(float64(fraction), f)
}

// shareText is a share in per cent; close below the whole it keeps a decimal, so
// that 99.9 % does not read as the limit.
func shareText(v float64) string {
	if v < 1 && v > 0.994 {
		return fmt.Sprintf("%.1f %%", math.Floor(1000*v)/10)
	}
	return fmt.Sprintf("%.0f %%", 100*v)
}

// doseConfidence counts the sources, not judged false, that pass the mark too.
func (b *bench) doseConfidence(share func(ExposureSource) float64, mark float64) Confidence {
	past, n := 0, 0
	for _, s := range b.debrief.Exposure.BySource {
		if s.JudgedFalse || !headlineCandidate(s.Source) {
			continue
		}
		n++
		if share(s) >= mark-1e-9 {
			past++
		}
	}
	switch {
	case n > 1 && past == n:
		return Sure
	case n == 1:
		return Likely
	}
	return Possible
}

func (b *bench) doseRange(share func(ExposureSource) float64) string {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range b.debrief.Exposure.BySource {
		if v := share(s); !s.JudgedFalse && !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	return fmt.Sprintf("over all sources of PO2 that are not judged false the figure lies between %.0f and %.0f %%", 100*lo, 100*hi)
}

func (b *bench) runningCNS(source string) []float64 { return b.doses[source].RunningCNSStep }

func firstAtLeast(v []float64, x float64) int {
	for i, y := range v {
		if y >= x-1e-9 {
			return i
		}
	}
	return -1
}

// checkBeyondTable looks for time at a PO2 for which the CNS table has no row.
func checkBeyondTable(b *bench) verdict {
	s, ok := b.headlineSource()
	if !ok {
		return notAssessed(noBelievedPO2)
	}
	sec := float64(s.SecondsAboveTable)
	if sec <= 0 {
		return ran(float64(b.debrief.Assessable.TimeFraction))
	}
	v := b.breathed[s.Source]
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return v[i] > tableTopBar+tol })
	f := Finding{Kind: "beyond-cns-table", Severity: Caution,
		FromS: Float(b.tS[0]), ToS: Float(b.tS[len(b.tS)-1]),
		Observed: fmt.Sprintf("For %s the PO2 (%s) was above 1.6 bar, where the table is silent. That time is charged at the limit of 1.6 bar, so the CNS figure is a lower bound.", duration(sec), sourceName(s.Source)),
		Onset:    noValue("bar"), Worst: noValue("bar"), End: noValue("bar"),
		Limit: constant(tableTopBar, "bar"), LimitSource: "NOAA Diving Manual: last row of the table", Others: b.doseRange(func(s ExposureSource) float64 { return float64(s.CNSPercent) / 100 })}
	if len(ss) > 0 {
		e := span{from: ss[0].from, to: ss[len(ss)-1].to}
		w := extreme(v, e, 1)
		f.FromS, f.ToS = Float(ss[0].fromS), Float(ss[len(ss)-1].toS)
		f.Onset, f.Worst, f.End = at(v, b.tS, e.from, "bar"), at(v, b.tS, w, "bar"), at(v, b.tS, e.to, "bar")
	}
	f.Confidence = b.doseConfidence(func(s ExposureSource) float64 { return float64(s.SecondsAboveTable) }, 1)
	f.WhySure = "graded by how many of the possible sources of PO2 go beyond the table too"
	return ran(float64(b.debrief.Assessable.TimeFraction), f)
}

// tableTopBar is the last row of the CNS table.
const tableTopBar = 1.6
