package analysis

import "fmt"

// checkOpenCircuit says when the diver was off the loop: no fault, and the first
// thing that a debrief asks about.
func checkOpenCircuit(b *bench) verdict {
	ss := spansWhere(b.tS, b.gapAfter, func(i int) bool { return !b.onLoop[i] && b.under[i] })
	var fs []Finding
	for _, e := range merge(ss, b.p.Limits.MergeS) {
		gas := "the log does not name the gas, so that no dose is counted over it"
		if b.openCircuitKnown() {
			gas = "its gas is in the log and counted in the doses"
		}
		fs = append(fs, Finding{Kind: "on-open-circuit", Severity: Note, Confidence: Sure, WhySure: "recorded",
			FromS: Float(e.fromS), ToS: Float(e.toS),
			Observed: fmt.Sprintf("The diver breathed open circuit from %s for %s, from a depth of %s to %s; %s.", b.clock(e.fromS), duration(e.seconds()),
				b.depthText(e.from), b.depthText(e.to), gas),
			Onset: at(b.best, b.tS, e.from, "bar"), Worst: noValue("bar"), End: at(b.best, b.tS, e.to, "bar"), Limit: noValue("bar"),
			LimitSource: "none: it is an event", Others: "the cells were in the loop meanwhile and say nothing of what was breathed"})
	}
	return ran(b.usable(func(int) bool { return true }), fs...)
}
