package compare

import (
	"fmt"
	"io"

	"github.com/gocarina/gocsv"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/report"
)

// FigureRow is one figure of one dive in the table. Numbers that are not known
// are empty fields; gocsv would write an absent number and 0 alike.
type FigureRow struct {
	Figure     string  `csv:"figure"`
	Part       string  `csv:"part"`
	Unit       string  `csv:"unit"`
	Dive       string  `csv:"dive"`
	File       string  `csv:"file"`
	Value      Decimal `csv:"value"`
	Low        Decimal `csv:"low"`
	High       Decimal `csv:"high"`
	LowerBound string  `csv:"is_lower_bound"`
	Reason     string  `csv:"why_not_known"`
	Comparable string  `csv:"comparable"`
	Refused    string  `csv:"why_not_comparable"`
	N          int     `csv:"n"`
	Median     Decimal `csv:"median"`
	Quartile1  Decimal `csv:"quartile_1"`
	Quartile3  Decimal `csv:"quartile_3"`
	Min        Decimal `csv:"min"`
	Max        Decimal `csv:"max"`
}

// Decimal is a number with nine digits, or nothing.
type Decimal analysis.Float

// MarshalCSV writes the number or nothing.
func (v Decimal) MarshalCSV() (string, error) {
	if !analysis.Float(v).Known() {
		return "", nil
	}
	return string(analysis.AppendFloat(nil, float64(v))), nil
}

// FigureRows are figures as typed rows: one a figure and dive (or student). labels
// and files are those of the dives, in the order of the values.
func FigureRows(fs []compare.Figure, labels, files []string) []FigureRow {
	rows := []FigureRow{}
	for _, f := range fs {
		for i, v := range f.Values {
			rows = append(rows, FigureRow{f.ID, report.NoFormula(f.Part), f.Unit, labels[i], report.NoFormula(files[i]), Decimal(v.Value), Decimal(v.Low), Decimal(v.High), yes(v.IsLowerBound),
				report.NoFormula(v.Reason), yes(f.Comparable), report.NoFormula(f.Reason), f.N, Decimal(f.Median), Decimal(f.Quartile), Decimal(f.Upper), Decimal(f.Min), Decimal(f.Max)})
		}
	}
	return rows
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// changeRow is one difference between two debriefs of one log.
type changeRow struct {
	What  string `csv:"what"`
	Place string `csv:"place"`
	Old   string `csv:"old"`
	New   string `csv:"new"`
}

// WriteCSV writes the figures as a table; of two debriefs of one log what differs.
func WriteCSV(w io.Writer, c *compare.Comparison) error {
	var err error
	if c.Versions != nil {
		err = gocsv.Marshal(changeRows(c), w)
	} else {
		var labels, files []string
		for _, d := range c.Dives {
			labels, files = append(labels, d.Label), append(files, d.File)
		}
		err = gocsv.Marshal(FigureRows(c.Figures, labels, files), w)
	}
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

func changeRows(c *compare.Comparison) []changeRow {
	rows := []changeRow{}
	add := func(what, place, old, now string) {
		rows = append(rows, changeRow{what, report.NoFormula(place), report.NoFormula(old), report.NoFormula(now)})
	}
	for _, a := range c.Findings.Against {
		for _, l := range []struct {
			what string
			list []compare.Change
		}{{"finding new", a.New}, {"finding gone", a.Gone}, {"finding changed", a.Changed}} {
			for _, x := range l.list {
				add(l.what, named(x.Kind, x.Part), stateWords(x.There), stateWords(x.Here))
			}
		}
	}
	for _, k := range c.Versions.Checks {
		add("check", k.ID, fmt.Sprintf("v%d %s", k.OldVersion, k.OldOutcome), fmt.Sprintf("v%d %s", k.NewVersion, k.NewOutcome))
	}
	for _, p := range c.Versions.Parameters {
		add("parameter", p.Path, p.Old, p.New)
	}
	for _, p := range c.Versions.Figures {
		add("figure", p.Path, p.Old, p.New)
	}
	return rows
}

func named(kind, part string) string {
	if part == "" {
		return kind
	}
	return kind + ": " + part
}

func stateWords(s compare.FindingState) string {
	if s.Count == 0 {
		return compare.OutcomeText(s.Outcome)
	}
	return fmt.Sprintf("%s, %s, %d times, worst %s %s", s.Severity, s.Confidence, s.Count, compare.Significant(s.Worst), s.Unit)
}
