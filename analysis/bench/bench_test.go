package bench

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/linearity"
	"afterloop/analysis/tightness"
	"afterloop/ingest/benchlog"
)

func cellsOf(t *testing.T, csv string) *CellReport {
	t.Helper()
	x, err := benchlog.ReadCells("-", benchlog.Options{Stdin: strings.NewReader(csv)})
	if err != nil {
		t.Fatal(err)
	}
	return Cells(x, linearity.DefaultParams())
}

func tightnessOf(t *testing.T, csv string) *TightnessReport {
	t.Helper()
	x, err := benchlog.ReadTightness("-", benchlog.Options{Stdin: strings.NewReader(csv)})
	if err != nil {
		t.Fatal(err)
	}
	return Tightness(x, tightness.DefaultParams(), false)
}

// TestDemoCells: each cell of the demo gets the verdict that its making asks for.
func TestDemoCells(t *testing.T) {
	r := cellsOf(t, string(demoCells()))
	for k, want := range []struct {
		outcome         analysis.Outcome
		follows, t90    float64
		ceiling         float64
		kinds, notKinds string
	}{
		{analysis.NotFound, 2.5, 2.7 * math.Ln10, math.NaN(), "", "bench-"},
		{analysis.Found, 1.0, 3.1 * math.Ln10, 1.4, "bench-ceiling", "bench-departs"},
		{analysis.Found, 2.4, 8.4 * math.Ln10, math.NaN(), "bench-slow", "bench-ceiling"},
	} {
		c := r.Cells[k]
		if c.Outcome != want.outcome || float64(c.FollowsToBar) < want.follows {
			t.Errorf("cell %d: %s, %s", c.Cell, c.Outcome, c.Verdict)
		}
		if v := c.T90S; float64(v.Low) > want.t90*1.03 || float64(v.High) < want.t90*0.97 {
			t.Errorf("cell %d: T90 %+v, true is %v", c.Cell, v, want.t90)
		}
		if v := c.CeilingBar; v.Value.Known() != !math.IsNaN(want.ceiling) || float64(v.Low) > want.ceiling || float64(v.High) < want.ceiling {
			t.Errorf("cell %d: ceiling %+v, true is %v", c.Cell, v, want.ceiling)
		}
		var kinds []string
		for _, x := range r.Findings {
			if x.Cell != nil && *x.Cell == c.Cell {
				kinds = append(kinds, x.Kind)
			}
		}
		all := strings.Join(kinds, " ")
		if !strings.Contains(all, want.kinds) || strings.Contains(all, want.notKinds) {
			t.Errorf("cell %d: findings %v", c.Cell, kinds)
		}
	}
	holdsForm(t, r.Findings, r.Checks)
}

// holdsForm: every finding has its kind's words, every check an outcome, and
// what was not assessed a reason.
func holdsForm(t *testing.T, fs []analysis.Finding, cs []analysis.Check) {
	t.Helper()
	for _, x := range fs {
		if _, ok := kinds[x.Kind]; !ok || x.Title == "" || x.Check == "" || x.Observed == "" || x.WhySure == "" || x.Advice.Technician == "" || x.WouldChange == "" {
			t.Errorf("finding %+v is not complete", x)
		}
	}
	for _, c := range cs {
		if c.Outcome == "" || c.Looks == "" || c.Outcome == analysis.NotAssessed && c.Reason == "" {
			t.Errorf("check %+v is not complete", c)
		}
	}
}

func TestDemoTightness(t *testing.T) {
	pos := tightnessOf(t, string(demos()["bench-tightness-positive.csv"]))
	if pos.Result.Outcome != analysis.NotFound || !pos.Result.LeakLMin.Value.Known() || pos.Result.StorageFrom != "measured" {
		t.Errorf("positive: %+v", pos.Result)
	}
	if v := pos.Result.StorageLMbar; float64(v.Low) > 0.021 || float64(v.High) < 0.021 {
		t.Errorf("storage %+v, true is 0.021", v)
	}
	neg := tightnessOf(t, string(demos()["bench-tightness-negative.csv"]))
	if neg.Result.Outcome != analysis.Found || neg.Result.LeakLMin.Value.Known() || !neg.Result.CertainAfterS.Known() {
		t.Errorf("negative: %+v", neg.Result)
	}
	holdsForm(t, pos.Findings, pos.Checks)
	holdsForm(t, neg.Findings, neg.Checks)
}

// TestWitness: a slow cell is named with certainty only beside a faster one; a pot
// that mixes slowly makes every cell slow.
func TestWitness(t *testing.T) {
	confidences := func(csv string) map[string]analysis.Confidence {
		m := map[string]analysis.Confidence{}
		for _, x := range cellsOf(t, csv).Findings {
			m[x.Kind] = x.Confidence
		}
		return m
	}
	all := string(demoCells())
	if c := confidences(all); c["bench-slow"] != analysis.Sure || c["bench-ceiling"] != analysis.Sure {
		t.Errorf("beside good cells: %v", c)
	}
	// Without the columns of the others: unknown names are not read.
	alone := strings.Replace(all, "cell1_mv,cell2_mv,", "a,b,", 1)
	if c := confidences(alone); c["bench-slow"] != analysis.Possible {
		t.Errorf("alone: %v", c)
	}
	limited := strings.Replace(all, "cell1_mv,cell2_mv,cell3_mv", "a,cell2_mv,b", 1)
	if c := confidences(limited); c["bench-ceiling"] != analysis.Likely {
		t.Errorf("limited alone: %v", c)
	}
}

// TestInflow: a loop whose pressure rises is no tight loop.
func TestInflow(t *testing.T) {
	var b strings.Builder
	b.WriteString("# bench-tightness: 1\n# test: positive\n# ambient_pressure_bar: 1.0\ntime_s,loop_mbar,temp_c\n")
	for i := range 120 {
		b.WriteString(num(float64(i), 0) + "," + num(20+3*float64(i)/60, 1) + ",20.00\n")
	}
	r := tightnessOf(t, b.String())
	if r.Result.Outcome == analysis.NotFound {
		t.Errorf("a rising pressure is called tight: %+v", r.Result)
	}
	if len(r.Findings) == 0 || r.Findings[0].Kind != "loop-inflow" {
		t.Errorf("findings %+v", r.Findings)
	}
}

// TestJSON: reports survive JSON whatever is unknown in them.
func TestJSON(t *testing.T) {
	for _, csv := range []string{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,10\n1,1,10\n", "# pressure: absolute\ntime_s,pressure_bar,cell1_po2_bar\n0,,\n"} {
		r := cellsOf(t, csv)
		b, err := json.Marshal(r)
		if err != nil || bytes.Contains(b, []byte("NaN")) {
			t.Errorf("%v: %s", err, b)
		}
		if r.Cells[0].Outcome != analysis.NotAssessed {
			t.Errorf("two rows are judged: %+v", r.Cells[0])
		}
	}
	if _, err := json.Marshal(tightnessOf(t, "time_s,loop_mbar\n0,20\n")); err != nil {
		t.Error(err)
	}
}
