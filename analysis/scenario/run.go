package scenario

import (
	"math"

	"afterloop/analysis/gas"
)

// Run simulates a dive. It fills in the defaults, validates and returns the log
// and the truth; the error is that of [Spec.Validate]. The first row is one
// recording interval after the start, the last one at or before the end of the
// profile; the truth has one row for each row of the log.
func Run(s Spec) (Log, Truth, error) {
	d, err := newDive(s)
	if err != nil {
		return Log{}, Truth{}, err
	}
	every := steps(d.spec.Recording.IntervalS)
	last := int(math.Floor(d.endS*stepsPerS + 1e-9))
	for i := range last + 1 {
		tS := float64(i) / stepsPerS
		if i%steps(tickS) == 0 {
			d.sense(tS)
			if i > 0 && i%every == 0 {
				d.record(tS)
			}
			d.unit.decide(tS, d.setBar)
		}
		if i < last {
			d.advance(tS, float64(i+1)/stepsPerS)
		}
	}
	return d.log(), d.truth(), nil
}

// steps is how many steps of the physics go into s seconds.
func steps(s float64) int { return int(math.Round(s * stepsPerS)) }

// dive is a dive under way.
type dive struct {
	spec     Spec
	diluent  gas.Mix
	openGas  gas.Mix
	depth    *depthCourse
	setPoint *schedule
	work     *uptake
	loop     *breathingLoop
	cells    []*sensor
	helium   *heliumSensor
	unit     *unit
	recorder recorder
	carried  *carried

	endS      float64
	depthM    float64
	pBar      float64
	vo2LMin   float64
	setBar    float64
	onLoop    bool
	sensedBar float64
	readings  []float64
	openS     []float64 // commanded since the last row, per valve
}

func newDive(s Spec) (*dive, error) {
	s = s.WithDefaults()
	if err := s.Validate(); err != nil {
		return nil, err
	}
	d := &dive{spec: s, onLoop: true}
	d.diluent, _ = gas.ParseMix(s.Diluent) // validated above
	d.openGas, _ = gas.ParseMix(s.OpenCircuitGas)
	d.depth = newDepthCourse(s)
	d.endS = d.depth.endS()
	d.setPoint, d.work = newSchedule(s.SetPoint), newUptake(s.Work)
	d.settle(0)
	d.loop = newBreathingLoop(s.Loop, d.diluent, gas.Dry(d.pBar, s.Loop.HumidBar))
	d.sensedBar = d.loop.sensedBar()
	for k := range s.Cells {
		d.cells = append(d.cells, newSensor(s, k, s.Meta.commonGain(), d.sensedBar))
	}
	d.helium = newHeliumSensor(s, d.loop.heliumFraction())
	d.unit = newUnit(s.Controller, len(s.Cells), len(s.Valves))
	d.readings = make([]float64, len(s.Cells))
	d.openS = make([]float64, len(s.Valves))
	d.recorder = newRecorder(s, d.openGas)
	d.carried = newCarried(s)
	return d, nil
}

// commonGain is the factor by which all cells read high because the gas of the
// calibration was humid and taken as dry.
func (m Meta) commonGain() float64 {
	c := m.Calibration
	if c == nil || c.Humid {
		return 1
	}
	return c.PressureBar / (c.PressureBar - c.HumidBar)
}

// settle takes depth, pressure, set point and work at a time.
func (d *dive) settle(tS float64) {
	d.depthM = d.depth.at(tS)
	d.pBar = gas.Ambient(d.spec.SurfacePressureBar, d.depthM, d.spec.WaterDensityKgM3)
	d.setBar = d.setPoint.at(tS, d.depthM)
	d.vo2LMin = d.work.at(tS)
}

// sense lets the unit read its cells and vote.
func (d *dive) sense(tS float64) {
	for k, c := range d.cells {
		d.readings[k] = c.read(tS, d.endS)
	}
	d.unit.sense(d.readings)
}

// advance takes the physics one step on.
func (d *dive) advance(fromS, toS float64) {
	in := d.flows(fromS)
	d.settle(toS)
	diluentBefore := d.loop.diluentBarL
	d.loop.step(gas.Dry(d.pBar, d.spec.Loop.HumidBar), in)
	if d.carried != nil {
		perLitre := gas.STPDToLoop(60, d.spec.Loop.TempC) // bar L of a litre STPD
		d.carried.advance(toS, d.depthM, (in.oxygenBarLS*stepS+in.handO2L*d.loop.pdBar)/perLitre, (d.loop.diluentBarL-diluentBefore)/perLitre)
	}
	before := d.sensedBar
	d.sensedBar = d.loop.sensedBar()
	for _, c := range d.cells {
		c.respond(toS, before, d.sensedBar)
	}
	if d.helium != nil {
		d.helium.respond(d.helium.spec.basis(d.loop.heliumFraction(), d.loop.pdBar, d.pBar))
	}
}

// openVentLS is the slow exchange between the compartments while nobody
// breathes from the loop, L/s (ours).
const openVentLS = 0.01

// flows collects what flows during the step that begins at tS.
func (d *dive) flows(tS float64) inflow {
	l := d.spec.Loop
	in := inflow{onLoop: d.onLoop, vo2BarLS: gas.STPDToLoop(d.vo2LMin, l.TempC)}
	in.ventLS = (l.VentilationBaseLMin + l.VentilationPerVO2*d.vo2LMin) / 60
	if d.depthM > 0.5 && d.onLoop {
		in.lossLS = l.LossLMin / 60
	}
	for v := range d.spec.Valves {
		if d.unit.open(v, tS) {
			d.openS[v] += stepS
		}
		in.oxygenBarLS += gas.STPDToLoop(d.given(v, tS), l.TempC)
	}
	d.byHand(tS, &in)
	if !d.onLoop {
		in.ventLS = openVentLS
	}
	return in
}

// given is what valve v lets through, L/min STPD, faults included. A leak
// without a valve counts with the first.
func (d *dive) given(v int, tS float64) float64 {
	flow, leak := 0.0, 0.0
	if d.unit.open(v, tS) {
		flow = d.spec.Valves[v].FlowLMin
	}
	for _, f := range d.spec.Faults {
		if f.onCell() || !f.at(tS) {
			continue
		}
		switch {
		case f.Kind == OxygenOff:
			return 0
		case f.Kind == ValveDead && f.Valve == v+1:
			flow = 0
		case f.Kind == ValveLeak && max(f.Valve, 1) == v+1:
			leak = f.RateLMin
		}
	}
	return math.Max(flow, leak)
}

// byHand adds what the diver does.
func (d *dive) byHand(tS float64, in *inflow) {
	for _, e := range d.spec.Events {
		litres := 0.0
		if e.ForS > 0 && tS >= e.AtS-1e-9 && tS < e.AtS+e.ForS-1e-9 {
			litres = e.VolumeL * stepS / e.ForS
		}
		switch e.Kind {
		case "oxygen_flush", "manual_oxygen":
			in.handO2L += litres
		case "diluent_flush", "manual_diluent":
			in.handDilL += litres
		case "bailout", "on_loop":
			if tS >= e.AtS-1e-9 {
				d.onLoop = e.Kind == "on_loop"
			}
		}
		in.handToAll = in.handToAll || litres > 0 && (e.Kind == "oxygen_flush" || e.Kind == "diluent_flush")
	}
	in.onLoop = d.onLoop
}
