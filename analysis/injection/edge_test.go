package injection

import (
	"fmt"
	"math"
	"testing"
)

// Nothing recorded gives nothing, without a panic and never a zero for unknown.
func TestEdges(t *testing.T) {
	nan := math.NaN()
	row := func(v float64, n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = v
		}
		return out
	}
	unknown := Input{LoopVolumeL: nan, FlowLMin: nan, LoopTempC: nan, CellT90S: nan}
	one := unknown
	one.TimeS, one.AmbientBar, one.CellsBar, one.Valves = []float64{3}, []float64{2}, [][]float64{{1}}, []Valve{{Number: 1, OpenS: []float64{0.5}}}
	allNaN := unknown
	allNaN.TimeS, allNaN.AmbientBar, allNaN.CellsBar = []float64{0, 1, 2}, row(nan, 3), [][]float64{row(nan, 3), row(nan, 3)}
	allNaN.Valves = []Valve{{Number: 1, OpenS: row(nan, 3)}, {Number: 2, OpenS: row(nan, 3)}}
	bare := unknown
	bare.TimeS = []float64{0, 1}
	for name, in := range map[string]Input{"empty": unknown, "one row": one, "all NaN": allNaN, "no columns": bare} {
		r := Analyse(in, DefaultParams())
		for what, v := range map[string]float64{"VO2": r.Oxygen.VO2LMin.Value, "flow/V": r.Oxygen.FlowPerVolume.Value, "delay": r.DelayS, "oxygen": r.Supply.OxygenL, "shortest": r.Remaining.ShortestMin} {
			if !math.IsNaN(v) {
				t.Errorf("%s: %s is %g", name, what, v)
			}
		}
		if r.Oxygen.VO2LMin.Reason == "" || r.Supply.OxygenReason == "" {
			t.Errorf("%s: no reason given", name)
		}
	}
}

// Masked rows, time off the loop and gaps bear no response.
func TestDisturbedOpeningsHaveNoResponse(t *testing.T) {
	r := plain()
	r.everyS, r.pulseS = 60, 5
	for name, disturb := range map[string]func(*Input){
		"masked":   func(in *Input) { in.Masked = make([]bool, len(in.TimeS)); every(in.Masked, 20) },
		"off loop": func(in *Input) { in.OnLoop = make([]bool, len(in.TimeS)) },
		"gaps":     func(in *Input) { in.GapAfter = make([]bool, len(in.TimeS)); every(in.GapAfter, 20) },
	} {
		in := r.run(1800, 1)
		disturb(&in)
		res := Analyse(in, DefaultParams())
		if v := res.Valves[0]; v.Responses != 0 || !math.IsNaN(v.ResponseBar) || v.ResponseReason == "" || v.Count == 0 {
			t.Errorf("%s: %+v", name, v)
		}
	}
}

func every(flags []bool, n int) {
	for i := 0; i < len(flags); i += n {
		flags[i] = true
	}
}

// The signal is the median of the cells, or the unit's PO2 where asked for.
func TestSignal(t *testing.T) {
	nan := math.NaN()
	in := Input{TimeS: []float64{0, 1, 2}, AmbientBar: []float64{2, 2, 2}, PO2Bar: []float64{9, 9, 9},
		CellsBar: [][]float64{{1, 1, nan}, {2, nan, nan}, {4, 4, nan}}}
	got := newSignal(in).poBar
	if got[0] != 2 || got[1] != 2.5 || !math.IsNaN(got[2]) {
		t.Errorf("%v", got)
	}
	in.ResponseFrom = UnitPO2
	if got := newSignal(in).poBar; got[2] != 9 {
		t.Errorf("%v", got)
	}
}

func TestLengthMismatchPanics(t *testing.T) {
	defer func() {
		if r := recover(); r != "injection: columns differ in length" {
			t.Errorf("recovered %v", r)
		}
	}()
	Analyse(Input{TimeS: []float64{1, 2}, PO2Bar: []float64{1}}, DefaultParams())
}

// The cost is linear in the rows, whether openings stand alone or run together.
func BenchmarkAnalyse(b *testing.B) {
	for _, every := range []float64{6, 45} {
		r := plain()
		r.everyS, r.pulseS, r.valves = every, every/12, 2
		short := r.run(10_799, 1)
		for _, n := range []int{10_800, 432_000} {
			in := repeat(short, n)
			b.Run(fmt.Sprintf("%d rows, every %g s", n, every), func(b *testing.B) {
				for range b.N {
					Analyse(in, DefaultParams())
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/row")
			})
		}
	}
}

// repeat appends the log to itself until it has n rows.
func repeat(in Input, n int) Input {
	out := in
	grow := func(v []float64) []float64 {
		w := make([]float64, n)
		for i := range w {
			w[i] = v[i%len(v)]
		}
		return w
	}
	out.DepthM, out.AmbientBar, out.SetPointBar, out.PO2Bar, out.FO2Diluent = grow(in.DepthM), grow(in.AmbientBar), grow(in.SetPointBar), grow(in.PO2Bar), grow(in.FO2Diluent)
	out.Valves = nil
	for _, v := range in.Valves {
		out.Valves = append(out.Valves, Valve{Number: v.Number, OpenS: grow(v.OpenS)})
	}
	out.TimeS = make([]float64, n)
	for i := range out.TimeS {
		out.TimeS[i] = float64(i)
	}
	return out
}
