package vote

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// record makes an input of rows a second apart.
func record(cells ...[]float64) Input {
	in := Input{Cells: cells}
	for k, c := range cells {
		in.Numbers = append(in.Numbers, k+1)
		if k == 0 {
			in.TimeS = make([]float64, len(c))
		}
	}
	for i := range in.TimeS {
		in.TimeS[i] = float64(i)
	}
	return in
}

func TestReplayEmpty(t *testing.T) {
	for _, pol := range Policies() {
		for _, in := range []Input{{}, record([]float64{}), {TimeS: []float64{0, 1}}} {
			r := Replay(pol, in, DefaultParams())
			if len(r.PO2Bar) != len(in.TimeS) || len(r.VotedOut)+len(r.Undecided)+len(r.Reminders) != 0 {
				t.Errorf("%s: %+v", pol.Name, r)
			}
			if n := len(in.TimeS); n > 0 && (r.NoneS != in.TimeS[n-1]-in.TimeS[0] || r.State[0] != None) {
				t.Errorf("%s: no cells: none for %g s", pol.Name, r.NoneS)
			}
		}
	}
}

func TestReplayTimes(t *testing.T) {
	in := record(
		[]float64{1.3, 1.3, nan, nan, 1.0, 1.0, 1.0},
		[]float64{1.3, 1.3, nan, nan, 1.4, 1.4, 1.4},
	)
	in.TimeS = []float64{10, 12, 13, 20, 21, 25, 26}
	in.GapAfter = []bool{false, false, false, false, true, false, false}
	r := Replay(mean(), in, DefaultParams())
	if diff := cmp.Diff([]State{Agreed, Agreed, None, None, Undecided, Undecided, Undecided}, r.State); diff != "" {
		t.Error(diff)
	}
	// Rows hold until the next: none from 13 to 21; undecided at 21, which a gap follows,
	// and from 25 to the last row.
	if r.NoneS != 8 || r.UndecidedS != 1 {
		t.Errorf("none %g s, undecided %g s, want 8 and 1", r.NoneS, r.UndecidedS)
	}
	if diff := cmp.Diff([]Span{{21, 21}, {25, 26}}, r.Undecided); diff != "" {
		t.Error(diff)
	}
	if r.LowBar[5] != 1.0 || r.HighBar[5] != 1.4 || !math.IsNaN(r.PO2Bar[2]) || r.LowBar[0] != r.PO2Bar[0] {
		t.Errorf("low %v, high %v, PO2 %v", r.LowBar, r.HighBar, r.PO2Bar)
	}
}

// TestReplayAgreesWithSteps: what a replay reports is what the steps decided.
func TestReplayAgreesWithSteps(t *testing.T) {
	for _, pol := range Policies() {
		t.Run(pol.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in, p := drawInput(t, 5), drawParams(t)
				p.ReminderAfterS = 25
				r := Replay(pol, in, p)
				stepper, row := pol.New(len(in.Cells), p), newRow(in, len(in.Cells))
				outs := make([][]bool, len(in.Cells))
				for i, tS := range in.TimeS {
					row.load(i)
					d := stepper.Step(tS, row.readings, row.manual)
					if d.In != r.In[i] || d.State != r.State[i] {
						t.Fatalf("row %d: %+v, replayed as %b, %v", i, d, r.In[i], r.State[i])
					}
					for k := range outs {
						outs[k] = append(outs[k], d.Out>>k&1 == 1)
					}
				}
				checkOuts(t, in, p, r, outs)
			})
		})
	}
}

