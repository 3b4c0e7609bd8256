package injection

import (
	"fmt"
	"math"
)

// Result is the oxygen side of one dive.
type Result struct {
	// Inferred is true where the log has no valve columns and openings were read
	// off the saw-tooth; InferReason says why none could be.
	Inferred    bool
	InferReason string
	// DelayS is the median delay over all valves, NaN where too few openings stand
	// alone; DelayResolutionS is how well the log can place an opening in time.
	DelayS, DelayResolutionS float64
	ResponseReason           string
	Valves                   []ValveResult
	Bursts                   []Burst
	Turns                    Turns
	Supply                   Supply
	Oxygen                   Oxygen
	Remaining                Remaining
}

// ValveResult is one valve over the dive. Inferred openings belong to valve 0.
type ValveResult struct {
	Valve             int
	Count             int
	CountIsLowerBound bool
	OpenS             float64
	// MeanOpenS is OpenS/Count: an upper bound where Count is a lower one.
	MeanOpenS                         float64
	MedianIntervalS, LongestIntervalS float64
	DelayS, ResponseBar, GainBarPerS  float64
	Responses                         int
	ResponseReason                    string
	TurnsTaken, TurnsMissed           int
	FirstS, LastS                     float64 // of its openings
}

// Burst is one opening, or several that can't be told apart, and what followed.
type Burst struct {
	Valve       int
	AtS         float64 // its middle
	OpenS       float64 // NaN where inferred
	AtLeast     int     // openings in it
	ResponseBar float64 // NaN unless it stood alone
	DelayS      float64
	// NeedS is how long the valve had to be open to make good the error at its start
	// and what metabolism takes until the next opening; see [NeedS]. NaN where
	// flow/V is not known, without metabolism where VO2/V is not.
	NeedS float64
}

// Analyse looks at the oxygen side of a dive. See the package's doc for what it
// can and can't find.
func Analyse(in Input, p Params) Result {
	in.check()
	s := newSignal(in)
	r := Result{DelayS: math.NaN(), Supply: supply(in)}
	if len(in.Valves) == 0 {
		r.infer(in, s, p)
		return r
	}
	openings := Openings(in, p)
	resp, delay := responses(in, s, openings, p)
	r.DelayS, r.DelayResolutionS = delay, resolution(openings)
	r.Turns = CountTurns(in, openings, p)
	r.valves(in, openings, resp, p)
	r.Oxygen = balance(in, s, newLedger(in, s, openings, p), gainsByValve(in, openings, resp), p)
	r.Remaining = MinutesToHypoxia(in, s.poBar, r.Oxygen.VO2PerVolume, p)
	r.bursts(in, s, openings, resp, p)
	return r
}

// infer fills the result of a log without valve columns.
func (r *Result) infer(in Input, s signal, p Params) {
	f := Infer(in, p)
	r.InferReason, r.Inferred = f.Reason, f.Reason == ""
	none := "the log has no valve columns"
	r.ResponseReason, r.Turns.Reason = none, none
	r.Oxygen.FlowPerVolume, r.Oxygen.Measured = unknownInterval(none), unknownInterval(none)
	r.Oxygen.VO2PerVolume, r.Oxygen.VO2LMin = unknownInterval(none), unknownInterval(none)
	r.Remaining = MinutesToHypoxia(in, s.poBar, r.Oxygen.VO2PerVolume, p)
	if !r.Inferred {
		return
	}
	v := ValveResult{Count: len(f.Openings), CountIsLowerBound: true, OpenS: math.NaN(), MeanOpenS: math.NaN(),
		DelayS: math.NaN(), GainBarPerS: math.NaN(), ResponseReason: "inferred openings have no known length or moment"}
	var rises []float64
	for k, o := range f.Openings {
		rises = append(rises, f.RiseBar[k])
		r.Bursts = append(r.Bursts, Burst{AtS: o.MiddleS(), OpenS: math.NaN(), AtLeast: 1, ResponseBar: f.RiseBar[k], DelayS: math.NaN(), NeedS: math.NaN()})
	}
	v.ResponseBar = median(rises)
	v.times(in, f.Openings)
	r.Valves = []ValveResult{v}
}

// times fills the moments and intervals of a valve's openings.
func (v *ValveResult) times(in Input, openings []Opening) {
	v.FirstS, v.LastS, v.MedianIntervalS, v.LongestIntervalS = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	if len(openings) == 0 {
		return
	}
	v.FirstS, v.LastS = openings[0].FromS, openings[len(openings)-1].ToS
	if iv := startIntervals(in, openings); len(iv) > 0 {
		v.MedianIntervalS = median(iv) // sorts
		v.LongestIntervalS = iv[len(iv)-1]
	}
}

