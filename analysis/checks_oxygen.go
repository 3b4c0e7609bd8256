package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/tracking"
	"afterloop/analysis/wording"
)

// evidenceSeries is one series that may tell of low or high oxygen.
type evidenceSeries struct {
	name   string
	values []float64
}

// checkLowOxygen looks for a PO2 too low to breathe, on the loop and under water.
func checkLowOxygen(b *bench) verdict {
	if b.best == nil {
		return notAssessed("no PO2 in the log")
	}
	l := b.p.Limits
	v := b.oxygenEvent(oxygenQuestion{
		kind: "low-oxygen", sign: -1, series: b.lowSeries(),
		caution: l.LowCautionBar, cautionS: l.LowAfterS, warning: l.LowWarningBar, warningS: l.LowAfterS,
		source: "common practice: 0.16 bar is treated as the edge of hypoxia, 0.18 bar as its approach",
		usable: func(i int) bool { return b.onLoop[i] && b.under[i] },
	})
	return v
}

// checkHighOxygen looks for a PO2 above the usual limits.
func checkHighOxygen(b *bench) verdict {
	if b.best == nil {
		return notAssessed("no PO2 in the log")
	}
	l := b.p.Limits
	stop := func(i int) bool { return b.phases[i] == tracking.Stop }
	return b.oxygenEvent(oxygenQuestion{
		kind: "high-oxygen", sign: 1, series: b.openCircuitToo(b.highSeries()),
		caution: l.HighCautionBar, cautionS: l.HighCautionAfterS, warning: l.HighWarningBar, warningS: l.HighWarningAfterS,
		source: "1.4: maximum of the NOAA Diving Program since 2015, outside decompression stops; 1.6: last row of NOAA's table of oxygen exposure limits",
		usable: func(i int) bool { return b.onLoop[i] || b.dive.OpenGas[i].Known }, cautionExempt: stop,
	})
}

// lowSeries are the unit's PO2 and, as a second line, the lowest that the mid-value vote leaves possible.
func (b *bench) lowSeries() []evidenceSeries {
	s := []evidenceSeries{{b.bestName, b.best}}
	if r, ok := b.replay("mid-value"); ok && b.bestName == "unit" && !b.sourceJudgedFalse(r.Policy) {
		s = append(s, evidenceSeries{"mid-value-low", r.LowBar})
	}
	if b.diag != nil {
		s = append(s, evidenceSeries{"estimate", b.bandSeries(b.diag.estimate.PO2Bar)}, evidenceSeries{"model-low", b.bandSeries(b.diag.estimate.LowBar)})
	}
	return s
}

func (b *bench) highSeries() []evidenceSeries {
	s := []evidenceSeries{{b.bestName, b.best}}
	if r, ok := b.replay("mid-value"); ok && b.bestName == "unit" && !b.sourceJudgedFalse(r.Policy) {
		s = append(s, evidenceSeries{"mid-value-high", r.HighBar})
	}
	if b.diag != nil {
		s = append(s, evidenceSeries{"estimate", b.bandSeries(b.diag.estimate.PO2Bar)}, evidenceSeries{"model-high", b.bandSeries(b.diag.estimate.HighBar)})
	}
	return s
}

// openCircuitSource names the PO2 of the open-circuit gas.
const openCircuitSource = "open-circuit"

// openCircuitToo takes the time on open circuit out of the series of the loop and
// adds that of the open-circuit gas, F_O2 P, where the log names it.
func (b *bench) openCircuitToo(ss []evidenceSeries) []evidenceSeries {
	if !slices.Contains(b.onLoop, false) {
		return ss
	}
	open := make([]float64, len(b.tS))
	for i := range open {
		if open[i] = math.NaN(); !b.onLoop[i] && b.dive.OpenGas[i].Known {
			open[i] = b.dive.OpenGas[i].O2 * b.dive.AmbientBar[i]
		}
	}
	for k := range ss {
		v := slices.Clone(ss[k].values)
		for i := range v {
			if !b.onLoop[i] {
				v[i] = math.NaN()
			}
		}
		ss[k].values = v
	}
	return append(ss, evidenceSeries{openCircuitSource, open})
}

// oxygenQuestion is a limit on PO2 in one direction (sign -1: below, +1: above).
type oxygenQuestion struct {
	kind              string
	sign              float64
	series            []evidenceSeries
	caution, cautionS float64
	warning, warningS float64
	source            string
	usable            func(int) bool
	cautionExempt     func(int) bool
}

