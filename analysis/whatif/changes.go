package whatif

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// Kinds of run.
const (
	Open   = "open"
	Closed = "closed"
	Both   = "both"
)

// Moment is a time as it was given: seconds on the log's own axis, or h:mm:ss since the
// first row. The zero value is the first row.
type Moment struct {
	Given      string
	S          float64
	SinceFirst bool
}

// ParseMoment reads "0:31:00" (h:mm:ss since the first row) or "1860" (the log's own seconds).
func ParseMoment(s string) (Moment, error) {
	want := fmt.Errorf("read %q; give h:mm:ss since the first row, as in 0:31:00, or seconds on the log's own axis, as in 1860", s)
	parts := strings.Split(s, ":")
	if len(parts) == 1 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(s, "xXpP_") {
			return Moment{}, want
		}
		return Moment{s, v, false}, nil
	}
	if len(parts) != 3 {
		return Moment{}, want
	}
	total := 0.0
	for i, p := range parts {
		n, err := strconv.ParseUint(p, 10, 16)
		if err != nil || i > 0 && (n > 59 || len(p) != 2) {
			return Moment{}, want
		}
		total = total*60 + float64(n)
	}
	return Moment{s, total, true}, nil
}

// resolve is the moment on the log's own axis; without one the first row.
func (m Moment) resolve(flag string, d *ingest.Dive) (float64, error) {
	first, last := d.TimeS[0], d.TimeS[d.Rows()-1]
	s := m.S
	switch {
	case m.Given == "":
		return first, nil
	case m.SinceFirst:
		s += first
	}
	if s < first || s > last {
		return 0, fmt.Errorf("%s: %s is not within the record; give %s to %s, or seconds from %g to %g", flag, m.Given, hms(0), hms(last-first), first, last)
	}
	return s, nil
}

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

// resolved are the changes on one log, in the places of its parts.
type resolved struct {
	cells     []int     // places in the vote of the cells that take part
	loseAtS   []float64 // by those
	deadAtS   []float64 // by valve
	noOxygenS float64
	noHandS   float64
	setPoints []setFrom
	texts     []Change
	firstS    float64 // the moment from which the simulation may differ
}

type setFrom struct{ fromS, bar float64 }

// resolver collects errors and words.
type resolver struct {
	d    *ingest.Dive
	nums []int // numbers of the cells of the vote
	r    resolved
	err  error
}

// resolve finds the parts that the changes name.
func (c Changes) resolve(d *ingest.Dive, numbers []int) (resolved, error) {
	x := &resolver{d: d, nums: numbers, r: resolved{noOxygenS: math.Inf(1), noHandS: math.Inf(1), firstS: math.Inf(1)}}
	for range d.Valves {
		x.r.deadAtS = append(x.r.deadAtS, math.Inf(1))
	}
	x.vote(c)
	x.lose(c)
	x.unit(c)
	x.controller(c)
	return x.r, x.err
}

func (x *resolver) fail(err error) {
	if x.err == nil {
		x.err = err
	}
}

// say adds a change in words, from a moment on (NaN: for the whole dive).
func (x *resolver) say(id, kinds string, fromS float64, format string, a ...any) {
	text := fmt.Sprintf(format, a...)
	if math.IsNaN(fromS) {
		fromS = x.d.TimeS[0]
	}
	if fromS > x.d.TimeS[0] {
		text += " from " + hms(fromS-x.d.TimeS[0]) + " on"
	}
	x.r.firstS = math.Min(x.r.firstS, fromS)
	x.r.texts = append(x.r.texts, Change{ID: id, Text: text, Kinds: kinds})
}

