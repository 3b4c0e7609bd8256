// Package ageing answers how each oxygen cell of a register has aged: how old it
// is, how what was measured of it moves, where it broke with its own past, and
// when it will pass a limit. It gives the content of ingest/register to package
// trend and puts the answers into checks of the debrief's form.
package ageing

import (
	"math"
	"strings"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/fit"
	"afterloop/analysis/trend"
	"afterloop/ingest/benchlog"
	"afterloop/ingest/register"
)

// Schema names the version of the JSON form of a [Report].
const Schema = "afterloop/register/1"

// Safety is said near the top of every page and text.
const Safety = "This is a record of what instruments said over the months. It clears no equipment for use and no person to dive, and a cell without a finding may fail on the next dive. " +
	"A suspect cell is replaced and tested by the equipment's own procedure. Local rules and the training held come first."

// Params are the limits.
type Params struct {
	Trend trend.Params `json:"trend"`
	// SensitivityFraction of the first three measurements' median is the limit of mV per bar: default 0.7 (ours).
	SensitivityFraction float64 `json:"sensitivity_fraction"`
	// T90S is the limit of T90: s, default 15 (common practice).
	T90S float64 `json:"t90_s"`
	// GainLow and GainHigh bound the gain: default 0.92 and 1.08 (as in the debrief).
	GainLow  float64 `json:"gain_low"`
	GainHigh float64 `json:"gain_high"`
	// CeilingBar is the ceiling that a cell should pass: bar, default 1.6 (common practice).
	CeilingBar float64 `json:"ceiling_bar"`
	// DriftPerH bounds the drift of the gain either way: 1/h, default 0.08 (as in the debrief).
	DriftPerH float64 `json:"drift_per_h"`
	// MonthsInUse and MonthsMade are the ages at which a cell is replaced: default 12 and 18 (common practice, memory).
	MonthsInUse float64 `json:"months_in_use"`
	MonthsMade  float64 `json:"months_since_made"`
	// SoonDays: a limit that will be passed within so many days is borderline: default 90 (ours).
	SoonDays float64 `json:"soon_days"`
}

// DefaultParams are the defaults of each field.
func DefaultParams() Params {
	return Params{Trend: trend.DefaultParams(), SensitivityFraction: 0.7, T90S: 15, GainLow: 0.92, GainHigh: 1.08, CeilingBar: 1.6, DriftPerH: 0.08,
		MonthsInUse: 12, MonthsMade: 18, SoonDays: 90}
}

// Report is the register, judged.
type Report struct {
	Schema     string            `json:"schema"`
	Tool       analysis.Tool     `json:"tool"`
	AsOf       string            `json:"as_of"`
	Parameters Params            `json:"parameters"`
	Cells      []Cell            `json:"cells"`
	Sources    []register.Source `json:"sources"`
}

// Cell is one cell, judged.
type Cell struct {
	register.Cell
	Unit            string         `json:"unit"` // where it is fitted now, or empty
	Position        int            `json:"position"`
	MonthsInUse     analysis.Float `json:"months_in_use"`
	MonthsSinceMade analysis.Float `json:"months_since_made"`
	Measurements    int            `json:"measurements"`
	FirstAt         string         `json:"first_at"`
	LastAt          string         `json:"last_at"`
	// Outcome is the gravest of the checks that ran; not_assessed where no
	// measurement could be judged.
	Outcome    analysis.Outcome    `json:"outcome"`
	Assessable analysis.Assessable `json:"assessable"`
	Summary    string              `json:"summary"`
	Checks     []analysis.Check    `json:"checks"`
	Quantities []Quantity          `json:"quantities"`
}

