package ingest

import (
	"math"
	"strconv"

	"afterloop/analysis/gas"
)

// writeColumns lists the columns that hold d, in the order of the format's table.
func (d *Dive) writeColumns() []writeColumn {
	cols := []writeColumn{numbers("time_s", d.TimeS), numbers("depth_m", d.DepthM)}
	cols = append(cols, d.pressureColumns()...)
	for i := range d.Cells {
		cols = append(cols, d.Cells[i].columns()...)
	}
	cols = appendSeries(cols, "po2_bar", d.UnitPO2Bar)
	for _, h := range d.HalfPO2Bar {
		cols = append(cols, numbers(fill("half@_po2_bar", 0, h.Letter), h.Values))
	}
	cols = appendSeries(cols, "setpoint_bar", d.SetPointBar)
	for _, v := range d.Valves {
		cols = append(cols, numbers(fill("valve#_open_s", v.Number, ""), v.OpenS))
		cols = appendSeries(cols, fill("valve#_openings", v.Number, ""), v.Openings)
	}
	cols = appendSeries(cols, "loop_he", d.LoopHe)
	cols = appendNumbered(cols, "loop_he#", d.LoopHeByNumber)
	cols = appendSeries(cols, "loop_mbar", d.LoopMbar)
	cols = appendSeries(cols, "temp_c", d.TempC)
	cols = appendSeries(cols, "loop_temp_c", d.LoopTempC)
	cols = appendSeries(cols, "o2_cyl_bar", d.O2CylBar)
	cols = appendSeries(cols, "dil_cyl_bar", d.DilCylBar)
	cols = appendNumbered(cols, "battery#_v", d.BatteryV)
	return append(cols, d.wordColumns()...)
}

func numbers(name string, x []float64) writeColumn {
	return writeColumn{name, func(b []byte, row int) []byte {
		if x == nil {
			return b
		}
		return appendNumber(b, x[row])
	}}
}

func appendSeries(cols []writeColumn, name string, x []float64) []writeColumn {
	if x == nil {
		return cols
	}
	return append(cols, numbers(name, x))
}

func appendNumbered(cols []writeColumn, pattern string, all []Numbered) []writeColumn {
	for _, s := range all {
		cols = append(cols, numbers(fill(pattern, s.Number, ""), s.Values))
	}
	return cols
}

// pressureColumns writes pressure as what it was.
func (d *Dive) pressureColumns() []writeColumn {
	var cols []writeColumn
	switch d.AmbientFrom {
	case AmbientMeasured:
		cols = append(cols, numbers("ambient_bar", d.AmbientBar))
	case AmbientPressureDepth:
		surface := d.Meta.SurfacePressureBar
		cols = append(cols, numbers("depth_msw", mapSeries(d.AmbientBar, func(p float64) float64 { return (p - surface) / gas.BarPerMsw })))
	}
	return appendNumbered(cols, "ambient#_bar", d.AmbientByNumber)
}

// columns writes a cell: its PO2 unless millivolts gave it, and what else there is.
func (c *Cell) columns() []writeColumn {
	var cols []writeColumn
	if !c.FromMV {
		cols = append(cols, c.po2Column())
	}
	cols = appendSeries(cols, fill("cell#_mv", c.Number, ""), c.MV)
	if c.Vote != nil {
		cols = append(cols, writeColumn{fill("cell#_vote", c.Number, ""), func(b []byte, row int) []byte {
			return append(b, c.Vote[row].String()...)
		}})
	}
	return cols
}

// po2Column is in bar, or in ata where that is the unit of a display that
// stood at its limit: 9.99 must stay 9.99.
func (c *Cell) po2Column() writeColumn {
	if !c.limitIsInAta() {
		return numbers(fill("cell#_po2_bar", c.Number, ""), c.PO2Bar)
	}
	return writeColumn{fill("cell#_po2_ata", c.Number, ""), func(b []byte, row int) []byte {
		if c.AtDisplayLimit[row] {
			return appendNumber(b, displayLimit)
		}
		return appendNumber(b, c.PO2Bar[row]/gas.BarPerAta)
	}}
}

func (c *Cell) limitIsInAta() bool {
	for row, at := range c.AtDisplayLimit {
		if at {
			return math.Abs(c.PO2Bar[row]-displayLimit) > 1e-6
		}
	}
	return false
}

// wordColumns writes what is text: the states, gases, events, notes, and the
// columns that the format does not define.
func (d *Dive) wordColumns() []writeColumn {
	var cols []writeColumn
	add := func(q quantity, present bool, c writeColumn) {
		// A set-aside column of the same name would take the place of one left out.
		if present || d.hasUnknown(q) {
			cols = append(cols, c)
		}
	}
	breathes := func(b []byte, row int) []byte { return append(b, [...]string{"", "loop", "open"}[d.Breathing[row]]...) }
	add(breathingQuantity, d.breathingKnown(), writeColumn{"breathing", breathes})
	openGas, openChanges := gasColumn(d.OpenGas, d.Meta.OpenCircuitGas)
	add(openGasQuantity, openChanges, writeColumn{"open_gas", openGas})
	diluent, diluentChanges := gasColumn(d.Diluent, d.Meta.Diluent)
	add(diluentQuantity, diluentChanges, writeColumn{"diluent", diluent})
	add(eventQuantity, len(d.Events) > 0, writeColumn{"event", d.eventAppender()})
	add(noteQuantity, len(d.Notes) > 0, writeColumn{"note", nil})
	for _, u := range d.Unknown {
		cols = append(cols, writeColumn{d.keptName(u.Name), func(b []byte, row int) []byte { return append(b, u.Values[row]...) }})
	}
	return cols
}

// keptName is the name of a column that is kept as text; one of a foreign file
// must not become a column of ours by its name.
func (d *Dive) keptName(name string) string {
	if def, _, _ := match(name); def != nil && d.Source.MappingSHA256 != "" {
		return "their " + name
	}
	return name
}

func (d *Dive) hasUnknown(q quantity) bool {
	for _, u := range d.Unknown {
		if def, _, _ := match(d.keptName(u.Name)); def != nil && def.quantity == q {
			return true
		}
	}
	return false
}

func (d *Dive) breathingKnown() bool {
	for _, b := range d.Breathing {
		if b != BreathingNotRecorded {
			return true
		}
	}
	return false
}

// gasColumn writes a gas on the rows from which it changes.
func gasColumn(all []Gas, first Gas) (appendGas func([]byte, int) []byte, changes bool) {
	before := func(row int) Gas {
		if row == 0 {
			return first
		}
		return all[row-1]
	}
	for row := range all {
		changes = changes || all[row] != before(row)
	}
	return func(b []byte, row int) []byte {
		if all[row] == before(row) {
			return b
		}
		return append(b, all[row].text()...)
	}, changes
}

// text is the gas as the log has it, in as many digits as it takes.
func (g Gas) text() string {
	if !g.Known {
		return unknownGas
	}
	return strconv.FormatFloat(g.O2*100, 'g', -1, 64) + "/" + strconv.FormatFloat(g.He*100, 'g', -1, 64)
}

// eventAppender writes the events of a row, parted by semicolons.
func (d *Dive) eventAppender() func([]byte, int) []byte {
	next := 0
	return func(b []byte, row int) []byte {
		for ; next < len(d.Events) && d.Events[next].Row == row; next++ {
			if len(b) > 0 {
				b = append(b, ';')
			}
			b = append(b, d.Events[next].Kind...)
		}
		return b
	}
}
