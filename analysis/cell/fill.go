package cell

import "math"

// filled is a cell's readings with short holes closed by a straight line, as
// [loop.LowPass] takes PO2 to run between rows: a recorder may read the cells in turn, or
// lose a reading now and then. A hole of more than FillS stays one, and so does a gap.
func (d *dive) filled(y []float64) []float64 {
	out := append([]float64(nil), y...)
	last := -1
	for i, v := range y {
		if i > 0 && d.Gap(i-1) {
			last = -1
		}
		if math.IsNaN(v) {
			continue
		}
		if h := d.TimeS[i]; last >= 0 && last < i-1 && h-d.TimeS[last] <= d.p.FillS {
			for j := last + 1; j < i; j++ {
				out[j] = y[last] + (v-y[last])*(d.TimeS[j]-d.TimeS[last])/(h-d.TimeS[last])
			}
		}
		last = i
	}
	return out
}

// readings are the rows of y that hold one, in order.
func readings(y []float64) []float64 {
	out := make([]float64, 0, len(y))
	for _, v := range y {
		if !math.IsNaN(v) {
			out = append(out, v)
		}
	}
	return out
}
