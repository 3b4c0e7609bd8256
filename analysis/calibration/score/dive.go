package score

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/scenario"
	"afterloop/ingest"
)

var unknown = Float(math.NaN())

// measure draws a dive, debriefs its log as a file would be, and compares.
func measure(family string, seed uint64, p analysis.Parameters) Log {
	spec, err := scenario.Draw(family, seed)
	if err != nil {
		return failedLog(Log{Family: family, Seed: seed}, err)
	}
	log, truth, err := scenario.Run(spec)
	if err != nil {
		return failedLog(Log{Family: family, Seed: seed, Scenario: scenarioName(spec)}, err)
	}
	l := describe(family, spec, truth)
	d, err := debrief(log, p)
	if err == nil {
		err = sameRows(d, truth)
	}
	if err != nil {
		return failedLog(l, err)
	}
	return judge(l, d, truth)
}

// judge compares a debrief with the truth.
func judge(l Log, d *analysis.Debrief, truth scenario.Truth) Log {
	l.Found = faultFindings(d)
	l.Checks = outcomes(d)
	l.CellsDisagree = hasKind(d, "cells-disagree")
	l.AssessableHours = Float(float64(d.Dive.DurationS) * float64(d.Assessable.TimeFraction) / 3600)
	l.match()
	l.compareCells(d)
	l.Estimate = accuracy(d.Series, truth.Rows)
	l.trySimpleRules(d.Series)
	return l.withSlices()
}

// debrief sends a log through the program as text. A panic is a failure of that
// dive: the others must still be measured, and the failure be seen.
func debrief(log scenario.Log, p analysis.Parameters) (d *analysis.Debrief, err error) {
	defer func() {
		if r := recover(); r != nil {
			d, err = nil, fmt.Errorf("panic: %v", r)
		}
	}()
	var text bytes.Buffer
	if err := log.WriteCSV(&text); err != nil {
		return nil, err
	}
	dive, err := ingest.Read(&text, "simulated.csv", ingest.Options{})
	if err != nil {
		return nil, err
	}
	return analysis.Analyze(dive, p), nil
}

// sameRows makes sure that the truth belongs to the rows of the debrief.
func sameRows(d *analysis.Debrief, truth scenario.Truth) error {
	if len(d.Series.TimeS) != len(truth.Rows) {
		return fmt.Errorf("%d rows were read of %d", len(d.Series.TimeS), len(truth.Rows))
	}
	for i, r := range truth.Rows {
		if math.Abs(d.Series.TimeS[i]-r.TimeS) > 0.01 {
			return errors.New("the rows that were read are not those that were written")
		}
	}
	return nil
}

// describe is a dive before anything was found: every fault missed.
func describe(family string, spec scenario.Spec, truth scenario.Truth) Log {
	f := truth.Facts
	l := Log{Family: family, Seed: spec.Seed, Scenario: scenarioName(spec), Profile: f.Kind, Cells: f.Cells, SampleS: Float(f.SampleS), Helium: spec.Helium != nil,
		Undecidable: append([]int{}, f.Undecidable...), UndecidableLeak: f.UndecidableLeak}
	end := truth.Rows[len(truth.Rows)-1].TimeS
	for _, t := range f.Faults {
		if t.Kind == scenario.ValveLeak && f.UndecidableLeak {
			continue
		}
		l.Faults = append(l.Faults, missedFault(t, end))
	}
	l.Healthy = len(f.Faults)+len(f.Latent)+len(f.Undecidable) == 0
	return l.withSlices()
}

func missedFault(t scenario.TrueFault, end float64) Fault {
	f := Fault{Kind: findingKind(t.Kind), Cell: t.Cell, Valve: t.Valve, FromS: Float(t.FromS), ToS: Float(end),
		Verdict: Missed, Said: []string{}, OnsetErrorS: unknown, T90Error: unknown, CeilingErrorBar: unknown,
		T90S: t.T90S, CeilingBar: t.CeilingBar}
	if t.ToS != nil {
		f.ToS = Float(*t.ToS)
	}
	return f
}

// scenarioName is the scenario's name within its family: what makes a healthy
// dive hard stands in Hard.
func scenarioName(s scenario.Spec) string {
	if s.Hard != "" {
		return s.Hard
	}
	return s.Name
}

// failedLog keeps what is known of a dive that could not be debriefed.
func failedLog(l Log, err error) Log {
	l.Failed = err.Error()
	l.AssessableHours = 0
	l.Estimate = Accuracy{VoteRMS: unknown, RMS: unknown, ScaledRMS: unknown, Scale: unknown, WidthBar: unknown}
	return l.withSlices()
}
