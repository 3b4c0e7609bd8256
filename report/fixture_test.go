package report

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

var nan = math.NaN()

// dive describes the invented dive that the tests render.
type dive struct {
	rows, cells, valves int
	stepS, firstS       float64
}

// small is small enough for golden files.
var small = dive{rows: 24, cells: 3, valves: 1, stepS: 60, firstS: 100}

// hour is an ordinary log: an hour and a bit at one row per second.
var hour = dive{rows: 4200, cells: 3, valves: 2, stepS: 1}

// jitter is noise that is the same everywhere: no generator with a state.
func jitter(i, k int) float64 {
	x := math.Sin(float64(i)*12.9898+float64(k)*78.233) * 43758.5453
	return x - math.Floor(x) - 0.5
}

// depthAt is an invented profile: down, a level, up with stops.
func depthAt(u float64) float64 {
	switch {
	case u < 0.02 || u > 0.985:
		return 0
	case u < 0.12:
		return 42 * (u - 0.02) / 0.10
	case u < 0.5:
		return 42 + 3*math.Sin(20*u)
	case u < 0.6:
		return 42 - 33*(u-0.5)/0.1
	case u < 0.75:
		return 9
	case u < 0.78:
		return 9 - 3*(u-0.75)/0.03
	case u < 0.97:
		return 6
	}
	return math.Max(0, 6*(0.985-u)/0.015)
}

// series builds the columns of the dive. Cell 2 lags, cell 3 drops out for a
// while and reads low after a point; there is a gap and a time on open circuit.
func (v dive) series() *analysis.Series {
	s := &analysis.Series{}
	n := v.rows
	for _, p := range []*[]float64{&s.TimeS, &s.DepthM, &s.AmbientBar, &s.SetPointBar, &s.UnitPO2Bar, &s.CNSPercent, &s.OTU,
		&s.EstimateBar, &s.EstimateLowBar, &s.EstimateHighBar, &s.MinutesToHypoxia, &s.TrackingErrorBar} {
		*p = make([]float64, n)
	}
	s.OnLoop, s.GapAfter = make([]bool, n), make([]bool, n)
	for k := 0; k < v.cells; k++ {
		s.Cells = append(s.Cells, analysis.SeriesCell{Number: k + 1, PO2Bar: make([]float64, n), Vote: make([]ingest.UnitVote, n)})
	}
	for k := 0; k < v.valves; k++ {
		s.Valves = append(s.Valves, analysis.SeriesValve{Number: k + 1, OpenS: make([]float64, n)})
	}
	for _, name := range policies() {
		s.Votes = append(s.Votes, analysis.SeriesVote{Policy: name, PO2Bar: make([]float64, n), State: make(analysis.States, n), In: make([]uint64, n)})
	}
	lag := 0.7
	cns, otu := 0.0, 0.0
	for i := 0; i < n; i++ {
		u := float64(i) / float64(n)
		s.TimeS[i] = v.firstS + float64(i)*v.stepS
		if u > 0.4 {
			s.TimeS[i] += 90 * v.stepS // a gap
		}
		s.GapAfter[i] = i+1 < n && float64(i+1)/float64(n) > 0.4 && u <= 0.4
		s.DepthM[i] = math.Round(depthAt(u)*10) / 10
		s.AmbientBar[i] = 1.013 + s.DepthM[i]*0.1005
		s.SetPointBar[i] = 0.7
		if u > 0.12 {
			s.SetPointBar[i] = 1.2
		}
		s.OnLoop[i] = u < 0.62 || u > 0.66
		po2 := math.Min(s.SetPointBar[i]+0.03*math.Sin(40*u*math.Pi)+0.02*jitter(i, 0), s.AmbientBar[i])
		if u > 0.12 && u < 0.15 {
			po2 = 0.7 + (u-0.12)/0.03*0.55
		}
		lag += (po2 - lag) * math.Min(1, v.stepS/40)
		v.row(s, i, u, po2, lag)
		cns += v.stepS / 60 * math.Max(0, po2-0.5) * 0.55
		otu += v.stepS / 60 * math.Pow(math.Max(0, (po2-0.5)/0.5), 5.0/6)
		s.CNSPercent[i], s.OTU[i] = cns, otu
		s.EstimateBar[i], s.EstimateLowBar[i], s.EstimateHighBar[i] = po2, po2-0.04, po2+0.05
		s.MinutesToHypoxia[i] = nan
		if s.OnLoop[i] && s.DepthM[i] > 0 {
			s.MinutesToHypoxia[i] = (po2 - 0.16) * 6.5
			s.TrackingErrorBar[i] = s.UnitPO2Bar[i] - s.SetPointBar[i]
		} else {
			s.TrackingErrorBar[i] = nan
		}
	}
	return s
}

