package report

import (
	"bufio"
	"fmt"
	"html/template"
	"io"
	"strings"

	"github.com/gocarina/gocsv"

	"afterloop/analysis"
)

// IndexEntry is one log of several: its debrief, or the error that stopped it.
type IndexEntry struct {
	File string
	// Page is the relative address of the log's own page; empty for none.
	Page    string
	Debrief *analysis.Debrief // nil where Err is set
	Err     string
}

// indexRow is one line of the index, as CSV and as HTML.
type indexRow struct {
	File           string   `csv:"file"`
	Page           string   `csv:"page"`
	Dive           string   `csv:"dive"`
	Start          string   `csv:"start"`
	DurationS      csvFloat `csv:"duration_s"`
	MaxDepthM      csvFloat `csv:"max_depth_m"`
	Warnings       csvCount `csv:"warnings"`
	Cautions       csvCount `csv:"cautions"`
	Notes          csvCount `csv:"notes"`
	CNSPercent     csvFloat `csv:"cns_percent"`
	CNSLowerBound  csvFlag  `csv:"cns_is_lower_bound"`
	OTU            csvFloat `csv:"otu"`
	ChecksRun      csvCount `csv:"checks_run"`
	ChecksTotal    csvCount `csv:"checks_total"`
	TimeAssessable csvFloat `csv:"time_assessable_fraction"`
	Error          string   `csv:"error"`
}

// csvFloat is a number of the index; empty where it is not known. gocsv would
// otherwise write NaN, and cannot tell an absent number from 0.
type csvFloat analysis.Float

// MarshalCSV writes the number or nothing.
func (f csvFloat) MarshalCSV() (string, error) {
	if !analysis.Float(f).Known() {
		return "", nil
	}
	return string(appendFixed(nil, float64(f), 3)), nil
}

// csvCount is a count; nil where nothing was counted, which is not 0.
type csvCount *int

// csvFlag is yes or no; nil where not known.
type csvFlag *bool

func count(n int) csvCount { return &n }

// row flattens an entry. All of it is empty but the file where the log failed.
func (e IndexEntry) row() indexRow {
	nan := csvFloat(notANumber)
	r := indexRow{File: e.File, Page: e.Page, Error: e.Err, DurationS: nan, MaxDepthM: nan, CNSPercent: nan, OTU: nan, TimeAssessable: nan}
	d := e.Debrief
	if d == nil {
		return r
	}
	n, h := countSeverities(d.Findings), d.Exposure.Headline
	r.Dive, r.Start = d.Dive.Name, d.Dive.Start
	r.DurationS, r.MaxDepthM = csvFloat(d.Dive.DurationS), csvFloat(d.Dive.MaxDepthM)
	r.Warnings, r.Cautions, r.Notes = count(n[analysis.Warning]), count(n[analysis.Caution]), count(n[analysis.Note])
	r.CNSPercent, r.OTU, r.CNSLowerBound = csvFloat(h.CNSPercent), csvFloat(h.OTU), &h.IsLowerBound
	r.ChecksRun, r.ChecksTotal = count(d.Assessable.ChecksRun), count(d.Assessable.ChecksTotal)
	r.TimeAssessable = csvFloat(d.Assessable.TimeFraction)
	return r
}

// WriteIndexCSV writes one typed row per log. A text that a spreadsheet would
// take for a formula (it begins with =, +, @ or a tab) gets an apostrophe
// before it, because dive names and file names come from outside.
func WriteIndexCSV(w io.Writer, entries []IndexEntry, o Options) error {
	entries = o.entries(entries)
	rows := make([]indexRow, len(entries))
	for i, e := range entries {
		rows[i] = e.row()
		for _, p := range []*string{&rows[i].File, &rows[i].Page, &rows[i].Dive, &rows[i].Start, &rows[i].Error} {
			*p = noFormula(*p)
		}
	}
	if err := gocsv.Marshal(rows, w); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

func noFormula(s string) string {
	if s != "" && strings.ContainsRune("=+@\t\r", rune(s[0])) || len(s) > 1 && s[0] == '-' {
		return "'" + s
	}
	return s
}

// indexPage is what the index's template sees.
type indexPage struct {
	Policy  string
	CSS     template.CSS
	Entries []indexLine
	Failed  int
}

// indexLine is one row of the page.
type indexLine struct {
	IndexEntry
	Duration, Depth, CNS, Assessed string
	Warnings, Cautions, Notes      int
}

// WriteIndex writes a page with one row per log, in the order given. A log that
// could not be read has a row too, with the error that stopped it.
func WriteIndex(w io.Writer, entries []IndexEntry, o Options) error {
	entries = o.entries(entries)
	p := indexPage{Policy: indexPolicy(), CSS: template.CSS(styles())}
	for _, e := range entries {
		p.Entries = append(p.Entries, e.line())
		if e.Debrief == nil {
			p.Failed++
		}
	}
	out := bufio.NewWriter(w)
	if err := templates().ExecuteTemplate(out, "index.html", p); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return out.Flush()
}

func (e IndexEntry) line() indexLine {
	l := indexLine{IndexEntry: e}
	d := e.Debrief
	if d == nil {
		return l
	}
	n, h := countSeverities(d.Findings), d.Exposure.Headline
	l.Duration, l.Depth = duration(d.Dive.DurationS), atLeast(d)+fixed(d.Dive.MaxDepthM, 1)
	l.Warnings, l.Cautions, l.Notes = n[analysis.Warning], n[analysis.Caution], n[analysis.Note]
	l.CNS = cnsText(h.CNSPercent, h.IsLowerBound)
	l.Assessed = fmt.Sprintf("%d of %d checks, %s of the time", d.Assessable.ChecksRun, d.Assessable.ChecksTotal, share(d.Assessable.TimeFraction))
	return l
}
