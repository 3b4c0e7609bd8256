package cell

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// group is a set of cells alike in gain.
type group struct {
	cells []int
	mean  float64 // gain on the reference's scale
	score float64 // nats in favour of "these are right"
	known bool    // a witness spoke
}

// judgeGain compares the constant gains. Cells that agree are not thereby right:
// cells of one age fail alike. Each group of cells alike in gain is asked how well
// its being right agrees with the witnesses and with numbers,
//
//	score = (witnesses' log-likelihood of scale 1/mean) + GroupNats (size - 1)
//
// and only a group ahead of the next by DecideNats is believed; the others are
// then miscalibrated. Else the log can't settle it: those off the largest group are
// possible at most, and where no group is largest nobody is named.
func (d *dive) judgeGain(out *Diagnosis, v *verdict) {
	groups := d.groupGains(out, v)
	if len(groups) == 0 {
		return
	}
	ws := d.witnesses(v)
	for i := range groups {
		g := &groups[i]
		g.score = d.p.GroupNats * float64(len(g.cells)-1)
		for _, w := range ws {
			g.known = true
			g.score += w.support(g.mean, d.p.HealthyGainSD)
		}
	}
	slices.SortStableFunc(groups, func(a, b group) int { return compare(b.score, a.score) })
	best := groups[0]
	lead := math.Inf(1)
	if len(groups) > 1 {
		lead = best.score - groups[1].score
	}
	d.scaleGains(out, v, best, ws)
	if len(groups) == 1 {
		return
	}
	d.nameGains(out, v, groups, ws, lead)
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// groupGains sorts the cells by gain and cuts where neighbours lie further apart
// than GainAlike, so that numbering does not matter. Cells without a gain are left out.
func (d *dive) groupGains(out *Diagnosis, v *verdict) []group {
	var order []int
	for i := range d.y {
		if i == v.ref || (len(v.pairs[i].y) > 0 && v.pairs[i].effective() >= d.p.MinEffective) {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int { return compare(v.gain[a], v.gain[b]) })
	var out2 []group
	for _, i := range order {
		n := len(out2)
		if n == 0 || v.gain[i]/v.gain[last(out2[n-1].cells)] > 1+d.p.GainAlike {
			out2 = append(out2, group{})
			n++
		}
		out2[n-1].cells = append(out2[n-1].cells, i)
	}
	for g := range out2 {
		for _, i := range out2[g].cells {
			out2[g].mean += v.gain[i] / float64(len(out2[g].cells))
		}
	}
	return out2
}

func last(x []int) int { return x[len(x)-1] }

// scaleGains writes the cells' gains relative to the group believed, absolute
// where a witness spoke.
func (d *dive) scaleGains(out *Diagnosis, v *verdict, best group, ws []witness) {
	for i := range d.y {
		if !out.Cells[i].Gain.Known() && i != v.ref {
			continue
		}
		g, se := v.gain[i]/best.mean, math.Max(v.fits[i].gainSE/best.mean, 0.002)
		out.Cells[i].Gain = Interval{Value: g, Low: g - 2*se, High: g + 2*se, Reason: "relative to the other cells; a gain that all share shows in no difference"}
		if scale, sd, ok := together(ws); ok {
			g, se = v.gain[i]*scale, math.Hypot(se, v.gain[i]*sd)
			out.Cells[i].Gain = Interval{Value: g, Low: g - 2*se, High: g + 2*se}
		} else if len(d.y) == 1 { // held against itself it is 1, whatever the cell does
			out.Cells[i].Gain = unknown("no other cell to compare it with")
		}
	}
}

// nameGains names those that differ, or records that it is undecided.
func (d *dive) nameGains(out *Diagnosis, v *verdict, groups []group, ws []witness, lead float64) {
	best := groups[0]
	decided := lead >= d.p.DecideNats
	var odd []int
	for _, g := range groups[1:] {
		for _, i := range g.cells {
			ratio := v.gain[i] / best.mean
			se := math.Max(v.fits[i].gainSE, 0.003)
			if math.Abs(math.Log(ratio)) <= math.Log1p(d.p.GainOff)-0.5*se {
				continue
			}
			odd = append(odd, d.CellNumber[i])
			if decided || len(best.cells) > len(g.cells) || best.known {
				d.addGain(out, v, i, best, ws, lead, decided)
			}
		}
	}
	if len(odd) > 0 && !(decided && best.known) {
		out.Undecided = append(out.Undecided, Disagreement{Cells: d.numbers(best.cells), Odd: odd,
			Ratio: meanGain(v, odd, d.CellNumber) / best.mean, FromS: d.TimeS[0], Settled: decided, Reason: undecidedReason(ws)})
	}
}

func meanGain(v *verdict, cells []int, numbers []int) float64 {
	sum := 0.0
	for _, c := range cells {
		sum += v.gain[slices.Index(numbers, c)] / float64(len(cells))
	}
	return sum
}

func undecidedReason(ws []witness) string {
	if len(ws) == 0 {
		return "no calibration, helium or other witness that bounds PO2 from both sides tells which are right: cells that agree are not thereby right"
	}
	return "the witnesses fit either: " + ws[0].text
}

func (d *dive) numbers(cells []int) []int {
	var out []int
	for _, i := range cells {
		out = append(out, d.CellNumber[i])
	}
	slices.Sort(out)
	return out
}

func (d *dive) addGain(out *Diagnosis, v *verdict, i int, best group, ws []witness, lead float64, decided bool) {
	ratio := v.gain[i] / best.mean
	se := math.Hypot(math.Max(v.fits[i].gainSE, 0.003), d.p.HealthyGainSD/math.Sqrt(float64(len(best.cells))))
	f := Fault{Kind: Miscalibrated, Onset: unknown("from the start"), Cell: d.CellNumber[i], FromS: d.TimeS[0], ToS: math.NaN(),
		Value: ratio, Low: ratio - 2*se, High: ratio + 2*se, Unit: "1", Confidence: Possible, LinesOfEvidence: 1,
		Evidence: []string{fmt.Sprintf("reads %.3f times what %s, all the time", ratio, whoReads(d.numbers(best.cells)))}}
	firm := false
	for _, w := range ws {
		if w.support(best.mean, d.p.HealthyGainSD)-w.support(v.gain[i], d.p.HealthyGainSD) > 1 {
			firm = firm || w.firm
			f.LinesOfEvidence++
			f.Evidence = append(f.Evidence, w.text)
		}
	}
	clear := f.Low > 1+d.p.GainOff || f.High < 1-d.p.GainOff
	misfit := 0.0
	if q := &v.pairs[i]; len(q.y) > 0 {
		misfit = q.misfit(v.fits[i])
	}
	switch {
	case misfit > d.p.MisfitNats:
		f.Alternatives = append(f.Alternatives, "something else: a constant gain does not fit it")
	case decided && best.known && firm && f.LinesOfEvidence >= 2 && lead >= d.p.SureGainNats && clear:
		f.Confidence = Sure
	case decided:
		f.Confidence = Likely
		if best.known && !firm {
			f.Alternatives = append(f.Alternatives, "the helium sensor is off: the log states no sigma for it")
		}
	default:
		f.Alternatives = append(f.Alternatives, "the others are wrong together")
	}
	if faultOf(out, f.Cell, Drifting) || faultOf(out, f.Cell, Limited) { // one kind for each part and time
		return
	}
	out.Faults = append(out.Faults, f)
}

func faultOf(out *Diagnosis, cell int, k Kind) bool {
	for _, f := range out.Faults {
		if f.Cell == cell && f.Kind == k && !f.Borderline {
			return true
		}
	}
	return false
}

// whoReads is "cell 2 reads" or "cells 2, 4 read".
func whoReads(numbers []int) string {
	w := make([]string, len(numbers))
	for i, n := range numbers {
		w[i] = strconv.Itoa(n)
	}
	if len(w) == 1 {
		return "cell " + w[0] + " reads"
	}
	return "cells " + strings.Join(w, ", ") + " read"
}
