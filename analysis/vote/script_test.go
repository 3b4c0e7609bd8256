package vote

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// scenario is one part of a vote script; testdata/README.md has the format.
type scenario struct {
	name    string
	p       Params
	in      Input
	expect  []expectation
	reports map[string][]string // by policy and kind
}

// expectation is what a policy must decide on a row, as text.
type expectation struct {
	row          int
	policy, want string
}

// TestScripts runs every scenario in testdata.
func TestScripts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no vote scripts in testdata", err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range readScenarios(t, file, string(text)) {
			t.Run(strings.TrimSuffix(filepath.Base(file), ".txt")+"/"+s.name, s.run)
		}
	}
}

func (s scenario) run(t *testing.T) {
	if len(s.expect)+len(s.reports) == 0 {
		t.Fatal("the scenario expects nothing")
	}
	for _, e := range s.expect {
		pol, ok := ByName(e.policy)
		if !ok {
			t.Fatalf("no policy %q", e.policy)
		}
		if got := s.decisions(pol)[e.row]; !matches(got, e.want) {
			t.Errorf("%g s, %s: %s, want %s", s.in.TimeS[e.row], e.policy, got, e.want)
		}
	}
	for what, want := range s.reports {
		name, kind, _ := strings.Cut(what, " ")
		pol, ok := ByName(name)
		if !ok {
			t.Fatalf("no policy %q", name)
		}
		if diff := cmp.Diff(want, reported(Replay(pol, s.in, s.p), kind)); diff != "" {
			t.Errorf("%s:\n%s", what, diff)
		}
	}
}

// decisions are a policy's decisions by row, as text in the form of the script.
func (s scenario) decisions(pol Policy) []string {
	stepper, row := pol.New(len(s.in.Cells), s.p), newRow(s.in, len(s.in.Cells))
	var out []string
	for i, tS := range s.in.TimeS {
		row.load(i)
		out = append(out, decisionText(stepper.Step(tS, row.readings, row.manual), s.in.Numbers))
	}
	return out
}

func decisionText(d Decision, numbers []int) string {
	po2 := "_"
	if !math.IsNaN(d.PO2Bar) {
		po2 = strconv.FormatFloat(d.PO2Bar, 'f', 4, 64)
	}
	text := fmt.Sprintf("%s %v [%.4f to %.4f] %s", po2, d.State, d.LowBar, d.HighBar, setText(d.In, numbers))
	if d.Out != 0 {
		text += " out " + setText(d.Out, numbers)
	}
	return text
}

func setText(set uint64, numbers []int) string {
	var names []string
	for k, n := range numbers {
		if set>>k&1 == 1 {
			names = append(names, strconv.Itoa(n))
		}
	}
	if len(names) == 0 {
		return "-"
	}
	return strings.Join(names, ",")
}

// matches compares a decision with an expectation word by word, numbers by value;
// the range may be left out of the expectation.
func matches(got, want string) bool {
	g, w := strings.Fields(got), strings.Fields(want)
	if !strings.Contains(want, "[") && len(g) > 4 {
		g = append(g[:2:2], g[5:]...)
	}
	if len(g) != len(w) {
		return false
	}
	for i := range g {
		a, errA := strconv.ParseFloat(strings.Trim(g[i], "[]"), 64)
		b, errB := strconv.ParseFloat(strings.Trim(w[i], "[]"), 64)
		switch {
		case errA == nil && errB == nil && i < 5:
			if math.Abs(a-b) > 1e-4 {
				return false
			}
		case g[i] != w[i]:
			return false
		}
	}
	return true
}

// reported lists what a replay reports of one kind, as text in the form of the
// script.
func reported(r Result, kind string) []string {
	out := []string{}
	switch kind {
	case "out":
		for _, o := range r.VotedOut {
			out = append(out, fmt.Sprintf("out %d from %g to %g: %s", o.Cell, o.FromS, o.ToS, o.Reason))
		}
	case "reminder":
		for _, m := range r.Reminders {
			out = append(out, fmt.Sprintf("reminder %d at %g", m.Cell, m.AtS))
		}
	case "undecided":
		for _, u := range r.Undecided {
			out = append(out, fmt.Sprintf("undecided from %g to %g", u.FromS, u.ToS))
		}
	}
	return out
}

