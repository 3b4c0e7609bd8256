package report

import (
	"math"

	"afterloop/analysis"
)

// maxValvePanels bounds the panels of valves; a unit with more is said so.
const maxValvePanels = 6

// injectionChart draws each valve's commanded seconds, the PO2 that came of
// them, and how long the gas would have lasted.
func (g *drawing) injectionChart() chart {
	c := chart{ID: "injection", Title: say("chart.oxygen-injection"), Message: g.injectionMessage()}
	var panels []panel
	for k, v := range g.s.Valves {
		if k >= maxValvePanels {
			c.Remarks = append(c.Remarks, say("chart.only-the-first-valves-are", maxValvePanels))
			break
		}
		panels = append(panels, g.valvePanel(k, v))
	}
	if len(g.s.Valves) == 0 {
		panels = append(panels, g.inferredPanel())
	}
	po2 := g.po2Panel(140, append(g.unitLines(), g.setPointLines()...)...)
	c.Remarks = append(c.Remarks, g.po2Remarks(po2)...)
	panels = append(panels, po2)
	if m := g.s.MinutesToHypoxia; known(m) {
		panels = append(panels, panel{name: say("chart.minutes-to-0-16-bar"), height: 90, min: 0, max: auto,
			lines: []line{g.line(colHypoxia, say("chart.minutes-to-0-16-bar-2"), say("chart.minutes"), "min", stroke{inkGreen, "9,4", 1.6}, 1, m)}})
	}
	return g.build(c, panels...)
}

func (g *drawing) valvePanel(k int, v analysis.SeriesValve) panel {
	name := say("chart.valve", v.Number)
	p := panel{name: say("injection.commanded", name), height: 64, min: 0, max: auto}
	if known(v.OpenS) {
		st := stroke{inks[k%len(inks)], "solid", 1.4}
		p.lines = []line{{column: colValve(v.Number), name: name, short: name, unit: "s", stroke: st, decimals: 2, values: v.OpenS, stems: true, summed: true, mute: true}}
	}
	return p
}

// inferredPanel draws openings that were read off the saw-tooth of PO2.
func (g *drawing) inferredPanel() panel {
	p := panel{name: say("chart.rise-after-an-inferred-opening"), height: 64, min: 0, max: auto}
	in := g.d.Injection
	if in == nil || !in.Inferred {
		return p
	}
	var data []point
	for i, b := range in.Bursts {
		if i >= 4*maxBands {
			break
		}
		if b.AtS.Known() && b.ResponseBar > 0 {
			t := float64(b.AtS)
			data = append(data, point{t, 0}, point{t, float64(b.ResponseBar)}, point{t, math.NaN()})
		}
	}
	if len(data) > 0 {
		p.lines = []line{{name: say("chart.inferred-opening"), short: say("chart.inferred"), unit: "bar", stroke: stroke{inkBlue, "solid", 1.4}, decimals: 3, data: data, mute: true}}
	}
	return p
}

func (g *drawing) injectionMessage() string {
	in := g.d.Injection
	if in == nil {
		return say("chart.injection-could-not-be-assessed")
	}
	if in.Inferred {
		return say("chart.the-log-has-no-valve", plural(len(in.Bursts), say("word.opening-was"), say("word.openings-were")))
	}
	msg := ""
	for i, v := range in.Valves {
		if i > 0 {
			msg += "; "
		}
		atLeast := ""
		if v.CountIsLowerBound {
			atLeast = say("chart.at-least")
		}
		msg += say("chart.valve-opened-in-all", v.Valve, atLeast, plural(v.Count, say("word.time"), say("word.times")), duration(v.OpenS))
	}
	if msg == "" {
		return say("chart.no-opening-was-recorded")
	}
	return say("injection.as-commanded", msg)
}
