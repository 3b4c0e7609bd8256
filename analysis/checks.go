package analysis

import (
	"fmt"
	"regexp"
	"sort"

	"afterloop/analysis/cell"
	"afterloop/analysis/loop"
)

// ConfidenceRule is the written rule by which a finding's confidence is graded.
//
// A finding that states what was recorded (a limit passed, readings that lie
// apart) is graded by the record: sure where the figure that the finding rests
// on is past its limit by more than the rounding step and a second, independent
// series says the same; likely where only one series can tell; possible where
// the series contradict each other or the record is weak there (gaps, coarse
// rounding, a single row).
//
// A finding that names a part (a cell, a valve) is graded by the evidence on
// that part: sure needs at least two independent lines of evidence that exclude
// the alternatives; likely one strong line; possible where another explanation
// stands. Agreement between cells counts as one line, however many they are.
const ConfidenceRule = "sure: past the limit by more than the rounding step, and a second independent line says the same; " +
	"likely: one line of evidence; possible: the lines contradict each other, another explanation stands, or the record is weak there. " +
	"Cells that agree count as one line, however many they are."

// check is one question put to the log.
type check struct {
	id      string
	version int
	title   string
	looks   string
	run     func(*bench) verdict
}

// verdict is how a check ended, with its findings.
type verdict struct {
	outcome  Outcome
	reason   string
	fraction float64 // share of the recorded time that could be assessed
	findings []Finding
}

// checks is the registry: a new check is one function and one line here.
func checks() []check {
	return []check{
		{"recording-gaps", 1, "Gaps in the record", "stretches without rows", checkGaps},
		{"recording-clock", 1, "Clock of the record", "time that stands still, runs backwards or jumps", checkClock},
		{"recording-complete", 1, "Record complete", "a cut-off file, a record that starts or ends under water, lines that could not be used", checkComplete},
		{"recording-resolution", 1, "Resolution of the record", "rounding or intervals too coarse for the other checks", checkResolution},
		{"readings-missing", 1, "Missing readings", "cells without readings, readings at the display's limit", checkMissing},
		{"surface-pressure", 2, "Surface pressure", "pressure measured at the surface that contradicts the one in use, or drifts", checkSurfacePressure},
		{"open-circuit", 1, "Off the loop", "times on open circuit", checkOpenCircuit},
		{"low-oxygen", 1, "Low oxygen", "PO2 too low to breathe", checkLowOxygen},
		{"high-oxygen", 1, "High oxygen", "PO2 above the usual limits", checkHighOxygen},
		{"cells-disagree", 1, "Cells disagree", "readings that lie apart", checkCellsDisagree},
		{"reading-above-ambient", 1, "Impossible readings", "readings above ambient pressure", checkAboveAmbient},
		{"known-gas", 2, "Known-gas checks", "readings off the value that was known", checkKnownGas},
		{"vote-undecided", 1, "Vote undecided", "times when voting rules could not choose", checkVoteUndecided},
		{"vote-order", 1, "Vote depends on numbering", "a vote in cell order that another numbering would change", checkVoteOrder},
		{"unit-vote", 1, "The unit's own PO2", "a recorded PO2 that the recorded cells do not explain", checkUnitVote},
		{"slow-cell", 2, "Slow cell", "a cell that takes long to 90 % of a step", faultCheck(cell.Slow)},
		{"current-limited-cell", 2, "Current-limited cell", "a cell that follows up to a ceiling and not above", faultCheck(cell.Limited)},
		{"miscalibrated-cell", 2, "Miscalibrated cell", "a cell whose gain is off throughout", faultCheck(cell.Miscalibrated)},
		{"drifting-cell", 2, "Drifting cell", "a cell whose gain changes during the dive", faultCheck(cell.Drifting)},
		{"frozen-cell", 2, "Frozen cell", "a cell that stands still while PO2 moves", faultCheck(cell.Frozen)},
		{"erratic-cell", 2, "Erratic cell", "excursions that the other cells do not share", faultCheck(cell.Erratic)},
		{"cells-follow", 1, "Cells follow PO2", "ascents in which no reading follows the pressure", checkFollow},
		{"vote-followed", 1, "The vote and the estimate", "a recorded PO2 outside the estimate's band for long", checkFollowed},
		{"dead-valve", 3, "Dead valve", "commanded openings without response while another valve works", valveCheck(loop.DeadValve)},
		{"leaking-valve", 2, "Oxygen leaking in", "PO2 that rises with all valves shut", valveCheck(loop.LeakingValve)},
		{"oxygen-supply-lost", 2, "Oxygen supply", "a time in which no valve responds", valveCheck(loop.SupplyLost)},
		{"oxygen-balance", 1, "Oxygen balance", "an oxygen cylinder that lost more or less than the valves gave", checkOxygenBalance},
		{"diluent-falls", 1, "Diluent at level", "diluent that falls while the depth stands", checkDiluentFalls},
		{"battery-low", 1, "Battery low", "a battery below the limit given", checkBatteryLow},
		{"battery-sag", 1, "Battery under load", "a battery whose sag grows, that steps down, or after whose sag readings are lost", checkBatterySag},
		{"halves-disagree", 1, "Halves of the electronics", "PO2, depth, pressure or helium on which two halves differ", checkHalves},
		{"half-off", 1, "Both halves recording", "a time under water in which one half recorded nothing and the other did", checkHalfOff},
		{"setpoint-held", 2, "Set point held", "PO2 away from the set point", checkSetPoint},
		{"oscillation", 1, "Oscillation", "PO2 swinging about the set point", checkOscillation},
		{"sluggish", 1, "Sluggish response", "set-point changes that took too long", checkSluggish},
		{"overshoot", 1, "Overshoot", "set-point changes that shot past", checkOvershoot},
		{"cns-single", 1, "CNS, single exposure", "CNS fraction near or past the single-exposure limit", checkCNSSingle},
		{"cns-daily", 1, "CNS, 24 hours", "CNS fraction near or past the 24-hour limit", checkCNSDaily},
		{"otu-daily", 1, "Pulmonary dose", "OTU near or past the limit of one day", checkOTU},
		{"gas-density", 1, "Density of the gas", "gas denser than the published limits", checkGasDensity},
		{"gas-switch", 1, "Changes of gas", "nitrogen that rose at a change of gas at constant depth", checkGasSwitch},
		{"pressure-sensors", 1, "Pressure sensors", "two pressure sensors that disagree, or one at the end of its range", checkPressureSensors},
		{"depth-pressure", 1, "Depth and pressure", "recorded depth and recorded pressure that do not fit", checkDepthPressure},
		{"beyond-table", 1, "Beyond the CNS table", "time at a PO2 for which the table has no row", checkBeyondTable},
	}
}

