package lesson

import (
	"fmt"
	"math"
	"slices"

	"afterloop/analysis/gas"
	"afterloop/analysis/scenario"
)

// Dive is the dive of one seed of a lesson, with its truth.
type Dive struct {
	Lesson Lesson
	Seed   uint64
	// Tries is how many draws it took until the dive showed what the lesson claims.
	Tries int
	Spec  scenario.Spec
	Log   scenario.Log
	Truth scenario.Truth

	draft *draft
	tS    []float64
}

// mostTries bounds how often a dive is drawn anew.
const mostTries = 40

// Make draws the dive of a seed. A dive that does not show what the lesson claims
// is drawn anew from a seed made of this one, so that the result depends on the
// lesson and the seed alone.
func Make(l Lesson, seed uint64) (*Dive, error) {
	var err error
	for try := range mostTries {
		var d *Dive
		if d, err = draw(l, seed+uint64(try)*0x9E3779B97F4A7C15); err != nil {
			return nil, err
		}
		d.Seed, d.Tries = seed, try+1
		if err = l.shows(d); err == nil {
			return d, nil
		}
	}
	return nil, fmt.Errorf("lesson %s, seed %d: %w", l.Name, seed, err)
}

func draw(l Lesson, seed uint64) (*Dive, error) {
	dr := newDraft(seed)
	l.draw(dr)
	dr.Name = l.Name
	log, truth, err := scenario.Run(dr.Spec)
	if err != nil {
		return nil, fmt.Errorf("lesson %s: %w", l.Name, err)
	}
	return &Dive{Lesson: l, Spec: dr.Spec.WithDefaults(), Log: log, Truth: truth, draft: dr, tS: log.Column("time_s").Values}, nil
}

// Times are the rows' moments, FirstS the first of them, Readings what each cell
// read, TruePO2 the PO2 at the cells that no log holds, Helium the measured
// fraction or nil.
func (d *Dive) Times() []float64   { return d.tS }
func (d *Dive) FirstS() float64    { return d.tS[0] }
func (d *Dive) TruePO2() []float64 { return d.sensed() }
func (d *Dive) Helium() []float64  { return d.column("loop_he") }
func (d *Dive) Readings() [][]float64 {
	var out [][]float64
	for k := range d.Spec.Cells {
		out = append(out, d.cell(k+1))
	}
	return out
}

// column is a column of the log; nil where there is none.
func (d *Dive) column(name string) []float64 {
	if c := d.Log.Column(name); c != nil {
		return c.Values
	}
	return nil
}

func (d *Dive) cell(n int) []float64 { return d.column(fmt.Sprintf("cell%d_po2_bar", n)) }

// row is the last row at or before a moment, at least the first.
func (d *Dive) row(tS float64) int {
	i, found := slices.BinarySearch(d.tS, tS)
	if !found {
		i--
	}
	return min(max(i, 0), len(d.tS)-1)
}

// mean is that of a column over a window.
func (d *Dive) mean(v []float64, fromS, toS float64) float64 {
	a, b := d.row(fromS), d.row(toS)
	sum := 0.0
	for i := a; i <= b; i++ {
		sum += v[i]
	}
	return sum / float64(b-a+1)
}

// span is largest less smallest of a column over a window.
func (d *Dive) span(v []float64, fromS, toS float64) float64 {
	w := v[d.row(fromS) : d.row(toS)+1]
	return slices.Max(w) - slices.Min(w)
}

// apart is the longest stretch, in seconds, for which a column lies farther than
// bar from another.
func (d *Dive) apart(a, b []float64, bar float64) float64 {
	longest, sinceS := 0.0, math.NaN()
	for i := range d.tS {
		if math.Abs(a[i]-b[i]) < bar {
			sinceS = math.NaN()
			continue
		}
		if math.IsNaN(sinceS) {
			sinceS = d.tS[i]
		}
		longest = math.Max(longest, d.tS[i]-sinceS)
	}
	return longest
}

// sensed is the true PO2 at the cells, row by row.
func (d *Dive) sensed() []float64 {
	v := make([]float64, len(d.Truth.Rows))
	for i, r := range d.Truth.Rows {
		v[i] = r.SensedBar
	}
	return v
}

// ambient is the pressure at a moment, by the recorded depth.
func (d *Dive) ambient(tS float64) float64 {
	return gas.Ambient(d.Spec.SurfacePressureBar, d.column("depth_m")[d.row(tS)], d.Spec.WaterDensityKgM3)
}

// mix is the diluent.
func (d *Dive) mix() gas.Mix {
	m, _ := gas.ParseMix(d.Spec.Diluent) // validated when it was run
	return m
}

// diluentO2 is the oxygen fraction of the diluent.
func (d *Dive) diluentO2() float64 { return d.mix().O2 }

// flushed is the moment at which a flush has done its work and the PO2 that
// complete flushing with dry gas gives.
func (d *Dive) flushed(atS float64) (tS, bar float64) {
	tS = atS + 30
	return tS, d.diluentO2() * d.ambient(tS)
}

// firstFault is the first fault as it came out, of that kind.
func (d *Dive) firstFault(kind string) (scenario.TrueFault, bool) {
	for _, f := range d.Truth.Facts.Faults {
		if f.Kind == kind {
			return f, true
		}
	}
	return scenario.TrueFault{}, false
}

// spread is the largest difference between cells at a row.
func (d *Dive) spread(i int) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for k := range d.Spec.Cells {
		v := d.cell(k + 1)[i]
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return hi - lo
}

// agree is an error where cells differ by more than bar for longer than forS.
func (d *Dive) agree(bar, forS float64) error {
	s := make([]float64, len(d.tS))
	for i := range s {
		s[i] = d.spread(i)
	}
	if long := d.apart(s, make([]float64, len(s)), bar); long > forS {
		return fmt.Errorf("cells differ by more than %.2f bar for %.0f s", bar, long)
	}
	return nil
}

// bearable is an error where the true PO2 leaves what a lesson should show.
func (d *Dive) bearable(lo, hi float64) error {
	for _, r := range d.Truth.Rows {
		if r.SensedBar < lo || r.SensedBar > hi {
			return fmt.Errorf("PO2 is %.2f bar at %.0f s", r.SensedBar, r.TimeS)
		}
	}
	return nil
}

// want is an error unless a claim holds.
func want(ok bool, format string, args ...any) error {
	if ok {
		return nil
	}
	return fmt.Errorf(format, args...)
}
