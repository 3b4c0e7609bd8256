package cell_test

import (
	"math"
	"math/rand/v2"

	"afterloop/analysis/loop"
)

// small is a little dive made in the test: the loop equation of METHODS at one
// row a second, a bang-bang controller on the median cell, and first-order cells.
type small struct {
	cells  []smallCell
	stepS  int     // rows written every so many seconds
	round  float64 // step of rounding, bar
	noise  float64 // bar
	fO2    float64
	pulse  float64 // openings are so many times as large and as rare; 0: 1
	work   float64 // VO2 is multiplied by it from 1200 s to 1500 s; 0: no work
	flat   bool    // 20 m throughout
	mangle func(r *loop.Record)
}

type smallCell struct {
	t90S, gain      float64
	ceiling         float64 // on the scale of p; 0: none
	slowFrom, slowS float64 // T90 slowS from slowFrom on
	driftFrom, perH float64 // gain changes by perH an hour from driftFrom on
	frozen, erratic [2]float64
}

func sound(n int) []smallCell {
	t90 := []float64{5, 6.5, 7.2, 4.6}
	gain := []float64{1.01, 0.99, 1, 0.985}
	var out []smallCell
	for i := range n {
		out = append(out, smallCell{t90S: t90[i%4], gain: gain[i%4]})
	}
	return out
}

// depth is a dive to 30 m with two stops, in metres.
func (s small) depth(t float64) float64 {
	if s.flat {
		return 20
	}
	at := [][2]float64{{0, 1}, {60, 1}, {160, 30}, {1200, 30}, {1320, 12}, {1800, 12}, {1850, 6}, {2400, 6}, {2460, 0.3}, {2520, 0.3}}
	for i := 1; i < len(at); i++ {
		if t <= at[i][0] {
			w := (t - at[i-1][0]) / (at[i][0] - at[i-1][0])
			return at[i-1][1] + w*(at[i][1]-at[i-1][1])
		}
	}
	return at[len(at)-1][1]
}

// record simulates the dive.
func (s small) record(seed uint64) loop.Record {
	const volumeL, flow, vo2 = 6.5, 0.22, 0.022 // L; bar L/s
	rnd := rand.New(rand.NewPCG(seed, 1))
	r := loop.Record{HeSigma: math.NaN(), LoopVolumeL: math.NaN(), FlowLMin: math.NaN(), VapourHighBar: 0.0627}
	pulse := math.Max(s.pulse, 1)
	v := loop.Valve{Number: 1}
	y := make([]float64, len(s.cells))
	jump := make([]float64, len(s.cells))
	p, inflow, open, wait := 0.7, 0.0, 0.0, 0.0
	opened := 0.0
	for i := range y {
		y[i] = p * s.cells[i].gain
	}
	for i := range y {
		r.CellNumber, r.CellStepBar = append(r.CellNumber, i+1), append(r.CellStepBar, s.round)
	}
	r.CellsBar = make([][]float64, len(y))
	for t := 0.0; t <= 2520; t++ {
		z := s.depth(t)
		dz := s.depth(t+1) - z
		pd := 1.013 + z/10
		x := p / pd
		use := vo2
		if s.work > 0 && t > 1200 && t < 1500 {
			use *= s.work
		}
		open = 0
		set := 0.7
		if t > 150 && t < 2400 {
			set = 1.3
		}
		if wait--; wait <= 0 && middle(y) < set-0.005 {
			open, wait = pulse, 7*pulse
		}
		opened += open
		inflow += (open*flow - inflow) / 8 // mixing
		switch {
		case dz > 0:
			p += s.fO2*dz/10 + (1-s.fO2)*(inflow-use)/volumeL
		case dz < 0:
			p += x*dz/10 + (1-x)*(inflow-use)/volumeL
		default:
			p += (1 - s.fO2) * (inflow - use) / volumeL
		}
		p = math.Min(p, pd)
		for i, c := range s.cells {
			y[i] = c.follow(t, p, y[i])
		}
		if int(t)%s.stepS != 0 {
			continue
		}
		r.TimeS, r.DepthM, r.AmbientBar = append(r.TimeS, t), append(r.DepthM, z), append(r.AmbientBar, pd)
		r.FO2Dil, r.FHeDil = append(r.FO2Dil, s.fO2), append(r.FHeDil, 0)
		v.OpenS, opened = append(v.OpenS, opened), 0
		for i, c := range s.cells {
			jump[i] = 0.6*jump[i] + 0.8*rnd.NormFloat64()
			r.CellsBar[i] = append(r.CellsBar[i], s.read(c, t, y[i]+s.noise*rnd.NormFloat64(), jump[i], r.CellsBar[i]))
		}
	}
	r.Valves = []loop.Valve{v}
	if s.mangle != nil {
		s.mangle(&r)
	}
	return r
}

// follow is the cell's state one second on.
func (c smallCell) follow(t, p, y float64) float64 {
	g := c.gain
	if c.driftFrom > 0 && t > c.driftFrom {
		g += c.perH * (t - c.driftFrom) / 3600
	}
	if c.ceiling > 0 && p > c.ceiling {
		p = c.ceiling + 0.1*(p-c.ceiling)
	}
	t90 := c.t90S
	if c.slowFrom > 0 && t > c.slowFrom {
		t90 = c.slowS
	}
	return g*p + (y-g*p)*math.Exp(-math.Ln10/t90)
}

// read is what is written, faults of the reading included.
func (s small) read(c smallCell, t, y, jump float64, before []float64) float64 {
	if c.frozen[1] > 0 && t > c.frozen[0] && t < c.frozen[1] {
		return before[len(before)-1]
	}
	if c.erratic[1] > 0 && t > c.erratic[0] && t < c.erratic[1] {
		y += 0.12 * jump
	}
	return math.Round(y/s.round) * s.round
}

func middle(x []float64) float64 {
	c := append([]float64(nil), x...)
	for i := range c {
		for j := i + 1; j < len(c); j++ {
			if c[j] < c[i] {
				c[i], c[j] = c[j], c[i]
			}
		}
	}
	return (c[(len(c)-1)/2] + c[len(c)/2]) / 2
}