// checkOuts compares the reported stretches and reminders with the rows' own.
func checkOuts(t *rapid.T, in Input, p Params, r Result, outs [][]bool) {
	want, reminders := 0, 0
	for k := range outs {
		spans := in.spans(func(i int) bool { return outs[k][i] })
		want += len(spans)
		for _, s := range spans {
			if s.ToS-s.FromS > p.ReminderAfterS+20 { // rows lie 20 s apart at most
				reminders++
			}
			found := false
			for _, o := range r.VotedOut {
				found = found || o.Cell == in.Numbers[k] && o.FromS == s.FromS && o.ToS == s.ToS && o.Reason != ""
			}
			if !found {
				t.Fatalf("cell %d out from %g to %g is not among %v", k+1, s.FromS, s.ToS, r.VotedOut)
			}
		}
	}
	if want != len(r.VotedOut) || len(r.Reminders) < reminders {
		t.Fatalf("%d stretches and %d reminders, want %d and at least %d", len(r.VotedOut), len(r.Reminders), want, reminders)
	}
	for i := 1; i < len(r.VotedOut); i++ {
		if r.VotedOut[i].FromS < r.VotedOut[i-1].FromS {
			t.Fatalf("not in order of begin: %v", r.VotedOut)
		}
	}
}

func TestReasonsUseTheCellsNumbers(t *testing.T) {
	in := record([]float64{1.3}, []float64{1.3}, []float64{1.3}, []float64{0.5})
	in.Numbers = []int{2, 5, 7, 11}
	want := []Out{{Cell: 11, Reason: "cell 11 is 0.80 bar from the mean of cells 2, 5 and 7; limit 0.20"}}
	if diff := cmp.Diff(want, Replay(worstFirst(), in, DefaultParams()).VotedOut); diff != "" {
		t.Error(diff)
	}
	alone := Cause{Against: 1, From: "the mean of", DistanceBar: 0.2500001, LimitBar: 0.25}
	if got, want := alone.text(1, in.Numbers), "cell 5 is 0.250000 bar from cell 2; limit 0.250000"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// firstOut is a policy that gives no causes: the first cell is out.
type firstOut struct{}

func (firstOut) Step(_ float64, readings []float64, _ []Manual) Decision {
	return Decision{PO2Bar: readings[1], State: Agreed, In: 2, Out: 1}
}

func TestPolicyWithoutCauses(t *testing.T) {
	pol := Policy{Name: "first-out", New: func(int, Params) Stepper { return firstOut{} }}
	want := []Out{{Cell: 1, Reason: "cell 1 reads 1.20 bar, the policy gives 1.30 bar"}}
	if diff := cmp.Diff(want, Replay(pol, record([]float64{1.2}, []float64{1.3}), DefaultParams()).VotedOut); diff != "" {
		t.Error(diff)
	}
}

func TestMismatchedLengthsPanic(t *testing.T) {
	for want, in := range map[string]Input{
		"vote: cells, numbers and manual votes differ in length": {Cells: [][]float64{{}}},
		"vote: time and readings differ in length":               {Cells: [][]float64{{1}}, Numbers: []int{1}},
		"vote: time and gaps differ in length":                   {TimeS: []float64{0}, GapAfter: []bool{}},
		"vote: time and manual votes differ in length":           {TimeS: []float64{0}, Cells: [][]float64{{1}}, Numbers: []int{1}, Manual: [][]Manual{{}}},
	} {
		func() {
			defer func() {
				if got := fmt.Sprint(recover()); got != want {
					t.Errorf("panic %q, want %q", got, want)
				}
			}()
			Replay(mean(), in, DefaultParams())
		}()
	}
}

// TestOrderDependent: with the bad cell last, numbering decides what
// leave-one-out makes of it.
func TestOrderDependent(t *testing.T) {
	in := record(
		[]float64{1.30, 1.30, 1.30, 1.30, 1.30},
		[]float64{1.30, 1.30, 1.30, 1.30, 1.30},
		[]float64{1.30, 0.50, 0.50, 1.30, 1.30},
	)
	o := OrderDependent(leaveOneOut(), in, DefaultParams())
	// The wrong pair keeps the good cell out as long as the bad one reads wrong.
	want := Order{Dependent: true, Spans: []Span{{1, 3}}, Seconds: 2, WorstBar: 0.4, WorstAtS: 1, Numberings: 5, All: true}
	if diff := cmp.Diff(want, o, approx); diff != "" {
		t.Error(diff)
	}
	if o := OrderDependent(worstFirst(), in, DefaultParams()); o.Dependent || !math.IsNaN(o.WorstBar) || o.Seconds != 0 {
		t.Errorf("worst-first: %+v", o)
	}
	four := record([]float64{1.3}, []float64{1.3}, []float64{1.3}, []float64{0})
	if o := OrderDependent(leaveOneOut(), four, DefaultParams()); !o.Dependent || o.Numberings != 23 || math.Abs(o.WorstBar-0.65) > 1e-12 {
		t.Errorf("four cells: %+v", o)
	}
	five := record([]float64{1.3}, []float64{1.3}, []float64{1.3}, []float64{1.3}, []float64{0})
	if o := OrderDependent(leaveOneOut(), five, DefaultParams()); !o.Dependent || o.Numberings != 9 || o.All {
		t.Errorf("five cells: %+v", o)
	}
	for _, in := range []Input{{}, record([]float64{1.3}), record([]float64{nan}, []float64{nan})} {
		if o := OrderDependent(leaveOneOut(), in, DefaultParams()); o.Dependent || len(o.Spans) > 0 {
			t.Errorf("%d cells: %+v", len(in.Cells), o)
		}
	}
}

// TestOrderDependentSkipsNothing compares with votes on every row.
func TestOrderDependentSkipsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, p := drawInput(t, 4), drawParams(t)
		for _, pol := range Policies() {
			turns, worst := newTurns(pol, in, p), nan
			var differs []bool
			for i, tS := range in.TimeS {
				turns.own.load(i)
				d := turns.step(tS)
				differs = append(differs, d > tolerance)
				if d > tolerance && !(d <= worst) {
					worst = d
				}
			}
			want := in.spans(func(i int) bool { return differs[i] })
			got := OrderDependent(pol, in, p)
			if diff := cmp.Diff(want, got.Spans); diff != "" {
				t.Fatalf("%s: %s", pol.Name, diff)
			}
			if !(got.WorstBar == worst || math.IsNaN(worst) && math.IsNaN(got.WorstBar)) {
				t.Fatalf("%s: worst %g, want %g", pol.Name, got.WorstBar, worst)
			}
			if got.Dependent && !pol.OrderDependent {
				t.Fatalf("%s depends on the order: %+v", pol.Name, got)
			}
		}
	})
}

