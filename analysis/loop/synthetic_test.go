package loop_test

import (
	"math"
	"math/rand"

	"afterloop/analysis/gas"
	"afterloop/analysis/loop"
)

// synthetic is a small dive whose truth is known: two mixing volumes, two valves
// in turn, three cells. What is left at zero does not happen.
type synthetic struct {
	seed                       int64
	stepS                      float64   // s between rows; 1
	deadValve                  int       // number
	deadFromS                  float64   // the valve gives nothing from here on
	lostFromS, lostToS         float64   // no valve gives anything
	leakFromS, leakLMin        float64   // oxygen comes in on its own
	workFromS, workToS, work   float64   // VO2 times work
	flushAtS                   float64   // a diluent flush, logged
	byHandAtS, byHandL         float64   // oxygen added by hand within 4 s, not logged; L STPD
	pulseS                     float64   // longest opening, one every 6 s; 1.5 s
	gains, t90S                []float64 // of the cells; 1 and 6 s
	minutes, depthM            float64   // 25 min at 20 m
	heliumPercent, heliumSigma float64
}

// run makes the record and the true PO2 at the cells by row.
func (s synthetic) run() (loop.Record, []float64) {
	rng := rand.New(rand.NewSource(s.seed + 1))
	def := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	def(&s.stepS, 1)
	def(&s.minutes, 25)
	def(&s.depthM, 20)
	def(&s.pulseS, 1.5)
	if s.gains == nil {
		s.gains = []float64{1, 1, 1}
	}
	const inner = 0.1 // s
	mix := gas.Mix{O2: 0.21, He: s.heliumPercent / 100}
	r := loop.Record{HeSigma: math.NaN(), LoopVolumeL: math.NaN(), FlowLMin: math.NaN(), VapourHighBar: 0.0627,
		Valves: []loop.Valve{{Number: 1}, {Number: 2}}}
	if s.heliumSigma > 0 {
		r.HeSigma = s.heliumSigma
	}
	flow, vo2 := gas.STPDToLoop(12, 30), gas.STPDToLoop(1, 30)
	const v1, v2, exchange = 2.6, 4.0, 0.25 // L, L, L/s
	head, bag := 0.7, 0.7
	y := make([]float64, len(s.gains))
	for k := range y {
		y[k] = 0.7
		r.CellsBar, r.CellStepBar, r.CellNumber = append(r.CellsBar, nil), append(r.CellStepBar, 0.01), append(r.CellNumber, k+1)
	}
	var truth []float64
	end, next, turn := s.minutes*60, 0.0, 0
	openLeft, opened := 0.0, [2]float64{}
	for t := 0.0; t < end; t += inner {
		depth := s.depthM * math.Min(1, math.Max(0, (t-60)/100)) * math.Min(1, math.Max(0, (end-t-60)/200))
		slope := 0.0
		switch {
		case t > 60 && t < 160:
			slope = s.depthM / 100
		case t > end-260 && t < end-60:
			slope = -s.depthM / 200
		}
		p, dp := 1.013+depth*0.1005, slope*0.1005
		x := head / p
		if math.Mod(t, 6) < inner/2 && t > 5 { // the controller, every 6 s
			want := 0.7
			if t > 170 {
				want = 1.2
			}
			if e := want - mean(y); e > 0 {
				openLeft, turn = math.Min(s.pulseS, 8*e), 1-turn
			}
		}
		q := 0.0
		if openLeft > 0 {
			dt := math.Min(inner, openLeft)
			opened[turn] += dt
			openLeft -= dt
			dead := s.deadValve == turn+1 && t >= s.deadFromS && s.deadFromS > 0
			if lost := s.lostToS > 0 && t >= s.lostFromS && t < s.lostToS; !dead && !lost {
				q += flow * dt / inner
			}
		}
		if s.leakLMin > 0 && t >= s.leakFromS {
			q += gas.STPDToLoop(s.leakLMin, 30)
		}
		if s.byHandAtS > 0 && t >= s.byHandAtS && t < s.byHandAtS+4 {
			q += gas.STPDToLoop(s.byHandL*15, 30)
		}
		use := vo2
		if t >= s.workFromS && t < s.workToS {
			use *= s.work
		}
		makeUp := math.Max(0, (v1+v2)*dp-q+use)
		head += inner * (x*dp + (1-x)*q/v1 + (bag-head)*exchange/v1)
		bag += inner * (bag/p*dp - (1-bag/p)*use/v2 + (mix.O2-bag/p)*makeUp/v2 + (head-bag)*exchange/v2)
		if s.flushAtS > 0 && t >= s.flushAtS && t < s.flushAtS+15 {
			head += inner * (mix.O2*p - head) / 10
			bag += inner * (mix.O2*p - bag) / 10
		}
		for k := range y {
			t90 := 6.0
			if s.t90S != nil {
				t90 = s.t90S[k]
			}
			y[k] += (s.gains[k]*head - y[k]) * (1 - math.Exp(-inner*math.Ln10/t90))
		}
		if t >= next {
			next += s.stepS
			r.TimeS, r.DepthM, r.AmbientBar = append(r.TimeS, t), append(r.DepthM, depth), append(r.AmbientBar, p)
			r.FO2Dil, r.FHeDil = append(r.FO2Dil, mix.O2), append(r.FHeDil, mix.He)
			for k := range y {
				r.CellsBar[k] = append(r.CellsBar[k], math.Round(100*(y[k]+0.003*rng.NormFloat64()))/100)
			}
			for k := range opened {
				r.Valves[k].OpenS = append(r.Valves[k].OpenS, opened[k])
				opened[k] = 0
			}
			if mix.He > 0 {
				he := (1 - head/p) * mix.He / (1 - mix.O2)
				r.LoopHe = append(r.LoopHe, he+s.heliumSigma*0.5*rng.NormFloat64())
			}
			truth = append(truth, head)
		}
	}
	if s.flushAtS > 0 {
		r.Events = append(r.Events, loop.Event{AtS: s.flushAtS + 15, Kind: loop.DiluentFlush})
	}
	r.Masked = loop.MaskEvents(r, loop.DefaultMaskParams())
	return r, truth
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// rms is the root mean square difference of two series, and how much of b lies
// within low..high.
func rms(a, b []float64) float64 {
	s := 0.0
	for i := range a {
		s += (a[i] - b[i]) * (a[i] - b[i])
	}
	return math.Sqrt(s / float64(len(a)))
}

func share(low, high, b []float64) float64 {
	n := 0.0
	for i := range b {
		if low[i] <= b[i] && b[i] <= high[i] {
			n++
		}
	}
	return n / float64(len(b))
}