// valves fills the figures of each valve.
func (r *Result) valves(in Input, openings []Opening, resp []*Response, p Params) {
	for k, valve := range in.Valves {
		v := ValveResult{Valve: valve.Number, TurnsTaken: r.Turns.Taken[k], TurnsMissed: r.Turns.Missed[k]}
		var own []Opening
		var delays, rises, gains []float64
		for j, o := range openings {
			if o.Valve != valve.Number {
				continue
			}
			own = append(own, o)
			v.OpenS += o.OpenS
			if resp[j] != nil {
				rises, gains = append(rises, resp[j].RiseBar), append(gains, resp[j].GainBarPerS)
				if d := resp[j].DelayS; !math.IsNaN(d) {
					delays = append(delays, d)
				}
			}
		}
		v.Count, v.CountIsLowerBound = counted(in, valve, own, p)
		v.MeanOpenS = v.OpenS / float64(v.Count) // NaN of none
		v.times(in, own)
		v.Responses = len(rises)
		v.DelayS, v.ResponseBar, v.GainBarPerS = enough(delays, p), enough(rises, p), enough(gains, p)
		v.ResponseReason = responseReason(v, p)
		r.Valves = append(r.Valves, v)
	}
	r.ResponseReason = commonReason(r.Valves)
}

// enough is the median of at least MinResponses values, else NaN.
func enough(v []float64, p Params) float64 {
	if len(v) < p.MinResponses {
		return math.NaN()
	}
	return median(v)
}

// responseReason says why a valve has no response, or nothing.
func responseReason(v ValveResult, p Params) string {
	switch {
	case v.Count == 0:
		return "it was never commanded open"
	case v.Responses >= p.MinResponses:
		return ""
	}
	n := map[int]string{0: "no opening stands", 1: "1 opening stands"}[v.Responses]
	if n == "" {
		n = fmt.Sprintf("%d openings stand", v.Responses)
	}
	return fmt.Sprintf("%s alone long enough, at level, for a response to be told from the next; at least %d are needed", n, p.MinResponses)
}

// commonReason is empty where any valve has a response.
func commonReason(vs []ValveResult) string {
	for _, v := range vs {
		if v.ResponseReason == "" {
			return ""
		}
	}
	return vs[0].ResponseReason
}

// resolution is the median of how far an opening's place in time may be off.
func resolution(openings []Opening) float64 {
	var h []float64
	for _, o := range openings {
		h = append(h, o.ByHalfS)
	}
	return median(h)
}

// gainsByValve collects flow/V from the responses, by valve.
func gainsByValve(in Input, openings []Opening, resp []*Response) [][]float64 {
	index := map[int]int{}
	for k, v := range in.Valves {
		index[v.Number] = k
	}
	out := make([][]float64, len(in.Valves))
	for j, o := range openings {
		if resp[j] != nil && !o.failed {
			k := index[o.Valve]
			out[k] = append(out[k], resp[j].FlowPerVolume)
		}
	}
	return out
}

// bursts lists the openings with their responses and needs.
func (r *Result) bursts(in Input, s signal, openings []Opening, resp []*Response, p Params) {
	for j, o := range openings {
		b := Burst{Valve: o.Valve, AtS: o.MiddleS(), OpenS: o.OpenS, AtLeast: o.AtLeast, ResponseBar: math.NaN(), DelayS: math.NaN()}
		if resp[j] != nil {
			b.ResponseBar, b.DelayS = resp[j].RiseBar, resp[j].DelayS
		}
		meanwhile := p.MeanwhileMaxS
		if j+1 < len(openings) {
			meanwhile = math.Min(meanwhile, openings[j+1].FromS-o.FromS)
		}
		b.NeedS = r.need(in, s, o, meanwhile, p)
		r.Bursts = append(r.Bursts, b)
	}
}

// need is [NeedS] at the row before the opening.
func (r *Result) need(in Input, s signal, o Opening, meanwhileS float64, p Params) float64 {
	i := max(0, o.firstRow-1)
	use := r.Oxygen.VO2PerVolume.Value * in.perMinute(p)
	if math.IsNaN(use) {
		use = 0
	}
	return NeedS(value(in.SetPointBar, i)-s.poBar[i], s.x[i], r.Oxygen.FlowPerVolume.Value, use, meanwhileS)
}

// NeedS is how many seconds a valve has to be open to make good an error of
// errorBar (set point - PO2) and what metabolism takes in meanwhileS, at the
// oxygen fraction x:
//
//	need = error V/((1-x) flow) + VO2 t/flow
//
// never below 0. flowPerVolume is flow/V and usePerS VO2/V, both in bar/s. While
// diluent holds the volume metabolism takes (1-F_dil)/(1-x) times as much; over
// the seconds between two openings the volume gives way instead.
func NeedS(errorBar, x, flowPerVolume, usePerS, meanwhileS float64) float64 {
	need := errorBar/((1-x)*flowPerVolume) + usePerS*meanwhileS/flowPerVolume
	if need < 0 {
		return 0
	}
	return need
}