// runChecks runs the registry, numbers the findings and orders them by consequence.
func runChecks(b *bench) {
	d := b.debrief
	for _, c := range checks() {
		v := c.run(b)
		d.Checks = append(d.Checks, Check{ID: c.id, Version: c.version, Title: c.title, Looks: c.looks,
			Outcome: v.outcome, Reason: v.reason, AssessableFraction: Float(v.fraction)})
		for i := range v.findings {
			f := v.findings[i]
			f.Check, f.CheckVersion = c.id, c.version
			d.Findings = append(d.Findings, complete(b.within(f)))
		}
	}
	sortFindings(d.Findings)
	number(d.Findings)
	b.debrief.Assessable.ChecksRun, b.debrief.Assessable.ChecksTotal = countChecks(d.Checks)
}

// within is f with its times inside of the record: an onset that was extrapolated
// may lie before the first row, and the last row holds no longer than the record.
func (b *bench) within(f Finding) Finding {
	first, last := Float(b.tS[0]), Float(b.tS[len(b.tS)-1])
	f.FromS, f.ToS = min(max(f.FromS, first), last), min(max(f.ToS, first), last)
	return f
}

// countChecks counts the checks that ran, and those that could have.
func countChecks(cs []Check) (run, total int) {
	for _, c := range cs {
		switch c.Outcome {
		case DoesNotApply:
		case NotAssessed:
			total++
		default:
			run++
			total++
		}
	}
	return run, total
}

// rank orders severities and confidences, strongest first.
var (
	severityRank   = map[Severity]int{Warning: 0, Caution: 1, Note: 2}
	confidenceRank = map[Confidence]int{Sure: 0, Likely: 1, Possible: 2}
)

// sortFindings puts the gravest first, then the surest, then the earliest.
func sortFindings(fs []Finding) {
	sort.SliceStable(fs, func(i, j int) bool {
		a, b := &fs[i], &fs[j]
		if x, y := severityRank[a.Severity], severityRank[b.Severity]; x != y {
			return x < y
		}
		if x, y := confidenceRank[a.Confidence], confidenceRank[b.Confidence]; x != y {
			return x < y
		}
		if a.FromS != b.FromS && a.FromS.Known() && b.FromS.Known() {
			return a.FromS < b.FromS
		}
		return a.Kind < b.Kind
	})
}

// number gives each finding an id that is stable for the same log.
func number(fs []Finding) {
	n := map[string]int{}
	for i := range fs {
		n[fs[i].Kind]++
		fs[i].ID = fmt.Sprintf("%s-%d", fs[i].Kind, n[fs[i].Kind])
	}
}

// complete fills what every finding of a kind shares, and makes slices non-nil.
func complete(f Finding) Finding {
	k := kindOf(f.Kind)
	if f.Title == "" {
		f.Title = k.title
	}
	f.Advice = k.advice
	if f.WouldChange == "" {
		f.WouldChange = k.wouldChange
	}
	if f.Alternatives == nil {
		f.Alternatives = append([]string{}, k.alternatives...)
	}
	if f.Cells == nil {
		f.Cells = []int{}
	}
	if f.Evidence == nil {
		f.Evidence = []string{}
	}
	f.Observed, f.Others = printMinus(f.Observed), printMinus(f.Others)
	for i, e := range f.Evidence {
		f.Evidence[i] = printMinus(e)
	}
	return f
}

// printMinus gives the negative figures of a sentence the minus sign that tables
// have. Clock times before zero keep the hyphen, see [wording.Clock].
func printMinus(s string) string { return negative.ReplaceAllString(s, "${1}−$2") }

var negative = regexp.MustCompile(`(^|[ (])-(\d+\.\d)`)

// ran is the verdict of a check that looked at fraction of the time.
func ran(fraction float64, findings ...Finding) verdict {
	v := verdict{outcome: NotFound, fraction: fraction, findings: findings}
	if len(findings) > 0 {
		v.outcome = Found
	}
	return v
}

// notAssessed is the verdict of a check that lacked something.
func notAssessed(reason string) verdict { return verdict{outcome: NotAssessed, reason: reason} }

// doesNotApply is the verdict of a check that makes no sense for this log.
func doesNotApply(reason string) verdict { return verdict{outcome: DoesNotApply, reason: reason} }

// CheckList describes every check that a debrief runs, in order, without a log.
func CheckList() []Check {
	var out []Check
	for _, c := range checks() {
		out = append(out, Check{ID: c.id, Version: c.version, Title: c.title, Looks: c.looks, AssessableFraction: unknown})
	}
	return out
}

// DescribeKind is what all findings of one kind share.
func DescribeKind(name string) (Finding, bool) {
	if _, ok := kinds()[name]; !ok {
		return Finding{}, false
	}
	return complete(Finding{Kind: name}), true
}
