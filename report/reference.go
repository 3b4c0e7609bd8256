package report

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"afterloop/analysis/gas"
)

// A reference is a small chart of what a healthy one looks like, beside what the
// finding is about. Both curves come from the equations of the loop and of a
// cell, with invented figures; nothing of the log is in them.
type reference struct {
	unit           string // of the vertical axis
	lastS          float64
	healthy, other func(tS float64) float64
}

// The invented loop of the references: a set point held by short openings.
const (
	refVolumeL   = 6.0
	refVO2LMin   = 1.0
	refDiluentO2 = 0.18
	refSetBar    = 1.3
)

// usePerS is how fast PO2 falls while oxygen is shut off and diluent holds the
// volume: -(1 - F_dil) VO2 / V, in bar per second.
const usePerS = (1 - refDiluentO2) * refVO2LMin / refVolumeL / 60

// heldBar is PO2 about the set point: it falls by what the diver uses and rises
// by one opening in every period.
func heldBar(periodS float64) func(float64) float64 {
	return func(tS float64) float64 {
		phase := math.Mod(tS, periodS)
		rise := usePerS * periodS
		if phase < 4 { // the opening arrives mixed over some seconds
			return refSetBar - rise/2 + rise*phase/4
		}
		return refSetBar + rise/2 - rise*(phase-4)/(periodS-4)
	}
}

// stepped is a PO2 that goes from one level to another at a moment.
func stepped(fromBar, toBar, atS float64) func(float64) float64 {
	return func(tS float64) float64 {
		if tS < atS {
			return fromBar
		}
		return toBar
	}
}

// lagged is what a first-order cell reads of p: dy/dt = (g p - y)/tau, tau =
// T90/ln 10, here solved step by step from its start.
func lagged(p func(float64) float64, t90S float64) func(float64) float64 {
	const dtS = 0.5
	tau := t90S / math.Ln10
	read := []float64{p(0)}
	return func(tS float64) float64 {
		for n := int(tS / dtS); len(read) <= n; {
			at := float64(len(read)) * dtS
			last := read[len(read)-1]
			read = append(read, last+(p(at)-last)*(1-math.Exp(-dtS/tau)))
		}
		return read[int(tS/dtS)]
	}
}

func scaled(p func(float64) float64, gain func(float64) float64) func(float64) float64 {
	return func(tS float64) float64 { return p(tS) * gain(tS) }
}

// limited reads p up to a ceiling and hardly more above it.
func limited(p func(float64) float64, ceilingBar float64) func(float64) float64 {
	return func(tS float64) float64 {
		v := p(tS)
		return math.Min(v, ceilingBar) + 0.1*math.Max(v-ceilingBar, 0)
	}
}

// after is before until a moment, then another curve.
func after(atS float64, before, then func(float64) float64) func(float64) float64 {
	return func(tS float64) float64 {
		if tS < atS {
			return before(tS)
		}
		return then(tS)
	}
}

func line0(atBar, perS float64) func(float64) float64 {
	return func(tS float64) float64 { return atBar + perS*tS }
}

func swinging(amplitudeBar, periodS float64) func(float64) float64 {
	return func(tS float64) float64 { return refSetBar + amplitudeBar*math.Sin(2*math.Pi*tS/periodS) }
}

// coming is a rise to the set point that may pass it: a second-order response.
func coming(quick, damping float64) func(float64) float64 {
	return func(tS float64) float64 {
		w := quick * math.Sqrt(math.Max(1-damping*damping, 1e-9))
		return refSetBar - (refSetBar-0.7)*math.Exp(-damping*quick*tS)*(math.Cos(w*tS)+damping*quick/w*math.Sin(w*tS))
	}
}

