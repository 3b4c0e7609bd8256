package bench

import (
	"fmt"
	"io"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/ageing"
	"afterloop/analysis/wording"
	"afterloop/report"
	"afterloop/report/paper"
)

// registerPage is what the template of the overview sees.
type registerPage struct {
	paper.Frame
	*ageing.Report
	Cells []cellLine
}

// cellLine is one cell of the overview.
type cellLine struct {
	ageing.Cell
	Page string // its own page, or empty
}

// WriteRegister writes the page with all cells at a glance. page names the page
// of a cell relative to this one; nil for no links.
func WriteRegister(w io.Writer, r *ageing.Report, page func(serial string) string) error {
	p := registerPage{Frame: registerFrame(r, "Cells at a glance"), Report: r}
	for _, c := range r.Cells {
		l := cellLine{Cell: c}
		if page != nil {
			l.Page = page(c.Serial)
		}
		p.Cells = append(p.Cells, l)
	}
	return write(w, "register.html", p)
}

func registerFrame(r *ageing.Report, title string) paper.Frame {
	f := paper.NewFrame(title, "Register of oxygen cells, as of "+r.AsOf)
	f.Safety, f.By, f.ByVersion, f.SchemaID = ageing.Safety, r.Tool.Name, r.Tool.Version, r.Schema
	return f
}

// Fitted says where the cell is.
func (l cellLine) Fitted() string { return fitted(l.Cell) }

func fitted(c ageing.Cell) string {
	switch {
	case c.Retired != "":
		return "retired " + c.Retired
	case c.Unit == "":
		return "not fitted"
	}
	return fmt.Sprintf("%s, position %d", c.Unit, c.Position)
}

// outstanding are the cells to look at: those with a limit passed or near, those
// with a day on which one will be, those retired or never measured. rest names the others.
func outstanding(cells []ageing.Cell) (standing []ageing.Cell, rest string) {
	var names []string
	for _, c := range cells {
		judged := c.Outcome == analysis.Found || c.Outcome == analysis.Borderline
		if judged || passes(c) != noDay || c.Retired != "" || c.Measurements == 0 {
			standing = append(standing, c)
		} else {
			names = append(names, c.Serial)
		}
	}
	return standing, wording.And(names)
}

// StandOut are the cells to look at.
func (p registerPage) StandOut() []ageing.Cell {
	standing, _ := outstanding(p.Report.Cells)
	return standing
}

// Others names the cells of which no limit is passed.
func (p registerPage) Others() string {
	_, rest := outstanding(p.Report.Cells)
	return rest
}

// Latest is the last measurement of a quantity with its day.
func (l cellLine) Latest(key string) string { return latest(l.Cell, key) }

func latest(c ageing.Cell, key string) string {
	for _, q := range c.Quantities {
		if q.Key == key && len(q.Points) > 0 {
			return paper.Value(q.Points[len(q.Points)-1].Value, q.Digits())
		}
	}
	return "–"
}

// Passes is the next limit that the cell will pass.
func (l cellLine) Passes() string {
	if s := passes(l.Cell); s != noDay {
		return s
	}
	return "–"
}

const noDay = "no day can be given"

func passes(c ageing.Cell) string {
	best, text := "", noDay
	for _, q := range c.Quantities {
		switch s := q.Passing; {
		case s.State == "passed":
			return q.Name + ": passed"
		case s.State == "ahead" && (best == "" || s.Day < best):
			best, text = s.Day, q.Name+" about "+s.Day+", "+s.Confidence
		}
	}
	return text
}

// cellPage is what the template of one cell sees.
type cellPage struct {
	paper.Frame
	Cell  ageing.Cell
	Plots []quantityView
	Index string
}

// quantityView is a quantity with its drawing.
type quantityView struct {
	ageing.Quantity
	Plot *paper.Plot
}

// WriteRegisterCell writes the page of one cell; index is the address of the
// overview, or empty.
func WriteRegisterCell(w io.Writer, r *ageing.Report, c *ageing.Cell, index string) error {
	p := cellPage{Frame: registerFrame(r, "Cell "+c.Serial), Cell: *c, Index: index}
	for _, q := range c.Quantities {
		v := quantityView{Quantity: q}
		if len(q.Points) > 0 {
			v.Plot = trendPlot(q)
		}
		p.Plots = append(p.Plots, v)
	}
	return write(w, "registercell.html", p)
}

// Fitted says where the cell is.
func (p cellPage) Fitted() string { return fitted(p.Cell) }

// PassingText says when the limit is passed, and how sure that is.
func (v quantityView) PassingText() string { return passingText(v.Quantity) }

func passingText(q ageing.Quantity) string {
	s := q.Passing
	switch s.State {
	case "passed":
		return "its trend has passed the limit"
	case "near":
		return "the trend's interval holds the limit now"
	case "ahead":
		text := "about " + s.Day + " (" + s.Confidence + "; 95 %: " + s.Earliest + " to " + s.Latest + ")"
		if s.Latest == "open" {
			text = "about " + s.Day + " (" + s.Confidence + "; not before " + s.Earliest + ", and perhaps never)"
		}
		return text
	}
	text := "no day can be given: " + s.Reason
	if s.Earliest != "" {
		text += "; at the steepest not before " + s.Earliest
	}
	return text
}

