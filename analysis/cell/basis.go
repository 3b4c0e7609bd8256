package cell

import (
	"math"

	"afterloop/analysis/loop"
)

// mixings are the mixing times tried, in seconds: a few breaths.
var mixings = [...]float64{0, 4, 10, 20}

// basis holds the solutions of the loop equation (METHODS, "The loop") over one
// window. While the loop vents,
//
//	dp/dt = (p/Pd) dPd/dt + (1-x)(Q - VO2)/V
//
// is linear in p, so that p is a sum of columns:
//
//	phi   = Pd                         what was there
//	psi_0 = Pd int m/Pd ds             metabolism
//	psi_1 = Pd int m (s-s0)/Pd ds      metabolism that changes steadily
//	chi_k = Pd int (1-x) u_k/Pd ds     oxygen by valve k, smeared by mixing
//
// m is 1-x while ascending and 1-F_dil while diluent holds the volume. Each valve has
// its own column: a dead one then explains nothing.
type basis struct {
	timeS  []float64
	free   [][]float64             // phi, psi_0, psi_1
	inflow map[float64][][]float64 // chi_k by mixing time
}

func (d *dive) newBasis(a ascent, y []float64) basis {
	n := a.to - a.warm + 1
	b := basis{timeS: d.TimeS[a.warm : a.to+1], inflow: map[float64][][]float64{}}
	phi, room, met := make([]float64, n), make([]float64, n), make([]float64, n)
	for k := range n {
		phi[k] = d.AmbientBar[a.warm+k] - (d.VapourLowBar+d.VapourHighBar)/2
		room[k], met[k] = d.room(a.warm+k, y, phi[k])
	}
	later := make([]float64, n)
	for k := range later {
		later[k] = met[k] * (b.timeS[k] - b.timeS[0]) / 100
	}
	b.free = [][]float64{phi, integral(b.timeS, phi, met), integral(b.timeS, phi, later)}
	for _, mix := range mixings {
		for _, valve := range d.Valves {
			u := loop.LowPass(nil, b.timeS, d.openness(valve, a), mix, nil)
			for k := range u {
				u[k] *= room[k]
			}
			b.inflow[mix] = append(b.inflow[mix], integral(b.timeS, phi, u))
		}
	}
	return b
}

// room is 1-x, and what metabolism is multiplied by, at row i.
func (d *dive) room(i int, y []float64, pd float64) (room, met float64) {
	const usual, ascentMS = 0.7, -3.0 / 60
	room = 1 - math.Min(y[i]/pd, 0.95)
	if math.IsNaN(room) {
		room = usual
	}
	if d.FO2Dil != nil && !math.IsNaN(d.FO2Dil[i]) && !(d.rate[i] <= ascentMS) {
		return room, 1 - d.FO2Dil[i]
	}
	return room, room
}

// openness is the share of time a valve is open, over the rows of a window.
func (d *dive) openness(v loop.Valve, a ascent) []float64 {
	out := make([]float64, a.to-a.warm+1)
	for k := range out {
		i := a.warm + k
		if i > 0 && !math.IsNaN(v.OpenS[i]) {
			out[k] = v.OpenS[i] / (d.TimeS[i] - d.TimeS[i-1])
		}
	}
	return out
}

// integral is pd int u/pd ds by the trapezoidal rule.
func integral(timeS, pd, u []float64) []float64 {
	out := make([]float64, len(u))
	sum := 0.0
	for k := 1; k < len(u); k++ {
		sum += (timeS[k] - timeS[k-1]) / 2 * (u[k]/pd[k] + u[k-1]/pd[k-1])
		out[k] = sum * pd[k]
	}
	return out
}

// moved is the relative range of dry pressure in the window.
func (b basis) moved() float64 {
	lo, hi := math.Inf(1), 0.0
	for _, p := range b.free[0] {
		lo, hi = math.Min(lo, p), math.Max(hi, p)
	}
	return (hi - lo) / hi
}

// filtered is columns behind a cell's time constant.
func (b basis) filtered(cols [][]float64, tau float64) [][]float64 {
	out := make([][]float64, len(cols), len(cols)+4)
	for k, c := range cols {
		out[k] = loop.LowPass(nil, b.timeS, c, tau, nil)
	}
	return out
}
