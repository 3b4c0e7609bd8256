package whatif

import (
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
	"afterloop/report"
	"afterloop/report/paper"
)

// axes are what all drawings share: the time axis, the moments of change.
type axes struct {
	r    *whatif.Report
	x    [2]float64
	min  []float64
	name string
}

func newAxes(r *whatif.Report, name string) axes {
	s := r.Series
	a := axes{r: r, name: name, min: make([]float64, len(s.TimeS))}
	for i, t := range s.TimeS {
		a.min[i] = minutes(r, analysis.Float(t))
	}
	a.x = [2]float64{a.min[0], a.min[len(a.min)-1]}
	return a
}

// broken is a column with holes at gaps and, where it should be, off the loop.
func (a axes) broken(v []float64) []float64 {
	if v == nil {
		return nil
	}
	out := append([]float64(nil), v...)
	for i := range out {
		if a.r.Series.GapAfter[i] {
			out[i] = math.NaN()
		}
	}
	return out
}

// curve is one line of a drawing.
type curve struct {
	name   string
	v      []float64
	stroke report.Stroke
}

// drawing is a plot with the key to its lines, since the labels at their ends may lie
// close together.
type drawing struct {
	*paper.Plot
	Keys []key
}

// key is a line of the key.
type key struct {
	Name   string
	Stroke report.Stroke
}

// plot draws curves over the time axis.
func (a axes) plot(id, title, message, yName string, curves ...curve) *drawing {
	var vs [][]float64
	for _, c := range curves {
		vs = append(vs, c.v)
	}
	low, high := paper.Extent(vs...)
	p := paper.NewPlot(id, title, message, a.name, yName, a.x, paper.Around(low, high, 0.06))
	a.changes(p)
	d := &drawing{Plot: p}
	for _, c := range curves {
		if c.v == nil {
			continue
		}
		p.Line(c.name, c.stroke, a.min, a.broken(c.v))
		if len(curves) > 1 && c.name != "" {
			d.Keys = append(d.Keys, key{c.name, c.stroke})
		}
	}
	p.SpreadLabels()
	return d
}

// changes marks the moments from which a change holds, but for the first row.
func (a axes) changes(p *paper.Plot) {
	wide := (a.x[1] - a.x[0]) * 0.0015
	marked := false
	for _, c := range a.r.Changes {
		if at := minutes(a.r, c.FromS); at > 0 {
			p.Shade(at-wide, at+wide, "break", "")
			marked = true
		}
	}
	if marked {
		p.Message += " Upright bars: moments of change."
	}
}

// replayPlots are the drawings of the replay: PO2 and its difference.
func replayPlots(r *whatif.Report) []*drawing {
	s := r.Series
	if r.Replay == nil || s == nil || len(s.TimeS) < 2 || s.OriginalBar == nil {
		return nil
	}
	a := newAxes(r, "minutes since the first row — replay, the loop is as recorded")
	po2 := []curve{{"estimate", s.EstimateBar, report.StrongStroke()}, {"unit", s.UnitBar, report.MutedStroke()}, {"vote before", s.OriginalBar, report.NumberedStroke(0)}}
	out := []*drawing{}
	if r.Replay.Assessed {
		po2 = append(po2, curve{"vote changed", s.ChangedBar, report.NumberedStroke(1)})
	}
	out = append(out, a.plot("replay", "Replay: what the vote would have been",
		"The recorded readings voted on again. The gas in the loop is the recorded one. Estimate: the true PO2 at the cells by the loop's physics.", "bar", po2...))
	if r.Replay.Assessed {
		out = append(out, a.plot("replay-difference", "Replay: vote changed less vote before", "How far apart the two numbers are.", "bar",
			curve{"difference", less(s.ChangedBar, s.OriginalBar), report.NumberedStroke(1)}))
	}
	return append(out, a.depth("replay-depth", "Depth as recorded, below the replay"))
}

// simulationPlots are those of the simulation; each carries the mark inside the drawing.
func simulationPlots(r *whatif.Report) []*drawing {
	s := r.Series
	if r.Simulation == nil || !r.Simulation.Assessed || s == nil || len(s.TimeS) < 2 {
		return nil
	}
	a := newAxes(r, "minutes since the first row — "+whatif.Mark)
	grey := report.MutedStroke()
	thin := report.NumberedStroke(2)
	out := []*drawing{
		a.plot("simulation", "Simulation: PO2 at the cells", "Recorded (estimate), simulated with the recorded set-up and with the changes; dotted, the range over what is not known. Marked: "+whatif.Mark+".", "bar",
			curve{"estimate", s.EstimateBar, report.StrongStroke()}, curve{"as set up", s.SimOriginalBar, report.NumberedStroke(0)},
			curve{"range", s.SimChangedLowBar, thin}, curve{"", s.SimChangedHighBar, thin},
			curve{"with changes", s.SimChangedBar, report.NumberedStroke(1)}, curve{"set point", s.SimSetBar, grey}),
		a.plot("simulation-difference", "Simulation: with the changes less as set up", "Difference in PO2 between the two simulations. Marked: "+whatif.Mark+".", "bar",
			curve{"difference", less(s.SimChangedBar, s.SimOriginalBar), report.NumberedStroke(1)}),
		a.plot("simulation-error", "How far the simulation is from the dive", "Simulated with the recorded set-up, less the estimate. It is what the model does not explain. Marked: "+whatif.Mark+".", "bar",
			curve{"as set up", less(s.SimOriginalBar, s.EstimateBar), report.NumberedStroke(0)}),
		a.plot("simulation-acted", "Simulation: what the unit acts on", "The number of the vote in both simulations. Marked: "+whatif.Mark+".", "bar",
			curve{"as set up", s.SimOriginalVotedBar, report.NumberedStroke(0)}, curve{"with changes", s.SimChangedVotedBar, report.NumberedStroke(1)}),
	}
	return append(out, a.depth("simulation-depth", "Depth as recorded, below the simulation"))
}

// depth is the profile on the same axis, the surface on top.
func (a axes) depth(id, title string) *drawing {
	z := a.r.Series.DepthM
	if z == nil {
		return nil
	}
	down := make([]float64, len(z))
	for i := range z {
		down[i] = -z[i]
	}
	low, _ := paper.Extent(down)
	p := paper.NewPlot(id, title, "The same in all of the above, and on the same axis of time.", a.name, "m", a.x, [2]float64{math.Min(low*1.06, -1), 0})
	for i := range p.YTicks {
		p.YTicks[i].Label = strings.TrimPrefix(p.YTicks[i].Label, "−")
	}
	a.changes(p)
	p.Line("depth", report.NumberedStroke(0), a.min, a.broken(down))
	return &drawing{Plot: p}
}

// less is a - b by row.
func less(a, b []float64) []float64 {
	if a == nil || b == nil {
		return nil
	}
	out := make([]float64, len(a))
	for i := range a {
		out[i] = a[i] - b[i]
	}
	return out
}