// past tells whether v lies past limit in the direction of the question.
func (q oxygenQuestion) past(v, limit float64) bool {
	return !math.IsNaN(v) && q.sign*(v-limit) > tol
}

// known tells whether any series has a value at row i.
func (q oxygenQuestion) known(i int) bool {
	for _, s := range q.series {
		if !math.IsNaN(s.values[i]) {
			return true
		}
	}
	return false
}

// oxygenEvent finds the stretches in which any of the series is past a limit;
// one stretch is one finding, whose severity is that of its worst moment.
func (b *bench) oxygenEvent(q oxygenQuestion) verdict {
	fraction := b.usable(func(i int) bool { return q.usable(i) && q.known(i) })
	any := b.pastSpans(q, q.caution, q.cautionS, q.cautionExempt)
	grave := b.pastSpans(q, q.warning, q.warningS, nil)
	events := merge(union(any, grave), b.p.Limits.MergeS)
	var fs []Finding
	for _, e := range events {
		fs = append(fs, b.oxygenFinding(q, e, overlaps(grave, e)))
	}
	v := ran(fraction, fs...)
	if len(fs) == 0 && fraction == 0 {
		return notAssessed("no row with a PO2 on the loop" + map[bool]string{true: " and under water", false: ""}[q.sign < 0])
	}
	return v
}

func (b *bench) pastSpans(q oxygenQuestion, limit, forS float64, exempt func(int) bool) []span {
	var all []span
	for _, s := range q.series {
		ss := spansWhere(b.tS, b.gapAfter, func(i int) bool {
			return q.usable(i) && (exempt == nil || !exempt(i)) && q.past(s.values[i], limit)
		})
		all = union(all, lasting(ss, forS))
	}
	return all
}

func (b *bench) oxygenFinding(q oxygenQuestion, e span, grave bool) Finding {
	limit, forS, sev := q.caution, q.cautionS, Caution
	if grave {
		limit, forS, sev = q.warning, q.warningS, Warning
	}
	var agree, disagree []string
	var main evidenceSeries
	lines, told := 0, map[string]bool{}
	for _, s := range q.series {
		own := b.ownSpan(q, s, limit, forS, e)
		if extreme(s.values, e, q.sign) < 0 { // it says nothing of that time
			continue
		}
		if own == nil {
			disagree = append(disagree, sourceName(s.name))
			continue
		}
		i := extreme(s.values, *own, q.sign)
		if !strings.HasPrefix(s.name, modelPolicy) || !told["estimate"] { // the estimate and its band are one line
			lines++
		}
		told[s.name] = true
		agree = append(agree, fmt.Sprintf("%s: %s at %s", sourceName(s.name), bar(s.values[i]), b.clock(b.tS[i])))
		if main.values == nil { // the first series that tells sets the times
			main = s
		}
	}
	if whole := b.ownSpan(q, main, q.caution, q.cautionS, e); whole != nil { // it may have passed the lower mark before and after
		e = *whole
	} else if own := b.ownSpan(q, main, limit, forS, e); own != nil {
		e = *own
	}
	w := extreme(main.values, e, q.sign)
	conf, why := Likely, "one series tells"
	switch {
	case lines > 1 && len(disagree) > 0:
		conf, why = Likely, fmt.Sprintf("%d lines say the same; %s %s not", lines, wording.And(disagree), plural(len(disagree), "does", "do"))
	case lines > 1:
		conf, why = Sure, fmt.Sprintf("%d lines say the same", lines)
	case told["estimate"]:
		conf, why = Likely, "the estimate says so"
		if len(disagree) > 0 {
			why += "; " + wording.And(disagree) + plural(len(disagree), " does not", " do not")
		}
	case strings.HasPrefix(main.name, modelPolicy): // the far end of a 95 % band is a possibility, not a reading
		conf, why = Possible, "only the far end of the estimate's band passes the limit"
		sev = map[Severity]Severity{Warning: Caution, Caution: Note}[sev]
	case len(disagree) > 0:
		conf, why = Possible, "only one of the series passes the limit: "+wording.And(disagree)+plural(len(disagree), " does not", " do not")
	}
	return Finding{Kind: q.kind, Severity: sev, Confidence: conf, WhySure: why,
		FromS: Float(e.fromS), ToS: Float(e.toS),
		Observed: fmt.Sprintf("%s was %s; worst %s at %s, depth %s.", capital(sourceName(main.name)),
			b.pastText(main.values, q, limit, e), bar(main.values[w]), b.clock(b.tS[w]), b.depthText(w)),
		Onset: at(main.values, b.tS, e.from, "bar"), Worst: at(main.values, b.tS, w, "bar"), End: at(main.values, b.tS, e.to, "bar"),
		Limit: constant(limit, "bar"), LimitSource: q.source, Others: b.cellRange(w), Evidence: agree}
}

