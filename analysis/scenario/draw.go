package scenario

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// Draw makes a random spec of a kind: a family ("plain"), whose scenario is then
// the seed's turn in the family's list; one scenario ("plain/slow"); or a
// scenario's name alone ("slow"), of the first family that has it. The same kind
// and seed give the same spec always. [Kinds] lists what there is; the error for
// an unknown kind says so.
//
// The families plain, hard-healthy and difficult keep close to one another in
// the unit (three or four cells, two valves in turn, a decision every 6 s) and
// differ in what is wrong; wide varies the unit and the recorder too.
func Draw(kind string, seed uint64) (Spec, error) {
	for _, f := range families() {
		if kind == f.name {
			return draw(f, f.scenarios[seed%uint64(len(f.scenarios))], seed), nil
		}
		for _, sc := range f.scenarios {
			if kind == sc.name || kind == f.name+"/"+sc.name {
				return draw(f, sc, seed), nil
			}
		}
	}
	return Spec{}, fmt.Errorf("scenario: no kind %q; want one of %s, or one of their scenarios, as in plain/slow",
		kind, strings.Join(familyNames(), ", "))
}

func familyNames() []string {
	var names []string
	for _, f := range families() {
		names = append(names, f.name)
	}
	return names
}

func draw(f family, sc scenario, seed uint64) Spec {
	d := &drawing{
		Spec: Spec{Seed: seed, Name: sc.name},
		unit: newRand(seed, streamDrawUnit), fault: newRand(seed, streamDrawFault),
		dive: newRand(seed, streamDrawProfile), effort: newRand(seed, streamDrawWork),
	}
	f.common(d)
	sc.put(d)
	if f.name == "hard-healthy" {
		d.Name, d.Hard = "none", sc.name
	}
	return d.Spec
}

// drawing is a spec being drawn, with a stream for each part.
type drawing struct {
	Spec
	unit, fault, dive, effort *rand.Rand
}

// between draws a fault's strength, sign its direction, cell its place.
func (d *drawing) between(lo, hi float64) float64 { return uniform(d.fault, lo, hi) }
func (d *drawing) sign() float64                  { return pick(d.fault, -1.0, 1.0) }
func (d *drawing) cell() int                      { return 1 + d.fault.IntN(len(d.Cells)) }

// plain draws a dive in dry gas with a perfect helium sensor.
func (d *drawing) plain() {
	d.drawProfile(pick(d.dive, "shallow", "mid", "deep"))
	d.drawPlace()
	d.drawUnit()
	d.drawWork(0.55, 1, 2)
	d.Loop.StartPO2Bar = 0.7
	if !strings.HasSuffix(d.Diluent, "/0") {
		d.Helium = &Helium{Basis: "dry", NoiseSigma: 0.003}
	}
	d.Recording.IntervalS = pick(d.unit, 1.0, 1, 1, 1, 1, 1, 2, 2, 5, 5)
	d.Recording.PO2StepBar = pick(d.unit, 0.01, 0.01, 0.01, 0.001)
	d.Meta.Start = "2026-03-14T09:30:00Z"
}

// difficult draws one in humid gas two times of three, with any PO2 at the
// start and a helium sensor that lags and wanders.
func (d *drawing) difficult() {
	d.plain()
	if d.unit.IntN(3) > 0 {
		d.Loop.HumidBar = uniform(d.unit, 0.03, 0.058)
	}
	d.Loop.StartPO2Bar = uniform(d.unit, 0.45, 1)
	if d.Helium != nil {
		d.Helium = &Helium{Basis: "dry", NoiseSigma: 0.0016, BiasSigma: 0.0025, LagS: uniform(d.unit, 7, 14), StatedSigma: 0.004}
	}
}

