package cell

import (
	"math"

	"afterloop/analysis/loop"
)

// dive is the record made ready: one column of usable readings per cell, and
// blocks of rows over which cells are compared.
type dive struct {
	loop.Record
	p      Params
	n      int         // cells
	y      [][]float64 // readings; NaN where the cell is frozen or erratic, or reads nothing
	noise  []float64   // standard deviation of one reading, rounding included
	blocks []block
	rate   []float64 // depth's rate, m/s, over 30 s
	settle float64   // s after a gap that a comparison waits
}

// block is a run of rows from..to (exclusive) and its mean time.
type block struct {
	from, to int
	timeS    float64
	lengthS  float64
	usable   bool
}

func newDive(r loop.Record, p Params) *dive {
	d := &dive{Record: r, p: p, n: len(r.CellsBar), settle: 60}
	d.DepthM, d.AmbientBar = orUnknown(r.DepthM, r.Rows()), orUnknown(r.AmbientBar, r.Rows())
	if d.CellStepBar == nil {
		d.CellStepBar = make([]float64, d.n)
	}
	d.CellsBar = make([][]float64, d.n)
	for i, c := range r.CellsBar {
		d.CellsBar[i] = d.filled(c)
		d.y = append(d.y, append([]float64(nil), d.CellsBar[i]...))
		d.noise = append(d.noise, noise(readings(c), d.CellStepBar[i]))
	}
	d.blocks = d.makeBlocks()
	d.rate = loop.Slope(d.TimeS, d.DepthM, 30)
	return d
}

// orUnknown is x, or a column of "not recorded" where there is none.
func orUnknown(x []float64, rows int) []float64 {
	if x != nil {
		return x
	}
	x = make([]float64, rows)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}

// noise is the standard deviation of one reading from second differences, whose
// variance is six times that of the readings where these are white:
//
//	sd = 1.4826 median|y(i-1) - 2 y(i) + y(i+1)| / sqrt(6)
//
// but not below that of rounding, step/sqrt(12).
func noise(y []float64, step float64) float64 {
	d := make([]float64, 0, len(y))
	for i := 1; i+1 < len(y); i++ {
		if v := y[i-1] - 2*y[i] + y[i+1]; !math.IsNaN(v) {
			d = append(d, math.Abs(v))
		}
	}
	sd := 1.4826 * loop.Quantile(d, 0.5) / math.Sqrt(6)
	if floor := step / math.Sqrt(12); !(sd > floor) {
		return floor
	}
	return sd
}

// makeBlocks cuts the rows into blocks that no gap interrupts. Blocks with masked
// rows, and those soon after a gap (where the filters have started anew), are not usable.
func (d *dive) makeBlocks() []block {
	n := d.Rows()
	if n == 0 {
		return nil
	}
	length := math.Max(d.p.BlockS, (d.TimeS[n-1]-d.TimeS[0])/float64(d.p.BlocksMax))
	unsettled := d.afterGaps()
	var out []block
	for i := 0; i < n; {
		b := block{from: i, to: i, lengthS: length, usable: true}
		for b.to < n && (b.to == i || (d.TimeS[b.to]-d.TimeS[i] < length-1e-9 && !d.Gap(b.to-1))) {
			b.usable = b.usable && d.Usable(b.to) && !unsettled[b.to]
			b.to++
		}
		b.timeS = (d.TimeS[i] + d.TimeS[b.to-1]) / 2
		if b.to < n && !d.Gap(b.to-1) {
			b.lengthS = d.TimeS[b.to] - d.TimeS[i]
		}
		out = append(out, b)
		i = b.to
	}
	return out
}

// afterGaps marks the rows within settle of the end of a gap.
func (d *dive) afterGaps() []bool {
	out := make([]bool, d.Rows())
	end := math.Inf(-1)
	for i, t := range d.TimeS {
		if i > 0 && d.Gap(i-1) {
			end = t
		}
		out[i] = t-end < d.settle
	}
	return out
}

// means averages a column over the blocks; NaN where a block is not usable or
// where more than half its readings are missing.
func (d *dive) means(x []float64) []float64 {
	out := make([]float64, len(d.blocks))
	for k, b := range d.blocks {
		sum, n := 0.0, 0
		for _, v := range x[b.from:b.to] {
			if !math.IsNaN(v) {
				sum, n = sum+v, n+1
			}
		}
		if out[k] = sum / float64(n); !b.usable || 2*n < b.to-b.from {
			out[k] = math.NaN()
		}
	}
	return out
}

// blankReadings sets a cell's readings from..to (s) to "not recorded".
func (d *dive) blankReadings(cell int, from, to float64) {
	for i, t := range d.TimeS {
		if t >= from && t <= to {
			d.y[cell][i] = math.NaN()
		}
	}
}

// others is the median reading of all cells but one, at each row; NaN where none reads.
func (d *dive) others(but int) []float64 {
	out := make([]float64, d.Rows())
	buf := make([]float64, 0, d.n)
	for i := range out {
		buf = buf[:0]
		for k := range d.y {
			if v := d.y[k][i]; k != but && !math.IsNaN(v) {
				buf = append(buf, v)
			}
		}
		out[i] = medianOf(buf)
	}
	return out
}

// medianOf is the median of a few values, which it sorts; NaN of none.
func medianOf(x []float64) float64 {
	n := len(x)
	if n == 0 {
		return math.NaN()
	}
	for i := 1; i < n; i++ {
		for j := i; j > 0 && x[j] < x[j-1]; j-- {
			x[j], x[j-1] = x[j-1], x[j]
		}
	}
	return (x[(n-1)/2] + x[n/2]) / 2
}
