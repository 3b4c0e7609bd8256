package report

import (
	"math"
	"strconv"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"afterloop/analysis"
)

// chart is one drawing of the page: its words, its data and the same as a table.
type chart struct {
	ID, Title string
	// Message is one sentence that says what the drawing shows.
	Message string
	// Remarks say what the drawing leaves out.
	Remarks []string
	Keys    []chartKey
	Table   dataTable
	// Explanation for a student; nil for none.
	Explanation *explanation
	draw        chartData
}

// chartData is what the page's script needs to draw.
type chartData struct {
	ID     string         `json:"id"`
	Height int            `json:"height"`
	Option map[string]any `json:"option"`
	Panels []panelData    `json:"panels"`
	Series []seriesData   `json:"series"`
}

type panelData struct {
	Top    int `json:"top"`
	Height int `json:"height"`
	// Rows are the labels of a panel of lanes; empty for a panel of figures.
	Rows []rowLabel `json:"rows"`
}

// rowLabel names a lane at a place on the panel's axis.
type rowLabel struct {
	Name string  `json:"name"`
	At   float64 `json:"at"`
}

type seriesData struct {
	Panel    int    `json:"panel"`
	Short    string `json:"short"` // the direct label; empty for none
	Unit     string `json:"unit"`
	Decimals int    `json:"decimals"`
	// Column is the packed column to draw; empty where the option holds the data.
	Column string `json:"column"`
	// Stems is true for upright strokes from 0 in place of a joined line.
	Stems bool `json:"stems"`
	// Summed is true where a table adds values up between its rows.
	Summed bool `json:"summed"`
}

// chartKey is one entry of the key above a drawing.
type chartKey struct {
	Index      int
	Name, Unit string
	Stroke     stroke
	Mute       bool // shows no value at the cursor
}

// panel is one plot area of a drawing. Panels stand under one another on one
// time axis, so that no quantity needs a second scale beside the first.
type panel struct {
	name     string
	height   int
	inverse  bool // downward, for depth
	min, max float64
	lines    []line
	rows     []rowLabel
	bands    [][2]float64 // level bands, every other one is toned
	limits   []limit
	phases   bool
}

// line is one drawn series.
type line struct {
	name, short, unit string
	stroke            stroke
	decimals          int
	column            string    // the packed column; empty where data are given
	data              []point   // of what is no column: events, stretches
	values            []float64 // the column's, for the table
	stems             bool      // upright strokes from 0
	summed            bool      // the table adds values up between its rows
	mute              bool      // has no value between its samples
	symbol            string    // of samples that stand alone; a small dot if empty
}

// limit is a level to compare with.
type limit struct {
	value float64
	label string
	dash  string
}

// Plot geometry in pixels. Left and right are the same for all drawings, so
// that one moment stands at one place on the whole page.
const (
	plotLeft    = 46
	plotRight   = 86
	plotTop     = 26
	plotBetween = 34
	plotBottom  = 26
)

// drawing holds what all charts of a page share.
type drawing struct {
	d     *analysis.Debrief
	s     *analysis.Series
	clock clock
	open  []analysis.Span
}

// line draws a packed column. The page's script fills it in: the extremes of
// each pixel's samples, for the window that is shown.
func (g *drawing) line(column, name, short, unit string, st stroke, decimals int, v []float64) line {
	return line{column: column, name: name, short: short, unit: unit, stroke: st, decimals: decimals, values: v}
}

// build lays the panels out and fills in the options. Panels without a known
// value are left out; a chart without panels has no drawing.
func (g *drawing) build(c chart, panels ...panel) chart {
	panels = drawable(panels)
	l := charts.NewLine()
	l.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithLegendOpts(opts.Legend{Show: opts.Bool(false)}),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(false)}))
	l.XAxisList, l.YAxisList = nil, nil
	top := plotTop
	for i, p := range panels {
		l.GridList = append(l.GridList, opts.Grid{Left: px(plotLeft), Right: px(plotRight), Top: px(top), Height: px(p.height)})
		l.XAxisList = append(l.XAxisList, g.timeAxis(i, i == len(panels)-1))
		l.YAxisList = append(l.YAxisList, valueAxis(i, p))
		c.draw.Panels = append(c.draw.Panels, panelData{Top: top, Height: p.height, Rows: append([]rowLabel{}, p.rows...)})
		for k, ln := range p.lines {
			g.addLine(l, &c, i, ln)
			if k == 0 {
				g.mark(&l.MultiSeries[len(l.MultiSeries)-1], p)
			}
		}
		top += p.height + plotBetween
	}
	c.draw.ID, c.draw.Height = c.ID, top-plotBetween+plotBottom
	if len(panels) > 0 {
		l.Validate()
		c.draw.Option = l.JSON()
	}
	c.Table = g.table(panels)
	return c
}

