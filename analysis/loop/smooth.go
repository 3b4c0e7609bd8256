package loop

import (
	"math"
	"slices"
)

// pass is one run of the filter over a record.
type pass struct {
	r      Record
	p      Params
	cols   []column
	drives []drive
	plant  *plant

	adaptive []float64 // causal run only: running mean square deviation of each cell from the others
	scratch  []float64
	dev      []float64
}

func newPass(r Record, p Params, cols []column, dr []drive) *pass {
	n := iCell + len(cols)
	return &pass{r: r, p: p, cols: cols, drives: dr, plant: newPlant(p, len(cols)),
		scratch: make([]float64, n*n), dev: make([]float64, len(cols))}
}

// start is the belief before the first row.
func (ps *pass) start(po2 float64) belief {
	p, b := ps.p, newBelief(iCell+len(ps.cols))
	n := len(b.x)
	b.x[iM], b.x[iBM], b.x[iBQ] = po2, p.ValveMixed, p.ValveOver
	sd := []float64{p.StartSDBar, p.ValveShare * p.ValveOver, p.RateSDBarS, p.ValveMixedSD, p.ValveOverSD}
	for i, s := range sd {
		b.p[i*n+i] = s * s
	}
	for k := range ps.cols { // each cell has settled at the gas it sits in
		b.x[iCell+k] = po2
		for j := range ps.cols {
			b.p[(iCell+k)*n+iCell+j] = sq(p.StartSDBar)
		}
		b.p[(iCell+k)*n+iM], b.p[iM*n+iCell+k] = sq(p.StartSDBar), sq(p.StartSDBar)
		b.p[(iCell+k)*n+iCell+k] += sq(p.StartSDBar / 5)
	}
	return b
}

// tune sets the lags in force at row i.
func (ps *pass) tune(i int) *transition {
	for k := range ps.cols {
		c := &ps.cols[k]
		if s := c.span[i]; s >= 0 {
			ps.plant.tauS[k] = c.tauS[s]
		} else if ps.plant.tauS[k] == 0 {
			ps.plant.tauS[k] = tauS(0, ps.p.T90DefaultS)
		}
	}
	return ps.plant.step(ps.drives[i])
}

// update takes in the readings of row i. gains holds one slice of state length
// per cell; the innovations taken are appended to ins.
func (ps *pass) update(b belief, i int, gains [][]float64, ins []innovation) []innovation {
	ps.deviations(b, i)
	for k := range ps.cols {
		c := &ps.cols[k]
		if math.IsNaN(c.z[i]) {
			continue
		}
		scale := math.Exp(-c.logGain)
		v := c.r * scale * scale
		if ps.adaptive != nil {
			v += ps.adaptive[k]
		} else if d := math.Abs(ps.dev[k]) / ps.p.OutlierSD; d*d > v {
			v = d * d * d * d / v // far off and alone in it: weighs less and less
		}
		ins = append(ins, observe(b, iCell+k, c.z[i]*scale, v, gains[k]))
	}
	return ins
}

// deviations is how far each reading lies from what is expected, less the
// median of that over the cells.
func (ps *pass) deviations(b belief, i int) {
	e := make([]float64, 0, 8)
	for k := range ps.cols {
		c := &ps.cols[k]
		ps.dev[k] = c.z[i]*math.Exp(-c.logGain) - b.x[iCell+k]
		if !math.IsNaN(ps.dev[k]) {
			e = append(e, ps.dev[k])
		}
	}
	if len(e) == 0 {
		return
	}
	slices.Sort(e)
	m := (e[(len(e)-1)/2] + e[len(e)/2]) / 2
	for k := range ps.dev {
		ps.dev[k] -= m
	}
}

// logLik is the log-likelihood of the readings of the first rows, up to a constant.
func (ps *pass) logLik(start belief, rows int) float64 {
	gains := newGains(len(ps.cols), len(start.x))
	b := newBelief(len(start.x))
	b.copyFrom(start)
	l := 0.0
	var ins []innovation
	for i := range rows {
		if i > 0 {
			ps.tune(i).predict(b, ps.scratch)
		}
		ins = ps.update(b, i, gains, ins[:0])
		for _, in := range ins {
			l -= (in.e*in.e/in.s + math.Log(in.s)) / 2
		}
	}
	return l
}

// blockRows is how many rows the backward pass keeps in memory at a time.
const blockRows = 1024

// smooth runs forward, keeping the belief at the start of each block, then
// backward block by block; memory does not grow with the state of every row.
//
// po2 and sd are the smoothed PO2 at the cells and its standard error at a
// given scale of the gains.
func (ps *pass) smooth(start belief) (po2, sd []float64) {
	rows, n := ps.r.Rows(), len(start.x)
	po2, sd = make([]float64, rows), make([]float64, rows)
	marks := ps.forwardMarks(start)
	c := make([]float64, n)
	c[iM], c[iQ] = 1, 1
	tape := newTape(n, len(ps.cols), min(rows, blockRows))
	adj := newAdjoint(n)
	for blk := len(marks) - 1; blk >= 0; blk-- {
		lo, hi := blk*blockRows, min(rows, (blk+1)*blockRows)
		tape.record(ps, marks[blk], lo, hi)
		for i := hi - 1; i >= lo; i-- {
			var v float64
			po2[i], v = adj.smoothed(tape.b[i-lo], c, ps.scratch)
			sd[i] = math.Sqrt(math.Max(v, 0))
			for j := len(tape.ins[i-lo]) - 1; j >= 0; j-- {
				adj.unobserve(tape.ins[i-lo][j], ps.scratch)
			}
			if i > 0 {
				adj.unpredict(ps.tune(i), ps.scratch)
			}
		}
	}
	return po2, sd
}

// forwardMarks is the belief just before each block's first row is predicted.
func (ps *pass) forwardMarks(start belief) []belief {
	gains := newGains(len(ps.cols), len(start.x))
	b := newBelief(len(start.x))
	b.copyFrom(start)
	var marks []belief
	var ins []innovation
	for i := range ps.r.TimeS {
		if i%blockRows == 0 {
			m := newBelief(len(b.x))
			m.copyFrom(b)
			marks = append(marks, m)
		}
		if i > 0 {
			ps.tune(i).predict(b, ps.scratch)
		}
		ins = ps.update(b, i, gains, ins[:0])
	}
	return marks
}

func newGains(cells, n int) [][]float64 {
	g := make([][]float64, cells)
	for k := range g {
		g[k] = make([]float64, n)
	}
	return g
}

// tape is what the backward pass needs of one block.
type tape struct {
	b     []belief
	ins   [][]innovation
	gains [][][]float64
}

func newTape(n, cells, rows int) *tape {
	t := &tape{}
	for range rows {
		t.b = append(t.b, newBelief(n))
		t.ins = append(t.ins, make([]innovation, 0, cells))
		t.gains = append(t.gains, newGains(cells, n))
	}
	return t
}

// record runs the filter over rows lo..hi-1 from the belief before row lo.
func (t *tape) record(ps *pass, before belief, lo, hi int) {
	prev := before
	for i := lo; i < hi; i++ {
		b := t.b[i-lo]
		b.copyFrom(prev)
		if i > 0 {
			ps.tune(i).predict(b, ps.scratch)
		}
		t.ins[i-lo] = ps.update(b, i, t.gains[i-lo], t.ins[i-lo][:0])
		prev = b
	}
}
