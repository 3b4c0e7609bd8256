package exposure

import (
	"math"
	"testing"
)

// 1.85 % is the offset of Arieli's line, 2.70 % that of Shykoff's formula at 0 h: the
// figure of a dive says how much of it is that.
func TestOffsetIsNamed(t *testing.T) {
	for name, want := range map[string]float64{"pulmonary-index": 1.85, "near-1.3": 2.70} {
		m, _ := ModelByName(name)
		d := m.Dose([]float64{0, 1200}, []float64{1.3, 1.3}, nil, DefaultOptions())
		if f := d.Figures[0]; f.Name != ofWhichOffset || f.Unit != "%" || math.Abs(f.Value-want) > 0.005 || !(d.Value > f.Value) {
			t.Errorf("%s: %.3f %%, of which %+v, want %.2f", name, d.Value, f, want)
		}
	}
}
