package paper

import (
	"math"
	"strings"
	"testing"

	"afterloop/analysis/wording"
	"afterloop/report"
)

// TestSpike: one sample's spike among many is drawn.
func TestSpike(t *testing.T) {
	var xs, ys []float64
	for i := range 200_000 {
		xs, ys = append(xs, float64(i)), append(ys, 1)
	}
	for _, at := range []int{0, 77_777, 199_999} {
		v := append([]float64{}, ys...)
		v[at] = 5
		p := NewPlot("x", "", "", "", "", [2]float64{0, 200_000}, [2]float64{0, 6})
		p.Line("", report.LimitStroke(), xs, v)
		top := p.y.at(5)
		if !strings.Contains(p.Curves[0].Path, " "+strings.TrimSuffix(trim(top), ".0")) {
			t.Errorf("the spike at %d is not drawn", at)
		}
		if len(p.Curves[0].Path) > 200_000 {
			t.Errorf("%d bytes are drawn", len(p.Curves[0].Path))
		}
	}
}

func trim(v float64) string { return wording.Minus(strings.TrimSpace(itoaTenths(v))) }

func itoaTenths(v float64) string {
	n := int(math.Round(v * 10))
	return Itoa(n/10) + "." + Itoa(n%10)
}

func TestTicks(t *testing.T) {
	p := NewPlot("x", "", "", "", "", [2]float64{-0.1, 0.1}, [2]float64{3, 3})
	var labels []string
	for _, k := range p.XTicks {
		labels = append(labels, k.Label)
	}
	if got := strings.Join(labels, " "); got != "−0.10 −0.05 0.00 0.05 0.10" && got != "−0.10 −0.08 −0.06 −0.04 −0.02 0.00 0.02 0.04 0.06 0.08 0.10" {
		t.Errorf("ticks %q", got)
	}
	months := axis{from: 20454, to: 20454 + 240, a: 0, b: 100}.monthTicks() // 2026-01-01 on
	if len(months) != 8 || months[0].Label != "2026-01" || months[7].Label != "2026-08" {
		t.Errorf("%v", months)
	}
	if got := order(3, 1, 3, 2); len(got) != 3 || got[0] != 1 || got[2] != 3 {
		t.Errorf("%v", got)
	}
}
