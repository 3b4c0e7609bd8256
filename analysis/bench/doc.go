// Package bench answers what a test on the bench showed: it gives the recorded
// tests of package ingest/benchlog to the parts that know the physics (linearity,
// tightness) and puts their figures into checks, outcomes and findings of the
// same anatomy as a debrief's.
//
// The JSON forms of [CellReport] and [TightnessReport] are published contracts,
// which the cell register imports.
package bench

import (
	"math"
	"strconv"

	"afterloop/analysis"
	"afterloop/ingest"
)

// Safety is said near the top of every report of a bench test.
const Safety = "This is a record of what instruments said at a test on the bench. It clears no equipment for use and no person to dive. " +
	"A suspect cell is replaced and tested by the equipment's own procedure. Local rules and the training held come first. After an incident keep the unit and the original records untouched."

// OxygenCaution is said wherever oxygen is handled under pressure.
const OxygenCaution = "Oxygen under pressure: compressed oxygen makes grease, dust and many plastics burn at once. Only parts that are oxygen-clean and compatible with oxygen, " +
	"a pot that is rated for the pressure and has a relief valve, valves opened and pressure raised slowly, no source of ignition, good ventilation, eyes protected. " +
	"The procedure of the equipment and of the pot comes first; this program sets no pressure and replaces no training."

// f makes a figure of a number.
func f(v float64) analysis.Float { return analysis.Float(v) }

func interval(value, low, high float64, reason string) analysis.Interval {
	if !math.IsNaN(value) {
		reason = ""
	}
	return analysis.Interval{Value: f(value), Low: f(low), High: f(high), Reason: reason}
}

func nanFloat() analysis.Float { return analysis.Float(math.NaN()) }

// value is a figure without a moment.
func value(v float64, unit string) analysis.Value {
	return analysis.Value{Value: f(v), Unit: unit, AtS: nanFloat()}
}

// source is the file in the form of the debrief.
func source(s ingest.Source, rows int) []analysis.Source {
	return []analysis.Source{{File: s.File, SHA256: s.SHA256, Bytes: s.Bytes, Rows: rows, FormatVersion: s.FormatVersion, Truncated: s.Truncated, Columns: []analysis.SourceColumn{}}}
}

// num prints a figure with n decimals in sentences.
func num(v float64, n int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not known"
	}
	s := strconv.FormatFloat(v, 'f', n, 64)
	if s == "-"+strconv.FormatFloat(0, 'f', n, 64) {
		s = s[1:]
	}
	return s
}

// grave orders outcomes: what a check of several cells ends in is the gravest.
var grave = map[analysis.Outcome]int{analysis.DoesNotApply: 0, analysis.NotFound: 1, analysis.NotAssessed: 2, analysis.Borderline: 3, analysis.Found: 4}

// verdict is one part's answer to one check.
type verdict struct {
	outcome analysis.Outcome
	reason  string
	finding *analysis.Finding
}

func ok(reason string) verdict { return verdict{analysis.NotFound, reason, nil} }
func notAssessed(reason string) verdict {
	return verdict{analysis.NotAssessed, reason, nil}
}
func found(o analysis.Outcome, reason string, x analysis.Finding) verdict {
	return verdict{o, reason, &x}
}

// assessable counts the checks that ran.
func assessable(cs []analysis.Check, timeFraction float64) analysis.Assessable {
	a := analysis.Assessable{TimeFraction: f(timeFraction)}
	for _, c := range cs {
		if c.Outcome != analysis.DoesNotApply {
			a.ChecksTotal++
			if c.Outcome != analysis.NotAssessed {
				a.ChecksRun++
			}
		}
	}
	return a
}

// complete fills what a finding of a kind shares, and numbers it.
func complete(fs []analysis.Finding) []analysis.Finding {
	out, n := []analysis.Finding{}, map[string]int{}
	for _, severity := range []analysis.Severity{analysis.Warning, analysis.Caution, analysis.Note} {
		for _, x := range fs {
			if x.Severity != severity {
				continue
			}
			n[x.Kind]++
			x.ID = x.Kind + "-" + strconv.Itoa(n[x.Kind])
			x.CheckVersion = 1
			k := kinds[x.Kind]
			x.Title, x.WouldChange, x.Advice = k.title, k.wouldChange, k.advice
			x.Alternatives = append([]string{}, k.alternatives...)
			if x.Cells == nil {
				x.Cells = []int{}
			}
			if x.Evidence == nil {
				x.Evidence = []string{}
			}
			out = append(out, x)
		}
	}
	return out
}