// trendPlot is a quantity over the days with its intervals, line, limit and breaks.
func trendPlot(q ageing.Quantity) *paper.Plot {
	var days, values, edges []float64
	for _, p := range q.Points {
		days, values = append(days, p.Day), append(values, float64(p.Value))
		for _, e := range []analysis.Float{p.Low, p.High} {
			if e.Known() {
				edges = append(edges, float64(e))
			}
		}
	}
	limits := limitsNear(q, values)
	low, high := paper.Extent(values, edges, limits)
	from, to := paper.Extent(days)
	x := paper.Around(from, math.Max(to, from+10), 0.03)
	title := strings.ToUpper(q.Name[:1]) + q.Name[1:]
	name := q.Name
	if q.Unit != "" {
		name += ", " + q.Unit
	}
	p := paper.NewPlot(q.Key, title, "Limit passed: "+passingText(q)+".", "day", name, x, paper.Around(low, high, 0.08))
	p.MonthTicks()
	for _, l := range limits {
		p.Limit(l, "limit "+paper.Value(analysis.Float(l), q.Digits()), report.LimitStroke())
	}
	for _, b := range q.Breaks {
		p.Shade(b.At-(x[1]-x[0])*0.002, b.At+(x[1]-x[0])*0.002, "break", "")
	}
	if q.Reason == "" {
		p.Line("trend", report.StrongStroke(), []float64{q.Line[0][0], q.Line[1][0]}, []float64{q.Line[0][1], q.Line[1][1]})
	}
	for _, m := range q.Points {
		shape, stroke := "dot", report.NumberedStroke(0)
		if m.Kind != "debrief" {
			shape, stroke = "square", report.NumberedStroke(1)
		}
		p.Point(m.Day, float64(m.Value), float64(m.Low), float64(m.High), shape, stroke, fmt.Sprintf("%s: %s, %s", m.At[:10], paper.Value(m.Value, q.Digits()), m.Kind))
	}
	return p
}

// limitsNear are the limits that lie near enough to be drawn with the values.
func limitsNear(q ageing.Quantity, values []float64) []float64 {
	low, high := paper.Extent(values)
	room := 1.5*(high-low) + 0.6*math.Abs(high) + 1e-9
	var out []float64
	for _, l := range []analysis.Float{q.LimitLow, q.LimitHigh} {
		if v := float64(l); l.Known() && v > low-room && v < high+room {
			out = append(out, v)
		}
	}
	return out
}

// WriteRegisterText writes the overview for a terminal.
func WriteRegisterText(w io.Writer, r *ageing.Report, o TextOptions) error {
	t := paper.NewText(w, o)
	t.Head("Register of oxygen cells, as of " + r.AsOf)
	t.Para(ageing.Safety)
	t.Blank()
	if len(r.Cells) == 0 {
		t.Para("The register holds no cells. `afterloop register add SERIAL` adds one.")
		return t.Flush()
	}
	rows := [][]string{{"serial", "fitted", "months", "mV/bar", "T90, s", "outcome (checks run)"}}
	for _, c := range r.Cells {
		rows = append(rows, []string{c.Serial, fitted(c), paper.Value(c.MonthsInUse, 1), latest(c, "mv_per_bar"), latest(c, "t90_s"), paper.OutcomeWord(c.Outcome) + fmt.Sprintf(" (%d of %d)", c.Assessable.ChecksRun, c.Assessable.ChecksTotal)})
	}
	t.Table(rows)
	t.Blank()
	standing, rest := outstanding(r.Cells)
	for _, c := range standing {
		line := c.Serial + ": " + c.Summary + "."
		if s := passes(c); s != noDay {
			line += " Next limit: " + s + "."
		}
		t.Item("- ", line)
	}
	if rest != "" {
		t.Item("- ", "By what was measured no limit is passed of "+rest+". That is not the same as well: how many checks ran stands in the table.")
	}
	return t.Flush()
}

// WriteRegisterCellText writes one cell for a terminal.
func WriteRegisterCellText(w io.Writer, r *ageing.Report, c *ageing.Cell, o TextOptions) error {
	t := paper.NewText(w, o)
	t.Head("Cell " + (c.Serial) + ", as of " + r.AsOf)
	t.Para(ageing.Safety)
	t.Para(fmt.Sprintf("%s: %s. %d of %d checks ran", paper.OutcomeWord(c.Outcome), c.Summary, c.Assessable.ChecksRun, c.Assessable.ChecksTotal) + ".")
	t.Para("Made " + paper.OrElse(c.Made, "not recorded") + "; " + fitted(*c) + "; in use " + paper.Value(c.MonthsInUse, 1) + " months; " + paper.Itoa(c.Measurements) + " measurements.")
	if len(c.Fittings) > 0 {
		t.Title("Where it was fitted")
		rows := [][]string{{"unit", "position", "from", "to"}}
		for _, f := range c.Fittings {
			rows = append(rows, []string{f.Unit, paper.Itoa(f.Position), f.From, paper.OrElse(f.To, "now")})
		}
		t.Table(rows)
	}
	t.Title("Checks")
	for _, k := range c.Checks {
		t.Item("- ", k.Title+": "+paper.OutcomeWord(k.Outcome)+": "+k.Reason)
	}
	for _, q := range c.Quantities {
		if len(q.Points) == 0 {
			continue
		}
		t.Title(strings.TrimSuffix(q.Name+", "+q.Unit, ", "))
		if q.Reason == "" {
			t.Para("Trend since " + q.SinceDay + ": " + paper.Range95(q.PerYear, q.Digits()+1) + " a year; limit passed: " + passingText(q) + ".")
		} else {
			t.Para("Trend: not assessed: " + q.Reason + ".")
		}
		for _, b := range q.Breaks {
			t.Para("Break on " + b.Day + ": " + paper.Value(b.Shift, q.Digits()) + ".")
		}
		rows := [][]string{{"day", "value", "low", "high", "source"}}
		for _, m := range q.Points {
			rows = append(rows, []string{m.At[:10], paper.Value(m.Value, q.Digits()), paper.Value(m.Low, q.Digits()), paper.Value(m.High, q.Digits()), m.Kind})
		}
		t.Table(rows)
	}
	return t.Flush()
}
