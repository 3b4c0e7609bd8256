package loop

import (
	"fmt"
	"math"
)

// Which valve gave nothing is told by when PO2 rises. Valves open in turn, every few
// seconds; where the log writes PO2 some seconds later than the openings, what one valve
// gave stands beside the openings of the other, and the wrong one looks dead. So a dead
// valve is held against records whose openings are moved later: where another valve is
// then dead and the rows fit as well, the log can't tell which.

// doubtLate lowers the verdict on dead valves that a late record would turn round.
func doubtLate(r Record, cells []CellState, rs *response, w working, po2 []float64, faults []ValveFault, p Params) {
	const tries = 3
	base := math.NaN()
	for k := range faults {
		if faults[k].Kind != DeadValve {
			continue
		}
		if math.IsNaN(base) {
			base = rs.fits(w, w.sigma, r, faults)
		}
		for n := 1; n <= tries && faults[k].Confidence != Possible; n++ {
			lateS := p.LateMostS * float64(n) / tries
			moved := openedLater(r, lateS)
			other := newResponse(moved, cells, p)
			ow := other.settle(moved, p)
			if !(ow.a > 0) {
				continue
			}
			dead := deadValves(moved, &other, ow, po2, p)
			if turned(dead, faults[k]) && other.fits(ow, w.sigma, moved, dead) >= base-p.LogOddsLikely {
				faults[k].Confidence = Possible
				faults[k].Alternatives = append(faults[k].Alternatives,
					fmt.Sprintf("another valve: where PO2 is written to the log some %.0f s later than the openings, valve %d is the dead one", lateS, dead[0].Valve))
			}
		}
	}
}

// turned tells whether a valve other than that of f is dead at the same time, and that
// of f is not.
func turned(dead []ValveFault, f ValveFault) bool {
	another := false
	for _, g := range dead {
		if g.Valve == f.Valve {
			return false
		}
		another = another || !(g.ToS < f.FromS) && !(f.ToS < g.FromS)
	}
	return another
}

// fits is the ln of the likelihood of the rows, up to a constant, with the dead valves'
// openings left out; rows nearer than the correlation time share their weight.
func (rs *response) fits(w working, sigma float64, r Record, dead []ValveFault) float64 {
	rest, sum := rs.without(r, dead), 0.0
	for i, y := range rest.y {
		if !math.IsNaN(y) {
			sum -= surprise(y-w.a*rest.total(i), sigma)
		}
	}
	return sum / rs.k
}

// openedLater is the record with every opening moved by lateS, to the row that then holds it.
func openedLater(r Record, lateS float64) Record {
	valves := make([]Valve, len(r.Valves))
	for k, v := range r.Valves {
		open := make([]float64, len(v.OpenS))
		j := 0
		for i, s := range v.OpenS {
			for j+1 < len(open) && r.TimeS[j] < r.TimeS[i]+lateS {
				j++
			}
			open[j] += orElse(s, 0)
		}
		v.OpenS = open
		valves[k] = v
	}
	r.Valves = valves
	return r
}
