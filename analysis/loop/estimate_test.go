package loop_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis/loop"
)

// On a small dive the estimate is far nearer the truth than the cells' mean,
// which lags, and its band holds the truth.
func TestEstimateBeatsTheMean(t *testing.T) {
	for _, s := range []synthetic{{}, {stepS: 5}, {gains: []float64{1.01, 0.99, 1}}, {t90S: []float64{6, 6, 35}}} {
		r, truth := s.run()
		cells := make([]loop.CellState, 3)
		for k := range cells {
			cells[k] = loop.Healthy()
			if s.t90S != nil {
				cells[k].Spans[0].T90S = s.t90S[k]
			}
		}
		e := loop.Smooth(r, cells, loop.DefaultParams())
		vote := make([]float64, len(truth))
		for i := range vote {
			vote[i] = (r.CellsBar[0][i] + r.CellsBar[1][i] + r.CellsBar[2][i]) / 3
		}
		limit, holds := 0.6, 0.95
		if s.stepS > 3 { // between rows the overshoot of an opening comes and goes
			limit, holds = 0.9, 0.9
		}
		if got, was := rms(e.PO2Bar, truth), rms(vote, truth); got > limit*was {
			t.Errorf("%+v: error %.4f bar, the mean's %.4f", s, got, was)
		}
		if c := share(e.LowBar, e.HighBar, truth); c < holds {
			t.Errorf("%+v: band holds %.2f of the truth", s, c)
		}
		if c := share(e.LiveLowBar, e.LiveHighBar, truth); c < 0.9 {
			t.Errorf("%+v: live band holds %.2f of the truth", s, c)
		}
	}
}

// The causal estimate does not change when the future does.
func TestLiveLooksNotAhead(t *testing.T) {
	r, _ := synthetic{}.run()
	p := loop.DefaultParams()
	const cut = 800
	short := r
	short.TimeS = r.TimeS[:cut]
	for _, c := range []*[]float64{&short.DepthM, &short.AmbientBar, &short.FO2Dil, &short.FHeDil} {
		*c = (*c)[:cut]
	}
	short.Masked = r.Masked[:cut]
	short.CellsBar, short.Valves = nil, nil
	for _, c := range r.CellsBar {
		short.CellsBar = append(short.CellsBar, c[:cut])
	}
	for _, v := range r.Valves {
		short.Valves = append(short.Valves, loop.Valve{Number: v.Number, OpenS: v.OpenS[:cut]})
	}
	long, part := loop.Smooth(r, nil, p), loop.Smooth(short, nil, p)
	if d := rms(long.LiveBar[:cut], part.LiveBar); d != 0 {
		t.Errorf("live estimate differs by %g bar when rows are added after it", d)
	}
}

func TestEstimateIgnoresNumbering(t *testing.T) {
	r, _ := synthetic{gains: []float64{1.02, 0.98, 1.11}}.run()
	p := loop.DefaultParams()
	want := loop.Smooth(r, nil, p)
	for _, order := range [][]int{{1, 0, 2}, {2, 0, 1}, {2, 1, 0}} {
		q := r
		q.CellsBar, q.CellNumber = nil, nil
		for _, k := range order {
			q.CellsBar, q.CellNumber = append(q.CellsBar, r.CellsBar[k]), append(q.CellNumber, r.CellNumber[k])
		}
		got := loop.Smooth(q, nil, p)
		if d := rms(got.PO2Bar, want.PO2Bar); d > 1e-9 {
			t.Errorf("order %v: estimate differs by %g bar", order, d)
		}
		if d := rms(got.LiveBar, want.LiveBar); d > 1e-9 {
			t.Errorf("order %v: live estimate differs by %g bar", order, d)
		}
	}
}

// Two cells against one alike in gain: the band spans both, unless the gain of
// some is known to be off, or helium tells.
func TestScaleOfDisagreeingCells(t *testing.T) {
	p := loop.DefaultParams()
	s := synthetic{gains: []float64{1, 1.12, 1.12}}
	r, truth := s.run()
	open := loop.Smooth(r, nil, p)
	if lo, hi := open.ScaleLow, open.ScaleHigh; hi/lo < 1.1 {
		t.Errorf("undecided: scale %.3f..%.3f, want it to span 12 %%", lo, hi)
	}
	if c := share(open.LowBar, open.HighBar, truth); c < 0.95 {
		t.Errorf("undecided: band holds %.2f of the truth", c)
	}
	cells := []loop.CellState{loop.Healthy(), loop.Healthy(), loop.Healthy()}
	cells[1].GainOff, cells[2].GainOff = true, true
	known := loop.Smooth(r, cells, p)
	if e := rms(known.PO2Bar, truth); e > 0.02 {
		t.Errorf("told which are off: error %.3f bar", e)
	}
	s.heliumPercent, s.heliumSigma, s.depthM = 45, 0.004, 50
	r, truth = s.run()
	he := loop.Smooth(r, nil, p)
	if e := rms(he.PO2Bar, truth); e > 0.03 {
		t.Errorf("with helium: error %.3f bar", e)
	}
}

// Gas known from outside settles a gain error that all cells share.
func TestKnownGasSettlesTheScale(t *testing.T) {
	r, truth := synthetic{gains: []float64{1.06, 1.06, 1.06}}.run()
	p := loop.DefaultParams()
	without := rms(loop.Smooth(r, nil, p).PO2Bar, truth)
	r.Known = []loop.KnownGas{{FromS: 700, ToS: 720, LowBar: truth[710] - 0.01, HighBar: truth[710] + 0.01, Basis: "test gas"}}
	e := loop.Smooth(r, nil, p)
	if with := rms(e.PO2Bar, truth); with > 0.02 || with > without/2 {
		t.Errorf("error %.3f bar with known gas, %.3f without", with, without)
	}
	for k, g := range e.GainBy {
		if math.Abs(g-1.06) > 0.015 {
			t.Errorf("cell %d: gain %.3f, want 1.06", k+1, g)
		}
	}
}

