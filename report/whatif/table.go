package whatif

import (
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/report/paper"
)

// row is a line of the table of all four: the dive as recorded, the replay, the simulation
// of the recorded set-up and that with the changes. An empty cell means that the figure
// does not exist there.
type row struct {
	Group, Name, Unit                   string
	Recorded, Replay, Original, Changed string
}

// rows are the figures of the table.
func rows(r *whatif.Report) []row {
	out := []row{}
	for _, f := range loopFigures() {
		x := row{Group: "PO2 at the cells", Name: f.name, Unit: f.unit, Replay: "as recorded"}
		if l := r.Recorded.Loop; l != nil {
			x.Recorded = f.text(*l)
		}
		if s := r.Simulation; s != nil && s.Assessed {
			x.Original, x.Changed = f.text(s.Original.Loop), f.text(s.Changed.Loop)
		}
		out = append(out, x)
	}
	for _, f := range voteFigures() {
		x := row{Group: "What the unit acts on", Name: f.name, Unit: f.unit}
		if u := r.Recorded.Unit; u != nil {
			x.Recorded = f.text(*u)
			if f.name == "rule" {
				x.Recorded = "unit; nearest: " + r.Recorded.Policy
			}
		}
		if p := r.Replay; p != nil && p.Assessed {
			x.Replay = f.text(*p.Changed)
		}
		if s := r.Simulation; s != nil && s.Assessed {
			x.Original, x.Changed = f.text(s.Original.Vote), f.text(s.Changed.Vote)
		}
		out = append(out, x)
	}
	return out
}

type loopFigure struct {
	name, unit string
	text       func(whatif.Loop) string
}

// loopFigures in the order of the table.
func loopFigures() []loopFigure {
	of := func(name, unit string, decimals int, of func(whatif.Loop) whatif.Range) loopFigure {
		return loopFigure{name, unit, func(l whatif.Loop) string { return ranged(of(l), decimals) }}
	}
	return []loopFigure{
		of("lowest, under water", "bar", 2, func(l whatif.Loop) whatif.Range { return l.MinBar }),
		of("highest, under water", "bar", 2, func(l whatif.Loop) whatif.Range { return l.MaxBar }),
		of("mean error from the set point", "bar", 3, func(l whatif.Loop) whatif.Range { return l.MeanErrorBar }),
		of("RMSE from the set point", "bar", 3, func(l whatif.Loop) whatif.Range { return l.RMSEBar }),
		of("within 0.05 bar of the set point", "%", 0, func(l whatif.Loop) whatif.Range { return percent(l.Within005) }),
		of("below 0.16 bar", "s", 0, func(l whatif.Loop) whatif.Range { return l.Below016S }),
		of("below 0.18 bar", "s", 0, func(l whatif.Loop) whatif.Range { return l.Below018S }),
		of("above 1.4 bar", "s", 0, func(l whatif.Loop) whatif.Range { return l.Above14S }),
		of("above 1.6 bar", "s", 0, func(l whatif.Loop) whatif.Range { return l.Above16S }),
		{"CNS (step)", "%", func(l whatif.Loop) string {
			if !l.CNSIsLowerBound {
				return ranged(l.CNSPercent, 1)
			}
			return lowerBounds(ranged(l.CNSPercent, 1))
		}},
		of("OTU", "", 0, func(l whatif.Loop) whatif.Range { return l.OTU }),
		of("valves commanded open", "s", 0, func(l whatif.Loop) whatif.Range { return l.OpenS }),
		of("oxygen flowed", "s", 0, func(l whatif.Loop) whatif.Range { return l.GaveS }),
		of("oxygen through the valves", "L", 0, func(l whatif.Loop) whatif.Range { return l.OxygenL }),
	}
}

func percent(r whatif.Range) whatif.Range {
	return whatif.Range{Value: 100 * r.Value, Low: 100 * r.Low, High: 100 * r.High}
}

type voteFigure struct {
	name, unit string
	text       func(whatif.Vote) string
}

func voteFigures() []voteFigure {
	return []voteFigure{
		{"rule", "", func(v whatif.Vote) string { return v.Policy }},
		{"mean distance from PO2", "bar", func(v whatif.Vote) string { return ranged(v.MeanDistanceBar, 3) }},
		{"largest distance from PO2", "bar", func(v whatif.Vote) string { return paper.Value(v.MaxDistance.Value, 2) }},
		{"controlled on a false value", "s", func(v whatif.Vote) string { return ranged(v.FalseS, 0) }},
		{"undecided", "s", func(v whatif.Vote) string { return ranged(v.UndecidedS, 0) }},
		{"no reading at all", "s", func(v whatif.Vote) string { return ranged(v.NoneS, 0) }},
		{"times a cell went out", "", func(v whatif.Vote) string {
			if v.Policy == "unit" {
				return "–"
			}
			return paper.Itoa(len(v.VotedOut))
		}},
	}
}

// ranged prints a figure with its range, or a dash.
func ranged(r whatif.Range, decimals int) string {
	s := paper.Value(r.Value, decimals)
	low, high := paper.Value(r.Low, decimals), paper.Value(r.High, decimals)
	switch {
	case r.Low.Known() && !r.Value.Known():
		return "– [" + low + " to " + high + "]"
	case !r.Low.Known() || low == high:
		return s
	}
	return s + " [" + low + " to " + high + "]"
}

// lowerBounds marks each figure of a range as the least that it may be: a range with
// one "at least" before it would say that it ends and that it does not.
func lowerBounds(s string) string {
	if s == "–" {
		return s
	}
	return "≥ " + strings.NewReplacer("[", "[≥ ", " to ", " to ≥ ").Replace(s)
}

// minutes since the first row.
func minutes(r *whatif.Report, at analysis.Float) float64 {
	return (float64(at) - float64(r.Dive.FirstS)) / 60
}
