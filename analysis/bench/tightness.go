package bench

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/tightness"
	"afterloop/ingest"
	"afterloop/ingest/benchlog"
)

// TightnessSchema names the version of the JSON form of a [TightnessReport].
const TightnessSchema = "afterloop/bench-tightness/1"

// Method says what the figures of a tightness test rest on, and what they don't.
const Method = "The rate is a Theil-Sen line through the judged time (a line that single wild readings can't bend), its interval widened for readings that follow one another, " +
	"for the rounding of the gauge and for temperature. As a flow, Q = (V/P + C) dP/dt, and the compliance C of a soft loop can exceed V/P, so that a flow is given only where C is stated or was measured with a known volume. " +
	"For a rigid vessel 40 CFR 1065.644 has n = (V/R)(p2/T2 - p1/T1)/(t2 - t1); its worked example (0.002 m3, 25 300 to 50 600 Pa at 293.15 K in 70 s) gives 2.9657e-4 mol/s, as does this program. " +
	"ASTM E2930-13(2021), the standard practice of the pressure-decay test, asks for a change below 10 % of the start pressure and a resolution 10 times finer than the limit, and \"does not apply to deformable vessels\": it formally excludes a loop with counterlungs."

// TightnessReport is everything that a tightness test tells.
type TightnessReport struct {
	Schema      string                `json:"schema"`
	Tool        analysis.Tool         `json:"tool"`
	Sources     []analysis.Source     `json:"sources"`
	Parameters  tightness.Params      `json:"parameters"`
	Assessable  analysis.Assessable   `json:"assessable"`
	Test        TightnessFacts        `json:"test"`
	Result      TightnessResult       `json:"result"`
	Findings    []analysis.Finding    `json:"findings"`
	Checks      []analysis.Check      `json:"checks"`
	Stretches   []TightnessStretch    `json:"stretches"`
	Problems    []ingest.Problem      `json:"problems"`
	Assumptions []analysis.Assumption `json:"assumptions"`
	Method      string                `json:"method"`
	Series      *TightnessSeries      `json:"-"`
}

// TightnessFacts are the facts of the test.
type TightnessFacts struct {
	Name       string         `json:"name"`
	Tester     string         `json:"tester"`
	Unit       string         `json:"unit"`
	Date       string         `json:"date"`
	Kind       string         `json:"kind"` // positive or negative
	DurationS  analysis.Float `json:"duration_s"`
	AmbientBar analysis.Float `json:"ambient_pressure_bar"`
	StepMbar   analysis.Float `json:"gauge_step_mbar"`
	VolumeL    analysis.Float `json:"loop_volume_l"`
	Temp       bool           `json:"temperature_recorded"`
}

// TightnessResult is the verdict with its figures.
type TightnessResult struct {
	Outcome analysis.Outcome `json:"outcome"` // found, not_found, borderline, not_assessed
	Verdict string           `json:"verdict"`
	// Confidence is empty where nothing was judged.
	Confidence    analysis.Confidence `json:"confidence"`
	RateMbarMin   analysis.Interval   `json:"rate_mbar_min"`
	RawMbarMin    analysis.Interval   `json:"raw_rate_mbar_min"`
	LimitMbarMin  analysis.Float      `json:"limit_mbar_min"`
	LimitFrom     string              `json:"limit_from"`
	LeakLMin      analysis.Interval   `json:"leak_l_min"`
	StorageLMbar  analysis.Interval   `json:"storage_l_mbar"`
	StorageFrom   string              `json:"storage_from"`
	RigidMolS     analysis.Float      `json:"rigid_mol_s"`
	TempKMin      analysis.Interval   `json:"temp_k_min"`
	CertainAfterS analysis.Float      `json:"certain_after_s"`
	JudgedFromS   analysis.Float      `json:"judged_from_s"`
	JudgedToS     analysis.Float      `json:"judged_to_s"`
	JudgedS       analysis.Float      `json:"judged_s"`
	StartMbar     analysis.Float      `json:"start_mbar"`
	EndMbar       analysis.Float      `json:"end_mbar"`
}

// TightnessStretch is a part of the record and what it was taken for.
type TightnessStretch struct {
	FromS       analysis.Float `json:"from_s"`
	ToS         analysis.Float `json:"to_s"`
	Kind        string         `json:"kind"`
	RateMbarMin analysis.Float `json:"rate_mbar_min"`
	MeanMbar    analysis.Float `json:"mean_mbar"`
}

// TightnessSeries is what the page draws.
type TightnessSeries struct {
	TimeS, LoopMbar, TempC []float64
	Events                 []benchlog.Event
}

