package score

import (
	"encoding/json"
	"fmt"
	"io"

	"afterloop/analysis/calibration"
)

// Table takes the headline out of a result. set says which dives these were:
// calibration.Development or calibration.Sealed.
func (r Result) Table(set string) calibration.Table {
	t := calibration.Table{Schema: calibration.SchemaID, Note: calibration.Note, Set: set, Version: r.Tool.Version, Checks: r.Checks, Families: []calibration.Family{}}
	for _, f := range r.Families {
		t.Families = append(t.Families, f.headline())
	}
	return t
}

// WriteTable writes the table in the form in which it is committed.
func (r Result) WriteTable(w io.Writer, set string) error {
	t := r.Table(set)
	if err := t.Check(); err != nil {
		return err
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(t); err != nil {
		return fmt.Errorf("score: writing the table: %w", err)
	}
	return nil
}

func (f Family) headline() calibration.Family {
	a, e := f.FalseAlarms, f.Estimate
	out := calibration.Family{
		Family: f.Family, FirstSeed: f.FirstSeed, Dives: f.Dives, Failed: f.Failed, Faults: f.All.Faults,
		RightPart: tableRate(f.All.RightPart), RightKind: tableRate(f.All.RightKind), UndecidableTold: tableRate(f.Undecidable.Gains), UndecidableSettled: f.Undecidable.Settled,
		FalseAlarms: tableCount(a.All), HealthyFalseAlarms: tableCount(a.Healthy), HealthyClean: tableRate(a.HealthyClean),
		MisIsolated: a.MisIsolated, SureAndWrong: a.SureAndWrong, Grades: []calibration.Grade{},
		OnsetErrorMedianS: figure(f.All.OnsetErrorS.Median), T90ErrorMedian: figure(f.T90Error.Median), CeilingErrorMedianBar: figure(f.CeilingErrorBar.Median),
		EstimateRMSMedianBar: figure(e.RMSBar.Median), EstimateRMSWorstBar: figure(e.RMSBar.Worst), RatioMedian: figure(e.Ratio.Median),
		Coverage: figure(e.Coverage.Mean), CoverageLow: figure(e.Coverage.Low), CoverageHigh: figure(e.Coverage.High), WidthBar: figure(e.WidthBar),
	}
	for _, g := range f.Grades {
		out.Grades = append(out.Grades, calibration.Grade{Confidence: g.Confidence, Rate: tableRate(g.Rate)})
	}
	return out
}

func figure(v Float) calibration.Figure { return calibration.Figure(v).Rounded() }

func tableRate(r Rate) calibration.Rate {
	return calibration.Rate{Right: r.Right, Of: r.Of, Low: figure(r.Low), High: figure(r.High)}
}

func tableCount(c Count) calibration.Count {
	return calibration.Count{Count: c.Count, Per: figure(c.Per), Rate: figure(c.Rate), High: figure(c.High)}
}
