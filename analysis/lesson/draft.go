package lesson

import (
	"fmt"
	"math"
	"math/rand/v2"

	"afterloop/analysis/scenario"
)

// draft is a teaching dive being drawn. Every number that could be copied from a
// neighbour's sheet is drawn: depth, times, unit, the part that fails, how much.
type draft struct {
	scenario.Spec
	r               *rand.Rand
	downS, upS      float64 // bottom reached, bottom left
	stopS, shallowS float64 // first stop reached, last stop reached
	bottomM         float64
	flushS          float64 // of the first flush; 0 for none
	cellA, cellB    int     // two different cells, for faults
}

func newDraft(seed uint64) *draft {
	d := &draft{r: rand.New(rand.NewPCG(seed, seed^0x5DEECE66D1CE4E5B))}
	d.Seed = d.r.Uint64() >> 12
	d.place()
	d.course(d.between(24, 32), d.between(1080, 1320))
	d.kit(pick(d, 3, 3, 4))
	d.people()
	return d
}

// between draws evenly from lo to hi.
func (d *draft) between(lo, hi float64) float64 { return lo + (hi-lo)*d.r.Float64() }

func (d *draft) sign() float64 { return []float64{-1, 1}[d.r.IntN(2)] }

func pick[T any](d *draft, values ...T) T { return values[d.r.IntN(len(values))] }

// round goes to a multiple of step, without the dust that step leaves behind.
func round(v, step float64) float64 { return math.Round(math.Round(v/step)*step*1e6) / 1e6 }

func (d *draft) place() {
	d.SurfacePressureBar = round(d.between(0.93, 1.02), 0.001)
	d.WaterDensityKgM3 = pick(d, 1000.0, 1025)
	d.Diluent = "21/0"
	d.OpenCircuitGas = pick(d, "32/0", "30/0", "28/0")
	d.Loop = scenario.Loop{VolumeL: round(d.between(6, 7.4), 0.1), StartPO2Bar: 0.7, TempC: round(d.between(20, 30), 1), HumidBar: round(d.between(0.03, 0.05), 0.001)}
}

// course is the usual profile: a short halt on the way down, a bottom with a
// change of level, two stops. About 40 minutes.
func (d *draft) course(bottomM, bottomS float64) {
	d.bottomM = round(bottomM, 0.5)
	w := []scenario.Waypoint{{TimeS: 0, DepthM: 0}}
	tS, atM := 0.0, 0.0
	stay := func(s float64) { tS += round(s, 2); w = append(w, scenario.Waypoint{TimeS: tS, DepthM: atM}) }
	move := func(toM, mMin float64) {
		atM = toM
		tS += round(math.Abs(toM-w[len(w)-1].DepthM)/mMin*60, 2)
		w = append(w, scenario.Waypoint{TimeS: tS, DepthM: atM})
	}
	stay(d.between(60, 90))
	move(6, 14)
	stay(d.between(30, 50))
	move(d.bottomM, d.between(15, 18))
	d.downS = tS
	stay(bottomS * 0.5)
	move(d.bottomM-d.between(2, 4), 6)
	stay(bottomS * 0.5)
	d.upS = tS
	move(12, 9)
	d.stopS = tS
	stay(d.between(150, 210))
	move(6, 8)
	d.shallowS = tS
	stay(d.between(300, 400))
	move(0, 6)
	stay(40)
	d.Profile = scenario.Profile{Kind: "custom", WanderM: 0.1, Waypoints: w}
	d.SetPoint = scenario.SetPoint{LowBar: 0.7, HighBar: pick(d, 1.2, 1.25, 1.3), UpDepthM: round(0.5*d.bottomM, 1), DownDepthM: 4}
	d.work(0.75, 1.2)
}

// work draws the uptake of oxygen, which changes every few minutes.
func (d *draft) work(lo, hi float64) {
	d.Work = nil
	end := d.Profile.Waypoints[len(d.Profile.Waypoints)-1].TimeS
	for tS := 0.0; tS < end; tS += round(d.between(180, 360), 2) {
		d.Work = append(d.Work, scenario.Work{FromS: tS, VO2LMin: round(d.between(lo, hi), 0.05)})
	}
}

