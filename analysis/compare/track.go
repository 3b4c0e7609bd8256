package compare

import (
	"math"
	"slices"

	"afterloop/analysis"
)

// buckets is how finely a course is kept: more than a drawing has pixels.
const buckets = 900

// underM is the depth from which a diver is under water, as in package analysis.
const underM = 0.5

// Course is the course of one dive as far as a drawing can show it: of each of
// some 900 stretches of time the rows with the lowest and the highest PO2 and
// depth (Rows), so that a spike of one sample stays, and the means (Means).
// NaN is "not recorded"; a gap is a row of NaN.
type Course struct {
	Rows, Means Columns
	// SetPoint holds the changes of the set point, as a stair.
	SetPointS, SetPointBar []float64
	Descent, Ascent        []DepthBin
	// Estimated tells whether there is an estimate of PO2.
	Estimated bool
}

// Columns are columns over time.
// PO2Bar is the unit's own, else the mid-value of its cells; EstimateBar is NaN
// throughout where there is no estimate.
type Columns struct{ TimeS, PO2Bar, EstimateBar, DepthM []float64 }

func (c *Columns) add(t, po2, estimate, depth float64) {
	c.TimeS, c.PO2Bar, c.EstimateBar, c.DepthM = append(c.TimeS, t), append(c.PO2Bar, po2), append(c.EstimateBar, estimate), append(c.DepthM, depth)
}

// DepthBin is PO2 within one metre of depth.
type DepthBin struct{ DepthM, MeanBar, LowBar, HighBar float64 }

// po2Of is the PO2 that the unit controlled on, else the mid-value of its cells.
func po2Of(s *analysis.Series) []float64 {
	if s.UnitPO2Bar != nil {
		return s.UnitPO2Bar
	}
	for _, v := range s.Votes {
		if v.Policy == "mid-value" {
			return v.PO2Bar
		}
	}
	return nil
}

// depthOf is the depth, or 10 m a bar over the surface where only pressure was recorded.
func depthOf(d *analysis.Debrief) []float64 {
	if d.Series.DepthM != nil || d.Series.AmbientBar == nil {
		return d.Series.DepthM
	}
	out := make([]float64, len(d.Series.AmbientBar))
	for i, p := range d.Series.AmbientBar {
		out[i] = (p - float64(d.Dive.SurfaceBar)) * 10
	}
	return out
}

// courseOf thins the rows of a debrief; nil without rows.
func courseOf(d *analysis.Debrief) *Course {
	s := d.Series
	if s == nil || len(s.TimeS) == 0 {
		return nil
	}
	po2, depth := po2Of(s), depthOf(d)
	if po2 == nil || depth == nil {
		return nil
	}
	on, estimate := onLoop(s, po2), onLoop(s, s.EstimateBar)
	c := &Course{Estimated: s.EstimateBar != nil}
	c.thin(s, on, estimate, depth)
	c.stairs(s)
	c.Descent, c.Ascent = bins(d, on, depth, "descent"), bins(d, on, depth, "ascent", "stop")
	return c
}

// onLoop leaves out what was not breathed: what the loop reads then is no exposure.
func onLoop(s *analysis.Series, po2 []float64) []float64 {
	out := make([]float64, len(s.TimeS))
	for i := range out {
		if out[i] = math.NaN(); po2 != nil && (s.OnLoop == nil || s.OnLoop[i]) {
			out[i] = po2[i]
		}
	}
	return out
}

func (c *Course) thin(s *analysis.Series, po2, estimate, depth []float64) {
	first, last := s.TimeS[0], s.TimeS[len(s.TimeS)-1]
	step := (last - first) / buckets
	if step <= 0 {
		step = 1
	}
	for i := 0; i < len(s.TimeS); {
		j, end := i, math.Floor((s.TimeS[i]-first)/step)
		rows := []int{i, i, i, i, i, i, i, i}
		var p, e, z mean
		gap := false
		for ; j < len(s.TimeS) && math.Floor((s.TimeS[j]-first)/step) == end && !gap; j++ {
			rows[1], rows[2] = lower(po2, j, rows[1]), higher(po2, j, rows[2])
			rows[3], rows[4], rows[5] = lower(depth, j, rows[3]), higher(depth, j, rows[4]), j
			rows[6], rows[7] = lower(estimate, j, rows[6]), higher(estimate, j, rows[7])
			p.add(po2[j])
			e.add(estimate[j])
			z.add(depth[j])
			gap = s.GapAfter != nil && s.GapAfter[j]
		}
		slices.Sort(rows)
		for _, k := range slices.Compact(rows) {
			c.Rows.add(s.TimeS[k], po2[k], estimate[k], depth[k])
		}
		c.Means.add(s.TimeS[i], p.value(), e.value(), z.value())
		if gap {
			t := s.TimeS[j-1]
			c.Rows.add(math.Nextafter(t, math.Inf(1)), math.NaN(), math.NaN(), math.NaN())
			c.Means.add(math.Nextafter(t, math.Inf(1)), math.NaN(), math.NaN(), math.NaN())
		}
		i = j
	}
}

