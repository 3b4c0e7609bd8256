package scenario

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
)

// Half says how one half of doubled electronics records a simulated dive.
type Half struct {
	// Cells and Valves are what it holds, by their numbers in the whole dive; in its
	// own log they count from 1.
	Cells, Valves []int
	IntervalS     float64
	// OnS is when it was switched on, by the time of the dive: its own clock reads 0
	// then, and counts DriftPPM parts per million too fast.
	OnS, DriftPPM float64
	// Off are stretches, by the time of the dive, in which it recorded nothing.
	Off []Span
	// Its depth sensor shows zero + factor x depth, in steps; a factor of 0 stands for 1.
	DepthZeroM, DepthFactor, DepthStepM float64
	PO2StepBar                          float64
	// HeBias is added to the helium fraction; NoHelium leaves the column out.
	HeBias   float64
	NoHelium bool
	// SetPointMostBar, where not 0, is the highest set point shown: a run in which the
	// set point is raised beyond it stands for a controller that its cells led astray.
	SetPointMostBar float64
	Start           string // RFC 3339, of its own time 0; empty for none
}

// Record is the log that a half keeps of a dive. l is the whole dive, recorded
// at a short interval (a fifth of a second, say). The half's own po2_bar is the
// median of its cells. Metadata of cells and the columns of words go with it.
func (h Half) Record(l Log) Log {
	times := l.Column("time_s").Values
	rows := h.rows(times)
	out := Log{Meta: h.meta(l.Meta)}
	at := func(c *Column, step float64) []float64 {
		v := make([]float64, len(rows))
		for i, r := range rows {
			v[i] = toStep(interpolate(times, c.Values, r.trueS), step)
		}
		return v
	}
	own := make([]float64, len(rows))
	for i := range own {
		own[i] = h.clock(rows[i].trueS)
	}
	out.Columns = append(out.Columns, Column{Name: "time_s", Decimals: decimals(h.IntervalS), Values: own})
	depth := at(l.Column("depth_m"), 1e-6)
	for i, z := range depth {
		depth[i] = math.Max(0, toStep(h.DepthZeroM+z*orOne(h.DepthFactor), h.DepthStepM))
	}
	out.Columns = append(out.Columns, Column{Name: "depth_m", Decimals: decimals(h.DepthStepM), Values: depth})
	for k, n := range h.Cells {
		v := at(l.Column(fmt.Sprintf("cell%d_po2_bar", n)), h.PO2StepBar)
		out.Columns = append(out.Columns, Column{Name: fmt.Sprintf("cell%d_po2_bar", k+1), Decimals: decimals(h.PO2StepBar), Values: v})
	}
	set := held(times, l.Column("setpoint_bar").Values, rows)
	for i := range set {
		if h.SetPointMostBar > 0 {
			set[i] = math.Min(set[i], h.SetPointMostBar)
		}
	}
	out.Columns = append(out.Columns, h.median(out.Columns[2:]), Column{Name: "setpoint_bar", Decimals: 2, Values: set})
	for k, n := range h.Valves {
		v := sums(times, l.Column(fmt.Sprintf("valve%d_open_s", n)).Values, rows)
		out.Columns = append(out.Columns, Column{Name: fmt.Sprintf("valve%d_open_s", k+1), Decimals: 1, Values: v})
	}
	if c := l.Column("loop_he"); c != nil && !h.NoHelium {
		v := at(c, 0.001)
		for i := range v {
			v[i] = toStep(v[i]+h.HeBias, 0.001)
		}
		out.Columns = append(out.Columns, Column{Name: "loop_he", Decimals: 3, Values: v})
	}
	for _, name := range []string{"event", "note"} {
		if c := l.Column(name); c != nil {
			out.Columns = append(out.Columns, Column{Name: name, IsText: true, Text: wordsAt(times, c.Text, rows)})
		}
	}
	return out
}

// halfRow is a row of a half: from the row before (or the switching on) to its own time.
type halfRow struct{ fromS, trueS float64 }