// references are the small charts by name.
func references() map[string]reference {
	held := heldBar(30)
	step := stepped(0.7, refSetBar, 30)
	ramp := func(tS float64) float64 { return 0.7 + 0.8*math.Min(tS/150, 1) }
	low := func(tS float64) float64 { return held(tS) - 0.003*math.Max(tS-60, 0) }
	ambient := func(tS float64) float64 { return 1.0 + 0.4*math.Min(tS/60, 1) }
	return map[string]reference{
		"step":    {"bar", 120, lagged(step, 6), lagged(step, 60)},
		"ceiling": {"bar", 180, ramp, limited(ramp, 1.15)},
		"gain":    {"bar", 180, held, scaled(held, line0(0.88, 0))},
		"drift":   {"bar", 180, held, scaled(held, line0(1, -0.0009))},
		"frozen":  {"bar", 180, ramp, after(60, ramp, line0(ramp(60), 0))},
		"erratic": {"bar", 180, held, func(tS float64) float64 {
			if k := int(tS / 5); k%7 == 3 || k%11 == 8 {
				return held(tS) - 0.25
			}
			return held(tS)
		}},
		"apart":   {"bar", 180, held, low},
		"mean":    {"bar", 180, held, func(tS float64) float64 { return (2*held(tS) + low(tS)) / 3 }},
		"bound":   {"bar", 120, ambient, scaled(ambient, line0(1.02, 0.001))},
		"flush":   {"bar", 60, lagged(stepped(1.3, 0.93, 10), 8), scaled(lagged(stepped(1.3, 0.93, 10), 8), line0(1.1, 0))},
		"stopped": {"bar", 480, held, after(60, held, line0(refSetBar+60*usePerS, -usePerS))},
		"open":    {"bar", 180, held, after(60, held, line0(refSetBar-60*0.0035, 0.0035))},
		"leak":    {"bar", 180, line0(refSetBar, -usePerS), line0(refSetBar, 0.001)},
		"turns":   {"bar", 240, held, heldBar(60)},
		"swings":  {"bar", 600, held, swinging(0.12, 110)},
		"slow":    {"bar", 300, coming(0.05, 0.99), coming(0.012, 0.99)},
		"past":    {"bar", 300, coming(0.05, 0.99), coming(0.05, 0.4)},
		"away":    {"bar", 240, held, after(80, held, func(tS float64) float64 { return refSetBar - 0.2*(1-math.Exp(-(tS-80)/40)) })},
		"dose":    {"%", 10800, line0(0, 100.0/240/60), line0(0, 100.0/150/60)}, // 1.2 and 1.5 bar: 240 and 150 min (NOAA's table, steps)
		"gas":     {"bar", 3600, line0(200, -0.0074), line0(200, -0.0125)},      // 1 L/min out of a 2.25 L cylinder, and 1.7
		"level":   {"bar", 1800, line0(180, 0), line0(180, -0.008)},
		"sag":     {"V", 240, sagging(0.1, 0), sagging(0.1, 0.002)},
		"gap":     {"bar", 180, held, func(tS float64) float64 { return ifGap(tS, held(tS)) }},
		"dense":   {"g/L", 300, gasDive(0.18, 0.45), gasDive(0.21, 0)},
		"switch":  {"bar", 240, line0(1.64, 0), stepped(1.64, 3.64, 90)},
		"sensor":  {"bar", 240, dived, func(tS float64) float64 { return math.Min(dived(tS), 2) }},
		"metres":  {"m", 240, func(tS float64) float64 { return (dived(tS) - 1) * 10 }, func(tS float64) float64 { return (dived(tS) - 1) * 10 * 1.025 }},
		"coarse":  {"bar", 180, held, func(tS float64) float64 { return math.Round(held(math.Floor(tS/20)*20)*10) / 10 }},
	}
}

// dived is the pressure of a short dive to 40 m, 10 m to the bar.
func dived(tS float64) float64 { return 1 + 4*math.Min(1, math.Min(tS/80, math.Max(240-tS, 0)/80)) }

// gasDive is the density of a mix on a descent to 60 m: rho = P M / (R T), 0 C.
func gasDive(o2, he float64) func(float64) float64 {
	return func(tS float64) float64 {
		return gas.Density(gas.Mix{O2: o2, He: he}, 1+6*math.Min(tS/240, 1), 0)
	}
}

// sagging is a battery of 7.2 V that falls while a valve is open, 4 s in every 30.
func sagging(sagV, growsPerS float64) func(float64) float64 {
	return func(tS float64) float64 {
		if math.Mod(tS, 30) < 4 {
			return 7.2 - sagV - growsPerS*tS
		}
		return 7.2
	}
}

func ifGap(tS, v float64) float64 {
	if tS > 60 && tS < 120 {
		return math.NaN()
	}
	return v
}

const refWidth, refHeight, refLeft, refBottom = 300, 110, 40, 18

// svg draws a reference: the healthy curve solid, the other one dashed. The text
// is ours alone.
func (r reference) svg(label string) template.HTML {
	const points = 150
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := 0; i <= points; i++ {
		for _, f := range []func(float64) float64{r.healthy, r.other} {
			if v := f(r.lastS * float64(i) / points); !math.IsNaN(v) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	pad := (hi - lo) * 0.06
	lo, hi = lo-pad, hi+pad
	path := func(f func(float64) float64) string {
		var b strings.Builder
		pen := "M"
		for i := 0; i <= points; i++ {
			v := f(r.lastS * float64(i) / points)
			if math.IsNaN(v) {
				pen = "M"
				continue
			}
			x := refLeft + (refWidth-refLeft)*float64(i)/points
			y := (refHeight - refBottom) * (hi - v) / (hi - lo)
			fmt.Fprintf(&b, "%s%.1f %.1f", pen, x, y)
			pen = "L"
		}
		return b.String()
	}
	return template.HTML(fmt.Sprintf(`<svg class="reference" viewBox="0 0 %d %d" role="img" aria-label="%s"><path class="ref-axis" d="M%d 0V%dH%d"/><path class="ref-other" d="%s"/><path class="ref-healthy" d="%s"/><text x="0" y="10">%s</text><text x="0" y="%d">%s</text><text x="%d" y="%d" class="end">%s</text></svg>`,
		refWidth, refHeight, template.HTMLEscapeString(label), refLeft, refHeight-refBottom, refWidth, path(r.other), path(r.healthy),
		refFigure(hi, r.unit), refHeight-refBottom, refFigure(lo, r.unit), refWidth, refHeight-4, refTime(r.lastS)))
}

func refFigure(v float64, unit string) string {
	if unit == "%" {
		return fmt.Sprintf("%.0f %%", math.Max(v, 0))
	}
	return fmt.Sprintf("%.2f", v)
}

func refTime(s float64) string {
	if s < 120 {
		return fmt.Sprintf("%.0f s", s)
	}
	return fmt.Sprintf("%.0f min", s/60)
}