// readScenarios reads a vote script.
func readScenarios(t *testing.T, file, text string) []scenario {
	t.Helper()
	var out []scenario
	for n, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		if name, ok := strings.CutPrefix(line, "== "); ok {
			out = append(out, scenario{name: strings.TrimSpace(name), p: DefaultParams(), reports: map[string][]string{}})
			continue
		}
		if len(out) == 0 {
			t.Fatalf("%s:%d: a line before the first scenario", file, n+1)
		}
		if err := out[len(out)-1].readLine(line, fields); err != nil {
			t.Fatalf("%s:%d: %v", file, n+1, err)
		}
	}
	return out
}

func (s *scenario) readLine(line string, fields []string) error {
	switch {
	case fields[0] == "params":
		return s.readParams(fields[1:])
	case fields[0] == "gap":
		s.in.GapAfter[len(s.in.GapAfter)-1] = true
		return nil
	case fields[0] == "reports":
		return s.readReport(fields[1:])
	case line[0] != ' ':
		return s.readRow(fields)
	}
	s.expect = append(s.expect, expectation{len(s.in.TimeS) - 1, fields[0], strings.Join(fields[1:], " ")})
	return nil
}

func (s *scenario) readParams(fields []string) error {
	for _, f := range fields {
		name, text, _ := strings.Cut(f, "=")
		v, err := strconv.ParseFloat(text, 64)
		field := map[string]*float64{
			"out": &s.p.OutBar, "in": &s.p.InBar, "relative": &s.p.Relative,
			"out-after": &s.p.OutAfterS, "in-after": &s.p.InAfterS, "reminder-after": &s.p.ReminderAfterS,
		}[name]
		if err != nil || field == nil {
			return fmt.Errorf("params: %q", f)
		}
		*field = v
	}
	return nil
}

func (s *scenario) readReport(fields []string) error {
	if len(fields) < 3 {
		return fmt.Errorf("reports: %q", fields)
	}
	if fields[1] == "no" {
		s.reports[fields[0]+" "+fields[2]] = []string{}
		return nil
	}
	key := fields[0] + " " + fields[1]
	s.reports[key] = append(s.reports[key], strings.Join(fields[1:], " "))
	return nil
}

func (s *scenario) readRow(fields []string) error {
	tS, err := strconv.ParseFloat(fields[0], 64)
	if err != nil {
		return err
	}
	if len(s.in.TimeS) == 0 {
		s.in.Cells, s.in.Manual = make([][]float64, len(fields)-1), make([][]Manual, len(fields)-1)
		for k := range s.in.Cells {
			s.in.Numbers = append(s.in.Numbers, k+1)
		}
	}
	s.in.TimeS, s.in.GapAfter = append(s.in.TimeS, tS), append(s.in.GapAfter, false)
	for k, f := range fields[1:] {
		manual := map[byte]Manual{'+': ManualIn, '-': ManualOut}[f[len(f)-1]]
		f = strings.TrimRight(f, "+-")
		r := math.NaN()
		if f != "_" {
			if r, err = strconv.ParseFloat(f, 64); err != nil {
				return err
			}
		}
		// A vector may grow by cells: earlier rows had none of them.
		for len(s.in.Cells) <= k {
			rows := len(s.in.TimeS) - 1
			absent := make([]float64, rows)
			for i := range absent {
				absent[i] = math.NaN()
			}
			s.in.Cells, s.in.Manual = append(s.in.Cells, absent), append(s.in.Manual, make([]Manual, rows))
			s.in.Numbers = append(s.in.Numbers, k+1)
		}
		s.in.Cells[k], s.in.Manual[k] = append(s.in.Cells[k], r), append(s.in.Manual[k], manual)
	}
	return nil
}
