package scenario

import (
	"math"
	"strings"
)

// wide draws a unit and a recorder of any sort: two to five cells, one to three
// valves, other votes and turns, loops of 5 to 9 L, wet helium, noise that is
// not white, gas lost through the mask, odd sampling.
func (d *drawing) wide() {
	d.difficult()
	d.wideCells()
	flow := uniform(d.unit, 6, 25)
	d.Valves = nil
	for range pick(d.unit, 1, 2, 2, 3) {
		d.Valves = append(d.Valves, Valve{flow * uniform(d.unit, 0.9, 1.1)})
	}
	d.Controller.Vote = pick(d.unit, "mean", "mid-value", "leave-one-out")
	d.Controller.Turns = pick(d.unit, "slot", "alternate", "alternate", "together")
	d.Controller.IntervalS = pick(d.unit, 4.0, 5, 6, 8, 10)
	d.Controller.PulseS = math.Round(uniform(d.unit, 0.3, 2)*10) / 10
	d.Controller.DeadbandBar = uniform(d.unit, 0, 0.03)
	d.Loop.VolumeL = uniform(d.unit, 5, 9)
	d.Loop.HeadShare = uniform(d.unit, 0.25, 0.55)
	d.Loop.InjectionLagS = uniform(d.unit, 0.5, 3)
	d.Loop.RangeL = uniform(d.unit, 0.1, 0.7)
	d.Loop.MakeUpL = d.Loop.RangeL * uniform(d.unit, 0.3, 1.5)
	d.Loop.LossLMin = pick(d.unit, 0, 0, 0, uniform(d.unit, 0.2, 1))
	d.Loop.TempC = uniform(d.unit, 12, 32)
	d.wideRecorder()
}

func (d *drawing) wideCells() {
	d.Cells = nil
	for range pick(d.unit, 2, 3, 3, 3, 4, 4, 5) {
		d.Cells = append(d.Cells, Cell{
			T90S:      uniform(d.unit, 3.5, 9.5),
			Gain:      1 + 0.015*clamp(d.unit.NormFloat64(), 2.5),
			NoiseBar:  uniform(d.unit, 0.001, 0.008),
			WanderBar: pick(d.unit, 0, 0, uniform(d.unit, 0.001, 0.004)),
		})
	}
}

func (d *drawing) wideRecorder() {
	d.Recording.IntervalS = pick(d.unit, 1.0, 1, 2, 3, 4, 5, 10)
	d.Recording.PO2StepBar = pick(d.unit, 0.01, 0.01, 0.001, 0.005)
	d.Recording.DepthStepM = pick(d.unit, 0.01, 0.1)
	d.Recording.Votes = d.unit.IntN(4) == 0
	d.Recording.Openings = d.unit.IntN(3) == 0
	d.Meta.LoopFacts = d.unit.IntN(3) == 0
	d.SetPoint.LowBar = pick(d.unit, 0.5, 0.7, 0.7)
	if d.Helium != nil && d.unit.IntN(2) == 0 {
		d.Helium.Basis = "wet"
	}
	if d.unit.IntN(4) == 0 {
		d.gaps()
	}
}

// wideScenarios are those of difficult with any strength, and mixtures.
func wideScenarios() []scenario {
	return []scenario{
		{"none", "nothing is wrong", func(*drawing) {}},
		{"slow", "one cell answers in 20 to 120 s", func(d *drawing) { d.slow(d.cell(), 20, 120) }},
		{"slow-late", "one cell becomes slow during the dive", func(d *drawing) { d.slowLate(25, 90) }},
		{"limited", "one ceiling anywhere below the set point", func(d *drawing) {
			d.limited(d.cell(), d.ceiling(0.06, 0.5), d.between(0, 0.3), d.between(0, 0.08))
		}},
		{"gain", "one cell is miscalibrated by 10 to 30 %", func(d *drawing) {
			d.atLeastThree()
			d.gain(d.cell(), d.sign()*d.between(0.10, 0.3))
		}},
		{"drift", "one cell's gain drifts by 10 to 40 %", func(d *drawing) { d.atLeastThree(); d.drift(0.10, 0.4) }},
		{"frozen", "one cell stands still for three to fifteen minutes", func(d *drawing) { d.frozen(d.between(180, 900)) }},
		{"erratic", "one cell jumps about", func(d *drawing) { d.erratic(d.between(0.1, 0.3), 130, 900) }},
		{"valve-dead", "one valve gives nothing any more", (*drawing).wideValveDead},
		{"valve-leak", "a valve leaks", func(d *drawing) { d.leak(0.5, 6) }},
		{"oxygen-off", "the oxygen supply is shut for a while", func(d *drawing) { d.oxygenOff(150, 400) }},
		{"all-slow", "every cell is slow", (*drawing).allSlow},
		{"slow+limited", "one slow cell and one with a ceiling", func(d *drawing) {
			cells := d.several(2)
			d.slow(cells[0], 25, 80)
			d.limited(cells[1], d.ceiling(0.06, 0.3), d.between(0, 0.3), 0)
		}},
		{"drift+dead", "one cell drifts and one valve dies", func(d *drawing) { d.atLeastThree(); d.drift(0.12, 0.3); d.wideValveDead() }},
		{"none-humid-cal", "nothing is wrong, but all cells read 1 to 4 % high: calibrated in humid gas taken as dry", (*drawing).humidCalibration},
		{"none-busy", "nothing is wrong; flush, manual oxygen and bailout", (*drawing).busy},
	}
}

// atLeastThree adds a cell to a pair: of two cells that differ in gain no log can
// tell which is wrong.
func (d *drawing) atLeastThree() {
	if len(d.Cells) == 2 {
		d.Cells = append(d.Cells, Cell{T90S: uniform(d.unit, 3.5, 9.5), Gain: 1, NoiseBar: uniform(d.unit, 0.001, 0.008)})
	}
}

// wideValveDead needs a second valve that works, else it would be oxygen-off.
func (d *drawing) wideValveDead() {
	if len(d.Valves) == 1 {
		d.Valves = append(d.Valves, d.Valves[0])
	}
	if d.Controller.Turns == "together" { // then nothing tells which of them gave
		d.Controller.Turns = "alternate"
	}
	d.valveDead()
}

// humidCalibration is a gain that all cells share, within what counts as healthy.
func (d *drawing) humidCalibration() {
	d.Meta.Calibration = &Calibration{GasO2: 1, PressureBar: d.SurfacePressureBar, TempC: 20, HumidBar: d.between(0.01, 0.035)}
}

func (d *drawing) busy() {
	d.bailout()
	d.manual()
	at := math.Round(d.deepS() + 200)
	kind := pick(d.fault, "diluent_flush", "oxygen_flush")
	if !strings.HasSuffix(d.Diluent, "/0") {
		kind = "diluent_flush" // oxygen at depth would kill
	}
	d.Events = append(d.Events, Event{Kind: kind, AtS: at})
}