func (v dive) row(s *analysis.Series, i int, u, po2, lag float64) {
	all := uint64(1)<<uint(v.cells) - 1
	for k := range s.Cells {
		read := po2 + 0.015*jitter(i, k+1)
		if k == 1 {
			read = lag
		}
		s.Cells[k].Vote[i] = ingest.VoteIn
		if k == 2 && u > 0.7 {
			read -= 0.3
			s.Cells[k].Vote[i] = ingest.VoteOut
		}
		if k == 2 && u > 0.25 && u < 0.28 {
			read = nan
		}
		s.Cells[k].PO2Bar[i] = math.Round(read*100) / 100
	}
	for k := range s.Valves {
		if i%40 == k*20 && po2 < s.SetPointBar[i] {
			s.Valves[k].OpenS[i] = 0.4 + 0.2*jitter(i, 9)
		}
	}
	s.UnitPO2Bar[i] = math.Round(po2*100) / 100
	for k := range s.Votes {
		s.Votes[k].PO2Bar[i], s.Votes[k].State[i], s.Votes[k].In[i] = po2+0.01*float64(k-3), vote.Agreed, all
		if u > 0.7 && k >= 5 {
			s.Votes[k].PO2Bar[i] -= 0.1
			s.Votes[k].State[i] = vote.Undecided
		}
	}
}

func policies() []string {
	return []string{"mid-value", "mean", "worst-first", "leave-one-out", "closest-pair", "majority", "lowest", "highest"}
}

