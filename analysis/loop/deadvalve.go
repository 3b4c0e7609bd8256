package loop

import (
	"fmt"
	"math"
	"slices"
)

// Valves judges the oxygen valves and the supply: dead valves, a lost supply, a
// leak; of each, and of each valve, the plainest stretch. cells is as for
// [Smooth]; po2 is the estimate at the cells, one number in every row.
func Valves(r Record, cells []CellState, po2 []float64, p Params) ValveDiagnosis {
	if len(po2) != r.Rows() {
		panic("loop: lengths differ")
	}
	d := ValveDiagnosis{ResponseBarS: math.NaN()}
	if len(r.Valves) == 0 || r.Rows() < 3 {
		d.Checks = notAssessed(r, "the log has no valve column")
		return d
	}
	if step := r.finestStepBar(); step > p.TooCoarseBar {
		reason := fmt.Sprintf("the readings are rounded to %.3g bar: the response to an opening is no larger", step)
		d.Checks = append(notAssessed(r, reason), ValveCheck{LeakingValve, 0, false, reason})
		return d
	}
	rs := newResponse(r, cells, p)
	w := rs.settle(r, p)
	if !(w.a > 0) {
		d.Checks = notAssessed(r, "no opening with a response that could be judged")
	} else {
		d.ResponseBarS = w.a
		faults, doubt := unresponsive(r, &rs, w, po2, p)
		doubtLate(r, cells, &rs, w, po2, faults, p)
		d.Faults, d.Checks = faults, rs.assessed(r, w, doubt, p)
	}
	leak, check := leaks(r, newBalance(r, &rs, w, po2, p), po2, p)
	d.Faults, d.Checks = append(d.Faults, leak...), append(d.Checks, check)
	return d
}

// settle estimates the usual response and the memory of the scatter, first over
// all, then without the openings that seem to have given nothing.
func (rs *response) settle(r Record, p Params) working {
	w := rs.usual(p)
	if !(w.a > 0) {
		return w
	}
	var mute []ValveFault
	for k, v := range r.Valves {
		from, to, odds := best(rs.odds(w, func(j int) bool { return j == k }))
		if odds > p.LogOddsLikely/3 && openingsIn(v, from, to) >= p.MinOpenings {
			mute = append(mute, ValveFault{Kind: DeadValve, Valve: v.Number, FromS: r.TimeS[from], ToS: r.TimeS[to]})
		}
	}
	quiet := rs.without(r, mute)
	w = quiet.usual(p)
	rs.k = math.Max(rs.k, math.Min(quiet.memory(w, 30), 30/r.UsualStepS()))
	return w
}

// unresponsive finds lost supplies and dead valves. One dead valve may starve
// the loop just as a lost supply does: so a supply is lost only where that still
// holds with the dead valves' openings left out; then what remains of the dive
// is searched for dead valves again.
func unresponsive(r Record, rs *response, w working, po2 []float64, p Params) (faults []ValveFault, doubt string) {
	dead := deadValves(r, rs, w, po2, p)
	lost, doubt := supplyLost(Delivered(r, dead), rs.without(r, dead), w, po2, len(dead) > 0, p)
	if len(lost) == 0 {
		return dead, doubt
	}
	rest := rs.hide(lost)
	return append(lost, deadValves(r, &rest, w, po2, p)...), ""
}

// within tells whether moment t lies in the fault of valve number n.
func within(faults []ValveFault, n int, t float64) bool {
	for _, f := range faults {
		if (f.Valve == n || f.Kind == SupplyLost) && f.Kind != LeakingValve && t >= f.FromS && !(t > f.ToS) {
			return true
		}
	}
	return false
}

// Delivered is the record with the openings left out that delivered nothing:
// those of dead valves and of a lost supply. An estimate made from it does not
// expect oxygen that did not come.
func Delivered(r Record, faults []ValveFault) Record {
	if len(faults) == 0 {
		return r
	}
	valves := make([]Valve, len(r.Valves))
	for k, v := range r.Valves {
		v.OpenS = slices.Clone(v.OpenS)
		for i, t := range r.TimeS {
			if within(faults, v.Number, t) {
				v.OpenS[i] = 0
			}
		}
		valves[k] = v
	}
	r.Valves = valves
	return r
}

// without is the comparison with the templates of dead valves left out.
func (rs *response) without(r Record, dead []ValveFault) *response {
	out := *rs
	out.tmpl = make([][]float64, len(rs.tmpl))
	for k, v := range r.Valves {
		out.tmpl[k] = slices.Clone(rs.tmpl[k])
		for i, t := range r.TimeS {
			if within(dead, v.Number, t) {
				out.tmpl[k][i] = 0
			}
		}
	}
	return &out
}

// hide is the comparison without the stretches of a lost supply.
func (rs *response) hide(lost []ValveFault) response {
	out := *rs
	out.y = slices.Clone(rs.y)
	for i, t := range rs.timeS {
		if within(lost, 0, t) {
			out.y[i] = math.NaN()
		}
	}
	return out
}

