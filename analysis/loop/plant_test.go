package loop

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The transition is exact: it agrees with a fine numerical integration of the
// differential equations in plant.go, on any step and lag.
func TestTransitionAgainstIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := DefaultParams()
		pl := newPlant(p, 2)
		pl.tauS[0] = rapid.Float64Range(1, 30).Draw(t, "tau")
		pl.tauS[1] = rapid.SampledFrom([]float64{2.6, p.OvershootS}).Draw(t, "tau2")
		d := drive{h: rapid.Float64Range(0.2, 20).Draw(t, "h"), valve: rapid.Float64Range(0, 2).Draw(t, "valve"),
			depth: rapid.Float64Range(-0.2, 0.2).Draw(t, "depth")}
		x := []float64{1.1, 0.03, -0.002, 0.025, 0.04, 1.0, 1.05}
		b := newBelief(len(x))
		copy(b.x, x)
		pl.step(d).predict(b, make([]float64, len(x)*len(x)))

		// r carries m at its mean slope over the step, as the filter takes it.
		slope := (x[iR]*p.RateTimeS*(1-math.Exp(-d.h/p.RateTimeS)) + x[iBM]*d.valve + d.depth) / d.h
		const n = 4000
		h := d.h / n
		m, q, l := x[iM], x[iQ], []float64{x[iCell], x[iCell+1]}
		rate := func(m, q, l, tau float64) float64 { return (m + q - l) / tau }
		for range n {
			qMid := q + h/2*(-q/p.OvershootS+x[iBQ]*d.valve/d.h)
			mMid := m + h/2*slope
			for k := range l {
				lMid := l[k] + h/2*rate(m, q, l[k], pl.tauS[k])
				l[k] += h * rate(mMid, qMid, lMid, pl.tauS[k])
			}
			q += h * (-qMid/p.OvershootS + x[iBQ]*d.valve/d.h)
			m += h * slope
		}
		for i, want := range map[int]float64{iM: m, iQ: q, iCell: l[0], iCell + 1: l[1]} {
			if math.Abs(b.x[i]-want) > 1e-5 {
				t.Fatalf("state %d: %.7f, integrated %.7f", i, b.x[i], want)
			}
		}
	})
}

// What is opened arrives, only later.
func TestArrivingConservesOxygen(t *testing.T) {
	r := Record{TimeS: []float64{0, 1, 2, 5, 6, 16, 120, 240}, Valves: []Valve{{OpenS: []float64{0, 0.5, 0, 2, math.NaN(), 1, 0, 0}}}}
	for _, delay := range []float64{0.5, 4, 10} {
		got := 0.0
		for i, v := range arriving(r, delay) {
			if v < 0 {
				t.Errorf("delay %g: %g s arrive at row %d", delay, v, i)
			}
			got += v
		}
		if math.Abs(got-3.5) > 1e-4 {
			t.Errorf("delay %g: %.5f s arrive of 3.5", delay, got)
		}
	}
}

func TestRelativeGains(t *testing.T) {
	r := Record{}
	gain, t90 := []float64{1.02, 0.97, 1.1}, []float64{6, 25, 8}
	var p0 []float64
	for i := range 1800 {
		r.TimeS = append(r.TimeS, float64(i))
		p0 = append(p0, 1+0.2*math.Sin(float64(i)/90))
	}
	cells := make([]CellState, 3)
	for k := range gain {
		y := LowPass(nil, r.TimeS, p0, tauS(t90[k], 6), nil)
		for i := range y {
			y[i] *= gain[k]
		}
		r.CellsBar = append(r.CellsBar, y)
		cells[k] = Healthy()
		cells[k].Spans[0].T90S = t90[k]
	}
	p := DefaultParams()
	cols := columns(r, cells, p)
	relativeGains(r, cols, p)
	for k := range gain {
		want := math.Log(gain[k] / gain[0])
		if got := cols[k].logGain - cols[0].logGain; math.Abs(got-want) > 5e-4 {
			t.Errorf("cell %d: ln gain over cell 1 %.5f, want %.5f", k+1, got, want)
		}
	}
}

// Agreeing cells give the mean of their gains and the spread over root n.
func TestScaleOfAgreeingCells(t *testing.T) {
	p := DefaultParams()
	p.HumidOdds = 0
	sp := newScalePosterior([]float64{0.01, -0.01, 0, 0}, make([]bool, 4), p)
	f, lo, hi := sp.factor()
	half := 1.96 * math.Hypot(p.GainSD/2, p.SharedGainSD)
	if math.Abs(f-1) > 2e-4 || math.Abs(hi-1-half) > 1.5e-3 || math.Abs(1-lo-half) > 1.5e-3 {
		t.Errorf("factor %.4f in %.4f..%.4f, want 1 +- %.4f", f, lo, hi, half)
	}
}

// That the calibration gas may have been humid lets PO2 be lower than read, never
// higher, and hardly moves the estimate.
func TestHumidCalibrationIsOneSided(t *testing.T) {
	wet, dry := DefaultParams(), DefaultParams()
	dry.HumidOdds = 0
	logs, off := []float64{0, 0, 0}, make([]bool, 3)
	a, b := newScalePosterior(logs, off, wet), newScalePosterior(logs, off, dry)
	f, lo, hi := a.factor()
	f0, lo0, hi0 := b.factor()
	if !(lo < lo0-0.004) || math.Abs(hi-hi0) > 0.001 || !(f < f0 && f > f0-wet.HumidOdds*wet.HumidGain) {
		t.Errorf("factor %.4f in %.4f..%.4f, dry %.4f in %.4f..%.4f", f, lo, hi, f0, lo0, hi0)
	}
}

func TestScaleWithoutCells(t *testing.T) {
	sp := newScalePosterior(nil, nil, DefaultParams())
	if _, lo, hi := sp.factor(); !(lo < 0.85 && hi > 1.15) {
		t.Errorf("no cell: scale %.2f..%.2f, want it wide", lo, hi)
	}
}