// vote takes rule, tolerances and the cells that take part.
func (x *resolver) vote(c Changes) {
	if c.Policy != "" {
		x.say("policy", Both, math.NaN(), "the vote is %s", c.Policy)
	}
	if v := c.Vote; v != nil {
		x.say("tolerances", Both, math.NaN(), "tolerances of the vote: out beyond %.2f bar%s, in again below %.2f bar%s%s", v.OutBar, after(v.OutAfterS), v.InBar, after(v.InAfterS), relative(v.Relative))
	}
	for k, n := range x.nums {
		if len(c.Cells) == 0 || has(c.Cells, n) {
			x.r.cells, x.r.loseAtS = append(x.r.cells, k), append(x.r.loseAtS, math.Inf(1))
		}
	}
	for _, n := range c.Cells {
		if !has(x.nums, n) {
			x.fail(fmt.Errorf("--cells: read %d; the log has cells %s", n, list(x.nums)))
		}
	}
	if len(c.Cells) > 0 {
		x.say("cells", Both, math.NaN(), "only cells %s vote", list(c.Cells))
	}
}

func after(s float64) string {
	if s == 0 {
		return ""
	}
	return fmt.Sprintf(" for %g s", s)
}

func relative(r float64) string {
	if r == 0 {
		return ""
	}
	return fmt.Sprintf(", or %g %% of the others' mean where that is more", 100*r)
}

// lose takes cells and halves that are lost.
func (x *resolver) lose(c Changes) {
	for _, l := range c.LoseCells {
		t, err := l.From.resolve("--lose-cell", x.d)
		if err != nil {
			x.fail(err)
		}
		if !x.loseCell(l.Number, t) {
			x.fail(fmt.Errorf("--lose-cell: read cell %d; the cells that vote are %s", l.Number, list(x.voting())))
		}
		x.say("lose-cell", Both, t, "cell %d gives no reading", l.Number)
	}
	for _, l := range c.LoseHalves {
		t, err := l.From.resolve("--lose-half", x.d)
		if err != nil {
			x.fail(err)
		}
		x.loseHalf(l.Letter, t)
	}
}

func (x *resolver) loseHalf(letter string, t float64) {
	var letters []string
	for _, h := range x.d.Meta.Halves {
		letters = append(letters, h.Letter)
		if !strings.EqualFold(h.Letter, letter) {
			continue
		}
		for _, n := range h.Cells {
			x.loseCell(n, t)
		}
		for _, n := range h.Valves {
			x.loseValve(n, t)
		}
		words := ""
		if len(h.Cells) > 0 {
			words = ": cells " + list(h.Cells) + " give no reading"
		}
		if len(h.Valves) > 0 {
			words += "; valves " + list(h.Valves) + " deliver nothing (in the simulation alone)"
		}
		x.say("lose-half", Both, t, "half %s is lost%s", h.Letter, words)
		return
	}
	if len(letters) == 0 {
		x.fail(fmt.Errorf("--lose-half: read %q; the log names no halves: a line such as `# half_A: cells 1,2; valve 1` above its header would", letter))
		return
	}
	x.fail(fmt.Errorf("--lose-half: read %q; the log has halves %s", letter, strings.Join(letters, ", ")))
}

// voting are the numbers of the cells that take part.
func (x *resolver) voting() []int {
	var out []int
	for _, k := range x.r.cells {
		out = append(out, x.nums[k])
	}
	return out
}

func (x *resolver) loseCell(number int, t float64) bool {
	for i, k := range x.r.cells {
		if x.nums[k] == number {
			x.r.loseAtS[i] = math.Min(x.r.loseAtS[i], t)
			return true
		}
	}
	return false
}

func (x *resolver) loseValve(number int, t float64) bool {
	for v := range x.d.Valves {
		if x.d.Valves[v].Number == number {
			x.r.deadAtS[v] = math.Min(x.r.deadAtS[v], t)
			x.r.noHandS = math.Min(x.r.noHandS, t)
			return true
		}
	}
	return false
}