func drawable(panels []panel) []panel {
	var out []panel
	for _, p := range panels {
		if len(p.lines) > 0 {
			out = append(out, p)
		}
	}
	return out
}

func (g *drawing) addLine(l *charts.Line, c *chart, panel int, ln line) {
	index := len(l.MultiSeries)
	l.AddSeries(ln.name, nil, func(s *charts.SingleSeries) {
		s.Id = "s" + strconv.Itoa(index)
		s.XAxisIndex, s.YAxisIndex = panel, panel
		s.Symbol = "none" // a sample that stands alone brings its own
		s.ShowSymbol = opts.Bool(true)
		s.ConnectNulls = opts.Bool(false)
		s.LineStyle = &opts.LineStyle{Color: ln.stroke.ink.light, Width: ln.stroke.width, Type: ln.stroke.dash}
		s.ItemStyle = &opts.ItemStyle{Color: ln.stroke.ink.light}
		s.Data = points{data: ln.data, decimals: ln.decimals, symbol: ln.symbol}
	})
	c.draw.Series = append(c.draw.Series, seriesData{Panel: panel, Short: ln.short, Unit: ln.unit, Decimals: ln.decimals,
		Column: ln.column, Stems: ln.stems, Summed: ln.summed})
	c.Keys = append(c.Keys, chartKey{Index: index, Name: ln.name, Unit: ln.unit, Stroke: ln.stroke, Mute: ln.mute})
}

func (g *drawing) timeAxis(i int, last bool) opts.XAxis {
	from, to := timeRange(g.s.TimeS)
	return opts.XAxis{
		Type: "value", GridIndex: i, Min: from, Max: to,
		SplitLine: &opts.SplitLine{Show: opts.Bool(true), LineStyle: &opts.LineStyle{Color: inkGrid.light}},
		AxisLine:  &opts.AxisLine{OnZero: opts.Bool(false), LineStyle: &opts.LineStyle{Color: inkAxis.light}},
		AxisTick:  &opts.AxisTick{Show: opts.Bool(last)},
		AxisLabel: &opts.AxisLabel{Show: opts.Bool(last), Color: inkLabel.light, FontSize: 11},
	}
}

// timeRange is the reach of the time axis: a log of one row gets a second.
func timeRange(tS []float64) (from, to float64) {
	from, to = tS[0], tS[len(tS)-1]
	return from, math.Max(to, from+1)
}

func valueAxis(i int, p panel) opts.YAxis {
	y := opts.YAxis{
		Type: "value", GridIndex: i, Name: p.name, NameGap: 9, NameLocation: "end",
		Inverse: opts.Bool(p.inverse), Scale: opts.Bool(true), SplitNumber: splits(p.height),
		SplitLine: &opts.SplitLine{Show: opts.Bool(len(p.rows) == 0), LineStyle: &opts.LineStyle{Color: inkGrid.light}},
		AxisLine:  &opts.AxisLine{Show: opts.Bool(true), LineStyle: &opts.LineStyle{Color: inkAxis.light}},
		AxisLabel: &opts.AxisLabel{Show: opts.Bool(true), Color: inkLabel.light, FontSize: 11},
	}
	if p.inverse {
		y.NameLocation = "start"
	}
	if !math.IsNaN(p.min) {
		y.Min = p.min
	}
	if !math.IsNaN(p.max) {
		y.Max = p.max
	}
	return y
}

// splits is about how many intervals an axis of this height is divided into.
func splits(height int) int { return min(max(height/40, 2), 5) }

func px(n int) string { return strconv.Itoa(n) }
