package analysis

import (
	"math"
	"testing"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

// pressured is a dive to 30 m and back with two pressure columns made of the true pressure.
func pressured(depthRecorded bool, first, second func(i int, p float64) float64) *ingest.Dive {
	d := &ingest.Dive{AmbientFrom: ingest.AmbientMeasured}
	d.Meta.SurfacePressureBar, d.Meta.WaterDensityKgM3 = 1, 1025
	a, b := make([]float64, 600), make([]float64, 600)
	for i := range a {
		z := 30 * math.Sin(math.Pi*float64(i)/599)
		p := gas.Ambient(1, z, 1025)
		a[i], b[i] = first(i, p), second(i, p)
		d.TimeS = append(d.TimeS, float64(i))
		if !depthRecorded {
			z = gas.Depth(1, a[i], 1025)
		}
		d.DepthM = append(d.DepthM, z)
	}
	d.AmbientBar = append([]float64{}, a...)
	d.AmbientByNumber = []ingest.Numbered{{Number: 1, Values: a}, {Number: 2, Values: b}}
	return d
}

func TestChooseSensor(t *testing.T) {
	wide := func(_ int, p float64) float64 { return p }
	narrow := func(_ int, p float64) float64 { return math.Min(p, 2) }
	nan := math.NaN()
	for _, c := range []struct {
		name          string
		depth         bool
		first, second func(int, float64) float64
		changes       bool
	}{
		{"a narrow one in use", true, narrow, wide, true},
		{"a narrow one in use, depth of it", false, narrow, wide, true},
		{"a wide one in use", true, wide, narrow, false},
		{"both alike", true, wide, wide, false},
		{"both end", true, narrow, narrow, false},
		{"the other is off below the end", true, narrow, func(_ int, p float64) float64 { return p + 0.3 }, false},
		{"the other holds half the rows", true, narrow, func(i int, p float64) float64 { return map[bool]float64{true: p, false: nan}[i%2 == 0] }, false},
		{"the other drifts off at depth", true, wide, func(i int, p float64) float64 { return p + math.Max(0, 0.01*float64(i-300)) }, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := pressured(c.depth, c.first, c.second)
			before := append([]float64{}, d.AmbientBar...)
			got, said := chooseSensor(d, DefaultParameters())
			if (said != "") != c.changes || (got != d) != c.changes {
				t.Fatalf("said %q", said)
			}
			for i := range before {
				if d.AmbientBar[i] != before[i] {
					t.Fatal("the dive that was read was changed")
				}
				if c.changes && (got.AmbientBar[i] != d.AmbientByNumber[1].Values[i] || math.Abs(got.DepthM[i]-gas.Depth(1, got.AmbientBar[i], 1025)) > 1e-9) {
					t.Fatalf("row %d: %g bar, %g m", i, got.AmbientBar[i], got.DepthM[i])
				}
			}
			if again, more := chooseSensor(got, DefaultParameters()); more != "" || again != got {
				t.Error("a second choice changes it again: " + more)
			}
		})
	}
	// ambient_bar beside a numbered one: the former stays in the list.
	d := pressured(true, narrow, wide)
	d.AmbientByNumber = d.AmbientByNumber[1:]
	if got, said := chooseSensor(d, DefaultParameters()); said == "" || len(got.AmbientByNumber) != 2 || got.AmbientByNumber[0].Number != 0 {
		t.Errorf("said %q, %d columns", said, len(got.AmbientByNumber))
	}
}