// debrief is a rich debrief of the dive, with every kind of result.
func (v dive) debrief() *analysis.Debrief {
	s := v.series()
	at := func(u float64) analysis.Float { return analysis.Float(s.TimeS[int(u*float64(v.rows-1))]) }
	cell2, cell3, valve1 := 2, 3, 1
	noF := analysis.Float(nan)
	bar := func(x float64, u float64) analysis.Value {
		return analysis.Value{Value: analysis.Float(x), Unit: "bar", AtS: at(u)}
	}
	d := &analysis.Debrief{
		Schema: analysis.SchemaID, Tool: analysis.Tool{Name: "afterloop", Version: "0.0.0-test"},
		Parameters: analysis.DefaultParameters(), Series: s,
		Sources: []analysis.Source{{File: "lake-3.csv", SHA256: "3f2c9a5be0d14c77a1f0b6c8d2e49a10b7c35d6e8f901a2b3c4d5e6f708192a3", Bytes: 412345, Rows: v.rows, FormatVersion: 1,
			Columns: []analysis.SourceColumn{{Name: "time_s", Meaning: "time, s", Filled: v.rows}, {Name: "wetness", Filled: 12}}}},
		Assessable: analysis.Assessable{ChecksRun: 11, ChecksTotal: 14, TimeFraction: 0.83},
		Findings:   []analysis.Finding{}, Checks: fixtureChecks(), Definitions: fixtureDefinitions(),
	}
	d.Dive = analysis.DiveFacts{Name: "Quiet Lake, third dive", Diver: "Q. R.", Unit: "demo unit B", Start: "2031-05-04T09:12:00Z",
		FirstS: at(0), LastS: at(1), DurationS: at(1) - at(0), SubmergedS: (at(1) - at(0)) * 0.96, MaxDepthM: 45, MeanDepthM: 24.3,
		SampleS: analysis.Float(v.stepS), Cells: v.cells, Valves: v.valves, SurfaceBar: 1.013, SurfaceAssumed: true, DensityKgM3: 1000,
		AmbientFrom: "depth", Diluent: "18/45", OpenCircuitGas: "21/35", LoopVolumeL: 6, OxygenFlowLMin: noF, SetPointsBar: []analysis.Float{0.7, 1.2},
		OnLoopS: (at(1) - at(0)) * 0.95, OpenCircuitS: (at(1) - at(0)) * 0.04,
		Phases: []analysis.Phase{{Kind: "surface", FromS: at(0), ToS: at(.02)}, {Kind: "descent", FromS: at(.02), ToS: at(.12)}, {Kind: "bottom", FromS: at(.12), ToS: at(.5)},
			{Kind: "ascent", FromS: at(.5), ToS: at(.6)}, {Kind: "stop", FromS: at(.6), ToS: at(.75)}, {Kind: "ascent", FromS: at(.75), ToS: at(.78)}, {Kind: "stop", FromS: at(.78), ToS: at(.97)}, {Kind: "surface", FromS: at(.985), ToS: at(1)}}}
	gapFrom := int(0.4 * float64(v.rows))
	gapTo := min(gapFrom+1, v.rows-1)
	d.Recording = analysis.Recording{Gaps: []analysis.Span{{FromS: analysis.Float(s.TimeS[gapFrom]), ToS: analysis.Float(s.TimeS[gapTo])}}, GapS: 90,
		IntervalMinS: analysis.Float(v.stepS), IntervalMedianS: analysis.Float(v.stepS), IntervalMaxS: analysis.Float(v.stepS), CellStepBar: 0.01,
		MissingReadings: make([]int, v.cells), RowsPerReading: slices.Repeat([]int{1}, v.cells), ProblemLines: 3, UnknownColumns: []string{"wetness"},
		Notes:  []analysis.LogNote{{AtS: at(.3), Text: "torch flooded"}},
		Events: []analysis.LogEvent{{AtS: at(.62), Kind: "bailout"}, {AtS: at(.66), Kind: "on_loop"}, {AtS: at(.3), Kind: "diluent_flush"}}, FirstDepthM: 0, LastDepthM: 0}
	d.Findings = []analysis.Finding{
		{ID: "cells-disagree-1", Kind: "cells-disagree", Title: "Cells disagree", Check: "cells-disagree", CheckVersion: 1, Severity: analysis.Warning, Confidence: analysis.Sure,
			WhySure: "past the limit by more than the rounding step; the unit's own vote says the same", Cell: &cell3, Cells: []int{1, 2, 3}, FromS: at(.7), ToS: at(.97),
			Observed: "Cell 3 reads 0.30 bar below cells 1 and 2, which agree within 0.03 bar, from the stop at 9 m to the end of the dive.",
			Onset:    bar(0.28, .7), Worst: bar(0.335, .81), End: bar(0.3, .97), Limit: analysis.Value{Value: 0.2, Unit: "bar", AtS: noF}, LimitSource: "METHODS: largest minus smallest reading, for 30 s; ours",
			Others: "Cells 1 and 2 followed the set point within 0.04 bar.", Evidence: []string{"the unit voted cell 3 out at the same moment", "cell 3 read right at the diluent flush before"},
			Alternatives: []string{"cells 1 and 2 fail alike: they are of one age", "condensation on cell 3 that dries"}, WouldChange: "a diluent flush within the event would tell who was right",
			Advice: analysis.Advice{Diver: "Do not trust the majority for being one. Have all cells tested before the next dive.", Technician: "Test every cell for linearity and response by the equipment's own procedure.", Instructor: "Ask what the student would have believed, and why."}},
		{ID: "slow-cell-1", Kind: "slow-cell", Title: "Slow cell", Check: "slow-cell", CheckVersion: 2, Severity: analysis.Caution, Confidence: analysis.Likely, WhySure: "four usable steps, one line of evidence",
			Cell: &cell2, Cells: []int{2}, FromS: at(0), ToS: at(1), Observed: "Cell 2 needs about 92 s to cover 90 % of a step; the others need 9 s.", Onset: analysis.Value{Value: noF, Unit: "s", AtS: noF},
			Worst: analysis.Value{Value: 92, Unit: "s", AtS: at(.14)}, End: analysis.Value{Value: noF, Unit: "s", AtS: noF}, Limit: analysis.Value{Value: 15, Unit: "s", AtS: noF}, LimitSource: "METHODS: T90; ours",
			Others: "Cells 1 and 3: T90 9 s.", Evidence: []string{"four changes of PO2"}, Alternatives: []string{"water on the membrane"}, WouldChange: "an interval that contains 15 s",
			Advice: analysis.Advice{Diver: "Do not dive the cell.", Technician: "Replace and test.", Instructor: "Show the lag at the change of set point."}},
		{ID: "recording-gap-1", Kind: "recording-gap", Title: "Gap in the record", Check: "recording-gaps", CheckVersion: 1, Severity: analysis.Note, Confidence: analysis.Sure, WhySure: "the times say so", Valve: &valve1,
			Cells: []int{}, FromS: d.Recording.Gaps[0].FromS, ToS: d.Recording.Gaps[0].ToS, Observed: "No rows for 90 s.", Onset: analysis.Value{Value: noF, Unit: "", AtS: noF}, Worst: analysis.Value{Value: 90, Unit: "s", AtS: noF},
			End: analysis.Value{Value: noF, Unit: "", AtS: noF}, Limit: analysis.Value{Value: 30, Unit: "s", AtS: noF}, LimitSource: "FORMAT: a gap is more than 30 s", Evidence: []string{}, Alternatives: []string{}, Advice: analysis.Advice{Diver: "Keep the original file."}},
	}
	fixtureRest(d, v, at)
	return d
}

