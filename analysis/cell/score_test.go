package cell_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"afterloop/analysis/cell"
)

var kindOf = map[string]cell.Kind{"slow": cell.Slow, "limited": cell.Limited, "gain": cell.Miscalibrated,
	"drift": cell.Drifting, "frozen": cell.Frozen, "erratic": cell.Erratic}

// score counts, for the faults of cells, as the scorer of the simulated logs does.
type score struct {
	logs, faults, kind, part, sure, open, told int
	falseAlarms, sureWrong, missed             []string
	t90, ceiling, onset                        []float64
	took                                       time.Duration
	cover                                      map[string][2]int // figure: intervals that hold the truth, and all
	grades                                     map[cell.Confidence][2]int
}

func (s *score) add(name string, tr truth, d cell.Diagnosis, end float64) {
	s.logs++
	s.addIntervals(tr, d)
	label := fmt.Sprintf("%s (%s %s)", filepath.Base(name), tr.Fault, tr.Hard)
	faulty := map[int]bool{}
	for _, f := range tr.Faults {
		if _, ok := kindOf[f.Kind]; ok {
			faulty[f.Cell] = true
		}
	}
	for _, f := range tr.Faults {
		if _, ok := kindOf[f.Kind]; ok {
			s.addFault(label, tr, f, d, end)
		}
	}
	if len(tr.Undecidable) > 0 {
		s.open++
		if len(d.Undecided) > 0 {
			s.told++
		}
	}
	for _, f := range d.Faults {
		s.grade(f.Confidence, f.Borderline || rightKind(tr, f))
		possible := len(tr.Undecidable) > 0 && f.Kind == cell.Miscalibrated && f.Confidence == cell.Possible
		if f.Borderline || faulty[f.Cell] || slices.Contains(tr.Undecidable, f.Cell) || possible {
			continue
		}
		s.falseAlarms = append(s.falseAlarms, fmt.Sprintf("%s: %s %d %s", label, f.Kind, f.Cell, f.Confidence))
		if f.Confidence == cell.Sure {
			s.sureWrong = append(s.sureWrong, s.falseAlarms[len(s.falseAlarms)-1])
		}
	}
}

// rightKind tells whether a fault is true of its cell (or can't be decided).
func rightKind(tr truth, f cell.Fault) bool {
	for _, g := range tr.Faults {
		if g.Cell == f.Cell && kindOf[g.Kind] == f.Kind {
			return true
		}
	}
	return slices.Contains(tr.Undecidable, f.Cell) || (len(tr.Undecidable) > 0 && f.Kind == cell.Miscalibrated)
}

func (s *score) grade(c cell.Confidence, right bool) {
	if s.grades == nil {
		s.grades = map[cell.Confidence][2]int{}
	}
	s.grades[c] = count(s.grades[c], right)
}

func count(c [2]int, right bool) [2]int {
	if right {
		c[0]++
	}
	return [2]int{c[0], c[1] + 1}
}

// addIntervals counts how many intervals hold the truth.
func (s *score) addIntervals(tr truth, d cell.Diagnosis) {
	if s.cover == nil {
		s.cover = map[string][2]int{}
	}
	for k, c := range d.Cells {
		slow := false
		for _, f := range tr.Faults {
			if f.Cell != c.Cell {
				continue
			}
			if f.Kind == "slow" {
				slow = true
				if c.T90S.Known() {
					s.cover["t90 of slow cells"] = count(s.cover["t90 of slow cells"], c.T90S.Has(f.T90S))
				}
			}
			if f.Kind == "limited" && c.CeilingBar.Known() {
				s.cover["ceiling"] = count(s.cover["ceiling"], c.CeilingBar.Has(f.CeilingBar))
			}
		}
		if len(tr.Faults) == 0 && c.T90S.Known() && !slow {
			s.cover["t90 of quick cells"] = count(s.cover["t90 of quick cells"], c.T90S.Has(tr.T90S[k]))
		}
		if c.Gain.Known() && c.Gain.Reason == "" {
			s.cover["absolute gain"] = count(s.cover["absolute gain"], c.Gain.Has(tr.Gain[k]))
		}
	}
}

