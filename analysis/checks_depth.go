package analysis

import (
	"fmt"
	"math"

	"afterloop/analysis/hydro"
	"afterloop/ingest"
)

// checkSurfacePressure compares the pressure in use with the one measured at the
// surface, before the dive and after it.
func checkSurfacePressure(b *bench) verdict {
	if b.dive.AmbientFrom != ingest.AmbientMeasured {
		return notAssessed("no measured ambient pressure in the log: depth alone can't contradict a surface pressure")
	}
	s, l := b.debrief.DepthPressure.Surface, b.p.PressureLimits
	m, from, to, ok := b.atSurface()
	if !ok {
		if s.Presumed {
			return notAssessed(s.DriftBar.Reason)
		}
		return notAssessed("no rows at the surface")
	}
	off := math.Abs(m-float64(s.InUseBar)) > b.p.Limits.SurfacePressureBar+tol
	d := s.DriftBar
	drifts := d.Value.Known() && math.Min(math.Abs(float64(d.Low)), math.Abs(float64(d.High))) > l.DriftBar+tol && d.Low*d.High > 0
	if !off && !drifts {
		return ran(1)
	}
	f := Finding{Kind: "surface-pressure", Severity: Note, Confidence: Likely, WhySure: "one line of evidence: the pressure sensor",
		FromS: Float(from), ToS: Float(to), Onset: Value{Value: s.Before.Bar, Unit: "bar", AtS: s.Before.FromS}, Worst: constant(m, "bar"),
		End:   Value{Value: s.After.Bar, Unit: "bar", AtS: s.After.FromS},
		Limit: constant(b.p.Limits.SurfacePressureBar, "bar"), LimitSource: "ours", Others: "ambient pressure is taken from the sensor, not from depth, wherever it was recorded"}
	if off {
		how := "stated in the log"
		if s.Assumed {
			how = "assumed, since the log states none"
		}
		f.Severity = Caution
		f.Observed = fmt.Sprintf("At the surface the ambient pressure was measured as %.3f bar; %.3f bar is in use (%s).", m, float64(s.InUseBar), how)
		f.Observed += b.depthWithMeasured() + fmt.Sprintf(" To use what was measured, give a copy of the log the line \"# surface_pressure_bar: %.3f\" above the column names%s.", m, map[bool]string{false: ", in place of the one it has"}[s.Assumed])
	}
	if drifts {
		f.Observed = joinSentences(f.Observed, fmt.Sprintf("From before the dive to after it the pressure at the surface changed by %+.3f bar (%+.3f to %+.3f).", float64(d.Value), float64(d.Low), float64(d.High)))
	}
	if s.Presumed {
		f.Confidence, f.WhySure = Possible, "that it was the surface is presumed: the record starts and ends at its lowest pressure, and holds no depth of its own"
	}
	return ran(1, f)
}

func joinSentences(a, b string) string {
	if a == "" {
		return b
	}
	return a + " " + b
}

// atSurface is the pressure measured at the surface, with the stretch of time that it
// stems from: a long enough stretch before the dive, else after it, else what rows
// there are.
func (b *bench) atSurface() (bar, fromS, toS float64, ok bool) {
	s := b.debrief.DepthPressure.Surface
	for _, r := range []SurfaceReading{s.Before, s.After} {
		if r.Bar.Known() {
			return float64(r.Bar), float64(r.FromS), float64(r.ToS), true
		}
	}
	if s.Presumed {
		return math.NaN(), math.NaN(), math.NaN(), false
	}
	var rows []float64
	first, last := -1, -1
	for i, p := range b.dive.AmbientBar {
		if b.under[i] || math.IsNaN(p) || !(math.Abs(b.depthAt(i)) < atSurfaceM) {
			continue
		}
		if rows = append(rows, p); first < 0 {
			first = i
		}
		last = i
	}
	if len(rows) == 0 {
		return math.NaN(), math.NaN(), math.NaN(), false
	}
	return medianOf(rows), b.tS[first], b.tS[last], true
}

// checkPressureSensors compares the recorded pressure sensors with the one in use.
func checkPressureSensors(b *bench) verdict {
	d, rows := b.debrief.DepthPressure, b.pressureRows
	if len(d.Sensors) < 2 {
		return doesNotApply("the log holds no second pressure sensor")
	}
	var fs []Finding
	compared, saturated := 0, false
	for k, p := range rows.pairs {
		if p.Rows == 0 {
			continue
		}
		compared++
		if !math.IsNaN(p.SaturatedA) && !saturated { // one finding, whichever sensor shows it
			saturated = true
			fs = append(fs, b.saturatedFinding(p, rows.names[k]))
		}
		ss := merge(lasting(b.disagreeing(p), b.p.PressureLimits.MismatchAfterS), b.p.Limits.MergeS)
		if len(ss) > 0 {
			fs = append(fs, b.sensorsFinding(k, ss))
		}
	}
	if compared == 0 {
		return notAssessed("no row holds readings of both sensors within their ranges")
	}
	return ran(b.usable(func(i int) bool { return !math.IsNaN(rows.pairs[0].DifferenceBar[i]) }), fs...)
}

