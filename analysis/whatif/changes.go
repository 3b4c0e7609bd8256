package whatif

import (
	"errors"
	"fmt"
	"strings"

	"afterloop/analysis/vote"
)

// Kinds of run.
const (
	Open   = "open"
	Closed = "closed"
	Both   = "both"
)

// At is a part by its number and from when.
type At struct {
	Number int
	From   Moment
}

// HalfAt is a half by its letter and from when.
type HalfAt struct {
	Letter string
	From   Moment
}

// SetPointAt is a set point and from when.
type SetPointAt struct {
	Bar  float64
	From Moment
}

// Changes are what is to be different. Zero fields change nothing.
type Changes struct {
	Kind string // Open, Closed or Both; empty is Both

	// Mean something in both kinds.
	Policy     string
	Vote       *vote.Params // nil: the tolerances of the debrief
	Cells      []int        // the cells that take part; nil: all
	LoseCells  []At
	LoseHalves []HalfAt

	// Mean something in the simulation alone.
	DeadValves  []At
	NoOxygen    *Moment
	SetPoints   []SetPointAt
	Controller  string // a kind, or empty for the inferred
	IntervalS   *float64
	PulseS      *float64
	DeadbandBar *float64
	NoAdditions *Moment // from when the diver's flushes and additions are left out
}

// Available says in words which changes there are.
const Available = "--policy, --vote-out, --vote-in, --vote-relative, --vote-out-after, --vote-in-after, --cells, --lose-cell, --lose-half (replay and simulation); " +
	"--dead-valve, --no-oxygen, --set-point, --controller, --interval, --pulse, --deadband, --no-additions (simulation alone)"

// closedOnly lists the changes that mean something in the simulation alone.
func (c Changes) closedOnly() []string {
	var out []string
	add := func(yes bool, flag string) {
		if yes {
			out = append(out, flag)
		}
	}
	add(len(c.DeadValves) > 0, "--dead-valve")
	add(c.NoOxygen != nil, "--no-oxygen")
	add(len(c.SetPoints) > 0, "--set-point")
	add(c.Controller != "", "--controller")
	add(c.IntervalS != nil, "--interval")
	add(c.PulseS != nil, "--pulse")
	add(c.DeadbandBar != nil, "--deadband")
	add(c.NoAdditions != nil, "--no-additions")
	return out
}

// ofVote tells whether the vote is changed.
func (c Changes) ofVote() bool {
	return c.Policy != "" || c.Vote != nil || len(c.Cells) > 0 || len(c.LoseCells) > 0 || len(c.LoseHalves) > 0
}

// Check says what is wrong with the changes before a log is read.
func (c Changes) Check() error {
	only := c.closedOnly()
	switch {
	case c.Kind != "" && c.Kind != Open && c.Kind != Closed && c.Kind != Both:
		return fmt.Errorf("--kind: read %q; give open, closed or both", c.Kind)
	case len(only) == 0 && !c.ofVote():
		return errors.New("nothing is changed: give at least one of " + Available)
	case c.Kind == Open && len(only) > 0:
		return fmt.Errorf("%s: it means something in the simulation alone, since a replay takes the recorded readings as they are and changes nothing in the loop; leave out --kind open, or give --kind closed", strings.Join(only, ", "))
	}
	if _, ok := vote.ByName(c.Policy); c.Policy != "" && !ok {
		return fmt.Errorf("--policy: read %q; give one of %s", c.Policy, policyNames())
	}
	if v := c.Vote; v != nil && (!(v.OutBar > 0) || !(v.InBar > 0) || v.InBar > v.OutBar || !(v.Relative >= 0) || !(v.OutAfterS >= 0) || !(v.InAfterS >= 0)) {
		return fmt.Errorf("--vote-out %g, --vote-in %g, --vote-relative %g, --vote-out-after %g, --vote-in-after %g: tolerances are above 0, --vote-in at most --vote-out, the rest not negative", v.OutBar, v.InBar, v.Relative, v.OutAfterS, v.InAfterS)
	}
	return c.checkUnit()
}

// checkUnit looks at set points and controller.
func (c Changes) checkUnit() error {
	for _, s := range c.SetPoints {
		if !(s.Bar >= 0.2 && s.Bar <= 2) {
			return fmt.Errorf("--set-point: read %g; give 0.2 to 2 bar", s.Bar)
		}
	}
	known := c.Controller == ""
	var names []string
	for _, k := range Controllers() {
		known, names = known || k[0] == c.Controller, append(names, k[0])
	}
	if !known {
		return fmt.Errorf("--controller: read %q; give %s", c.Controller, strings.Join(names, ", "))
	}
	for _, x := range []struct {
		flag      string
		v         *float64
		low, high float64
		unit      string
	}{{"--interval", c.IntervalS, 1, 120, "s"}, {"--pulse", c.PulseS, 0.1, 60, "s"}, {"--deadband", c.DeadbandBar, 0, 0.5, "bar"}} {
		if x.v != nil && !(*x.v >= x.low && *x.v <= x.high) {
			return fmt.Errorf("%s: read %g; give %g to %g %s", x.flag, *x.v, x.low, x.high, x.unit)
		}
	}
	if c.PulseS != nil && c.Controller != FixedPulse {
		return fmt.Errorf("--pulse: it is the length of a fixed pulse; give --controller %s with it", FixedPulse)
	}
	return nil
}

func policyNames() string {
	var out []string
	for _, p := range vote.Policies() {
		out = append(out, p.Name)
	}
	return strings.Join(out, ", ")
}
