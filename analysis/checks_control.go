package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/tracking"
	"afterloop/ingest"
)

// noTracking is why the checks of control could not run; empty where they can.
func (b *bench) noTracking() string {
	switch {
	case b.dive.SetPointBar == nil:
		return "the log has no set point"
	case b.track == nil:
		return "no row with a set point and a PO2 on the loop"
	case b.track.AssessedS == 0:
		return "the set point was above ambient pressure all the time"
	}
	return ""
}

// controlFraction is the share of the recorded time in which the error counts.
func (b *bench) controlFraction() float64 {
	return b.usable(func(i int) bool { return !math.IsNaN(b.track.ErrorBar[i]) })
}

// checkSetPoint looks for PO2 away from the set point for long.
func checkSetPoint(b *bench) verdict {
	if r := b.noTracking(); r != "" {
		return notAssessed(r)
	}
	var fs []Finding
	var natural []tracking.Excursion
	for _, group := range groupExcursions(tracking.NotHeld(b.trackingInput(b.best), b.phases, b.p.Tracking), b.p.Limits.MergeS) {
		if b.excused(group) && !b.faultDuring(group) {
			natural = append(natural, group...)
			continue
		}
		fs = append(fs, b.notHeld(group))
	}
	if len(natural) > 0 { // one note for all of them: pressure and the diver's own changes of set point and gas move PO2
		f := b.notHeld(natural)
		f.Severity = Note
		f.Title = "Away from the set point while depth, set point or gas changed"
		f.FromS, f.ToS = Float(worstOf(natural).FromS), Float(worstOf(natural).ToS) // the page leads to the worst; the sentence counts them all
		fs = append(fs, f)
	}
	return ran(b.controlFraction(), fs...)
}

// groupExcursions joins excursions of one sign that follow one another closely.
func groupExcursions(xs []tracking.Excursion, gapS float64) [][]tracking.Excursion {
	var out [][]tracking.Excursion
	for _, x := range xs {
		if n := len(out); n > 0 {
			last := out[n-1][len(out[n-1])-1]
			if last.Sign == x.Sign && x.FromS-last.ToS <= gapS {
				out[n-1] = append(out[n-1], x)
				continue
			}
		}
		out = append(out, []tracking.Excursion{x})
	}
	return out
}

func (b *bench) notHeld(xs []tracking.Excursion) Finding {
	first, last, worst := xs[0], xs[len(xs)-1], worstOf(xs)
	var total float64
	for _, x := range xs {
		total += x.ToS - x.FromS
	}
	word := offWord(xs)
	f := Finding{Kind: "setpoint-not-held", Severity: Caution, Confidence: Likely, WhySure: "one line of evidence: " + sourceName(b.bestName),
		FromS: Float(first.FromS), ToS: Float(last.ToS),
		Observed: fmt.Sprintf("%s was more than %s %s the set point for %s%s; at most %.2f bar off at %s, set point %s.", capital(sourceName(b.bestName)), bar(b.p.Tracking.NotHeldBar), word,
			duration(total), b.whenText(xs), math.Abs(worst.WorstBar), b.clock(worst.WorstAtS), bar(worst.SetPointBar)),
		Onset: Value{Float(first.OnsetBar), "bar", Float(first.FromS)}, Worst: Value{Float(worst.WorstBar), "bar", Float(worst.WorstAtS)}, End: Value{Float(last.EndBar), "bar", Float(last.ToS)},
		Limit: constant(b.p.Tracking.NotHeldBar, "bar"), LimitSource: fmt.Sprintf("ours: more than %s off for %g s", bar(b.p.Tracking.NotHeldBar), b.p.Tracking.NotHeldS), Evidence: b.excursionEvidence(xs)}
	if b.spreadSmall(first.FromS, last.ToS) {
		f.Confidence, f.WhySure = Sure, "the cells agree about it, and the unit's PO2 says so"
	}
	f.Others = "the cells lay " + b.meanSpreadText(first.FromS, last.ToS) + " apart meanwhile"
	return f
}

// worstOf is the excursion that went farthest.
func worstOf(xs []tracking.Excursion) tracking.Excursion {
	worst := xs[0]
	for _, x := range xs {
		if math.Abs(x.WorstBar) > math.Abs(worst.WorstBar) {
			worst = x
		}
	}
	return worst
}

// faultDuring tells whether a valve, the supply or the recorded vote failed during
// the excursions: then depth is no excuse.
func (b *bench) faultDuring(xs []tracking.Excursion) bool {
	if b.diag == nil {
		return false
	}
	for _, x := range xs {
		for _, f := range b.diag.valves.Faults {
			if x.FromS <= b.endOr(f.ToS) && x.ToS >= f.FromS {
				return true
			}
		}
		for _, s := range b.diag.followed {
			if x.FromS <= s.toS && x.ToS >= s.fromS {
				return true
			}
		}
	}
	return false
}