// Quantity is one measured quantity over time.
type Quantity struct {
	Key       string            `json:"quantity"`
	Name      string            `json:"name"`
	Unit      string            `json:"unit"`
	LimitLow  analysis.Float    `json:"limit_low"`
	LimitHigh analysis.Float    `json:"limit_high"`
	Points    []Point           `json:"points"`
	Reason    string            `json:"reason"` // why there is no trend
	PerYear   analysis.Interval `json:"per_year"`
	Now       analysis.Interval `json:"now"` // the line at the last day
	SinceDay  string            `json:"trend_since"`
	Breaks    []Break           `json:"breaks"`
	Passing   Passing           `json:"passing"`
	// Line is the trend's line as two days and values, for drawing.
	Line [2][2]float64 `json:"-"`
}

// Point is one measurement.
type Point struct {
	At    string         `json:"at"`
	Value analysis.Float `json:"value"`
	Low   analysis.Float `json:"low"`
	High  analysis.Float `json:"high"`
	Kind  string         `json:"source_kind"`
	File  string         `json:"source_file"`
	Day   float64        `json:"-"`
}

// Break is a day on which the quantity left its own line.
type Break struct {
	Day   string         `json:"day"`
	Shift analysis.Float `json:"shift"`
	At    float64        `json:"-"`
}

// Passing is when a limit is passed; days are empty where they can't be given.
type Passing struct {
	State      string         `json:"state"`
	Limit      analysis.Float `json:"limit"`
	Day        string         `json:"day"`
	Earliest   string         `json:"earliest"`
	Latest     string         `json:"latest"` // "open" where it may never be
	Confidence string         `json:"confidence"`
	Reason     string         `json:"reason"`
	day        float64
}

const (
	dayS          = 86400
	daysPerMonth  = 30.4375
	daysPerYear   = 365.25
	farthestYears = 30
)

// Judge judges every cell as of a day.
func Judge(c register.Content, asOf time.Time, p Params) *Report {
	r := &Report{Schema: Schema, Tool: analysis.Tool{Name: "afterloop"}, AsOf: asOf.Format("2006-01-02"), Parameters: p, Cells: []Cell{}, Sources: c.Sources}
	byCell := map[string][]register.Measurement{}
	for _, m := range c.Measurements {
		byCell[m.Serial] = append(byCell[m.Serial], m)
	}
	for _, x := range c.Cells {
		r.Cells = append(r.Cells, judge(x, byCell[x.Serial], dayOf(asOf), p))
	}
	return r
}

// Find is a cell by its serial number, upper and lower case alike, or nil.
func (r *Report) Find(serial string) *Cell {
	for i := range r.Cells {
		if strings.EqualFold(r.Cells[i].Serial, strings.TrimSpace(serial)) {
			return &r.Cells[i]
		}
	}
	return nil
}

func dayOf(t time.Time) float64 { return float64(t.Unix()) / dayS }

func dayText(day float64) string {
	if math.IsNaN(day) || math.IsInf(day, 0) {
		return ""
	}
	return time.Unix(int64(math.Floor(day))*dayS, 0).UTC().Format("2006-01-02")
}

func judge(x register.Cell, ms []register.Measurement, asOf float64, p Params) Cell {
	c := Cell{Cell: x, MonthsInUse: unknown(), MonthsSinceMade: unknown(), Measurements: len(ms), Quantities: []Quantity{}, Checks: []analysis.Check{}}
	end := asOf
	if d, ok := parse(x.Retired); ok {
		end = math.Min(end, d)
	}
	if d, ok := parse(x.Made); ok {
		c.MonthsSinceMade = analysis.Float((end - d) / daysPerMonth)
	}
	if len(x.Fittings) > 0 {
		if d, ok := parse(x.Fittings[0].From); ok {
			c.MonthsInUse = analysis.Float((end - d) / daysPerMonth)
		}
		if last := x.Fittings[len(x.Fittings)-1]; last.To == "" {
			c.Unit, c.Position = last.Unit, last.Position
		}
	}
	for _, m := range ms {
		if c.FirstAt == "" || m.At < c.FirstAt {
			c.FirstAt = m.At
		}
		c.LastAt = max(c.LastAt, m.At)
	}
	for _, q := range register.Quantities() {
		c.Quantities = append(c.Quantities, quantity(q, ms, p))
	}
	c.check(asOf, p)
	return c
}

