package ingest

import "math"

func (d *Dive) checkSeries() error {
	all := []struct {
		name            string
		x               []float64
		lowest, highest float64
	}{
		{"the unit's PO2", d.UnitPO2Bar, 0, math.MaxFloat64},
		{"set point", d.SetPointBar, 0, math.MaxFloat64},
		{"helium", d.LoopHe, minHe, maxHe},
		{"loop pressure", d.LoopMbar, -math.MaxFloat64, math.MaxFloat64},
		{"water temperature", d.TempC, -math.MaxFloat64, math.MaxFloat64},
		{"loop temperature", d.LoopTempC, -math.MaxFloat64, math.MaxFloat64},
		{"oxygen cylinder", d.O2CylBar, 0, math.MaxFloat64},
		{"diluent cylinder", d.DilCylBar, 0, math.MaxFloat64},
	}
	for _, s := range all {
		if err := d.series(s.name, s.x, s.lowest, s.highest); err != nil {
			return err
		}
	}
	return nil
}

func (d *Dive) checkNumbered() error {
	for _, set := range [][]Numbered{d.AmbientByNumber, d.LoopHeByNumber, d.BatteryV} {
		if err := d.checkNumberedSet(set); err != nil {
			return err
		}
	}
	last := ""
	for _, s := range d.HalfPO2Bar {
		if s.Letter <= last {
			return broken("half %q after half %q", s.Letter, last)
		}
		last = s.Letter
		if err := d.series("a half's PO2", s.Values, 0, math.MaxFloat64); err != nil {
			return err
		}
	}
	return nil
}

func (d *Dive) checkNumberedSet(set []Numbered) error {
	last := 0
	for _, s := range set {
		if s.Number <= last || s.Values == nil {
			return broken("part %d after part %d, or without values", s.Number, last)
		}
		last = s.Number
		if err := d.series("a numbered series", s.Values, minHe, math.MaxFloat64); err != nil {
			return err
		}
	}
	return nil
}

func (d *Dive) checkGases() error {
	if len(d.Breathing) != d.Rows() || len(d.OpenGas) != d.Rows() || len(d.Diluent) != d.Rows() {
		return broken("breathing, open-circuit gas or diluent lack rows")
	}
	for i := range d.TimeS {
		if d.Breathing[i] > OpenCircuit {
			return broken("breathing is %d on row %d", d.Breathing[i], i)
		}
		if !d.OpenGas[i].possible() || !d.Diluent[i].possible() {
			return broken("a gas that cannot exist on row %d", i)
		}
	}
	return nil
}

// possible tells whether the fractions are those of a gas that can be breathed,
// or zero where the gas is not known.
func (g Gas) possible() bool {
	if !g.Known {
		return g.Mix.O2 == 0 && g.Mix.He == 0
	}
	return g.O2 > 0 && g.He >= 0 && g.O2+g.He <= 1+1e-9
}

func (d *Dive) checkMarks() error {
	last := 0
	for _, e := range d.Events {
		if e.Row < last || e.Row >= d.Rows() {
			return broken("an event on row %d", e.Row)
		}
		last = e.Row
	}
	last = 0
	for _, n := range d.Notes {
		if n.Row < last || n.Row >= d.Rows() {
			return broken("a note on row %d", n.Row)
		}
		last = n.Row
	}
	for _, u := range d.Unknown {
		if len(u.Values) != d.Rows() {
			return broken("column %q has %d elements for %d rows", u.Name, len(u.Values), d.Rows())
		}
	}
	return nil
}
