package days

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/gocarina/gocsv"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/report"
)

// The typed rows of the tables. What is not known is an empty field: a plain
// number would become 0.

type diveRow struct {
	Dive         int    `csv:"dive"`
	File         string `csv:"file"`
	SHA256       string `csv:"sha256"`
	Name         string `csv:"name"`
	From         string `csv:"from"`
	To           string `csv:"to"`
	DurationS    number `csv:"duration_s"`
	SurfaceS     number `csv:"surface_interval_s"`
	Source       string `csv:"source"`
	CNS          number `csv:"cns_percent"`
	CNSLow       number `csv:"cns_low_percent"`
	CNSHigh      number `csv:"cns_high_percent"`
	CNSBefore    number `csv:"cns_before_percent"`
	CNSAfter     number `csv:"cns_after_percent"`
	Worst24h     number `csv:"worst_24h_percent"`
	OTU          number `csv:"otu"`
	OTULow       number `csv:"otu_low"`
	OTUHigh      number `csv:"otu_high"`
	AboveTableS  number `csv:"seconds_above_table"`
	IsLowerBound bool   `csv:"is_lower_bound"`
	Days         string `csv:"local_days"`
}

type dayRow struct {
	Date          string `csv:"local_day"`
	Offsets       string `csv:"offsets"`
	Dives         string `csv:"dives"`
	Run           int    `csv:"run"`
	DayOfRun      int    `csv:"day_of_run"`
	OTU           number `csv:"otu"`
	OTULow        number `csv:"otu_low"`
	OTUHigh       number `csv:"otu_high"`
	LimitOTU      number `csv:"limit_otu"`
	LimitVerified bool   `csv:"limit_verified"`
	RunOTU        number `csv:"run_otu"`
	RunLimitOTU   number `csv:"run_limit_otu"`
	Worst24h      number `csv:"worst_24h_percent"`
	IsLowerBound  bool   `csv:"is_lower_bound"`
	ESOT          number `csv:"esot"`
	ESOTLimit     number `csv:"esot_limit"`
}

// number is a figure, or nothing.
type number struct{ v analysis.Float }

// MarshalCSV writes nine significant digits, or an empty field.
func (n number) MarshalCSV() (string, error) {
	if !n.v.Known() {
		return "", nil
	}
	return string(analysis.AppendFloat(nil, float64(n.v))), nil
}

// WriteDiveTable writes one row a dive as CSV.
func WriteDiveTable(w io.Writer, r *days.Report) error {
	rows := []diveRow{}
	for _, d := range r.Dives {
		rows = append(rows, diveRow{d.Number, report.NoFormula(d.File), d.SHA256, report.NoFormula(d.Name), d.From, d.To, number{d.DurationS}, number{d.SurfaceIntervalS}, d.Source,
			number{d.CNSPercent.Value}, number{d.CNSPercent.Low}, number{d.CNSPercent.High}, number{d.CNSBeforePercent.Value}, number{d.CNSAfterPercent.Value}, number{d.Worst24hPercent},
			number{d.OTU.Value}, number{d.OTU.Low}, number{d.OTU.High}, number{d.AboveTableS}, d.CNSPercent.IsLowerBound, strings.Join(d.Days, " ")})
	}
	return table(w, rows)
}

// WriteDayTable writes one row a local day as CSV.
func WriteDayTable(w io.Writer, r *days.Report) error {
	rows := []dayRow{}
	for _, d := range r.Days {
		row := dayRow{d.Date, offsets(d.Offsets), strings.Trim(fmt.Sprint(d.Dives), "[]"), d.Run, d.DayOfRun, number{d.OTU.Value}, number{d.OTU.Low}, number{d.OTU.High}, number{d.LimitOTU}, d.LimitVerified,
			number{d.RunOTU.Value}, number{d.RunLimitOTU}, number{d.Worst24hPercent}, d.OTU.IsLowerBound, number{unknown}, number{unknown}}
		if d.ESOT != nil {
			row.ESOT, row.ESOTLimit = number{d.ESOT.Value}, number{d.ESOT.Limit}
		}
		rows = append(rows, row)
	}
	return table(w, rows)
}

// offsets are written with their UTC, so that no program takes one for a formula.
func offsets(list []string) string {
	out := []string{}
	for _, o := range list {
		out = append(out, "UTC"+o)
	}
	return strings.Join(out, " ")
}

func table[T any](w io.Writer, rows []T) error {
	if err := gocsv.Marshal(rows, w); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

var unknown = analysis.Float(math.NaN())
