package loop_test

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"

	"afterloop/analysis/loop"
)

// interp is the linear interpolation of the scorer.
func interp(xs, ys []float64, x float64) float64 {
	i := sort.SearchFloat64s(xs, x)
	switch i {
	case 0:
		return ys[0]
	case len(xs):
		return ys[len(ys)-1]
	}
	w := (x - xs[i-1]) / (xs[i] - xs[i-1])
	return ys[i-1]*(1-w) + ys[i]*w
}

// estimateScore is one log's share of the score.
type estimateScore struct {
	rmse, vote, ratio, scaleOnly, width float64
	inside, total                       int
	liveRMSE                            float64
	liveInside                          int
}

func scoreEstimate(s simulated, e loop.Estimate) estimateScore {
	var sc estimateScore
	t := s.rec.TimeS
	sse, ssv, ssl := 0.0, 0.0, 0.0
	var sep, spp float64
	for i, at := range s.truthTimeS {
		p := s.truthBar[i]
		est := interp(t, e.PO2Bar, at)
		sse += (est - p) * (est - p)
		ssv += math.Pow(interp(t, s.rec.UnitPO2Bar, at)-p, 2)
		ssl += math.Pow(interp(t, e.LiveBar, at)-p, 2)
		sep, spp = sep+est*p, spp+p*p
		if interp(t, e.LowBar, at) <= p && p <= interp(t, e.HighBar, at) {
			sc.inside++
		}
		if interp(t, e.LiveLowBar, at) <= p && p <= interp(t, e.LiveHighBar, at) {
			sc.liveInside++
		}
	}
	n := float64(len(s.truthBar))
	sc.rmse, sc.vote, sc.liveRMSE, sc.total = math.Sqrt(sse/n), math.Sqrt(ssv/n), math.Sqrt(ssl/n), len(s.truthBar)
	sc.ratio = sc.rmse / sc.vote
	sc.scaleOnly = math.Abs(sep/spp-1) * math.Sqrt(spp/n) // the part that is one wrong scale
	var w []float64
	for i := range e.HighBar {
		w = append(w, e.HighBar[i]-e.LowBar[i])
	}
	sc.width = median(w)
	return sc
}

func median(x []float64) float64 { return loop.Quantile(x, 0.5) }

func summary(scores []estimateScore) string {
	var ratio, rmse, width, shape, live []float64
	worst, in, lin, tot := 0.0, 0, 0, 0
	for _, s := range scores {
		ratio, rmse, width = append(ratio, s.ratio), append(rmse, s.rmse), append(width, s.width)
		shape = append(shape, math.Sqrt(math.Max(0, s.rmse*s.rmse-s.scaleOnly*s.scaleOnly)))
		live = append(live, s.liveRMSE/s.vote)
		worst = math.Max(worst, s.rmse)
		in, lin, tot = in+s.inside, lin+s.liveInside, tot+s.total
	}
	return fmt.Sprintf("%d logs: rmse median %.4f worst %.4f bar; without scale %.4f; ratio %.2f; band covers %.3f, width %.3f; live ratio %.2f covers %.3f",
		len(scores), median(rmse), worst, median(shape), median(ratio), float64(in)/float64(tot), median(width), median(live), float64(lin)/float64(tot))
}

// goals are what the estimate must reach on the simulated logs, by prefix.
var goals = map[string]struct{ ratio, worstBar, covers, widthBar float64 }{
	"02": {0.35, 0.05, 0.93, 0.05},
	"03": {0.6, 0.05, 0.93, 0.05},
	"04": {0.7, 0.10, 0.92, 0.08},
}

// meet holds scores against the goals of their prefix, slack times as lax in the
// ratio; sets without a known prefix have none.
func meet(t *testing.T, prefix string, scores []estimateScore, slack float64) {
	t.Helper()
	g, ok := goals[prefix]
	if !ok {
		return
	}
	var ratio, width []float64
	in, tot := 0, 0
	for _, s := range scores {
		ratio, width = append(ratio, s.ratio), append(width, s.width)
		in, tot = in+s.inside, tot+s.total
		if s.rmse > g.worstBar {
			t.Errorf("%s: a log with error %.4f bar, worst allowed %.2f", prefix, s.rmse, g.worstBar)
		}
	}
	if m := median(ratio); m > g.ratio*slack {
		t.Errorf("%s: ratio %.3f, want at most %.2f", prefix, m, g.ratio*slack)
	}
	if c := float64(in) / float64(tot); c < g.covers || median(width) > g.widthBar {
		t.Errorf("%s: band covers %.3f with width %.3f bar, want %.2f with %.2f", prefix, c, median(width), g.covers, g.widthBar)
	}
}

func TestScoreEstimateOracle(t *testing.T) {
	for _, dir := range logFolders(t) {
		for _, prefix := range []string{"02", "03", "04", ""} {
			logs := loadLogs(t, dir, prefix)
			if prefix == "" && hasPrefixed(logs) || len(logs) == 0 {
				continue
			}
			var scores []estimateScore
			for _, s := range logs {
				sc := scoreEstimate(s, loop.Smooth(s.rec, s.oracle(), loop.DefaultParams()))
				scores = append(scores, sc)
				if testing.Verbose() {
					t.Logf("%s %-12s %-8s rmse %.4f scale %.4f vote %.4f ratio %.2f cover %.2f width %.3f live %.4f %.2f", s.name, s.Fault, s.Hard, sc.rmse,
						sc.scaleOnly, sc.vote, sc.ratio, float64(sc.inside)/float64(sc.total), sc.width, sc.liveRMSE, float64(sc.liveInside)/float64(sc.total))
				}
			}
			t.Logf("%s:%s %s", dir, prefix, summary(scores))
			meet(t, prefix, scores, 1.1)
		}
	}
}

func hasPrefixed(logs []simulated) bool {
	for _, s := range logs {
		if strings.HasPrefix(s.name, "02") || strings.HasPrefix(s.name, "03") || strings.HasPrefix(s.name, "04") {
			return true
		}
	}
	return false
}
