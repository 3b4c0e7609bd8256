package loop_test

import (
	"testing"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
)

func TestScoreWithDiagnosis(t *testing.T) {
	for _, dir := range logFolders(t) {
		for _, prefix := range prefixes(t, dir) {
			logs := loadLogs(t, dir, prefix)
			var scores []estimateScore
			var sc valveScore
			for _, s := range logs {
				st := cell.States(s.rec, cell.Diagnose(s.rec, cell.DefaultParams()))
				e := loop.Smooth(s.rec, st, loop.DefaultParams())
				v := loop.Valves(s.rec, st, e.PO2Bar, loop.DefaultParams())
				if len(v.Faults) > 0 {
					e = loop.Smooth(loop.Delivered(s.rec, v.Faults), st, loop.DefaultParams())
				}
				es := scoreEstimate(s, e)
				scores = append(scores, es)
				if testing.Verbose() {
					t.Logf("%s %-12s %-8s rmse %.4f scale %.4f vote %.4f ratio %.2f cover %.2f width %.3f", s.name, s.Fault, s.Hard, es.rmse,
						es.scaleOnly, es.vote, es.ratio, float64(es.inside)/float64(es.total), es.width)
				}
				sc.add(t, s, v)
			}
			t.Logf("%s:%s diagnosed %s", dir, prefix, summary(scores))
			meet(t, prefix, scores, 1)
			t.Logf("%s:%s valves: right %d of %d, sure %d, false alarms %d (sure %d), onset median %.0f s", dir, prefix,
				sc.right, sc.faults, sc.sure, sc.falseAlarms, sc.sureWrong, median(sc.onset))
		}
	}
}