// deadValves looks, valve by valve, for a stretch without response while
// another valve works then or later.
func deadValves(r Record, rs *response, w working, po2 []float64, p Params) []ValveFault {
	var out []ValveFault
	blur := rs.blur(p)
	rows := make([][]float64, len(r.Valves)) // by valve: ln of the odds that it alone is dead
	for k := range rows {
		rows[k] = rs.odds(w, func(j int) bool { return j == k })
	}
	for k, v := range r.Valves {
		me := func(j int) bool { return j == k }
		row := rows[k]
		from, to, odds := best(row)
		elsewhere := odds - moment(r, row, from, to, p.OneMomentS)
		odds -= rival(rows, k, from, to)
		if odds < p.LogOddsLikely*blur || elsewhere <= 0 {
			continue
		}
		from, to, end := openEnds(r, me, row, from, to, p)
		n := openingsIn(v, from, to)
		value, low, high := rs.share(w, me, from, to)
		other := otherWorks(rs.silent(k, from, to), w, k, from, to)
		// a response faint but not quite told from half of one is enough for a hint
		blurred := value < p.WorkingShare/2 && high < 1.5*p.WorkingShare
		if len(r.Valves) > 1 { // PO2 that holds is evidence that something comes
			mute := []ValveFault{{Kind: DeadValve, Valve: v.Number, FromS: r.TimeS[from], ToS: end}}
			rest := newBalance(Delivered(r, mute), rs.without(r, mute), w, po2, p)
			other += rest.held(from, to)
		}
		if n < p.MinOpenings || !(high < p.WorkingShare || blurred) || other < p.LogOddsLikely {
			continue
		}
		out = append(out, ValveFault{Kind: DeadValve, Valve: v.Number, FromS: r.TimeS[from], ToS: end, Value: value, Low: low, High: high,
			Unit: shareUnit, Confidence: grade(odds/sq(blur), p, other >= p.LogOddsSure && high < p.WorkingShare), LinesOfEvidence: 2,
			Evidence: []string{
				fmt.Sprintf("%d commanded openings were followed by %.0f %% of the usual response (95 %%: %.0f to %.0f)", n, 100*value, 100*low, 100*high),
				"another valve worked in that time or later"},
			Alternatives: []string{"the valve, its wiring or its own line: the log can't tell which"}})
	}
	return out
}

// rival is the largest ln of the odds that another valve than k is dead in rows
// from..to instead; 0 where none looks so. Where two valves that open in turn look
// alike silent, neither can be named: the rows do not show responses as they should.
func rival(rows [][]float64, k, from, to int) float64 {
	most := 0.0
	for j := range rows {
		if j == k {
			continue
		}
		sum := 0.0
		for i := from; i <= to; i++ {
			sum += rows[j][i]
		}
		most = math.Max(most, sum)
	}
	return most
}

// moment is the most that any stretch of lengthS within rows from..to adds to
// their odds. A dead valve is silent at every opening; where the odds rest on one
// moment alone, something else happened there.
func moment(r Record, odds []float64, from, to int, lengthS float64) float64 {
	most, sum, first := 0.0, 0.0, from
	for i := from; i <= to; i++ {
		sum += odds[i]
		for r.TimeS[i]-r.TimeS[first] > lengthS {
			sum -= odds[first]
			first++
		}
		most = math.Max(most, sum)
	}
	return most
}

// silent is the comparison with valve k taken for dead in rows from..to: what is
// asked of the others must not be blurred by responses that it did not give.
func (rs *response) silent(k, from, to int) *response {
	out := *rs
	out.tmpl = slices.Clone(rs.tmpl)
	out.tmpl[k] = slices.Clone(rs.tmpl[k])
	for i := from; i <= to; i++ {
		out.tmpl[k][i] = 0
	}
	return &out
}

// otherWorks is the ln of the odds that some other valve works in rows from..to
// or later; a valve that looks as dead in those rows is no witness, for then the
// rows do not show responses at all.
func otherWorks(rs *response, w working, k, from, to int) float64 {
	most := math.Inf(-1)
	for j := range rs.tmpl {
		if j == k {
			continue
		}
		then, later := 0.0, 0.0
		for i, v := range rs.odds(w, func(v int) bool { return v == j }) {
			if i >= from && i <= to {
				then -= v
			} else if i > to {
				later -= v
			}
		}
		if then > -1 {
			most = math.Max(most, math.Max(then, then+later))
		}
	}
	return most
}

// openEnds narrows a stretch to the first and last opening in it of the valves
// chosen. The end is NaN where nothing after it shows a response again.
func openEnds(r Record, chosen func(v int) bool, odds []float64, from, to int, p Params) (int, int, float64) {
	first, last := -1, to
	for i := max(0, from-1); i <= to; i++ {
		open := 0.0
		for k, v := range r.Valves {
			if chosen(k) {
				open += orElse(v.OpenS[i], 0)
			}
		}
		if open == 0 {
			continue
		}
		last = i
		if first < 0 {
			first = i
		}
	}
	if first < 0 {
		first = from
	}
	last = max(first, last)
	again := 0.0
	for _, v := range odds[to+1:] {
		again -= v
	}
	if again < p.LogOddsLikely/2 {
		return first, last, math.NaN()
	}
	return first, last, r.TimeS[last]
}

// grade turns ln odds into a confidence: sure needs strong odds and a second,
// independent line of evidence.
func grade(odds float64, p Params, second bool) string {
	switch {
	case odds >= p.LogOddsSure && second:
		return Sure
	case odds >= p.LogOddsLikely && second:
		return Likely
	}
	return Possible
}