// unit takes valves, supply and set points.
func (x *resolver) unit(c Changes) {
	for _, l := range c.DeadValves {
		t, err := l.From.resolve("--dead-valve", x.d)
		if err != nil {
			x.fail(err)
		}
		if !x.loseValve(l.Number, t) {
			var numbers []int
			for _, v := range x.d.Valves {
				numbers = append(numbers, v.Number)
			}
			x.fail(fmt.Errorf("--dead-valve: read valve %d; the log has valves %s", l.Number, orNone(list(numbers))))
		}
		x.say("dead-valve", Closed, t, "valve %d is commanded and delivers nothing", l.Number)
	}
	if c.NoOxygen != nil {
		t, err := c.NoOxygen.resolve("--no-oxygen", x.d)
		if err != nil {
			x.fail(err)
		}
		x.r.noOxygenS, x.r.noHandS = t, math.Min(x.r.noHandS, t)
		x.say("no-oxygen", Closed, t, "no valve delivers oxygen")
	}
	for _, s := range c.SetPoints {
		t, err := s.From.resolve("--set-point", x.d)
		if err != nil {
			x.fail(err)
		}
		x.r.setPoints = append(x.r.setPoints, setFrom{t, s.Bar})
		x.say("set-point", Closed, t, "the set point is %.2f bar", s.Bar)
	}
	if c.NoAdditions != nil {
		t, err := c.NoAdditions.resolve("--no-additions", x.d)
		if err != nil {
			x.fail(err)
		}
		x.r.noHandS = math.Min(x.r.noHandS, t)
		x.say("no-additions", Closed, t, "the diver's flushes, additions and bailout are left out")
	}
}

func (x *resolver) controller(c Changes) {
	if c.Controller != "" {
		x.say("controller", Closed, math.NaN(), "the controller is %s", c.Controller)
	}
	if c.IntervalS != nil {
		x.say("interval", Closed, math.NaN(), "it decides once in %g s", *c.IntervalS)
	}
	if c.PulseS != nil {
		x.say("pulse", Closed, math.NaN(), "a pulse lasts %g s", *c.PulseS)
	}
	if c.DeadbandBar != nil {
		x.say("deadband", Closed, math.NaN(), "its dead band is %g bar", *c.DeadbandBar)
	}
}

// setBar is the set point in force with the changes: each holds until the next of them.
func (r resolved) setBar(c *course) []float64 {
	out := append([]float64(nil), c.setBar...)
	for i, t := range c.tS {
		from := math.Inf(-1)
		for _, s := range r.setPoints {
			if t >= s.fromS && s.fromS >= from {
				from, out[i] = s.fromS, s.bar
			}
		}
	}
	return out
}

// changed is the controller with the changes.
func (c Changes) changed(k Controller) Controller {
	if c.Controller != "" && c.Controller != k.Kind {
		k = ofKind(c.Controller, k)
	}
	set := func(to *Float, v *float64) {
		if v != nil {
			*to, k.Basis = Float(*v), "with what was given; the rest "+strings.TrimPrefix(k.Basis, "with what was given; the rest ")
		}
	}
	set(&k.IntervalS, c.IntervalS)
	set(&k.PulseS, c.PulseS)
	set(&k.DeadbandBar, c.DeadbandBar)
	return k
}

// ofKind is a controller of another kind with the interval, the dead band and the turns of k.
func ofKind(kind string, k Controller) Controller {
	n := Controller{Kind: kind, IntervalS: k.IntervalS, DeadbandBar: k.DeadbandBar, Turns: k.Turns, PulseS: unknown, BaseS: unknown, SPerBar: unknown, MinS: unknown, MaxS: unknown,
		Basis: "given; interval, dead band and turns as inferred"}
	switch kind {
	case FixedPulse:
		n.PulseS = 1
		if k.BaseS.Known() {
			n.PulseS = Float(roundTo(math.Max(0.1, float64(k.BaseS)+0.05*float64(k.SPerBar)), 0.1))
		}
		n.Basis += "; the pulse is what the inferred controller gives at an error of 0.05 bar, or 1 s"
	case ProportionalPulse: // those of package scenario, ours
		n.BaseS, n.SPerBar, n.MinS, n.MaxS = 0.3, 12, 0.2, 4
		n.Basis += "; 0.3 s + 12 s/bar x error, 0.2 to 4 s, are assumed"
	}
	return n
}

func has(v []int, n int) bool { return indexOf(v, n) < len(v) }

func list(v []int) string {
	s := make([]string, len(v))
	for i := range v {
		s[i] = strconv.Itoa(v[i])
	}
	return strings.Join(s, ", ")
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// hms is h:mm:ss.
func hms(s float64) string {
	n := int64(math.Floor(s + 0.5))
	return fmt.Sprintf("%d:%02d:%02d", n/3600, n/60%60, n%60)
}
