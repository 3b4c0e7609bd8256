package paper

import (
	"fmt"
	"math"
	"time"

	"afterloop/analysis/wording"
)

// ticks are at round values, about n of them.
func (x axis) ticks(n int) []Tick {
	raw := (x.to - x.from) / float64(n)
	step := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, k := range []float64{1, 2, 5, 10} {
		if step*k >= raw {
			step *= k
			break
		}
	}
	decimals := int(math.Max(0, math.Ceil(-math.Log10(step)-1e-9)))
	var out []Tick
	for v := math.Ceil(x.from/step-1e-9) * step; v <= x.to+step*1e-6; v += step {
		out = append(out, Tick{round(x.at(v)), wording.Minus(fmt.Sprintf("%.*f", decimals, v+0.0))})
	}
	return out
}

func round(v float64) float64 { return math.Round(v*10) / 10 }

func (x axis) monthTicks() []Tick {
	first := time.Unix(int64(x.from*86400), 0).UTC()
	months := (x.to - x.from) / 30.4
	step := 1
	for _, s := range []int{1, 2, 3, 6, 12, 24, 60} {
		if step = s; months/float64(s) <= 10 {
			break
		}
	}
	var out []Tick
	t := time.Date(first.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	for ; ; t = t.AddDate(0, step, 0) {
		d := float64(t.Unix()) / 86400
		if d > x.to {
			return out
		}
		if d >= x.from {
			out = append(out, Tick{round(x.at(d)), t.Format("2006-01")})
		}
	}
}

// MonthTicks puts the ticks of the x axis at the first of months; x is in days since 1970.
func (p *Plot) MonthTicks() { p.XTicks = p.x.monthTicks() }