// drawProfile draws the course of a kind, with the diluent and the set points
// that go with its depth.
func (d *drawing) drawProfile(kind string) {
	d.Profile = Profile{Kind: kind, WanderM: 0.08}
	switch kind {
	case "mid":
		d.Profile.MaxDepthM, d.Profile.BottomS = uniform(d.dive, 31, 42), uniform(d.dive, 1000, 2000)
		d.Diluent = pick(d.dive, "21/0", "21/0", "21/35", "18/45")
		d.SetPoint.HighBar = pick(d.dive, 1.2, 1.3, 1.3, 1.4)
	case "deep":
		d.Profile.MaxDepthM, d.Profile.BottomS = uniform(d.dive, 52, 75), uniform(d.dive, 900, 1480)
		d.Diluent = pick(d.dive, "18/40", "15/50", "12/55")
		d.SetPoint.HighBar = pick(d.dive, 1.2, 1.3, 1.3, 1.4)
	default:
		d.Profile.MaxDepthM, d.Profile.BottomS = uniform(d.dive, 14, 22), uniform(d.dive, 1200, 1950)
		d.Diluent = "21/0"
		d.SetPoint.HighBar = pick(d.dive, 1.0, 1.2, 1.3, 1.3)
	}
	d.SetPoint.LowBar, d.SetPoint.UpDepthM, d.SetPoint.DownDepthM = 0.7, 0.6*d.Profile.MaxDepthM, 4
}

// drawPlace draws the water and its height above the sea.
func (d *drawing) drawPlace() {
	bar := pick(d.dive, 1.013, 1.013, 0.98, 0.92) + 0.004*clamp(d.dive.NormFloat64(), 2)
	d.SurfacePressureBar = math.Round(bar*1000) / 1000
	d.WaterDensityKgM3 = pick(d.dive, 1025.0, 1025, 1000)
}

// drawUnit draws a healthy unit.
func (d *drawing) drawUnit() {
	for range pick(d.unit, 3, 3, 3, 4, 4) {
		d.Cells = append(d.Cells, Cell{
			T90S:     uniform(d.unit, 4, 7.5),
			Gain:     1 + 0.012*clamp(d.unit.NormFloat64(), 2.3),
			NoiseBar: uniform(d.unit, 0.0015, 0.005),
		})
	}
	flow := uniform(d.unit, 8.8, 16)
	d.Valves = []Valve{{flow}, {flow}}
	d.Loop.VolumeL = uniform(d.unit, 6, 7.6)
	d.Loop.HeadShare = uniform(d.unit, 0.4, 0.5)
	d.Loop.VentilationBaseLMin = uniform(d.unit, 8, 18)
	d.Controller = Controller{Style: pick(d.unit, "fixed", "fixed", "variable", "variable", "variable"),
		Vote: "leave-one-out", BaseS: 0.05, SPerBar: 36}
}

// clamp keeps a normal deviate within +-limit.
func clamp(x, limit float64) float64 { return math.Max(-limit, math.Min(limit, x)) }

// drawWork draws an effort that changes every two to eight minutes: light for
// seven stretches of ten (lightLo to lightHi), else harder, up to hardHi.
func (d *drawing) drawWork(lightLo, lightHi, hardHi float64) {
	d.Work = nil
	for tS := 0.0; tS < d.endS(); tS += uniform(d.effort, 120, 480) {
		vo2 := uniform(d.effort, lightLo, lightHi)
		if d.effort.IntN(10) >= 7 {
			vo2 = uniform(d.effort, lightHi, hardHi)
		}
		d.Work = append(d.Work, Work{math.Round(tS), math.Round(vo2*1000) / 1000})
	}
}

// endS is the end of the profile, bottomEndS when the last long ascent begins,
// deepS when the deepest point is first reached.
func (d *drawing) endS() float64 {
	w := d.Profile.course(d.Seed)
	return w[len(w)-1].TimeS
}

func (d *drawing) deepS() float64 {
	for _, w := range d.Profile.course(d.Seed) {
		if w.DepthM >= d.Profile.MaxDepthM {
			return w.TimeS
		}
	}
	return 0
}

func (d *drawing) bottomEndS() float64 {
	endS := d.deepS()
	for _, w := range d.Profile.course(d.Seed) {
		if w.DepthM > 0.62*d.Profile.MaxDepthM {
			endS = w.TimeS
		}
	}
	return endS
}

// onset draws a moment between the middle and the last quarter of the bottom.
func (d *drawing) onset() float64 {
	from, to := d.deepS(), d.bottomEndS()
	return math.Round((from+(to-from)*d.between(0.4, 0.75))*5) / 5
}
