package bench

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/gas"
	"afterloop/analysis/linearity"
	"afterloop/ingest"
	"afterloop/ingest/benchlog"
)

// CellSchema names the version of the JSON form of a [CellReport].
const CellSchema = "afterloop/bench-cells/1"

// CellReport is everything that a test of cells in a pressure pot tells.
type CellReport struct {
	Schema      string                `json:"schema"`
	Tool        analysis.Tool         `json:"tool"`
	Sources     []analysis.Source     `json:"sources"`
	Parameters  linearity.Params      `json:"parameters"`
	Assessable  analysis.Assessable   `json:"assessable"`
	Test        CellFacts             `json:"test"`
	Findings    []analysis.Finding    `json:"findings"`
	Checks      []analysis.Check      `json:"checks"`
	Levels      []Level               `json:"levels"`
	Cells       []Cell                `json:"cells"`
	Problems    []ingest.Problem      `json:"problems"`
	Assumptions []analysis.Assumption `json:"assumptions"`
	Series      *CellSeries           `json:"-"`
}

// CellFacts are the facts of the test.
type CellFacts struct {
	Name       string         `json:"test"`
	Tester     string         `json:"tester"`
	Pot        string         `json:"pot"`
	Date       string         `json:"date"`
	Reference  string         `json:"pressure_reference"`
	AmbientBar analysis.Float `json:"ambient_pressure_bar"`
	DurationS  analysis.Float `json:"duration_s"`
	MaxBar     analysis.Float `json:"max_pressure_bar"`
	MaxPO2Bar  analysis.Float `json:"max_po2_bar"`
	// Fraction is how the pot's oxygen fraction is known.
	FractionFrom  string         `json:"o2_fraction_from"`
	FirstFraction analysis.Float `json:"first_o2_fraction"`
	LastFraction  analysis.Float `json:"last_o2_fraction"`
	SupplyO2      analysis.Float `json:"supply_o2"`
	TempMinC      analysis.Float `json:"temp_min_c"`
	TempMaxC      analysis.Float `json:"temp_max_c"`
}

// Level is a stretch at which the pressure stood.
type Level struct {
	FromS       analysis.Float `json:"from_s"`
	ToS         analysis.Float `json:"to_s"`
	PressureBar analysis.Float `json:"pressure_bar"`
	Fraction    analysis.Float `json:"o2_fraction"`
	PO2Bar      analysis.Float `json:"po2_bar"`
	Rising      bool           `json:"rising"`
}

// Cell is what one cell showed.
type Cell struct {
	Cell    int    `json:"cell"`
	Serial  string `json:"serial"`
	RawUnit string `json:"raw_unit"` // mV, or bar where the file holds PO2
	// Outcome is found (something is outside of a limit), borderline, not_found
	// (nothing is, up to FollowsToBar) or not_assessed.
	Outcome analysis.Outcome `json:"outcome"`
	Verdict string           `json:"verdict"`
	// MVPerBar is the slope of the line; null reason where the file holds no mV.
	MVPerBar      analysis.Interval `json:"mv_per_bar"`
	Gain          analysis.Interval `json:"gain"` // the slope where the file holds PO2
	OffsetBar     analysis.Interval `json:"offset_bar"`
	FollowsToBar  analysis.Float    `json:"follows_to_bar"`
	CeilingBar    analysis.Interval `json:"ceiling_bar"`
	HysteresisBar analysis.Interval `json:"hysteresis_bar"`
	T90S          analysis.Interval `json:"t90_s"`
	LineLevels    int               `json:"line_levels"`
	Points        []Point           `json:"points"`
	Steps         []Step            `json:"steps"`
}

// Point is a cell at a level.
type Point struct {
	Level     int               `json:"level"` // from 1
	Reading   analysis.Float    `json:"reading"`
	LineBar   analysis.Float    `json:"line_bar"`
	Departure analysis.Interval `json:"departure_bar"`
	LimitBar  analysis.Float    `json:"limit_bar"`
	State     string            `json:"state"` // within, beyond, open, unsettled
	InLine    bool              `json:"in_line"`
}