// kit draws a sound unit with so many cells and one valve or two.
func (d *draft) kit(cells int) {
	d.Cells = nil
	for range cells {
		d.Cells = append(d.Cells, scenario.Cell{T90S: round(d.between(4.5, 7.5), 0.1), Gain: round(1+d.between(-0.012, 0.012), 0.001), NoiseBar: round(d.between(0.002, 0.004), 0.0005)})
	}
	p := d.r.Perm(cells)
	d.cellA, d.cellB = p[0]+1, p[len(p)-1]+1
	d.valves(pick(d, 1, 2))
	d.Controller = scenario.Controller{Style: "variable", Vote: "leave-one-out", IntervalS: pick(d, 5.0, 6, 7), BaseS: 0.1, SPerBar: round(d.between(24, 34), 1), MaxS: 3, Turns: "alternate", DeadbandBar: 0.005}
	// The same columns and lines in every lesson, used or not: what only one had
	// would name it. Helium alone is where it is: a sensor can't be recorded blank.
	d.Recording = scenario.Recording{IntervalS: 2, DepthStepM: 0.1, Votes: true, Openings: true, BreathingColumn: true, EventColumn: true}
	d.Meta.LoopFacts = true
	d.Meta.Calibration = &scenario.Calibration{GasO2: 0.98, PressureBar: d.SurfacePressureBar, TempC: round(d.between(15, 34), 1)}
}

// three makes the unit one of three cells, for lessons in which two outvote one.
func (d *draft) three() {
	d.kit(3)
	d.people()
}

func (d *draft) valves(n int) {
	flow := round(d.between(9, 14), 0.5)
	d.Valves = nil
	for range n {
		d.Valves = append(d.Valves, scenario.Valve{FlowLMin: flow})
	}
}

// people draws names, which are invented and say nothing about what is wrong.
func (d *draft) people() {
	d.Meta.Serials = nil
	lake := pick(d, "Lake Ombrel", "Lake Tarvane", "Quarry Hessel", "Lake Undrin", "Bay of Corvel")
	d.Meta.Dive = fmt.Sprintf("%s, exercise dive", lake)
	d.Meta.Unit = "exercise unit"
	d.Meta.Start = fmt.Sprintf("2026-%02d-%02dT%02d:%02d:00+02:00", 4+d.r.IntN(6), 1+d.r.IntN(28), 8+d.r.IntN(8), 5*d.r.IntN(12))
	for range d.Cells {
		d.Meta.Serials = append(d.Meta.Serials, fmt.Sprintf("%s-%03d", pick(d, "HK", "RT", "UB"), 100+d.r.IntN(900)))
	}
}

// strong gives a controller that is quick to make up for a flush or an ascent,
// weak one that lets an ascent show.
func (d *draft) strong() {
	d.valves(len(d.Valves))
	for i := range d.Valves {
		d.Valves[i].FlowLMin = round(d.Valves[0].FlowLMin+3, 0.5)
	}
	d.Controller.MaxS, d.Controller.SPerBar = 4, 26
	d.SetPoint.HighBar, d.SetPoint.UpDepthM = pick(d, 1.15, 1.2, 1.25), round(d.bottomM-5, 1)
}

func (d *draft) weak() { d.Controller.MaxS = 1.2 }

// flush puts a diluent flush on the bottom, at a share of the time there, with
// the set point low meanwhile so that no oxygen spoils it (common practice).
func (d *draft) flush(share float64) {
	at := round(d.downS+share*(d.upS-d.downS), 2)
	d.SetPoint.Changes = append(d.SetPoint.Changes, scenario.SetPointChange{TimeS: at - 4, Bar: 0.7}, scenario.SetPointChange{TimeS: at + 46, Bar: d.SetPoint.HighBar})
	d.Events = append(d.Events, scenario.Event{Kind: "diluent_flush", AtS: at, ForS: 24, VolumeL: round(7*d.Loop.VolumeL, 1)})
	if d.flushS == 0 {
		d.flushS = at
	}
}

func (d *draft) fault(f scenario.Fault) { d.Faults = append(d.Faults, f) }

// onBottom is a moment at a share of the bottom.
func (d *draft) onBottom(lo, hi float64) float64 {
	return round(d.downS+d.between(lo, hi)*(d.upS-d.downS), 2)
}