// excused: a changed set point, a change of depth, or gas that the diver let in made the error, not the loop.
func (b *bench) excused(xs []tracking.Excursion) bool {
	moved := func(x tracking.Excursion) bool {
		return x.AfterChange || x.PhaseKnown && (x.Phase == tracking.Ascent || x.Phase == tracking.Descent || x.Phase == tracking.Surface)
	}
	return moved(xs[0]) || !slices.ContainsFunc(xs, func(x tracking.Excursion) bool { return !moved(x) && b.afterFlush(x) == "" })
}

// afterFlush is the recorded flush or addition of gas with which an excursion began,
// where it was over soon enough for the controller to have made up for it. Oxygen
// can only raise PO2; diluent moves it either way.
func (b *bench) afterFlush(x tracking.Excursion) ingest.EventKind {
	l := b.p.Limits
	if x.ToS-x.FromS > l.FlushOverS+1e-9 {
		return ""
	}
	for _, e := range b.events {
		since := x.FromS - b.tS[e.Row]
		if since < -b.sampleS-1e-9 || since > math.Max(l.FlushJoinS, b.sampleS)+1e-9 {
			continue
		}
		switch e.Kind {
		case ingest.DiluentFlush, ingest.ManualDiluent:
			return e.Kind
		case ingest.OxygenFlush, ingest.ManualOxygen:
			if x.Sign > 0 {
				return e.Kind
			}
		}
	}
	return ""
}

// excursionEvidence says, of each excursion, what moved meanwhile.
func (b *bench) excursionEvidence(xs []tracking.Excursion) []string {
	var out []string
	for _, x := range xs {
		w := []string{fmt.Sprintf("from %s for %s: %+.2f bar at worst", b.clock(x.FromS), duration(x.ToS-x.FromS), x.WorstBar)}
		if x.AfterChange {
			w = append(w, "it began with a change of the set point, and the error is the way still to go")
		}
		if k := b.afterFlush(x); k != "" {
			w = append(w, "it began with gas let in by hand ("+strings.ReplaceAll(string(k), "_", " ")+")")
		}
		if x.PhaseKnown {
			w = append(w, "phase: "+x.Phase.String())
		}
		if !math.IsNaN(x.DepthRangeM) {
			w = append(w, fmt.Sprintf("the depth moved by %.1f m", x.DepthRangeM))
		}
		out = append(out, strings.Join(w, "; "))
	}
	return head(out, 8)
}

// offWord is the side on which PO2 lay off the set point.
func offWord(xs []tracking.Excursion) string {
	word := map[int]string{1: "above", -1: "below"}[xs[0].Sign]
	for _, x := range xs {
		if x.Sign != xs[0].Sign {
			return "off"
		}
	}
	return word
}

// whenText is when it was, or how often.
func (b *bench) whenText(xs []tracking.Excursion) string {
	if len(xs) == 1 {
		return " from " + b.clock(xs[0].FromS)
	}
	return fmt.Sprintf(" in all, %d times from %s on", len(xs), b.clock(xs[0].FromS))
}

// spreadSmall tells whether the cells agreed within the tolerance over the time.
func (b *bench) spreadSmall(fromS, toS float64) bool {
	m := b.meanSpread(fromS, toS)
	return m <= b.p.Limits.DisagreeBar/2
}