// mean of what is recorded; NaN of nothing.
type mean struct{ sum, n float64 }

func (m *mean) add(v float64) {
	if !math.IsNaN(v) {
		m.sum, m.n = m.sum+v, m.n+1
	}
}

func (m mean) value() float64 { return m.sum / m.n }

func lower(v []float64, j, best int) int {
	if v[j] < v[best] || math.IsNaN(v[best]) {
		return j
	}
	return best
}

func higher(v []float64, j, best int) int {
	if v[j] > v[best] || math.IsNaN(v[best]) {
		return j
	}
	return best
}

// stairs keeps the set point where it changes, at most 400 of them: a set point
// that never rests is no stair.
func (c *Course) stairs(s *analysis.Series) {
	for i, v := range s.SetPointBar {
		n := len(c.SetPointBar)
		if n > 0 && (v == c.SetPointBar[n-1] || math.IsNaN(v) && math.IsNaN(c.SetPointBar[n-1])) {
			continue
		}
		if n > 400 {
			c.SetPointS, c.SetPointBar = nil, nil
			return
		}
		if n > 0 {
			c.SetPointS, c.SetPointBar = append(c.SetPointS, s.TimeS[i]), append(c.SetPointBar, c.SetPointBar[n-1])
		}
		c.SetPointS, c.SetPointBar = append(c.SetPointS, s.TimeS[i]), append(c.SetPointBar, v)
	}
	if n := len(c.SetPointBar); n > 0 {
		c.SetPointS, c.SetPointBar = append(c.SetPointS, s.TimeS[len(s.TimeS)-1]), append(c.SetPointBar, c.SetPointBar[n-1])
	}
}

// bins sorts the rows of some phases by depth.
func bins(d *analysis.Debrief, po2, depth []float64, phases ...string) []DepthBin {
	var out []DepthBin
	var weight []float64
	s, k := d.Series, 0
	for i, t := range s.TimeS {
		for k < len(d.Dive.Phases) && t >= float64(d.Dive.Phases[k].ToS) {
			k++
		}
		if k == len(d.Dive.Phases) {
			break
		}
		if !slices.Contains(phases, d.Dive.Phases[k].Kind) || math.IsNaN(po2[i]) || !(depth[i] >= underM) || depth[i] > 1000 {
			continue
		}
		at := int(depth[i])
		for len(out) <= at {
			out, weight = append(out, DepthBin{float64(len(out)) + 0.5, 0, math.Inf(1), math.Inf(-1)}), append(weight, 0)
		}
		b := &out[at]
		b.MeanBar, weight[at] = b.MeanBar+po2[i], weight[at]+1
		b.LowBar, b.HighBar = math.Min(b.LowBar, po2[i]), math.Max(b.HighBar, po2[i])
	}
	for i := range out {
		if out[i].MeanBar /= weight[i]; weight[i] == 0 {
			out[i].LowBar, out[i].HighBar = math.NaN(), math.NaN()
		}
	}
	return out
}

// po2Figures are the mean and the maximum of a PO2 on the loop and under water,
// each row weighed with the time to the next (gaps none, the last as the one
// before), and the minutes above a limit.
func po2Figures(d *analysis.Debrief, po2 []float64, limitBar float64) (average, highest, aboveMin analysis.Float) {
	average, highest, aboveMin = unknown, unknown, unknown
	s := d.Series
	if s == nil || po2 == nil {
		return
	}
	depth := depthOf(d)
	if depth == nil {
		return
	}
	var sum, time, above, usual float64
	for i, v := range po2 {
		w := usual
		if i+1 < len(po2) && (s.GapAfter == nil || !s.GapAfter[i]) {
			w = s.TimeS[i+1] - s.TimeS[i]
			usual = w
		}
		if math.IsNaN(v) || !(depth[i] >= underM) || s.OnLoop != nil && !s.OnLoop[i] {
			continue
		}
		sum, time = sum+v*w, time+w
		if v > limitBar+1e-6 {
			above += w
		}
		if !(float64(highest) >= v) {
			highest = analysis.Float(v)
		}
	}
	if time > 0 {
		average, aboveMin = analysis.Float(sum/time), analysis.Float(above/60)
	}
	return
}
