package calibration

import "fmt"

// unversioned is what a build without a version calls itself.
const unversioned = "devel"

// Check says what is wrong with a table: where it comes from must be stated, and
// its figures must fit one another.
func (t Table) Check() error {
	switch {
	case t.Schema != SchemaID:
		return fmt.Errorf("calibration: schema %q, want %q", t.Schema, SchemaID)
	case t.Note != Note:
		return fmt.Errorf("calibration: the table does not say %q", Note)
	case t.Set != Development && t.Set != Sealed:
		return fmt.Errorf("calibration: set %q, want %s or %s", t.Set, Development, Sealed)
	case t.Version == "":
		return fmt.Errorf("calibration: the table does not say which version was measured")
	case t.Set == Sealed && t.Version == unversioned:
		return fmt.Errorf("calibration: a sealed table must say which version was measured, not %q", unversioned)
	case len(t.Checks) == 0 || len(t.Families) == 0:
		return fmt.Errorf("calibration: the table holds no checks or no families")
	}
	seen := map[string]bool{}
	for _, f := range t.Families {
		if seen[f.Family] {
			return fmt.Errorf("calibration: family %q stands twice", f.Family)
		}
		seen[f.Family] = true
		if err := f.check(); err != nil {
			return fmt.Errorf("calibration: family %q: %w", f.Family, err)
		}
	}
	return nil
}

func (f Family) check() error {
	switch {
	case f.Family == "" || f.Dives < 1 || f.FirstSeed < 1:
		return fmt.Errorf("name, number of dives and first seed must be stated")
	case f.Failed < 0 || f.Failed > f.Dives:
		return fmt.Errorf("%d of %d dives failed", f.Failed, f.Dives)
	case f.RightPart.Of != f.Faults || f.RightKind.Of != f.Faults || f.RightKind.Right > f.RightPart.Right:
		return fmt.Errorf("shares of %d faults don't fit one another", f.Faults)
	}
	rates := []Rate{f.RightPart, f.RightKind, f.UndecidableTold, f.HealthyClean}
	for _, g := range f.Grades {
		rates = append(rates, g.Rate)
	}
	for _, r := range rates {
		if !r.fits() {
			return fmt.Errorf("share %d of %d (%g to %g) can't be", r.Right, r.Of, r.Low, r.High)
		}
	}
	for _, c := range []Count{f.FalseAlarms, f.HealthyFalseAlarms} {
		if c.Count < 0 || c.Rate.Known() && !(c.Rate < c.High) {
			return fmt.Errorf("count %d with rate %g and limit %g can't be", c.Count, c.Rate, c.High)
		}
	}
	return nil
}

// Share is the fraction, unknown where there are no cases.
func (r Rate) Share() Figure { return Figure(float64(r.Right) / float64(r.Of)) }

// fits tells whether the interval holds the share. Rounding to four digits may
// take an end across it by half a unit of the fourth.
func (r Rate) fits() bool {
	if r.Of == 0 {
		return r.Right == 0 && !r.Low.Known() && !r.High.Known()
	}
	const rounding = 1e-3
	s := r.Share()
	return r.Right >= 0 && r.Right <= r.Of && r.Low >= 0 && r.High <= 1 && r.Low <= s+rounding && r.High >= s-rounding
}
