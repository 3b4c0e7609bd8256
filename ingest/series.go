package ingest

import (
	"sort"
	"strings"

	"afterloop/analysis/gas"
)

func sortColumns(cols []*column) {
	sort.SliceStable(cols, func(i, j int) bool { return cols[i].key.number < cols[j].key.number })
}

// values is the series of a column, nil without one.
func (c *column) series() []float64 {
	if c == nil {
		return nil
	}
	return c.values
}

func numberedSeries(cols []*column) []Numbered {
	var all []Numbered
	for _, c := range cols {
		all = append(all, Numbered{Number: c.key.number, Values: c.values})
	}
	return all
}

// setValves joins the two columns of each valve.
func (rd *reader) setValves(d *Dive) {
	openings := map[int][]float64{}
	for _, c := range rd.t.numbered(valveOpeningsQuantity) {
		openings[c.key.number] = c.values
	}
	for _, c := range rd.t.numbered(valveOpenQuantity) {
		n := c.key.number
		d.Valves = append(d.Valves, Valve{Number: n, OpenS: c.values, Openings: openings[n]})
		delete(openings, n)
	}
	for n, counts := range openings {
		d.Valves = append(d.Valves, Valve{Number: n, OpenS: rd.t.missingSeries(), Openings: counts})
	}
	sort.Slice(d.Valves, func(i, j int) bool { return d.Valves[i].Number < d.Valves[j].Number })
}

// setSeries takes over the columns that need no thought.
func (rd *reader) setSeries(d *Dive) {
	t := &rd.t
	d.UnitPO2Bar = t.single(unitPO2Quantity).series()
	d.SetPointBar = t.single(setPointQuantity).series()
	d.LoopHe = t.single(loopHeQuantity).series()
	if d.LoopHe == nil {
		d.LoopHe = rd.singleOrFirst(loopHeQuantity)
	}
	d.LoopHeByNumber = numberedSeries(t.numbered(loopHeQuantity))
	d.LoopMbar = t.single(loopMbarQuantity).series()
	d.TempC = t.single(waterTempQuantity).series()
	d.LoopTempC = t.single(loopTempQuantity).series()
	d.O2CylBar = t.single(o2CylQuantity).series()
	d.DilCylBar = t.single(dilCylQuantity).series()
	d.BatteryV = numberedSeries(t.numbered(batteryQuantity))
	for i := range t.cols {
		if c := &t.cols[i]; c.def != nil && c.key.quantity == halfPO2Quantity && !c.spare {
			d.HalfPO2Bar = append(d.HalfPO2Bar, Lettered{Letter: c.key.letter, Values: c.values})
		}
	}
	sort.Slice(d.HalfPO2Bar, func(i, j int) bool { return d.HalfPO2Bar[i].Letter < d.HalfPO2Bar[j].Letter })
}

// setWords settles events, notes, gases and what was breathed.
func (rd *reader) setWords(d *Dive) {
	rd.setEvents(d)
	d.OpenGas = rd.gases(rd.t.single(openGasQuantity), d.Meta.OpenCircuitGas)
	d.Diluent = rd.gases(rd.t.single(diluentQuantity), d.Meta.Diluent)
	d.Breathing = rd.breathing(d)
	for i := range rd.t.cols {
		if c := &rd.t.cols[i]; c.kind == textKind {
			d.Unknown = append(d.Unknown, TextColumn{Name: c.name, Values: c.texts})
		}
	}
}

// unknownGas is the word for a gas that nobody knows from here on.
const unknownGas = "unknown"

// gases gives every row the gas in force. A change that cannot be read leaves
// the gas unknown, because the one before is then no longer true.
func (rd *reader) gases(c *column, first Gas) []Gas {
	all := make([]Gas, rd.t.rows())
	now, next := first, 0
	for i := range all {
		for c != nil && next < len(c.marks) && c.marks[next].row == i {
			now = rd.changeGas(c, next, now)
			next++
		}
		all[i] = now
	}
	return all
}

// changeGas reads change k of a column. Of two on one row the first stands.
func (rd *reader) changeGas(c *column, k int, now Gas) Gas {
	m := c.marks[k]
	p := Problem{Line: rd.t.line[m.row], Column: c.name, Read: m.text, Severity: Warning, Want: wantMix}
	if k > 0 && c.marks[k-1].row == m.row {
		p.Code, p.Treatment, p.Want = "same-time-contradicts", "left out: the row before has the same time and another gas", "one row for each time"
		rd.problems.add(rd.indexOf(c), m.row, p)
		return now
	}
	x, err := gas.ParseMix(m.text)
	if err == nil {
		return Gas{Mix: x, Known: true}
	}
	if !strings.EqualFold(m.text, unknownGas) {
		p.Code, p.Treatment = "not-a-gas", "a change to a gas that is not known, from this row on"
		rd.problems.add(rd.indexOf(c), m.row, p)
	}
	return Gas{}
}

// indexOf is a column's place in the header.
func (rd *reader) indexOf(c *column) int {
	for i := range rd.t.cols {
		if c == &rd.t.cols[i] {
			return i
		}
	}
	return wholeFile
}

// setColumns lists what each column of the file holds.
func (rd *reader) setColumns(d *Dive) {
	for i := range rd.t.cols {
		c := &rd.t.cols[i]
		f := ColumnFacts{Name: c.name, Meaning: c.meaningText(), Known: c.def != nil, Filled: c.filled(), Decimals: -1}
		f.Min, f.Max = c.extent()
		if c.kind == numberKind || c.kind == clockKind {
			f.Decimals = c.decimals
		}
		if i == rd.t.timeAt {
			f.Filled, f.Min, f.Max = len(d.TimeS), d.TimeS[0], d.TimeS[len(d.TimeS)-1]
		}
		d.Columns = append(d.Columns, f)
	}
}
