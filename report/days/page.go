package days

import (
	"fmt"
	"io"
	"math"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/analysis/wording"
	"afterloop/report"
	"afterloop/report/paper"
)

// page is what the template sees.
type page struct {
	paper.Frame
	*days.Report
	Load, Carried, Pulmonary *paper.Plot
	WithESOT                 bool
}

// WritePage writes the page of a series.
func WritePage(w io.Writer, r *days.Report) error {
	title := "Oxygen over " + wording.Count(len(r.Dives), "dive", "dives")
	if r.Diver != "" {
		title += ", " + r.Diver
	}
	p := page{Frame: paper.NewFrame(title, "Oxygen exposure of one diver over several dives", ownStyles()), Report: r, WithESOT: r.Parameters.ESOT}
	p.Safety, p.By, p.ByVersion, p.SchemaID = days.Safety, r.Tool.Name, r.Tool.Version, r.Schema
	if r.Series != nil && r.Series.LastH > 0 {
		p.Load, p.Carried = loadPlot(r), carriedPlot(r)
	}
	p.Pulmonary = pulmonaryPlot(r)
	return paper.Write(w, templates(), "days.html", p)
}

// timeAxis is a plot over the hours of the series, its ticks by local clocks.
func timeAxis(r *days.Report, id, title, message, yName string, high float64) *paper.Plot {
	s := r.Series
	p := paper.NewPlot(id, title, message, "local time of the log that had begun last", yName, [2]float64{0, s.LastH}, [2]float64{0, high})
	var at []float64
	var labels []string
	every := (len(s.Hours) + 13) / 14
	for i, m := range s.Hours {
		if m.AtH >= 0 && i%every == 0 {
			at, labels = append(at, m.AtH), append(labels, m.Label)
		}
	}
	p.TicksAt(at, labels)
	for _, d := range s.Dives {
		p.Shade(d.FromH, d.ToH, "judged", fmt.Sprint(d.Number))
	}
	return p
}

// top leaves room above what is drawn, and shows the limit where it is near.
func top(v ...float64) float64 {
	high := 0.0
	for _, x := range v {
		if !math.IsNaN(x) {
			high = math.Max(high, x)
		}
	}
	if high > 55 {
		high = math.Max(high, 100)
	}
	return math.Max(high*1.12, 5)
}

// loadPlot is the share of the 24-hour limit in the 24 hours before each moment.
func loadPlot(r *days.Report) *paper.Plot {
	s := r.Series
	_, high := paper.Extent(s.Worst24h)
	p := timeAxis(r, "load", "The last 24 hours", "Full line: share of the 24-hour limit taken in the 24 hours before each moment, without decay; shaded and numbered: the dives; long dashes: the limit. It ends with the last row.", "% of the 24-hour limit", top(high))
	p.Limit(100, "limit", report.LimitStroke())
	p.Line("24 h", report.NumberedStroke(0), s.AtH, s.Worst24h)
	return p
}

// carriedPlot is CNS by the single-exposure limit with decay at the surface.
func carriedPlot(r *days.Report) *paper.Plot {
	s := r.Series
	_, high := paper.Extent(s.CNS)
	p := timeAxis(r, "carried", "CNS by the single-exposure limit, with surface decay", "Broken line: what the convention of a 90-minute half-time leaves; square: the end of a dive. The decay is a convention and no measurement.", "% of the single-exposure limit", top(high))
	p.Limit(100, "limit", report.LimitStroke())
	p.Line("CNS", report.NumberedStroke(1), s.CNSH, s.CNS)
	for _, d := range s.Dives {
		p.Point(d.ToH, d.AfterCNS, paper.NaN, paper.NaN, "square", report.NumberedStroke(1), fmt.Sprintf("dive %d ends at %s %%", d.Number, paper.Value(analysis.Float(d.AfterCNS), 0)))
	}
	return p
}

// pulmonaryPlot has one bar a local day, with the limit of that day.
func pulmonaryPlot(r *days.Report) *paper.Plot {
	if len(r.Days) == 0 {
		return nil
	}
	first, last := date(r.Days[0].Date), date(r.Days[len(r.Days)-1].Date)
	n := int(last.Sub(first).Hours()/24) + 1
	high := 0.0
	for _, d := range r.Days {
		for _, v := range []analysis.Float{d.OTU.Value, d.OTU.High, d.LimitOTU} {
			if v.Known() {
				high = math.Max(high, float64(v))
			}
		}
	}
	p := paper.NewPlot("pulmonary", "Pulmonary dose by local day", "Bar: OTU of the day, with its range; full line: a limit that was seen quoted; broken line: a limit from memory, unverified.", "local day", "OTU",
		[2]float64{-0.6, float64(n) - 0.4}, [2]float64{0, math.Max(high*1.1, 10)})
	var at []float64
	var labels []string
	every := (n + 7) / 8
	for i := 0; i < n; i += every {
		at, labels = append(at, float64(i)), append(labels, first.AddDate(0, 0, i).Format(time.DateOnly))
	}
	p.TicksAt(at, labels)
	for _, d := range r.Days {
		x := math.Round(date(d.Date).Sub(first).Hours() / 24)
		text := fmt.Sprintf("%s: %s OTU", d.Date, otu(d.OTU))
		p.Bar(x-0.3, x+0.3, float64(d.OTU.Value), report.NumberedStroke(0), text)
		p.Point(x, float64(d.OTU.Value), float64(d.OTU.Low), float64(d.OTU.High), "ring", report.NumberedStroke(3), text)
		if d.LimitOTU.Known() {
			stroke := report.StrongStroke()
			if d.LimitVerified {
				stroke = report.FullStroke()
			}
			p.Line("", stroke, []float64{x - 0.42, x + 0.42}, []float64{float64(d.LimitOTU), float64(d.LimitOTU)})
		}
	}
	return p
}

// date reads a day that the analysis wrote.
func date(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return time.Time{}
	}
	return t
}
