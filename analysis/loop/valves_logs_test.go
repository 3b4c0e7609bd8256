package loop_test

import (
	"math"
	"sort"
	"testing"

	"afterloop/analysis/loop"
)

var valveKinds = map[string]loop.ValveFaultKind{"valve-dead": loop.DeadValve, "valve-leak": loop.LeakingValve, "oxygen-off": loop.SupplyLost}

// valveScore counts as the scorer of the simulated logs does.
type valveScore struct {
	faults, right, falseAlarms, sure, sureWrong int
	onset                                       []float64
}

func (v *valveScore) add(t *testing.T, s simulated, d loop.ValveDiagnosis) {
	matched := map[int]bool{}
	for _, f := range s.Faults {
		kind, ok := valveKinds[f.Kind]
		if !ok || (kind == loop.LeakingValve && s.UndecidableLeak) {
			continue // a lower VO2 explains such a leak as well: not assessed
		}
		v.faults++
		hit := -1
		for i, g := range d.Faults {
			if g.Kind == kind && g.Valve == f.Valve {
				hit = i
			}
		}
		if hit < 0 {
			t.Logf("%s MISSED %s from %.0f: found %+v", s.name, f.Kind, f.FromS, d.Faults)
			continue
		}
		matched[hit] = true
		v.right++
		g := d.Faults[hit]
		v.onset = append(v.onset, math.Abs(g.FromS-f.FromS))
		if g.Confidence == loop.Sure {
			v.sure++
		}
		if testing.Verbose() {
			t.Logf("%s %s %d onset %+.0f to %.0f value %.2f (%.2f..%.2f) %s", s.name, g.Kind, g.Valve, g.FromS-f.FromS, g.ToS, g.Value, g.Low, g.High, g.Confidence)
		}
	}
	for i, g := range d.Faults {
		if !matched[i] && !(g.Kind == loop.LeakingValve && s.UndecidableLeak) {
			v.falseAlarms++
			if g.Confidence == loop.Sure {
				v.sureWrong++
			}
			t.Logf("%s (%s %s) FALSE %s %d %.0f..%.0f value %.2f (%.2f..%.2f) %s %v", s.name, s.Fault, s.Hard, g.Kind, g.Valve, g.FromS, g.ToS, g.Value, g.Low, g.High, g.Confidence, g.Evidence)
		}
	}
}

func TestScoreValvesOracle(t *testing.T) {
	for _, dir := range logFolders(t) {
		for _, prefix := range prefixes(t, dir) {
			var sc valveScore
			logs := loadLogs(t, dir, prefix)
			for _, s := range logs {
				e := loop.Smooth(s.rec, s.oracle(), loop.DefaultParams())
				sc.add(t, s, loop.Valves(s.rec, s.oracle(), e.PO2Bar, loop.DefaultParams()))
			}
			sort.Float64s(sc.onset)
			t.Logf("%s:%s %d logs: right %d of %d, sure %d, false alarms %d (sure %d), onset median %.0f s", dir, prefix, len(logs),
				sc.right, sc.faults, sc.sure, sc.falseAlarms, sc.sureWrong, median(sc.onset))
			if prefix != "" && (sc.right < sc.faults || sc.falseAlarms > 0) {
				t.Errorf("%s: %d of %d valve faults right, %d false alarms", prefix, sc.right, sc.faults, sc.falseAlarms)
			}
		}
	}
}

// prefixes is how a folder's logs are split for the tables.
func prefixes(t *testing.T, dir string) []string {
	if hasPrefixed(loadLogs(t, dir, "02")) {
		return []string{"02", "03", "04"}
	}
	return []string{""}
}