// addFault scores one true fault.
func (s *score) addFault(label string, tr truth, f truthFault, d cell.Diagnosis, end float64) {
	s.faults++
	to := end
	if f.ToS != nil {
		to = *f.ToS
	}
	kinds, want := map[cell.Kind]bool{}, map[cell.Kind]bool{}
	for _, g := range tr.Faults {
		if g.Cell == f.Cell {
			want[kindOf[g.Kind]] = true
		}
	}
	var hit *cell.Fault
	sure := false
	var said []string
	for i, g := range d.Faults {
		if g.Borderline || g.Cell != f.Cell || g.FromS > to+60 || (!math.IsNaN(g.ToS) && g.ToS < f.FromS) {
			continue
		}
		kinds[g.Kind], sure = true, sure || g.Confidence == cell.Sure
		said = append(said, string(g.Kind))
		if g.Kind == kindOf[f.Kind] && hit == nil {
			hit = &d.Faults[i]
		}
	}
	if len(kinds) > 0 {
		s.part++
	}
	switch {
	case hit != nil && len(kinds) <= len(want):
		s.kind++
		if hit.Confidence == cell.Sure {
			s.sure++
		}
		if f.FromS > 0 {
			s.onset = append(s.onset, math.Abs(hit.FromS-f.FromS))
		}
	default:
		s.missed = append(s.missed, fmt.Sprintf("%s: %s %d, said %s", label, f.Kind, f.Cell, strings.Join(said, " ")))
		if sure {
			s.sureWrong = append(s.sureWrong, s.missed[len(s.missed)-1])
		}
	}
	for _, c := range d.Cells {
		if c.Cell != f.Cell {
			continue
		}
		if f.Kind == "slow" {
			s.t90 = append(s.t90, orInf(math.Abs(c.T90S.Value-f.T90S)/f.T90S))
		}
		if f.Kind == "limited" {
			s.ceiling = append(s.ceiling, orInf(math.Abs(c.CeilingBar.Value-f.CeilingBar)))
		}
	}
}

func orInf(x float64) float64 {
	if math.IsNaN(x) {
		return math.Inf(1)
	}
	return x
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

func share(a, b int) float64 { return float64(a) / math.Max(float64(b), 1) }

func (s *score) print(t *testing.T, title string) {
	t.Logf("%s: %d logs, %.3f s a log; right kind %d/%d = %.3f, right part %.3f, false alarms %d, sure and wrong %d, sure %.2f, told %d/%d; T90 %.3f ceiling %.3f onset %.0f",
		title, s.logs, s.took.Seconds()/float64(s.logs), s.kind, s.faults, share(s.kind, s.faults), share(s.part, s.faults), len(s.falseAlarms), len(s.sureWrong),
		share(s.sure, s.kind), s.told, s.open, median(s.t90), median(s.ceiling), median(s.onset))
	t.Logf("  intervals that hold the truth: %v; right by confidence: %v", s.cover, s.grades)
	for _, m := range s.missed {
		t.Log("  missed ", m)
	}
	for _, m := range s.falseAlarms {
		t.Log("  false alarm ", m)
	}
	for _, m := range s.sureWrong {
		t.Log("  sure and wrong ", m)
	}
}

// TestScore measures the diagnosis on simulated logs whose truth is known. The
// logs are not part of the repository: AFTERLOOP_LOGS names their folder, and
// AFTERLOOP_LOGS_PREFIX, where set, the prefixes to be measured.
func TestScore(t *testing.T) {
	dir := os.Getenv("AFTERLOOP_LOGS")
	if dir == "" {
		t.Skip("AFTERLOOP_LOGS is not set: THE DIAGNOSIS IS NOT MEASURED on the simulated logs")
	}
	prefixes := []string{"02", "03", "04"}
	if p := os.Getenv("AFTERLOOP_LOGS_PREFIX"); p != "" {
		prefixes = strings.Split(p, ",")
	}
	for _, p := range prefixes {
		var s score
		names := logNames(t, dir, p)
		for _, n := range names {
			r := loadRecord(t, n+".csv")
			t0 := time.Now()
			d := cell.Diagnose(r, cell.DefaultParams())
			s.took += time.Since(t0)
			s.add(n, loadTruth(t, n+".truth.json"), d, r.TimeS[len(r.TimeS)-1])
		}
		if len(names) > 0 {
			s.print(t, p)
		}
	}
}