func fixtureChecks() []analysis.Check {
	return []analysis.Check{
		{ID: "recording-gaps", Version: 1, Title: "Gaps in the record", Looks: "stretches without rows", Outcome: analysis.Found, Reason: "one gap of 90 s", AssessableFraction: 1},
		{ID: "cells-disagree", Version: 1, Title: "Cells disagree", Looks: "readings that lie apart", Outcome: analysis.Found, Reason: "once", AssessableFraction: 0.97},
		{ID: "slow-cell", Version: 2, Title: "Slow cell", Looks: "a reading that follows late", Outcome: analysis.Found, Reason: "cell 2", AssessableFraction: 0.5},
		{ID: "sluggish", Version: 1, Title: "Sluggish response", Looks: "set-point changes that took too long", Outcome: analysis.Borderline, Reason: "settled after 170 s", AssessableFraction: 0.2},
		{ID: "low-oxygen", Version: 1, Title: "Low oxygen", Looks: "PO2 too low to breathe", Outcome: analysis.NotFound, Reason: "lowest 0.66 bar", AssessableFraction: 0.83},
		{ID: "leaking-valve", Version: 1, Title: "Leaking valve", Looks: "a rise with valves shut", Outcome: analysis.NotAssessed, Reason: "no minute with the valves shut and the depth level", AssessableFraction: 0},
		{ID: "loop-helium", Version: 1, Title: "Helium as witness", Looks: "PO2 by helium", Outcome: analysis.DoesNotApply, Reason: "no helium was measured", AssessableFraction: analysis.Float(nan)},
	}
}

func fixtureDefinitions() []analysis.Definition {
	return []analysis.Definition{
		{ID: "cns-step", Name: "CNS, step rule", Unit: "%", Text: "Share of the single-exposure limit used up.", Equation: "CNS = int dt / limit(PO2)", Source: "NOAA Diving Manual"},
		{ID: "otu", Name: "OTU", Unit: "OTU", Text: "Pulmonary dose.", Equation: "OTU = int ((PO2 - 0.5)/0.5)^(5/6) dt", Source: "Clark and Lambertsen 1971 (memory)"},
		{ID: "tracking-error", Name: "Tracking error", Unit: "bar", Text: "PO2 minus set point.", Equation: "e = PO2 - SP", Source: "usual figures of control performance"},
		{ID: "confidence", Name: "Confidence", Text: "sure, likely, possible by a written rule.", Source: "ours"},
		{ID: "assessable", Name: "Assessable", Text: "Checks that could be run of those that apply.", Source: "ours"},
		{ID: "undecided", Name: "Undecided", Unit: "s", Text: "The rule could not choose.", Source: "package vote"},
	}
}