func parse(s string) (day float64, ok bool) {
	t, ok := benchlog.Moment(s)
	return dayOf(t), ok
}

func unknown() analysis.Float { return analysis.Float(math.NaN()) }

// quantity looks at one quantity of a cell.
func quantity(def register.Quantity, ms []register.Measurement, p Params) Quantity {
	q := Quantity{Key: def.Key, Name: def.Name, Unit: def.Unit, Points: []Point{}, Breaks: []Break{}, LimitLow: unknown(), LimitHigh: unknown()}
	var days, values []float64
	for _, m := range ms {
		day, ok := parse(m.At)
		if m.Quantity != def.Key || !ok {
			continue
		}
		q.Points = append(q.Points, Point{m.At, analysis.Float(m.Value), orUnknown(m.Low), orUnknown(m.High), m.Kind, m.File, day})
		days, values = append(days, day), append(values, m.Value)
	}
	q.limits(values, p)
	r := trend.Analyze(days, values, trend.Limits{Low: float64(q.LimitLow), High: float64(q.LimitHigh)}, p.Trend)
	q.take(r, days)
	return q
}

func orUnknown(v *float64) analysis.Float {
	if v == nil {
		return unknown()
	}
	return analysis.Float(*v)
}

// limits are those of the quantity; the sensitivity's is a share of its own beginning.
func (q *Quantity) limits(values []float64, p Params) {
	switch q.Key {
	case "mv_per_bar":
		if len(values) > 0 {
			q.LimitLow = analysis.Float(p.SensitivityFraction * fit.Median(values[:min(3, len(values))]))
		}
	case "t90_s":
		q.LimitHigh = analysis.Float(p.T90S)
	case "gain":
		q.LimitLow, q.LimitHigh = analysis.Float(p.GainLow), analysis.Float(p.GainHigh)
	case "ceiling_bar":
		q.LimitLow = analysis.Float(p.CeilingBar)
	case "drift_per_h":
		q.LimitLow, q.LimitHigh = analysis.Float(-p.DriftPerH), analysis.Float(p.DriftPerH)
	}
}

func (q *Quantity) take(r trend.Result, days []float64) {
	iv := func(e trend.Estimate, k float64) analysis.Interval {
		return analysis.Interval{Value: analysis.Float(e.Value * k), Low: analysis.Float(e.Low * k), High: analysis.Float(e.High * k), Reason: r.Reason}
	}
	q.Reason, q.PerYear, q.Now, q.SinceDay = r.Reason, iv(r.PerDay, daysPerYear), iv(r.Now, 1), dayText(r.SinceDay)
	for _, b := range r.Breaks {
		q.Breaks = append(q.Breaks, Break{dayText(b.Day), analysis.Float(b.Shift), b.Day})
	}
	s := r.Passing
	q.Passing = Passing{State: s.State, Limit: analysis.Float(s.Limit), Day: dayText(s.Day), Earliest: dayText(s.Earliest), Latest: dayText(s.Latest), Confidence: s.Confidence, Reason: s.Reason, day: s.Day}
	if s.State == trend.Ahead && (math.IsInf(s.Latest, 1) || len(days) > 0 && s.Latest > days[len(days)-1]+farthestYears*daysPerYear) {
		q.Passing.Latest = "open"
	}
	if s.State != trend.Ahead {
		q.Passing.Latest = ""
	}
	if s.State != trend.Ahead && s.State != trend.NoTrend && s.State != trend.TooFar {
		q.Passing.Earliest = ""
	}
	if r.Reason == "" && len(days) > 0 {
		last := days[len(days)-1]
		q.Line = [2][2]float64{{r.SinceDay, r.Intercept + r.PerDay.Value*r.SinceDay}, {last, r.Now.Value}}
	}
}
