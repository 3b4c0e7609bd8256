package whatif

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis/wording"
	"afterloop/ingest"
)

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
		text += " from " + wording.Clock(fromS-x.d.TimeS[0]) + " on"
	}
	x.r.firstS = math.Min(x.r.firstS, fromS)
	x.r.texts = append(x.r.texts, Change{ID: id, Text: text, FromS: Float(fromS), Kinds: kinds})
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