// Tightness judges a tightness test. A limit in the file beats the default; one
// that was set by the user, which limitSet tells, beats both.
func Tightness(t *benchlog.TightnessTest, p tightness.Params, limitSet bool) *TightnessReport {
	r := &TightnessReport{Schema: TightnessSchema, Tool: analysis.Tool{Name: "afterloop"}, Sources: source(t.Source, len(t.TimeS)), Method: Method,
		Problems: append([]ingest.Problem{}, t.Problems...), Assumptions: []analysis.Assumption{}, Stretches: []TightnessStretch{}}
	limitFrom := "default (ours); the equipment's own procedure states one"
	switch {
	case limitSet:
		limitFrom = "set by the user"
	case !math.IsNaN(t.LimitMbarMin):
		p.LimitMbarMin, limitFrom = t.LimitMbarMin, "stated in the file"
	}
	r.Parameters = p
	in := r.input(t)
	x := tightness.Analyze(in, p)
	for _, s := range x.Stretches {
		r.Stretches = append(r.Stretches, TightnessStretch{f(s.FromS), f(s.ToS), s.Kind, f(s.RateMbarMin), f(s.MeanMbar)})
	}
	r.Result = resultOf(x, p, limitFrom)
	r.Series = &TightnessSeries{t.TimeS, t.LoopMbar, t.TempC, t.Events}
	tightnessChecks(r, x, in, p)
	return r
}

func (r *TightnessReport) assume(id, text string) {
	r.Assumptions = append(r.Assumptions, analysis.Assumption{ID: id, Text: text})
}

func (r *TightnessReport) input(t *benchlog.TightnessTest) tightness.Input {
	in := tightness.Input{TimeS: t.TimeS, LoopMbar: t.LoopMbar, StepMbar: t.LoopStepMbar, AmbientBar: t.AmbientBar, TempC: t.TempC, TempStepK: stepOf(t.TempC),
		ClosedS: math.NaN(), OpenedS: math.NaN(), KnownVolumeL: t.KnownVolumeL, LoopVolumeL: t.LoopVolumeL, ComplianceLMbar: t.ComplianceLMbar}
	for _, e := range t.Events {
		switch e.Kind {
		case "closed":
			in.ClosedS = e.AtS
		case "opened":
			in.OpenedS = e.AtS
		case "disturbed":
			in.DisturbedS = append(in.DisturbedS, e.AtS)
		case "known_volume":
			in.KnownS = append(in.KnownS, e.AtS)
		}
	}
	kind := t.Kind
	if kind == "" {
		kind = "positive"
		if -largest(negative(t.LoopMbar)) < -largest(t.LoopMbar) {
			kind = "negative"
		}
		r.assume("kind", "The file does not state which test it is: "+kind+" was taken, by the sign of the pressure.")
	}
	in.Positive = kind == "positive"
	if t.AmbientAssumed {
		r.assume("ambient", "The pressure of the room is not stated: 1.013 bar was taken. It matters for the temperature correction alone.")
	}
	if t.TempC == nil {
		r.assume("temperature", fmt.Sprintf("No temperature is recorded: a drift of %s K/min either way can't be excluded and widens the interval; 1 K is some 3.5 mbar.", num(tightness.DefaultParams().UnknownTempKMin, 1)))
	}
	if t.ComplianceLMbar != t.ComplianceLMbar && len(in.KnownS) == 0 && t.TempC != nil {
		r.assume("softness", "The loop's compliance is not known: the rate is corrected as for a rigid vessel, and the interval holds the uncorrected rate too.")
	}
	r.Test = TightnessFacts{t.Name, t.Tester, t.Unit, t.Date, kind, f(t.TimeS[len(t.TimeS)-1] - t.TimeS[0]), f(t.AmbientBar[0]), f(t.LoopStepMbar), f(t.LoopVolumeL), t.TempC != nil}
	return in
}

// stepOf is the smallest difference between two different neighbours: the rounding of a slow quantity.
func stepOf(v []float64) float64 {
	step := math.Inf(1)
	for i := 1; i < len(v); i++ {
		if d := math.Abs(v[i] - v[i-1]); d > 1e-6 {
			step = math.Min(step, d)
		}
	}
	if math.IsInf(step, 1) {
		return 0.1 // it never moved: it may have moved by less than one step
	}
	return step
}

func resultOf(x tightness.Result, p tightness.Params, limitFrom string) TightnessResult {
	e := func(v tightness.Estimate, reason string) analysis.Interval {
		return interval(v.Value, v.Low, v.High, reason)
	}
	flow := "the loop's compliance is neither stated nor measured with a known volume"
	if x.Reason != "" {
		flow = x.Reason
	}
	out := TightnessResult{RateMbarMin: e(x.RateMbarMin, x.Reason), RawMbarMin: e(x.RawMbarMin, x.Reason), LimitMbarMin: f(p.LimitMbarMin), LimitFrom: limitFrom,
		LeakLMin: e(x.LeakLMin, flow), StorageLMbar: e(x.StorageLMbar, "neither stated nor measured with a known volume"), StorageFrom: x.StorageFrom, RigidMolS: f(x.RigidMolS),
		TempKMin: e(x.TempKMin, x.Reason), CertainAfterS: f(x.CertainAfterS), JudgedFromS: f(x.FromS), JudgedToS: f(x.ToS), JudgedS: f(x.JudgedS), StartMbar: f(x.StartMbar), EndMbar: f(x.EndMbar)}
	if !x.TempKnown {
		out.TempKMin = analysis.Interval{Value: nanFloat(), Low: out.TempKMin.Low, High: out.TempKMin.High, Reason: "not recorded"}
	}
	return out
}