// Step is a cell's response from one level to the next.
type Step struct {
	FromS   analysis.Float    `json:"from_s"`
	FromBar analysis.Float    `json:"from_bar"`
	ToBar   analysis.Float    `json:"to_bar"`
	T90S    analysis.Interval `json:"t90_s"`
}

// CellSeries is what the page draws.
type CellSeries struct {
	TimeS, PressureBar, PO2Bar []float64
	Readings                   [][]float64
}

// Cells judges a test of cells.
func Cells(t *benchlog.CellTest, p linearity.Params) *CellReport {
	r := &CellReport{Schema: CellSchema, Tool: analysis.Tool{Name: "afterloop"}, Sources: source(t.Source, len(t.TimeS)), Parameters: p,
		Problems: append([]ingest.Problem{}, t.Problems...), Assumptions: []analysis.Assumption{}, Levels: []Level{}, Cells: []Cell{}}
	in, from := cellInput(t, r)
	res := linearity.Analyze(in, p)
	r.Test = cellFacts(t, in, res, from)
	for _, l := range res.Levels {
		r.Levels = append(r.Levels, Level{f(t.TimeS[l.From]), f(t.TimeS[l.To]), f(l.PressureBar), f(l.Fraction), f(l.PO2Bar), l.Rising})
	}
	for k, c := range res.Cells {
		r.Cells = append(r.Cells, cellOf(t.Cells[k], c, t.TimeS))
	}
	r.Series = &CellSeries{t.TimeS, t.PressureBar, res.PO2Bar, in.Readings}
	cellChecks(r, t, res, p)
	return r
}

func (r *CellReport) assume(id, text string) {
	r.Assumptions = append(r.Assumptions, analysis.Assumption{ID: id, Text: text})
}

// cellInput gives the test its gas: what is measured beats what is stated, and
// what is stated beats what is assumed.
func cellInput(t *benchlog.CellTest, r *CellReport) (in linearity.Input, from string) {
	in = linearity.Input{TimeS: t.TimeS, PressureBar: t.PressureBar, VapourBar: vapour(t), SupplyO2: t.Gas.SupplyO2, Fraction: t.Gas.StartO2}
	for _, c := range t.Cells {
		v := c.MV
		if v == nil {
			v = c.PO2Bar
		}
		in.Readings, in.StepRaw = append(in.Readings, v), append(in.StepRaw, c.StepRaw)
	}
	if t.Reference == "gauge" && t.AmbientAssumed {
		r.assume("ambient", "The pressure of the room is not stated: 1.013 bar was taken, and every pressure and PO2 moves with it.")
	}
	if in.VapourBar == nil {
		r.assume("dry", "No humidity is recorded: the gas in the pot was taken as dry. Saturated at 20 C it would hold 0.023 bar of vapour.")
	}
	r.assume("mixed", "The pot was taken as well mixed and as warm as the room: filling adds the supply gas, venting keeps the fraction.")
	switch {
	case t.Gas.O2Rows != nil:
		in.FractionRows = t.Gas.O2Rows
		return in, "measured row by row"
	case !math.IsNaN(t.Gas.O2):
		in.Fraction, in.Constant = t.Gas.O2, true
		return in, "stated for the whole test"
	}
	if math.IsNaN(in.Fraction) {
		in.Fraction = 0.209
		r.assume("start-o2", "What was in the pot at first is not stated: air (0.209) was taken.")
	}
	if math.IsNaN(in.SupplyO2) {
		in.SupplyO2 = 1
		r.assume("supply-o2", "The oxygen fraction of the supply gas is not stated: 1.00 was taken.")
	}
	g := t.Gas
	if g.Purges > 0 {
		in.Fraction = linearity.AfterPurges(in.Fraction, in.SupplyO2, g.LowBar, g.HighBar, g.Purges)
		return in, fmt.Sprintf("computed: %d purges from %s to %s bar before the first row, then from the recorded pressure", g.Purges, num(g.LowBar, 2), num(g.HighBar, 2))
	}
	if g.Purges < 0 {
		r.assume("purges", "The number of purges before the first row is not stated: none was taken.")
	}
	return in, "computed from the recorded pressure: filling adds the supply gas, venting keeps the fraction"
}

