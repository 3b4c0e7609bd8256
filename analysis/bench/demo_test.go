package bench

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"afterloop/internal/golden"
)

// demoCells is a simulated test in an invented pot: a good cell, one that is
// limited at 1.40 bar, and a slow one.
func demoCells() []byte {
	var b bytes.Buffer
	b.WriteString("# bench-cells: 1\n# test: cells of unit Reiher 2 before the season\n# tester: Q. V.\n# pot: steel pot no. 1, 4 bar\n# date: 2026-03-14T10:20:00Z\n" +
		"# pressure: gauge\n# ambient_pressure_bar: 1.004\n# purges: 0\n# start_o2: 0.209\n# supply_o2: 0.995\n" +
		"# cell1_serial: K-2291\n# cell2_serial: K-1874\n# cell3_serial: K-2303\ntime_s,pressure_bar,cell1_mv,cell2_mv,cell3_mv,temp_c\n")
	type cell struct{ slope, offset, ceiling, tau, y float64 }
	cells := []cell{{52.3, 0.3, 9, 2.7, 0.21}, {46.8, 0.1, 1.4, 3.1, 0.21}, {49.9, -0.2, 9, 8.4, 0.21}}
	r := rand.New(rand.NewPCG(2, 9))
	p, po2, t := 1.004, 0.209*1.004, 0
	row := func(next float64) {
		const sub = 20
		d := (next - p) / sub
		for range sub {
			before := po2
			if d > 0 {
				po2 += 0.995 * d
			} else {
				po2 *= (p + d) / p
			}
			p += d
			for k := range cells {
				c := &cells[k]
				c.y += (math.Min((po2+before)/2, c.ceiling) - c.y) * (1 - math.Exp(-1/(sub*c.tau)))
			}
		}
		fmt.Fprintf(&b, "%d,%.2f", t, p-1.004+0.003*r.NormFloat64())
		for _, c := range cells {
			fmt.Fprintf(&b, ",%.1f", c.offset+c.slope*c.y+0.04*r.NormFloat64())
		}
		fmt.Fprintf(&b, ",%.1f\n", 21.4+0.3*math.Sin(float64(t)/300))
		t++
	}
	for _, level := range []float64{1.004, 1.4, 1.8, 2.2, 2.6, 3.05, 3.5, 2.6, 1.8, 1.004} {
		for math.Abs(level-p) > 1e-9 {
			row(p + math.Copysign(math.Min(0.05, math.Abs(level-p)), level-p))
		}
		for range 60 {
			row(p)
		}
	}
	return b.Bytes()
}

type demoLoop struct {
	name, kind                   string
	start, rate, relief, settle  float64
	tempKMin, knownL, storage, k float64
	jump                         float64
	seed                         uint64
}

// demoTightness is a simulated tightness test of an invented unit at 2 Hz.
func demoTightness(c demoLoop) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# bench-tightness: 1\n# name: %s\n# tester: Q. V.\n# unit: Reiher 2\n# date: 2026-03-14T14:05:00Z\n# test: %s\n# ambient_pressure_bar: 1.004\n# limit_mbar_min: 2\n", c.name, c.kind)
	if c.knownL != 0 {
		fmt.Fprintf(&b, "# known_volume_l: %g\n# loop_volume_l: 6.2\n", c.knownL)
	}
	b.WriteString("time_s,loop_mbar,temp_c,event\n")
	sign := 1.0
	if c.kind == "negative" {
		sign = -1
	}
	r := rand.New(rand.NewPCG(c.seed, 1))
	u, settle := 0.0, c.settle
	for i := range 240 {
		t, event := float64(i)/2, ""
		switch {
		case i < 20:
			u = c.start * math.Min(1, float64(i)/16)
		case i == 20:
			event = "closed"
		case c.relief > 0 && u > c.relief:
			u -= math.Min(1.3, u-c.relief)
		default:
			u -= c.rate / 120 * u / c.start
		}
		if i > 20 {
			d := settle * (1 - math.Exp(-0.5/7))
			settle, u = settle-d, u-d
		}
		if i == 150 && c.knownL != 0 {
			event, u = "known_volume", u+sign*c.knownL/c.storage
		}
		if i == 130 && c.jump != 0 {
			event, u = "disturbed", u+c.jump
		}
		dT := c.tempKMin * t / 60
		fmt.Fprintf(&b, "%.1f,%.1f,%.2f,%s\n", t, sign*u+c.k*1030*dT/294+0.03*r.NormFloat64(), 21+dT, event)
	}
	return b.Bytes()
}

func demos() map[string][]byte {
	return map[string][]byte{
		"bench-cells.csv": demoCells(),
		"bench-tightness-positive.csv": demoTightness(demoLoop{name: "positive test after the service", kind: "positive", start: 41, relief: 29, rate: 0.6, settle: 1.2,
			tempKMin: 0.05, knownL: -0.1, storage: 0.021, k: 0.3, seed: 4}),
		"bench-tightness-negative.csv": demoTightness(demoLoop{name: "negative test, mouthpiece as found", kind: "negative", start: 32, rate: 5.5, settle: 2,
			tempKMin: -0.04, k: 0.3, seed: 5}),
	}
}

// TestDemoFiles: the demo files in testdata are what the generators write.
func TestDemoFiles(t *testing.T) {
	for name, want := range demos() {
		golden.Hold(t, "../../testdata/"+name, want)
	}
}
