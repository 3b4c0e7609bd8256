package bench

import "afterloop/analysis"

// Definitions says what the figures of tests on the bench mean.
func Definitions() []analysis.Definition {
	return []analysis.Definition{
		{ID: "follows_to_bar", Name: "Shown to follow up to", Unit: "bar", Text: "The highest level of the way up up to which all of a cell's departures, each with its whole interval, are within the limit. A line through two levels counts only if it passes near zero.", Source: "ours"},
		{ID: "departure_bar", Name: "Departure at a level", Unit: "bar", Text: "A cell's reading less its own straight line at that PO2, with an interval of the errors of pressure, gas and reading together. The line is that of the longest run of levels, from the lowest up, that it leaves within the limit.", Equation: "reading - (offset + slope PO2)", Source: "ours"},
		{ID: "offset_bar", Name: "Offset", Unit: "bar", Text: "Where a cell's straight line passes at a PO2 of zero.", Source: "ours"},
		{ID: "hysteresis_bar", Name: "Hysteresis", Unit: "bar", Text: "Largest difference of a cell's readings at one PO2 on the way up and on the way down.", Source: "ours"},
		{ID: "pot_o2", Name: "Oxygen in the pot", Text: "The fraction of oxygen at each level: measured, else from the purges and from the gas that presses the pot. It stays while the pot is let down.", Equation: "x2 = (x1 P1 + F (P2 - P1)) / P2", Source: "mass balance of ideal gases that mix"},
		{ID: "rate_mbar_min", Name: "Rate of a tightness test", Unit: "mbar/min", Text: "A Theil-Sen line through the judged time with its 95 % interval, widened for readings that follow one another, for the gauge's rounding and for temperature, and corrected for a recorded temperature.", Source: "H. Theil 1950, P.K. Sen 1968 (memory); the widening is ours"},
		{ID: "leak_l_min", Name: "Leak as a flow", Unit: "L/min", Text: "Given only where the loop's compliance C is stated or was measured with a known volume: C of a soft loop can exceed V/P.", Equation: "Q = (V/P + C) dP/dt", Source: "pressure decay: 40 CFR 1065.644 for a rigid vessel; C added by us"},
	}
}

// CheckList are the checks of both tests by id, title and what each looks for: those of
// cells, then those of tightness.
func CheckList() []analysis.Check {
	var out []analysis.Check
	add := func(id, title, looks string) {
		out = append(out, analysis.Check{ID: id, Version: 1, Title: title, Looks: looks, AssessableFraction: nanFloat()})
	}
	for _, c := range wholeTest() {
		add(c.id, c.title, c.looks)
	}
	for _, c := range perCell() {
		add(c.id, c.title, c.looks)
	}
	for _, c := range perLoop() {
		add(c.id, c.title, c.looks)
	}
	return out
}

// FindingKinds lists the kinds of finding of both tests, with their titles.
func FindingKinds() map[string]string {
	out := map[string]string{}
	for name, k := range kinds {
		out[name] = k.title
	}
	return out
}

// DescribeKind is what all findings of one kind share.
func DescribeKind(name string) (analysis.Finding, bool) {
	if _, ok := kinds[name]; !ok {
		return analysis.Finding{}, false
	}
	return complete([]analysis.Finding{{Kind: name, Severity: analysis.Note}})[0], true
}