// ownSpan is the part of event e, from the first to the last stretch, in which one
// series was past the limit for long enough; nil where it was not.
func (b *bench) ownSpan(q oxygenQuestion, s evidenceSeries, limit, forS float64, e span) *span {
	exempt := q.cautionExempt
	if limit == q.warning {
		exempt = nil
	}
	one := q
	one.series = []evidenceSeries{s}
	var own *span
	for _, x := range b.pastSpans(one, limit, forS, exempt) {
		if x.from > e.to || x.to < e.from {
			continue
		}
		if own == nil {
			own = &span{x.from, x.to, x.fromS, x.toS}
		}
		own.to, own.toS = x.to, x.toS
	}
	return own
}

// secondsPast is the time past the limit within the event.
func (b *bench) secondsPast(v []float64, q oxygenQuestion, limit float64, e span) float64 {
	var t float64
	for i := e.from; i <= e.to; i++ {
		if q.usable(i) && q.past(v[i], limit) {
			t += rowSeconds(b.tS, b.gapAfter, i)
		}
	}
	return t
}

// pastText says for how long v was past limit in the event. An event that begins
// short of it, at the lower mark, says both marks, each with its own time.
func (b *bench) pastText(v []float64, q oxygenQuestion, limit float64, e span) string {
	word := map[float64]string{-1: "below", 1: "above"}[q.sign]
	past := func(mark float64) string {
		return fmt.Sprintf("%s %s for %s", word, bar(mark), duration(b.secondsPast(v, q, mark, e)))
	}
	if limit == q.caution || q.past(v[e.from], limit) {
		return fmt.Sprintf("%s from %s", past(limit), b.clock(e.fromS))
	}
	return fmt.Sprintf("%s from %s, of that %s", past(q.caution), b.clock(e.fromS), past(limit))
}

// cellRange says what the cells read at a row.
func (b *bench) cellRange(i int) string {
	if i < 0 || math.IsNaN(b.lowest[i]) {
		return "no cell reading at that moment"
	}
	return fmt.Sprintf("at %s the cells read from %s to %s", b.clock(b.tS[i]), bar(b.lowest[i]), bar(b.highest[i]))
}

func (b *bench) depthText(i int) string {
	if b.dive.DepthM == nil || math.IsNaN(b.dive.DepthM[i]) {
		return "not known"
	}
	return fmt.Sprintf("%.1f m", b.dive.DepthM[i])
}

// sourceName says in words which series a figure rests on.
func sourceName(s string) string {
	switch s {
	case "unit":
		return "the unit's PO2"
	case "estimate":
		return "the estimated PO2"
	case "mid-value-high":
		return "the mid-value of the cells (their highest reading while it is undecided)"
	case "mid-value-low":
		return "the mid-value of the cells (their lowest reading while it is undecided)"
	case openCircuitSource:
		return "the open-circuit gas"
	case "model-high":
		return "the top of the estimate's band"
	case "model-low":
		return "the low end of the estimate's band"
	}
	if s == "mid-value" {
		return "the mid-value of the cells"
	}
	return "the PO2 by the policy " + s
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// union merges two lists of spans into sorted spans that do not overlap.
func union(a, b []span) []span {
	all := append(append([]span{}, a...), b...)
	sortSpans(all)
	var out []span
	for _, s := range all {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			if s.to > out[n-1].to {
				out[n-1].to, out[n-1].toS = s.to, s.toS
			}
			continue
		}
		out = append(out, s)
	}
	return out
}

// overlaps tells whether any of ss shares a row with e.
func overlaps(ss []span, e span) bool {
	for _, s := range ss {
		if s.from <= e.to && s.to >= e.from {
			return true
		}
	}
	return false
}