func sensorName(number int) string {
	if number == 0 {
		return "the one of ambient_bar"
	}
	return fmt.Sprintf("sensor %d", number)
}

// saturatedFinding is a sensor in use that stands at the end of its range.
func (b *bench) saturatedFinding(p hydro.Pair, names [2]int) Finding {
	v := b.dive.AmbientBar
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return b.pressureRows.ended[i] })
	e := span{from: ss[0].from, to: ss[len(ss)-1].to}
	return Finding{Kind: "pressure-sensors-disagree", Severity: Warning, Confidence: Likely, WhySure: "one line of evidence: the other sensor went on while this one stood still",
		FromS: Float(ss[0].fromS), ToS: Float(ss[len(ss)-1].toS),
		Observed: fmt.Sprintf("The pressure in use (%s) stood at %.3f bar for %s while %s went on to higher pressures: it is at the end of its range. Every figure that rests on pressure is wrong there.",
			sensorName(names[0]), p.SaturatedA, duration(totalSeconds(ss)), sensorName(names[1])),
		Onset: at(v, b.tS, e.from, "bar"), Worst: at(v, b.tS, extreme(v, e, 1), "bar"), End: at(v, b.tS, e.to, "bar"),
		Limit: constant(b.p.Pressures.SaturatedRangeBar, "bar"), LimitSource: "ours: the other one moved by more than this meanwhile",
		Others: fmt.Sprintf("below the end of its range they differ by %+.3f bar (median)", p.Median)}
}

// sensorsFinding is a pair that disagrees in the stretches ss.
func (b *bench) sensorsFinding(k int, ss []span) Finding {
	p, names := b.pressureRows.pairs[k], b.pressureRows.names[k]
	d := b.debrief.DepthPressure.Pairs[k]
	e := span{from: ss[0].from, to: ss[len(ss)-1].to}
	f := Finding{Kind: "pressure-sensors-disagree", Severity: Caution, Confidence: Likely, WhySure: "two sensors that contradict each other: one of them is wrong, and nothing tells which",
		FromS: Float(ss[0].fromS), ToS: Float(ss[len(ss)-1].toS),
		Observed: fmt.Sprintf("Pressure of %s lay %+.3f bar (median) from that of %s, which is in use; for %s they were farther apart than the limit, at worst %+.3f bar at %s.",
			sensorName(names[1]), p.Median, sensorName(names[0]), duration(totalSeconds(ss)), float64(d.Worst.Value), b.clock(float64(d.Worst.AtS))),
		Onset: at(p.DifferenceBar, b.tS, e.from, "bar"), Worst: d.Worst, End: at(p.DifferenceBar, b.tS, e.to, "bar"),
		Limit: constant(b.p.PressureLimits.SensorsBar, "bar"), LimitSource: fmt.Sprintf("ours: %s, or %g %% of the pressure, or their rounding, whichever is largest", bar(b.p.PressureLimits.SensorsBar), 100*b.p.PressureLimits.SensorsFraction),
		Others: "all figures rest on the sensor in use; what another pressure would change stands under Depth and pressure"}
	if d.Scale.Value.Known() {
		f.Evidence = []string{fmt.Sprintf("as a line: scale %.4f (%.4f to %.4f), offset %+.3f bar (%+.3f to %+.3f)", float64(d.Scale.Value), float64(d.Scale.Low), float64(d.Scale.High),
			float64(d.OffsetBar.Value), float64(d.OffsetBar.Low), float64(d.OffsetBar.High))}
	}
	return f
}

// checkDepthPressure compares recorded depth with recorded pressure.
func checkDepthPressure(b *bench) verdict {
	d, l := b.debrief.DepthPressure, b.p.PressureLimits
	diff := b.pressureRows.depthM
	switch {
	case b.dive.AmbientFrom != ingest.AmbientMeasured:
		return doesNotApply("the log holds no measured pressure beside the depth")
	case d.DepthFrom == depthOfAmbient:
		return doesNotApply("the log holds no depth of its own beside the pressure")
	case diff == nil:
		return notAssessed("no row holds both depth and pressure")
	}
	far := lasting(spansWhere(b.tS, b.gapAfter, func(i int) bool { return math.Abs(diff[i]) > l.DepthMismatchM+b.dive.DepthStepM/2+tol }), l.MismatchAfterS)
	use := float64(d.DensityKgM3)
	in := d.ImpliedDensity
	dense := in.Value.Known() && (float64(in.Low) > use*(1+l.DensityMismatchFraction) || float64(in.High) < use*(1-l.DensityMismatchFraction))
	fraction := b.usable(func(i int) bool { return !math.IsNaN(diff[i]) })
	var fs []Finding
	if len(far) > 0 || dense {
		fs = append(fs, b.mismatchFinding(far, dense))
	}
	if d.Agreement.PressureEndsBar.Known() && !d.otherSensorSaw() { // else it is told by the check of the sensors
		fs = append(fs, b.endedFinding())
	}
	return ran(fraction, fs...)
}

