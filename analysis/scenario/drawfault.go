package scenario

import (
	"math"
	"slices"
)

func (d *drawing) put(f Fault) { d.Faults = append(d.Faults, f) }

// several draws n different cells, in no order.
func (d *drawing) several(n int) []int {
	p := d.fault.Perm(len(d.Cells))[:n]
	for i := range p {
		p[i]++
	}
	return p
}

func (d *drawing) slow(cell int, lo, hi float64) {
	d.put(Fault{Kind: Slow, Cell: cell, T90S: d.between(lo, hi)})
}

func (d *drawing) slowLate(lo, hi float64) {
	d.put(Fault{Kind: Slow, Cell: d.cell(), T90S: d.between(lo, hi), FromS: d.onset()})
}

// slowPair draws two slow cells of one age: within 5 % of each other.
func (d *drawing) slowPair(lo, hi float64) {
	t90 := d.between(lo, hi)
	for _, cell := range d.several(2) {
		d.put(Fault{Kind: Slow, Cell: cell, T90S: t90 * d.between(0.975, 1.025)})
	}
}

func (d *drawing) allSlow() {
	for k := range d.Cells {
		d.slow(k+1, 25, 46)
	}
}

// ceiling draws one that lies so far under the high set point.
func (d *drawing) ceiling(lo, hi float64) float64 { return d.SetPoint.HighBar - d.between(lo, hi) }

func (d *drawing) limited(cell int, ceilingBar, slope, sink float64) {
	d.put(Fault{Kind: Limited, Cell: cell, CeilingBar: ceilingBar, Slope: slope, SinkBarPerH: sink})
}

func (d *drawing) limitedPair(slopeLo, slopeHi, sinkHi float64) {
	ceilingBar := d.ceiling(0.04, 0.18)
	slope, sink := d.between(slopeLo, slopeHi), d.between(0, sinkHi)
	for _, cell := range d.several(2) {
		d.limited(cell, ceilingBar+d.between(-0.015, 0.015), slope, sink)
	}
}

func (d *drawing) gain(cell int, change float64) {
	d.put(Fault{Kind: Gain, Cell: cell, Gain: 1 + change})
}

// gainPair makes two cells wrong alike: no fault that the log could settle.
func (d *drawing) gainPair() {
	g := 1 + d.sign()*d.between(0.10, 0.13)
	pair := d.several(2)
	for _, cell := range pair {
		d.Cells[cell-1].Gain = g * (1 + 0.002*clamp(d.fault.NormFloat64(), 2))
	}
	slices.Sort(pair)
	d.Expect = Expect{Undecidable: pair, NeedsHelium: true}
}

func (d *drawing) slowAndGain() {
	cells := d.several(2)
	d.slow(cells[0], 28, 50)
	d.gain(cells[1], d.sign()*d.between(0.10, 0.13))
}

func (d *drawing) drift(lo, hi float64) {
	d.put(Fault{Kind: Drift, Cell: d.cell(), Change: d.sign() * d.between(lo, hi), FromS: d.onset()})
}

// frozen stops a cell for so long, 0 for good. A short one lies about the start
// of the ascent, where PO2 moves: without movement nobody could tell.
func (d *drawing) frozen(forS float64) {
	f := Fault{Kind: Frozen, Cell: d.cell(), FromS: d.onset()}
	if forS > 0 {
		f.FromS = math.Round(d.bottomEndS() + d.between(-300, 30))
		f.ToS = f.FromS + forS
	}
	d.put(f)
}

func (d *drawing) erratic(amplitudeBar, lo, hi float64) {
	from := d.onset()
	d.put(Fault{Kind: Erratic, Cell: d.cell(), AmplitudeBar: amplitudeBar, FromS: from, ToS: from + math.Round(d.between(lo, hi))})
}

func (d *drawing) valveDead() {
	d.put(Fault{Kind: ValveDead, Valve: 1 + d.fault.IntN(len(d.Valves)), FromS: d.onset()})
}

func (d *drawing) oxygenOff(lo, hi float64) {
	from := d.onset()
	d.put(Fault{Kind: OxygenOff, FromS: from, ToS: from + math.Round(d.between(lo, hi))})
}

// leak draws a leaking valve. Where the diver never for long uses clearly less
// than leaks in, PO2 falls with the valves shut and a lower VO2 explains it as
// well: then the log can't settle it, and the truth says so.
func (d *drawing) leak(lo, hi float64) {
	f := Fault{Kind: ValveLeak, RateLMin: d.between(lo, hi), FromS: d.onset()}
	d.put(f)
	d.Expect.UndecidableLeak = f.RateLMin < leakMargin*d.leastVO2(f.FromS)
}

// leakMargin: 0.3 of a VO2 of 0.7 L/min raises PO2 by some 0.05 bar in 180 s.
const leakMargin = 1.3

// leastVO2 is the least uptake aimed at for 180 s or more after a time.
func (d *drawing) leastVO2(fromS float64) float64 {
	least := math.Inf(1)
	for i, w := range d.Work {
		endS := d.endS()
		if i+1 < len(d.Work) {
			endS = d.Work[i+1].FromS
		}
		if endS-math.Max(fromS, w.FromS) >= 180 {
			least = math.Min(least, w.VO2LMin)
		}
	}
	return least
}

// yoyo goes up and down; the unit and the gas stay those drawn for the depth.
func (d *drawing) yoyo() {
	if d.Profile.Kind == "mid" {
		d.drawProfile("shallow")
		d.Helium = nil
	}
	d.Profile.Kind, d.Profile.BottomS = "yoyo", uniform(d.dive, 900, 1800)
	d.drawWork(0.55, 1, 2)
}

func (d *drawing) flushes() {
	d.Recording.FlushAsNote = true
	for _, at := range []float64{d.between(0.4, 0.7) * d.bottomEndS(), d.between(0.55, 0.85) * d.endS()} {
		d.Events = append(d.Events, Event{Kind: "diluent_flush", AtS: math.Round(at), ForS: 25, VolumeL: 25})
	}
}

func (d *drawing) spread() {
	for k := range d.Cells {
		d.Cells[k].Gain = 1 + 0.02*clamp(d.fault.NormFloat64(), 1.9)
		d.Cells[k].T90S = d.between(4, 9.5)
	}
}

// hardWork asks more oxygen than a small fixed pulse can give, so the unit is one
// that can.
func (d *drawing) hardWork() {
	d.drawWork(0.9, 1.7, 3.1)
	d.Controller.Style = "variable"
	flow := uniform(d.unit, 12, 16)
	d.Valves = []Valve{{flow}, {flow}}
}

func (d *drawing) sampled(intervalS, stepBar float64) {
	d.Recording.IntervalS, d.Recording.PO2StepBar = intervalS, stepBar
}

func (d *drawing) gaps() {
	for _, at := range []float64{d.between(0.15, 0.4) * d.endS(), d.between(0.5, 0.8) * d.endS()} {
		d.Recording.Gaps = append(d.Recording.Gaps, Span{math.Round(at), math.Round(at + d.between(30, 140))})
	}
}

func (d *drawing) bailout() {
	d.Recording.BreathingColumn = true
	at := math.Round(d.between(0.35, 0.6) * d.endS())
	d.Events = append(d.Events, Event{Kind: "bailout", AtS: at}, Event{Kind: "on_loop", AtS: at + math.Round(d.between(120, 240))})
}

func (d *drawing) manual() {
	at := math.Round(d.between(0.4, 0.75) * d.endS())
	d.Events = append(d.Events, Event{Kind: "manual_oxygen", AtS: at, VolumeL: d.between(0.12, 0.4)})
}
