package tracking

import (
	"fmt"
	"math"
	"testing"
)

// The cost is linear in the rows: time per row is to stay the same from a log of
// 3 h at 1 Hz to one of 12 h at 10 Hz.
func BenchmarkAll(b *testing.B) {
	for _, n := range []int{10_800, 432_000} {
		in := level(n, 1, 1.3, func(s float64) float64 { return 1.3 + 0.12*math.Sin(s/15) })
		for i := range in.DepthM {
			in.DepthM[i] = 20 + 15*math.Sin(float64(i)/200)
			if i/500%2 == 1 {
				in.SetPointBar[i] = 1.0
			}
		}
		p := DefaultParams()
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for range b.N {
				ph := Phases(in.TimeS, in.DepthM, nil, p)
				Track(in, ph, p)
				Changes(in, p)
				Oscillations(in, HalfWaves(in, p), p)
				NotHeld(in, ph, p)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/row")
		})
	}
}
