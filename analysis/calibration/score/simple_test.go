package score

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterloop/analysis"
)

// cells makes a series of a row a second from what each cell reads at each row.
func cells(rows int, read ...func(i int) float64) *analysis.Series {
	s := &analysis.Series{TimeS: make([]float64, rows), GapAfter: make([]bool, rows)}
	for i := range s.TimeS {
		s.TimeS[i] = float64(i)
	}
	for k, f := range read {
		c := analysis.SeriesCell{Number: k + 1, PO2Bar: make([]float64, rows)}
		for i := range c.PO2Bar {
			c.PO2Bar[i] = f(i)
		}
		s.Cells = append(s.Cells, c)
	}
	return s
}

// ramp moves at every row, so that nothing stands still.
func ramp(i int) float64 { return 1 + 1e-4*float64(i) }

// off is the ramp, and by so much more from one row to another.
func off(by float64, from, to int) func(int) float64 {
	return func(i int) float64 {
		if i >= from && i <= to {
			return ramp(i) + by
		}
		return ramp(i)
	}
}

func namedBy(rule string, s *analysis.Series) []alarm {
	for _, r := range simpleRules() {
		if r.name == rule {
			return r.alarms(s)
		}
	}
	panic("score: no such rule")
}

func TestSimpleRules(t *testing.T) {
	stopped := func(i int) float64 { return ramp(min(i, 100)) }
	for name, c := range map[string]struct {
		rule   string
		series *analysis.Series
		want   []alarm
	}{
		"never":                       {"never", cells(200, ramp, off(1, 0, 199)), nil},
		"always":                      {"always", cells(200, ramp, ramp), []alarm{{1, 0, 199}, {2, 0, 199}}},
		"far from the median":         {"median 0.20", cells(200, ramp, off(0.21, 50, 80), ramp), []alarm{{2, 50, 80}}},
		"not long enough":             {"median 0.20", cells(200, ramp, off(0.21, 50, 79), ramp), nil},
		"not far enough":              {"median 0.20", cells(200, ramp, off(0.20, 50, 150), ramp), nil},
		"two as far name none":        {"median 0.20", cells(200, off(-0.3, 50, 150), ramp, off(0.3, 50, 150)), nil},
		"of two cells none":           {"median 0.20", cells(200, ramp, off(0.5, 0, 199)), nil},
		"only the farthest":           {"median 0.20", cells(200, ramp, ramp, ramp, off(0.3, 50, 150), off(0.4, 50, 150)), []alarm{{5, 50, 150}}},
		"from the others":             {"others 0.20", cells(200, ramp, off(-0.21, 50, 150), ramp), []alarm{{2, 50, 150}}},
		"drags the others along":      {"others 0.20", cells(200, ramp, off(0.6, 50, 150), ramp), []alarm{{1, 50, 150}, {2, 50, 150}, {3, 50, 150}}},
		"lower limit":                 {"others 0.10", cells(200, ramp, off(0.15, 50, 150), ramp), []alarm{{2, 50, 150}}},
		"close to each other are one": {"others 0.10", cells(400, ramp, func(i int) float64 { return off(0.15, 50, 100)(i) + off(0.15, 150, 200)(i) - ramp(i) }, ramp), []alarm{{2, 50, 200}}},
		"far apart are two":           {"others 0.10", cells(400, ramp, func(i int) float64 { return off(0.15, 50, 100)(i) + off(0.15, 160, 200)(i) - ramp(i) }, ramp), []alarm{{2, 50, 100}, {2, 160, 200}}},
		"stands still":                {"flat 60 s", cells(200, ramp, stopped), []alarm{{2, 101, 199}}},
		"steps are no standstill":     {"flat 60 s", cells(200, ramp, func(i int) float64 { return float64(i / 50) }), nil},
	} {
		t.Run(name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, namedBy(c.rule, c.series), cmp.AllowUnexported(alarm{})); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// A gap ends an alarm: nobody knows what the cell read meanwhile.
func TestGapEndsAnAlarm(t *testing.T) {
	s := cells(200, ramp, off(0.3, 50, 100), ramp)
	s.GapAfter[75] = true
	if got := namedBy("others 0.20", s); got != nil {
		t.Errorf("%v across a gap, both sides being too short", got)
	}
}

func TestScoreAlarms(t *testing.T) {
	l := Log{Faults: []Fault{fault("slow-cell", 2), fault("dead-valve", 1)}}
	for name, c := range map[string]struct {
		alarms []alarm
		want   SimpleRule
	}{
		"nothing":     {nil, SimpleRule{}},
		"exact":       {[]alarm{{2, 1000, 1500}}, SimpleRule{Detected: 1, Named: 1, Exact: 1}},
		"and another": {[]alarm{{2, 1000, 1500}, {3, 1000, 1500}}, SimpleRule{Detected: 1, Named: 1, FalseAlarms: 1}},
		"another":     {[]alarm{{3, 1000, 1500}}, SimpleRule{Detected: 1, FalseAlarms: 1}},
		"too early":   {[]alarm{{2, 0, 900}}, SimpleRule{}},
	} {
		if got := l.scoreAlarms("", c.alarms, false); got != c.want {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
	if l.scoreAlarms("", []alarm{{2, 1000, 1500}}, true); !l.Faults[0].Trivial || l.Faults[1].Trivial {
		t.Error("the fault of the cell is trivial, that of the valve is not")
	}
	open := Log{Undecidable: []int{2}}
	if got := open.scoreAlarms("", []alarm{{2, 0, 9}}, false); got.FalseAlarms != 0 {
		t.Error("an alarm on an undecidable cell was counted")
	}
}
