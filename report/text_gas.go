package report

// gas prints the density of the gas and its narcotic depth, and what pressure and
// depth say of each other.
func (t *textWriter) gas() {
	g := t.d.BreathedGas
	if g == nil {
		return
	}
	t.title("Gas breathed")
	if len(g.Moments) == 0 {
		t.para("", "NOT ASSESSED: "+g.Reason+".")
	} else {
		t.para("", gasLead(t.d))
	}
	for _, r := range gasRows(t.d, t.clock) {
		t.bullet(r.Moment + r.When + ": " + r.Density + " g/L; dry gas O2/N2/He " + r.Dry + " %; narcotic depth " + r.NarcoticN2 + " (nitrogen), " + r.NarcoticO2N2 + " (oxygen counted).")
	}
	t.pressure()
}

// pressure prints where pressure comes from and how it agrees with depth.
func (t *textWriter) pressure() {
	d := t.d.DepthPressure
	if d == nil {
		return
	}
	t.title("Depth and pressure")
	t.para("", pressureLead(t.d))
	for _, f := range pressureFacts(t.d, t.clock) {
		t.bullet(f.Name + ": " + f.Value + "; " + f.Note)
	}
	for _, f := range append(pairFacts(d, t.clock), faultFacts(d)...) {
		t.bullet(f.Name + ": " + f.Value + f.Note)
	}
}
