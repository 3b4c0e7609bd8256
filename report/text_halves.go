package report

import "afterloop/analysis"

// halves prints what the two halves of doubled electronics tell of one another.
func (t *textWriter) halves() {
	h := t.d.Halves
	if h == nil {
		return
	}
	t.title("Halves of the electronics")
	for _, n := range halvesNotes(t.d) {
		t.para("", n)
	}
	t.para("", "Differences are "+halvesSign(t.d)+".")
	rows := [][]string{{"quantity", "median", "95 %", "worst"}}
	for _, c := range h.Comparisons {
		if c.Reason != "" {
			rows = append(rows, []string{halvesQuantity(c), unknown, unknown, "not compared: " + Clean(c.Reason)})
			continue
		}
		rows = append(rows, []string{halvesQuantity(c), halvesAmount(c.Median, c.Unit), halvesAmount(c.P95, c.Unit), t.clock.halvesWorst(c.Worst)})
	}
	t.table(rows)
	for _, s := range halvesOff(t.d, t.clock) {
		t.bullet(s)
	}
	t.line("")
	t.para("", "Each rule over all cells, and over each half alone as if the other were lost: mean difference from the estimate in bar, and time undecided.")
	t.table(halvesTextRows(h))
}

// halvesTextRows are the replays in brief, a policy a row.
func halvesTextRows(h *analysis.Halves) [][]string {
	rows := [][]string{{"policy"}}
	for i, r := range h.Replays {
		if r.Policy == h.Replays[0].Policy {
			rows[0] = append(rows[0], r.Over)
		}
		if i == 0 || r.Policy != h.Replays[i-1].Policy {
			rows = append(rows, []string{Clean(r.Policy)})
		}
		s := bar(r.MeanFromEstimateBar)
		if r.UndecidedS > 0 {
			s += ", " + duration(r.UndecidedS)
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], s)
	}
	for i := 1; i < len(rows[0]) && i < len(h.Replays); i++ {
		if rows[0][i] != "all" {
			rows[0][i] = "half " + Clean(rows[0][i])
		}
	}
	return rows
}
