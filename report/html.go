package report

import (
	"bufio"
	"encoding/json"
	"fmt"
	"html/template"
	"io"

	"afterloop/analysis"
)

// WriteHTML writes the debrief as one page that needs no network: styles,
// scripts and samples are inside. The same Debrief gives the same bytes.
//
// The error is that of w, or of a debrief that cannot be put into the page.
func WriteHTML(w io.Writer, d *analysis.Debrief, o Options) error {
	p, err := newPage(o.of(d))
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if err := templates().ExecuteTemplate(out, "page.html", p); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return out.Flush()
}

// page is what the templates see: the debrief itself and what is derived from
// it for showing.
type page struct {
	*analysis.Debrief
	clock  clock
	Charts []chart
	// Data enters the page as a Go value, so that html/template escapes it.
	Data json.RawMessage
	// Samples and EChartsPacked are base64 text of our own making.
	Samples, EChartsPacked template.HTML
	Policy                 string
	CSS                    template.CSS
	Script                 template.JS // our own file, never text from a log
	EChartsVersion         string
	defined                map[string]bool
}

func newPage(d *analysis.Debrief) (*page, error) {
	p := &page{Debrief: d, clock: newClock(d.Dive.FirstS), Charts: drawCharts(d),
		Policy: pagePolicy(), CSS: template.CSS(styles()), Script: template.JS(pageScript()),
		EChartsPacked: template.HTML(echartsPacked()), EChartsVersion: echartsField("version"), defined: map[string]bool{}}
	for _, def := range d.Definitions {
		p.defined[def.ID] = true
	}
	if len(p.Charts) == 0 {
		return p, nil
	}
	packed := packSeries(d.Series)
	p.Samples = template.HTML(packed.text.String())
	// Encoding here, and not in the template, makes a number that JSON cannot
	// hold an error instead of an empty drawing.
	var err error
	p.Data, err = json.Marshal(p.pageData(packed.Columns))
	return p, err
}

// Chart is the drawing with this id; an empty one where there is none.
func (p *page) Chart(id string) chart {
	for _, c := range p.Charts {
		if c.ID == id {
			c.Explanation = p.Explain("chart-" + id)
			return c
		}
	}
	return chart{}
}

// usualStep is the usual interval of the log, for the reach of the cursor.
func usualStep(d *analysis.Debrief) float64 {
	if d.Dive.SampleS.Known() && d.Dive.SampleS > 0 {
		return float64(d.Dive.SampleS)
	}
	return 1
}

// Drawn tells whether the chart has anything to draw.
func (c chart) Drawn() bool { return c.draw.Option != nil }

// findingMark is a finding's place on the time axis.
type findingMark struct {
	Label    string            `json:"label"`
	Title    string            `json:"title"`
	Severity analysis.Severity `json:"severity"`
	Anchor   string            `json:"anchor"`
	From     analysis.Float    `json:"from"`
	To       analysis.Float    `json:"to"`
}

func (p *page) findingMarks() []findingMark {
	marks := []findingMark{}
	for i, f := range p.Findings {
		if f.FromS.Known() && f.ToS.Known() {
			marks = append(marks, findingMark{number(i), f.Title, f.Severity, "f" + f.ID, f.FromS, f.ToS})
		}
	}
	return marks
}