var approx = cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12 || math.IsNaN(a) && math.IsNaN(b) })

// benchRecord is a record with a cell that lags behind and one that drops out.
func benchRecord(rows int) Input {
	cells := make([][]float64, 4)
	for k := range cells {
		cells[k] = make([]float64, rows)
	}
	for i := range rows {
		p := 1.25 + 0.08*math.Sin(float64(i)/50)
		for k := range cells {
			cells[k][i] = math.Round(100*(p+0.01*math.Sin(float64(i*(k+3))))) / 100
		}
		if i%4000 > 3000 {
			cells[3][i] = 0.9
		}
	}
	return record(cells...)
}

func BenchmarkReplay(b *testing.B) {
	in := benchRecord(432_000)
	for _, pol := range Policies() {
		b.Run(pol.Name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Replay(pol, in, DefaultParams())
			}
		})
	}
}

func BenchmarkReplayAll(b *testing.B) {
	in := benchRecord(432_000)
	b.ReportAllocs()
	for b.Loop() {
		for _, pol := range Policies() {
			Replay(pol, in, DefaultParams())
		}
	}
}

func BenchmarkOrderDependent(b *testing.B) {
	in := benchRecord(432_000)
	for b.Loop() {
		OrderDependent(leaveOneOut(), in, DefaultParams())
	}
}
