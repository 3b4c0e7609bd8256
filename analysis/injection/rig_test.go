package injection

import (
	"math"
	"testing"

	"afterloop/analysis/gas"
)

// rig is a loop small enough to be exact: one well-mixed volume that gives way
// and vents but takes no diluent, so that over any time with a constant inflow
//
//	1-x = (1-x0) exp(-(Q-VO2) t/(V Pd))
//
// The cells see it delayS late through a first-order lag. Opening starts are
// decided every everyS seconds: a valve opens for pulseS if the cell is below
// the set point; valves take turns.
type rig struct {
	volumeL, flowLMin, vo2LMin float64
	setPointBar, startBar      float64
	t90S, delayS               float64
	everyS, pulseS             float64
	valves                     int
	dead                       map[int]bool // by number: commanded, delivers nothing
	depthM                     func(tS float64) float64
	vo2                        func(tS float64) float64 // overrides vo2LMin
	disturb                    func(tS, p float64) float64
	stepBar                    float64 // rounding, 0 for none
	noise                      func() float64
}

const (
	rigTempC  = 30
	rigVapour = 0.0
	rigStepS  = 0.05
)

func plain() rig {
	return rig{volumeL: 6.5, flowLMin: 12, vo2LMin: 1.0, setPointBar: 1.2, startBar: 1.2, t90S: 8, everyS: 45, pulseS: 3.75, valves: 1,
		depthM: func(float64) float64 { return 30 }}
}

// run records seconds of the rig every dtS.
func (r rig) run(seconds, dtS float64) Input {
	nan := math.NaN()
	in := Input{LoopVolumeL: nan, FlowLMin: nan, LoopTempC: rigTempC, VapourBar: rigVapour, CellT90S: r.t90S}
	for k := range r.valves {
		in.Valves = append(in.Valves, Valve{Number: k + 1})
	}
	unit := gas.STPDToLoop(1, rigTempC)
	tau := r.t90S / math.Ln10
	pd := func(t float64) float64 { return gas.Ambient(1.013, r.depthM(t), 1025) - rigVapour }
	x, cell := r.startBar/pd(0), r.startBar
	late := make([]float64, int(math.Round(r.delayS/rigStepS))+1) // ring of past PO2
	for i := range late {
		late[i] = r.startBar
	}
	open := make([]float64, r.valves) // seconds since the last row
	remaining, turn := 0.0, r.valves-1
	perRow, perDecision := int(math.Round(dtS/rigStepS)), int(math.Round(r.everyS/rigStepS))
	for n := 0; float64(n)*rigStepS <= seconds+1e-9; n++ {
		t := float64(n) * rigStepS
		if n > 0 && n%perRow == 0 || n == 0 {
			r.record(&in, t, cell, open)
		}
		if n%perDecision == perDecision/2 && cell < r.setPointBar {
			remaining, turn = r.pulseS, (turn+1)%r.valves
		}
		use := r.vo2LMin
		if r.vo2 != nil {
			use = r.vo2(t)
		}
		q := -use
		if remaining > 1e-9 {
			remaining -= rigStepS
			open[turn] += rigStepS
			if !r.dead[turn+1] {
				q += r.flowLMin
			}
		}
		x = 1 - (1-x)*math.Exp(-q*unit*rigStepS/(r.volumeL*pd(t)))
		if r.disturb != nil {
			x = r.disturb(t, x*pd(t)) / pd(t)
		}
		late[n%len(late)] = x * pd(t+rigStepS)
		cell += (late[(n+1)%len(late)] - cell) * (1 - math.Exp(-rigStepS/tau))
	}
	return in
}

func (r rig) record(in *Input, t, cell float64, open []float64) {
	in.TimeS = append(in.TimeS, t)
	in.DepthM = append(in.DepthM, r.depthM(t))
	in.AmbientBar = append(in.AmbientBar, gas.Ambient(1.013, r.depthM(t), 1025))
	in.SetPointBar = append(in.SetPointBar, r.setPointBar)
	in.FO2Diluent = append(in.FO2Diluent, 0.21)
	reading := cell
	if r.noise != nil {
		reading += r.noise()
	}
	if r.stepBar > 0 {
		reading = math.Round(reading/r.stepBar) * r.stepBar
	}
	in.PO2Bar = append(in.PO2Bar, reading)
	for k := range open {
		in.Valves[k].OpenS = append(in.Valves[k].OpenS, math.Round(open[k]*100)/100)
		open[k] = 0
	}
}

// flowPerVolume is the rig's true flow/V in bar/s, use its VO2/V in 1/min.
func (r rig) flowPerVolume() float64 { return r.flowLMin * gas.STPDToLoop(1, rigTempC) / r.volumeL }

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.6g, want %.6g within %g", name, got, want, tol)
	}
}

func within(t *testing.T, name string, v Interval, want float64) {
	t.Helper()
	if !(v.Low <= want && want <= v.High) {
		t.Errorf("%s: %.6g lies outside %.6g to %.6g", name, want, v.Low, v.High)
	}
}