// fixtureRest fills the tables.
func fixtureRest(d *analysis.Debrief, v dive, at func(float64) analysis.Float) {
	noF := analysis.Float(nan)
	none := analysis.Interval{Value: noF, Low: noF, High: noF, Reason: "no usable step"}
	for k := 0; k < v.cells; k++ {
		c := analysis.Cell{Cell: k + 1, Serial: fmt.Sprintf("S-%d04", k+1), Installed: "2031-01-02", Readings: v.rows, MinBar: 0.68, MaxBar: 1.26, StepBar: 0.01,
			MeanFromMedianBar: -0.012, MaxFromMedian: analysis.Value{Value: analysis.Float(-0.1 * float64(k)), Unit: "bar", AtS: at(.8)}, UnitOutS: 0, AtDisplayLimitS: analysis.Float(2 * k), ManualVotes: []analysis.VotedOut{{Cell: k + 1, FromS: at(.2), ToS: at(.21), Reason: "recorded as manual_out"}},
			T90S: analysis.Interval{Value: 9, Low: 7.2, High: 11}, Gain: analysis.Interval{Value: 1.01, Low: 0.98, High: 1.04}, CeilingBar: none, DriftPerH: none, NoiseBar: analysis.Interval{Value: 0.004, Low: 0.003, High: 0.005}}
		if k == 0 {
			c.MV = &analysis.CellMV{CalMV: 48.2, CalPO2Bar: 0.98, MVPerBar: 49.2, MinMV: 10.2, MaxMV: 62.1, LargestDifferenceBar: analysis.Value{Value: 0.02, Unit: "bar", AtS: at(.3)}}
		}
		d.Cells = append(d.Cells, c)
	}
	for k, name := range policies() {
		vt := analysis.Vote{Policy: name, Rule: "One plain sentence that states the rule of " + name + ".", Cells: []int{1, 2, 3}, MeanAbsDifferenceFromUnitBar: analysis.Float(0.01 * float64(k)),
			MaxAbsDifferenceFromUnit: analysis.Value{Value: 0.11, Unit: "bar", AtS: at(.8)}, DiffersFromUnit: []analysis.Span{}, VotedOut: []analysis.VotedOut{}, Undecided: []analysis.Span{}, Reminders: []analysis.Float{},
			KeptFalseS: noF, VotedOutTrueS: noF, MeanAbsDifferenceFromEstimateBar: noF}
		if k >= 2 && k < 5 {
			vt.VotedOut = []analysis.VotedOut{{Cell: 2, FromS: at(.12), ToS: at(.14), Reason: "cell 2 is 0.23 bar from the mean of cells 1 and 3; limit 0.20"}, {Cell: 3, FromS: at(.7), ToS: at(1), Reason: "cell 3 is 0.30 bar from the mean of cells 1 and 2; limit 0.20"}}
			vt.Reminders = []analysis.Float{at(.8)}
		}
		if k == 5 {
			vt.Undecided, vt.UndecidedS = []analysis.Span{{FromS: at(.7), ToS: at(.97)}}, at(.97)-at(.7)
		}
		vt.OrderDependent = name == "leave-one-out"
		d.Votes = append(d.Votes, vt)
	}
	h := d.Dive.DurationS
	d.Exposure = analysis.Exposure{Headline: analysis.ExposureHeadline{Source: "mid-value", CNSPercent: 34.2, Low: 30.1, High: 38.7, IsLowerBound: true, OTU: 52}, OpenCircuitAssessed: true,
		Rule: "Between the rows of the table the next higher row counts.", LimitUnit: "bar",
		BySource: []analysis.ExposureSource{{Source: "unit", CNSPercent: 33.9, CNSLinearPercent: 31, CNS24hPercent: 30, OTU: 51, CNSLowPercent: 30, CNSHighPercent: 38, OTULow: 48, OTUHigh: 55, AssessedS: h},
			{Source: "mid-value", CNSPercent: 34.2, CNSLinearPercent: 31.5, CNSIsLowerBound: true, CNS24hPercent: 30.2, OTU: 52, SecondsAboveTable: 14, CNSLowPercent: 30.1, CNSHighPercent: 38.7, OTULow: 49, OTUHigh: 56, AssessedS: h},
			{Source: "cell3", CNSPercent: 20.3, CNSLinearPercent: 19, CNS24hPercent: 18, OTU: 33, JudgedFalse: true, JudgedBy: "cells-disagree-1", CNSLowPercent: 20, CNSHighPercent: 24, OTULow: 33, OTUHigh: 38, AssessedS: h}},
		MinutesByPO2: []analysis.BandTime{{FromBar: 0.6, ToBar: 0.7, Minutes: 9.4, LimitMin: 570}, {FromBar: 1.1, ToBar: 1.2, Minutes: 31.2, LimitMin: 210}, {FromBar: 1.6, ToBar: noF, Minutes: 0.2, LimitMin: 45}},
		Models: []analysis.ExposureModel{
			{Model: "esot", Title: "Equivalent surface oxygen time", Value: 55.2, Unit: "ESOT", Figures: []analysis.ModelFigure{{Name: "share of a limit", Value: 8.4, Unit: "%"}}, Standing: "partly", InsideFraction: 0.72, ExposedS: h, Range: "from 1.0 to 2.5 bar", FromBar: 1, ToBar: 2.5, IsLowerBound: true, Notes: []string{"From memory."}},
			{Model: "near-1.3", Title: "Detectable near 1.3 bar", Value: noF, Unit: "%", Figures: []analysis.ModelFigure{}, Standing: "outside", InsideFraction: 0.2, ExposedS: h, Range: "about 1.3 bar", FromBar: 1.2, ToBar: 1.4, Verified: true, Notes: []string{}, Reason: "outside the published range"}}}
	d.Tracking = &analysis.Tracking{Source: "unit", AssessedS: h * 0.8, MeanErrorBar: -0.011, MAEBar: 0.031, RMSEBar: 0.052, IAEBarS: 101.3, Within005: 0.91, Within010: 0.993, UnattainableS: 40, OscillationPeriodS: noF,
		ByPhase: []analysis.TrackingPhase{{Phase: "descent", AssessedS: 380, MeanErrorBar: 0.02, MAEBar: 0.06, RMSEBar: 0.07, Within005: 0.4, Within010: 0.8}, {Phase: "bottom", AssessedS: 1500, MeanErrorBar: -0.004, MAEBar: 0.02, RMSEBar: 0.03, Within005: 0.97, Within010: 1}},
		Changes: []analysis.SetPointChange{{AtS: at(.12), FromBar: 0.7, ToBar: 1.2, RiseS: 84, SettledS: 131, OvershootBar: 0.04, Assessed: true}, {AtS: at(.5), FromBar: 1.2, ToBar: 1.3, RiseS: noF, SettledS: noF, OvershootBar: noF, Reason: "depth changed by more than 1 m"}}}
	d.Injection = &analysis.Injection{DelayS: 7, DelayResolutionS: 1, OxygenL: noF, OxygenReason: "the oxygen flow is not stated", VO2LMin: noF, VO2LowLMin: noF, VO2HighLMin: noF,
		VO2PerVolume: analysis.Interval{Value: 0.12, Low: 0.1, High: 0.14}, VO2Reason: "the oxygen flow is not stated", FlowPerVolume: analysis.Interval{Value: noF, Low: noF, High: noF, Reason: "no usable opening"},
		CylinderUsedL: noF, CylinderReason: "no cylinder pressure in the log", TurnsAlternate: true, Valves: []analysis.Valve{}, Bursts: []analysis.Burst{},
		Windows:           []analysis.Balance{{FromS: at(.15), ToS: at(.3), DepthM: 42, OpenS: 6, VO2PerVolume: analysis.Interval{Value: 0.12, Low: 0.1, High: 0.14}, Used: true}},
		ShortestToHypoxia: analysis.Value{Value: 4.1, Unit: "min", AtS: at(.2)}, ShortestLowMin: 3.5, ShortestHighMin: 4.9, HypoxiaBasis: "volume and VO2 per volume of this dive"}
	for k := 0; k < v.valves; k++ {
		d.Injection.Valves = append(d.Injection.Valves, analysis.Valve{Valve: k + 1, Count: 53, CountIsLowerBound: k == 0, OpenS: 24.2, MeanOpenS: 0.46, MedianIntervalS: 40, LongestIntervalS: 380, TurnsTaken: 50, TurnsMissed: 3, DelayS: 7, ResponseBar: 0.021, GainPerOpenS: 0.046, Responses: 41})
	}
	d.Estimate = &analysis.Estimate{Method: "Single-volume model of the loop, smoothed", RMSEBar: 0.006, BandMedianBar: 0.045, Excitations: []string{"descent", "one change of set point"}, T90VisibleS: 4}
	d.KnownGas = []analysis.KnownGas{{Kind: "diluent_flush", AtS: at(.3), ToS: at(.32), ExpectedBar: 0.93, ExpectedLow: 0.92, ExpectedHigh: 0.94, Basis: "0.18 × (5.2 − vapour)", SettleS: 14, Assessed: true,
		Readings: []analysis.KnownGasReading{{Cell: 1, ReadBar: 0.93, ErrorBar: 0, SettleS: 9, Within: true}, {Cell: 2, ReadBar: 0.99, ErrorBar: 0.06, ErrorFraction: 0.06, SettleS: 60}}},
		{Kind: "air_at_surface", AtS: at(0), ToS: at(.01), ExpectedBar: noF, ExpectedLow: noF, ExpectedHigh: noF, SettleS: noF, Reason: "the readings were not steady", Readings: []analysis.KnownGasReading{}}}
	d.Problems = []ingest.Problem{{File: "lake-3.csv", Line: 812, Column: "cell3_po2_bar", Read: "o.99", Treatment: "not recorded", Severity: ingest.Warning, Code: "not-a-number", Want: "a plain decimal", Count: 3}}
	d.Assumptions = []analysis.Assumption{{ID: "surface-pressure", Text: "The log states no surface pressure: 1.013 bar is assumed."}}
}