// vapour is the water vapour in the pot, nil where it is not recorded.
func vapour(t *benchlog.CellTest) []float64 {
	if t.Humidity == nil || t.TempC == nil {
		return nil
	}
	v := make([]float64, len(t.TimeS))
	for i := range v {
		v[i] = t.Humidity[i] * gas.SaturatedVapourBar(t.TempC[i])
	}
	return v
}

func cellFacts(t *benchlog.CellTest, in linearity.Input, res linearity.Result, from string) CellFacts {
	x := CellFacts{Name: t.Test, Tester: t.Tester, Pot: t.Pot, Date: t.Date, Reference: t.Reference, AmbientBar: f(t.AmbientBar), FractionFrom: from,
		SupplyO2: f(in.SupplyO2), DurationS: nanFloat(), TempMinC: nanFloat(), TempMaxC: nanFloat(), FirstFraction: nanFloat(), LastFraction: nanFloat()}
	if n := len(t.TimeS); n > 0 {
		x.DurationS, x.FirstFraction, x.LastFraction = f(t.TimeS[n-1]-t.TimeS[0]), f(res.Fraction[0]), f(res.Fraction[n-1])
	}
	x.MaxBar, x.MaxPO2Bar = f(largest(t.PressureBar)), f(largest(res.PO2Bar))
	if t.TempC != nil {
		x.TempMaxC, x.TempMinC = f(largest(t.TempC)), f(-largest(negative(t.TempC)))
	}
	return x
}

func largest(v []float64) float64 {
	m := math.NaN()
	for _, a := range v {
		if !(a <= m) && !math.IsNaN(a) {
			m = a
		}
	}
	return m
}

func negative(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, a := range v {
		out[i] = -a
	}
	return out
}

func cellOf(c benchlog.Cell, x linearity.Cell, timeS []float64) Cell {
	e := func(v linearity.Estimate, reason string) analysis.Interval {
		return interval(v.Value, v.Low, v.High, reason)
	}
	nan := linearity.Unknown()
	out := Cell{Cell: c.Number, Serial: c.Serial, RawUnit: "mV", FollowsToBar: f(x.FollowsToBar), LineLevels: x.LineLevels, Points: []Point{}, Steps: []Step{},
		MVPerBar: e(x.Slope, x.LineReason), Gain: e(nan, "the file holds millivolts"), OffsetBar: e(x.OffsetBar, x.LineReason),
		CeilingBar: e(x.Ceiling, "no ceiling was seen"), HysteresisBar: e(x.Hysteresis, "no settled level on the way down"), T90S: e(x.T90S, x.T90Reason)}
	if c.MV == nil {
		out.RawUnit, out.Gain, out.MVPerBar = "bar", out.MVPerBar, e(nan, "the file holds PO2, no millivolts")
	}
	if x.LineReason != "" {
		out.CeilingBar.Reason, out.HysteresisBar.Reason = x.LineReason, x.LineReason
	}
	for _, p := range x.Points {
		out.Points = append(out.Points, Point{p.Level + 1, f(p.Reading), f(p.LineBar), e(p.Depart, "no line"), f(p.LimitBar), p.State, p.InLine})
	}
	for _, s := range x.Steps {
		out.Steps = append(out.Steps, Step{f(s.FromS), f(s.FromBar), f(s.ToBar), e(s.T90S, s.Reason)})
	}
	return out
}