// A limited cell is used below its ceiling only; a stretch in which no cell is
// used widens the band and still has numbers.
func TestUnusedReadings(t *testing.T) {
	r, truth := synthetic{}.run()
	p := loop.DefaultParams()
	for k := range r.CellsBar[:2] {
		for i, v := range r.CellsBar[k] {
			r.CellsBar[k][i] = math.Min(v, 0.95)
		}
	}
	cells := []loop.CellState{loop.Healthy(), loop.Healthy(), loop.Healthy()}
	cells[0].Spans[0].CeilingBar, cells[1].Spans[0].CeilingBar = 0.95, 0.95
	if e := rms(loop.Smooth(r, cells, p).PO2Bar, truth); e > 0.02 {
		t.Errorf("two limited cells: error %.3f bar", e)
	}
	nan := math.NaN()
	for k := range r.CellsBar {
		for i := 800; i < 900; i++ {
			r.CellsBar[k][i] = nan
		}
	}
	e := loop.Smooth(r, cells, p)
	if slices.ContainsFunc(e.PO2Bar, math.IsNaN) || slices.ContainsFunc(e.LiveHighBar, math.IsNaN) {
		t.Error("rows without a number")
	}
	if in, out := e.HighBar[850]-e.LowBar[850], e.HighBar[700]-e.LowBar[700]; in < 1.3*out {
		t.Errorf("band %.3f bar without cells, %.3f with them", in, out)
	}
	if share(e.LowBar[800:900], e.HighBar[800:900], truth[800:900]) < 0.95 {
		t.Error("the band lost the truth while no cell was used")
	}
}

func TestEstimateOfLittle(t *testing.T) {
	nan := math.NaN()
	p := loop.DefaultParams()
	for name, r := range map[string]loop.Record{
		"empty":    {},
		"no cells": {TimeS: []float64{0, 1, 2}, AmbientBar: []float64{1, 1, 1}},
		"one row":  {TimeS: []float64{5}, CellsBar: [][]float64{{0.7}}},
		"all NaN":  {TimeS: []float64{0, 10, 4000}, CellsBar: [][]float64{{nan, nan, nan}, {nan, nan, nan}}, AmbientBar: []float64{nan, nan, nan}, GapAfter: []bool{false, true, false}},
	} {
		e := loop.Smooth(r, nil, p)
		for _, s := range [][]float64{e.PO2Bar, e.LowBar, e.HighBar, e.LiveBar, e.LiveLowBar, e.LiveHighBar} {
			if len(s) != r.Rows() || slices.ContainsFunc(s, math.IsNaN) {
				t.Errorf("%s: %v", name, s)
			}
		}
		for i := range e.PO2Bar {
			if !(e.LowBar[i] <= e.PO2Bar[i] && e.PO2Bar[i] <= e.HighBar[i]) {
				t.Errorf("%s: row %d outside its band", name, i)
			}
		}
	}
}

// After a gap the band stays wide until cells are read again.
func TestGapWidensTheBand(t *testing.T) {
	r, _ := synthetic{}.run()
	r.GapAfter = make([]bool, r.Rows())
	r.GapAfter[699] = true
	for i := 700; i < r.Rows(); i++ {
		r.TimeS[i] += 600
	}
	for k := range r.CellsBar {
		r.CellsBar[k][700] = math.NaN()
	}
	e := loop.Smooth(r, nil, loop.DefaultParams())
	if at, before := e.LiveHighBar[700]-e.LiveLowBar[700], e.LiveHighBar[699]-e.LiveLowBar[699]; at < 5*before {
		t.Errorf("live band %.4f bar after a gap of 10 min, %.4f before", at, before)
	}
}

// A cell that reads more than the loop can hold does not lift the estimate above
// the ambient pressure.
func TestEstimateWithinAmbient(t *testing.T) {
	r, _ := synthetic{gains: []float64{1.5, 1.5, 1.5}, depthM: 3}.run()
	e := loop.Smooth(r, nil, loop.DefaultParams())
	for i, p := range r.AmbientBar {
		if e.HighBar[i] > p || e.LiveHighBar[i] > p {
			t.Fatalf("row %d: top of the band %.3f, ambient %.3f bar", i, e.HighBar[i], p)
		}
	}
}

// Whatever the readings, the band is ordered and finite.
func TestBandIsOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "rows")
		r := loop.Record{HeSigma: math.NaN(), CellsBar: make([][]float64, rapid.IntRange(1, 4).Draw(t, "cells"))}
		now := 0.0
		for range n {
			now += rapid.Float64Range(0.1, 60).Draw(t, "step")
			r.TimeS = append(r.TimeS, now)
			r.AmbientBar = append(r.AmbientBar, rapid.Float64Range(0.7, 12).Draw(t, "P"))
			for k := range r.CellsBar {
				r.CellsBar[k] = append(r.CellsBar[k], rapid.SampledFrom([]float64{math.NaN(), 0, 0.21, 0.7, 1.3, 9.99}).Draw(t, "y"))
			}
		}
		e := loop.Smooth(r, nil, loop.DefaultParams())
		for i := range e.PO2Bar {
			if !(e.LowBar[i] <= e.PO2Bar[i] && e.PO2Bar[i] <= e.HighBar[i]) || math.IsInf(e.HighBar[i], 0) {
				t.Fatalf("row %d: %.3f in %.3f..%.3f", i, e.PO2Bar[i], e.LowBar[i], e.HighBar[i])
			}
		}
	})
}