func (b *bench) meanSpread(fromS, toS float64) float64 {
	var sum float64
	n := 0
	for i := b.rowAt(fromS); i < len(b.tS) && b.tS[i] <= toS; i++ {
		if !math.IsNaN(b.spread[i]) {
			sum += b.spread[i]
			n++
		}
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}

func (b *bench) meanSpreadText(fromS, toS float64) string {
	m := b.meanSpread(fromS, toS)
	if math.IsNaN(m) {
		return "an unknown distance"
	}
	return bar(m) + " on average"
}

// swingDepthM is the change of depth beyond which swings of PO2 may be the diver's own
// doing, m. Ours: 3 m move the PO2 of a loop at 10 m by 15 %.
const swingDepthM = 3

// checkOscillation looks for PO2 swinging about the set point.
func checkOscillation(b *bench) verdict {
	if r := b.noTracking(); r != "" {
		return notAssessed(r)
	}
	in := b.trackingInput(b.best)
	var fs []Finding
	for _, o := range tracking.Oscillations(in, tracking.HalfWaves(in, b.p.Tracking), b.p.Tracking) {
		f := Finding{Kind: "oscillation", Severity: Caution, Confidence: Likely, WhySure: "one line of evidence: " + sourceName(b.bestName),
			FromS: Float(o.FromS), ToS: Float(o.ToS),
			Observed: fmt.Sprintf("PO2 swung about the set point %d times (half-waves of more than %.0f bar s) from %s to %s, with a period of about %s.", o.HalfWaves,
				b.p.Tracking.HalfWaveBarS, b.clock(o.FromS), b.clock(o.ToS), duration(o.PeriodS)),
			Onset: noValue("half-waves"), Worst: constant(float64(o.HalfWaves), "half-waves"), End: noValue("half-waves"),
			Limit: constant(float64(b.p.Tracking.HalfWaves), "half-waves"), LimitSource: fmt.Sprintf("ours, after Hagglund's method: %d half-waves of more than %g bar s within %g min", b.p.Tracking.HalfWaves, b.p.Tracking.HalfWaveBarS, b.p.Tracking.OscillationWindowS/60),
			Others: "the cells lay " + b.meanSpreadText(o.FromS, o.ToS) + " apart meanwhile"}
		if o.DepthRangeM > swingDepthM {
			f.Severity = Note
			f.Evidence = []string{fmt.Sprintf("the depth moved by %.1f m in it, which moves PO2 by itself", o.DepthRangeM)}
		}
		fs = append(fs, f)
	}
	return ran(b.controlFraction(), fs...)
}

// assessedChanges are the changes of set point that could be judged, or why none.
func (b *bench) assessedChanges() ([]tracking.Change, string) {
	if r := b.noTracking(); r != "" {
		return nil, r
	}
	var out []tracking.Change
	reason := "the set point was never changed"
	for _, c := range b.changes {
		if c.Assessed {
			out = append(out, c)
		} else {
			reason = "no change of set point could be judged: " + c.Reason
		}
	}
	return out, reason
}

// checkSluggish looks for set-point changes upwards that took too long. A change
// downwards waits for metabolism, which is no fault of injection.
func checkSluggish(b *bench) verdict {
	cs, reason := b.assessedChanges()
	var fs []Finding
	judged := 0
	for _, c := range cs {
		if c.ToBar < c.FromBar || !c.SluggishKnown {
			continue
		}
		judged++
		if c.Sluggish {
			fs = append(fs, b.sluggish(c))
		}
	}
	if judged == 0 {
		if len(cs) > 0 {
			reason = "no change of set point upwards could be watched long enough"
		}
		return notAssessed(reason)
	}
	return ran(b.controlFraction(), fs...)
}

func (b *bench) sluggish(c tracking.Change) Finding {
	took := "was not reached within " + duration(c.WatchedS)
	if !math.IsNaN(c.WithinS) {
		took = "took " + duration(c.WithinS)
	}
	return Finding{Kind: "sluggish", Severity: Caution, Confidence: Likely, WhySure: "one change of set point at constant depth",
		FromS: Float(c.AtS), ToS: Float(c.AtS + c.WatchedS),
		Observed: fmt.Sprintf("After the change of set point from %s to %s at %s, %.2f bar of the new one %s.", bar(c.FromBar), bar(c.ToBar), b.clock(c.AtS), b.p.Tracking.SettleBar, took),
		Onset:    Value{Float(c.StartBar), "bar", Float(c.AtS)}, Worst: constant(c.WithinS, "s"), End: noValue("s"),
		Limit: constant(b.p.Tracking.SluggishS, "s"), LimitSource: "ours", Others: "the cells lay " + b.meanSpreadText(c.AtS, c.AtS+c.WatchedS) + " apart meanwhile"}
}

// checkOvershoot looks for set-point changes upwards that shot past.
func checkOvershoot(b *bench) verdict {
	cs, reason := b.assessedChanges()
	var fs []Finding
	judged := 0
	for _, c := range cs {
		if c.ToBar < c.FromBar || math.IsNaN(c.OvershootBar) {
			continue
		}
		judged++
		if c.OvershootBar > b.p.Tracking.OvershootBar+tol {
			fs = append(fs, Finding{Kind: "overshoot", Severity: Caution, Confidence: Likely, WhySure: "one change of set point at constant depth",
				FromS: Float(c.AtS), ToS: Float(c.AtS + c.WatchedS),
				Observed: fmt.Sprintf("After the change of set point from %s to %s at %s, PO2 went %.2f bar past it at %s.", bar(c.FromBar), bar(c.ToBar), b.clock(c.AtS), c.OvershootBar, b.clock(c.OvershootAtS)),
				Onset:    Value{Float(c.StartBar), "bar", Float(c.AtS)}, Worst: Value{Float(c.ToBar + c.OvershootBar), "bar", Float(c.OvershootAtS)}, End: noValue("bar"),
				Limit: constant(b.p.Tracking.OvershootBar, "bar"), LimitSource: "ours", Others: "the cells lay " + b.meanSpreadText(c.AtS, c.AtS+c.WatchedS) + " apart meanwhile"})
		}
	}
	if judged == 0 {
		if len(cs) > 0 {
			reason = "no change of set point upwards that reached it"
		}
		return notAssessed(reason)
	}
	return ran(b.controlFraction(), fs...)
}