// otherSensorSaw tells whether another sensor showed the one in use at the end of its range.
func (d *DepthPressure) otherSensorSaw() bool {
	return len(d.Sensors) > 1 && d.Sensors[0].SaturatesBar.Known()
}

// endedFinding is a pressure that stands still while depth goes on.
func (b *bench) endedFinding() Finding {
	v, end := b.dive.AmbientBar, float64(b.debrief.DepthPressure.Agreement.PressureEndsBar)
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return b.pressureRows.ended[i] })
	e := span{from: ss[0].from, to: ss[len(ss)-1].to}
	return Finding{Kind: "depth-pressure-mismatch", Severity: Warning, Confidence: Likely, WhySure: "one line of evidence: depth went on while pressure stood still",
		FromS: Float(ss[0].fromS), ToS: Float(ss[len(ss)-1].toS),
		Observed: fmt.Sprintf("The recorded pressure, which is in use, stood at %.3f bar for %s while depth went on to %.1f m: the sensor is at the end of its range, or stuck. Every figure that rests on pressure is wrong there.",
			end, duration(totalSeconds(ss)), b.dive.DepthM[extreme(b.dive.DepthM, e, 1)]),
		Onset: at(v, b.tS, e.from, "bar"), Worst: at(v, b.tS, extreme(v, e, 1), "bar"), End: at(v, b.tS, e.to, "bar"),
		Limit: constant(b.p.Pressures.SaturatedRangeBar, "bar"), LimitSource: "ours: depth moved by more than this meanwhile",
		Others: "below that pressure depth and pressure are compared as elsewhere"}
}

// Densities that an instrument may assume of water, kg/m3: fresh and warm to sea water
// and cold, with some room. Ours.
const (
	leastWaterKgM3 = 990
	mostWaterKgM3  = 1035
)

func (b *bench) mismatchFinding(far []span, dense bool) Finding {
	d, l := b.debrief.DepthPressure, b.p.PressureLimits
	a := d.Agreement
	f := Finding{Kind: "depth-pressure-mismatch", Severity: Caution, Confidence: Likely, WhySure: "one line of evidence: the two columns contradict each other",
		FromS: Float(b.tS[0]), ToS: Float(b.tS[len(b.tS)-1]), Onset: noValue("m"), Worst: a.Worst, End: noValue("m"),
		Limit: constant(l.DepthMismatchM, "m"), LimitSource: "ours",
		Observed: fmt.Sprintf("Recorded depth lies %+.2f m (median) from the depth that follows from the recorded pressure, at worst %+.2f m at %s.",
			float64(a.MedianM), float64(a.Worst.Value), b.clock(float64(a.Worst.AtS))),
		Others: "pressure is used as recorded wherever it was; depth only names places"}
	if len(far) > 0 {
		e := span{from: far[0].from, to: far[len(far)-1].to}
		f.FromS, f.ToS = Float(far[0].fromS), Float(far[len(far)-1].toS)
		f.Onset, f.End = at(b.pressureRows.depthM, b.tS, e.from, "m"), at(b.pressureRows.depthM, b.tS, e.to, "m")
	}
	if dense {
		in := d.ImpliedDensity
		f.Observed += fmt.Sprintf(" The two imply a density of %.0f kg/m3 (%.0f to %.0f); %.0f is in use (%s).", float64(in.Value), float64(in.Low), float64(in.High), float64(d.DensityKgM3), densityHow(d))
		if float64(a.LeftM) <= l.DepthMismatchM && float64(in.Value) >= leastWaterKgM3 && float64(in.Value) <= mostWaterKgM3 {
			f.Severity, f.Others = Note, f.Others+fmt.Sprintf("; with that density 95 of 100 rows agree within %.2f m, so that nothing but the stated density need be wrong", float64(a.LeftM))
		}
	}
	return f
}

func densityHow(d *DepthPressure) string {
	if d.DensityAssumed {
		return "assumed, since the log states none"
	}
	return "as stated in the log"
}