func orOne(v float64) float64 {
	if v == 0 {
		return 1
	}
	return v
}

// clock is the half's own time.
func (h Half) clock(trueS float64) float64 { return (trueS - h.OnS) * (1 + h.DriftPPM*1e-6) }

// rows are those that fall within the dive and not into a time off.
func (h Half) rows(times []float64) []halfRow {
	var out []halfRow
	last := math.Max(times[0], h.OnS)
	for k := 0; ; k++ {
		t := h.OnS + float64(k)*h.IntervalS/(1+h.DriftPPM*1e-6)
		if t > times[len(times)-1] {
			return out
		}
		off := slices.ContainsFunc(h.Off, func(s Span) bool { return t > s.FromS && t < s.ToS })
		if t < times[0] || off {
			continue
		}
		if n := len(out); n > 0 {
			last = out[n-1].trueS
		}
		out = append(out, halfRow{math.Max(last, t-2*h.IntervalS), t})
	}
}

func interpolate(x, y []float64, at float64) float64 {
	i := sort.SearchFloat64s(x, at)
	if i == 0 || i == len(x) {
		return y[min(i, len(y)-1)]
	}
	f := (at - x[i-1]) / (x[i] - x[i-1])
	return y[i-1]*(1-f) + y[i]*f
}

// held is the value of the last row at or before.
func held(times, v []float64, rows []halfRow) []float64 {
	out := make([]float64, len(rows))
	for i, r := range rows {
		out[i] = v[max(0, sort.SearchFloat64s(times, r.trueS+1e-9)-1)]
	}
	return out
}

// sums adds what was counted since the row before.
func sums(times, v []float64, rows []halfRow) []float64 {
	out := make([]float64, len(rows))
	for i, r := range rows {
		for k := sort.SearchFloat64s(times, r.fromS+1e-9); k < len(times) && times[k] <= r.trueS+1e-9; k++ {
			out[i] += v[k]
		}
		out[i] = math.Min(toStep(out[i], 0.1), r.trueS-r.fromS)
	}
	return out
}

// wordsAt puts each word on the first row at or after it that follows within 10 s.
func wordsAt(times []float64, text []string, rows []halfRow) []string {
	out := make([]string, len(rows))
	for k, w := range text {
		if w == "" {
			continue
		}
		i := sort.Search(len(rows), func(i int) bool { return rows[i].trueS >= times[k] })
		for i < len(rows) && out[i] != "" {
			i++
		}
		if i < len(rows) && rows[i].trueS-times[k] < 10 {
			out[i] = w
		}
	}
	return out
}

// median is the half's own PO2.
func (h Half) median(cells []Column) Column {
	v := make([]float64, len(cells[0].Values))
	for i := range v {
		var x []float64
		for _, c := range cells {
			x = append(x, c.Values[i])
		}
		sort.Float64s(x)
		v[i] = toStep((x[(len(x)-1)/2]+x[len(x)/2])/2, h.PO2StepBar)
	}
	return Column{Name: "po2_bar", Decimals: decimals(h.PO2StepBar), Values: v}
}

// meta takes over what is said of the dive and of the half's own cells.
func (h Half) meta(lines []MetaLine) []MetaLine {
	var out []MetaLine
	for _, m := range lines {
		switch {
		case m.Key == "start":
			if h.Start != "" {
				out = append(out, MetaLine{"start", h.Start})
			}
			continue
		case strings.HasPrefix(m.Key, "half_"), h.NoHelium && strings.HasPrefix(m.Key, "loop_he_"):
			continue
		}
		var n int
		var rest string
		if k, _ := fmt.Sscanf(m.Key, "cell%d_%s", &n, &rest); k == 2 {
			if own := slices.Index(h.Cells, n); own >= 0 {
				out = append(out, MetaLine{fmt.Sprintf("cell%d_%s", own+1, rest), m.Value})
			}
			continue
		}
		out = append(out, m)
	}
	return out
}
