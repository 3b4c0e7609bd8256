package benchlog

import (
	"fmt"
	"sort"

	"afterloop/ingest"
)

// CellTest is a test of cells in a pressure pot as recorded. Slices have one
// element per row; nil means that there is no such column, NaN "not recorded".
type CellTest struct {
	Source   ingest.Source
	Problems []ingest.Problem
	Unknown  []string
	// Test, Tester, Pot and Date are free text; Date should be RFC 3339.
	Test, Tester, Pot, Date string
	TimeS                   []float64
	// PressureBar is absolute; Reference is what the file states: gauge or absolute.
	PressureBar     []float64
	PressureStepBar float64
	Reference       string
	AmbientBar      float64
	AmbientAssumed  bool
	TempC, Humidity []float64 // humidity as a fraction of saturation
	Gas             PotGas
	Cells           []Cell
}

// PotGas is what is stated of the oxygen in the pot; NaN where nothing is.
type PotGas struct {
	// O2 is the fraction of the whole test, where it was measured or is known.
	O2 float64
	// O2Rows is the same as a column, nil without.
	O2Rows []float64
	// Purges is how often, before the first row, the pot was pressed from LowBar to
	// HighBar (absolute) with the supply gas and let down again; -1 not stated.
	Purges          int
	LowBar, HighBar float64
	// SupplyO2 and StartO2 are fractions: of the gas that fills the pot, and of
	// what was in it before the purges.
	SupplyO2, StartO2 float64
}

// Cell is one cell in the pot: millivolts, or PO2 where only that was shown.
type Cell struct {
	Number  int
	Serial  string
	MV      []float64
	PO2Bar  []float64
	StepRaw float64 // rounding step of the column in use
}

// CellsFormat is the format bench-cells, version 1.
func CellsFormat() ingest.SheetFormat {
	return ingest.SheetFormat{Name: "bench-cells", Columns: []ingest.SheetColumnDef{
		{Name: "pressure_bar", Key: "pressure", Mul: 1, Lowest: -1.2, Highest: 20, Unit: "bar"},
		{Name: "pressure_kpa", Key: "pressure", Mul: 0.01, Lowest: -120, Highest: 2000, Unit: "kPa"},
		{Name: "pressure_mbar", Key: "pressure", Mul: 0.001, Lowest: -1200, Highest: 20000, Unit: "mbar"},
		{Name: "pressure_psi", Key: "pressure", Mul: 0.0689475729, Lowest: -17, Highest: 290, Unit: "psi"},
		{Name: "cell#_mv", Key: "mv", Mul: 1, Lowest: -50, Highest: 2000, Unit: "mV"},
		{Name: "cell#_po2_bar", Key: "po2", Mul: 1, Lowest: -0.5, Highest: 20, Unit: "bar"},
		{Name: "temp_c", Key: "temp", Mul: 1, Lowest: -20, Highest: 80, Unit: "C"},
		{Name: "humidity_percent", Key: "humidity", Mul: 0.01, Lowest: 0, Highest: 100, Unit: "%"},
		{Name: "o2_fraction", Key: "o2", Mul: 1, Lowest: 0, Highest: 1, Unit: "(a fraction)"},
		{Name: "note", Key: "note", Words: []string{"*"}},
	}}
}

// ReadCells reads a test of cells. Whether the pressure is gauge or absolute must
// be stated: it is the difference of one bar.
func ReadCells(path string, o Options) (*CellTest, error) {
	s, err := ingest.ReadSheetFile(path, o.Stdin, CellsFormat())
	if err != nil {
		return nil, err
	}
	m, err := newMetaReader(s, "bench-cells", "test", "tester", "pot", "date", "pressure", "ambient_pressure_bar", "o2_fraction",
		"purges", "purge_low_bar", "purge_high_bar", "supply_o2", "start_o2", "cell#_serial")
	if err != nil {
		return nil, err
	}
	t := &CellTest{Test: m.text("test"), Tester: m.text("tester"), Pot: m.text("pot"), Date: m.text("date"), TimeS: s.TimeS, Unknown: s.Unknown,
		TempC: values(s, "temp"), Humidity: values(s, "humidity")}
	if err := t.pressure(s, m); err != nil {
		return nil, err
	}
	t.gas(s, m)
	if err := t.cells(s, m); err != nil {
		return nil, err
	}
	t.Source, t.Problems = s.Source, s.Problems()
	return t, firstGrave(t.Problems, o.Strict)
}

func (t *CellTest) pressure(s *ingest.Sheet, m *metaReader) error {
	c := s.Find("pressure", 0)
	if c == nil {
		return s.Fatal(s.HeaderLine, "no-pressure", "a header without a pressure", "no test of cells", "a column pressure_bar, pressure_kpa, pressure_mbar or pressure_psi")
	}
	if t.Reference = m.word("pressure", "gauge", "absolute"); t.Reference == "" {
		return s.Fatal(1, "pressure-reference", "no line # pressure: gauge or # pressure: absolute", "a pressure that may be off by one bar, so that nothing is computed",
			"a line # pressure: gauge or # pressure: absolute above the header")
	}
	t.AmbientBar, t.AmbientAssumed = m.ambient()
	t.PressureStepBar = c.Step()
	t.PressureBar = make([]float64, len(c.Values))
	for i, v := range c.Values {
		if t.Reference == "gauge" {
			v += t.AmbientBar
		}
		if v < 0.3 { // below any room: the reference is wrong
			s.Add(ingest.Problem{Line: s.Line[i], Column: c.Name, Read: fmt.Sprintf("%g bar absolute", v), Severity: ingest.Warning, Code: "impossible",
				Treatment: "not recorded", Want: "a pressure of at least 0.3 bar absolute; is it gauge?"})
			v = missing
		}
		t.PressureBar[i] = v
	}
	return nil
}

func (t *CellTest) gas(s *ingest.Sheet, m *metaReader) {
	g := &t.Gas
	g.O2, g.O2Rows = m.number("o2_fraction", 0, 1), values(s, "o2")
	g.Purges = -1
	if n := m.number("purges", 0, 100); n == float64(int(n)) {
		g.Purges = int(n)
	}
	g.SupplyO2, g.StartO2 = m.number("supply_o2", 0, 1), m.number("start_o2", 0, 1)
	shift := 0.0
	if t.Reference == "gauge" {
		shift = t.AmbientBar
	}
	g.LowBar, g.HighBar = m.number("purge_low_bar", -0.5, 20)+shift, m.number("purge_high_bar", -0.5, 20)+shift
	if g.Purges > 0 && !(g.HighBar > g.LowBar && g.LowBar > 0) {
		s.Add(ingest.Problem{Line: m.seen["purges"].Line, Read: "purges: " + m.text("purges"), Severity: ingest.Warning, Code: "bad-metadata",
			Treatment: "not stated: the pressures of the purges are not there or do not fit", Want: "purge_low_bar and purge_high_bar, the second higher"})
		g.Purges = -1
	}
}

func (t *CellTest) cells(s *ingest.Sheet, m *metaReader) error {
	byNumber := map[int]*Cell{}
	for i := range s.Columns {
		c := &s.Columns[i]
		if c.Key != "mv" && c.Key != "po2" {
			continue
		}
		cell := byNumber[c.Number]
		if cell == nil {
			cell = &Cell{Number: c.Number, Serial: m.text(fmt.Sprintf("cell%d_serial", c.Number))}
			byNumber[c.Number] = cell
		}
		if c.Key == "mv" {
			cell.MV, cell.StepRaw = c.Values, c.Step()
		} else {
			cell.PO2Bar = c.Values
			if cell.MV == nil {
				cell.StepRaw = c.Step()
			}
		}
	}
	for _, c := range byNumber {
		t.Cells = append(t.Cells, *c)
	}
	sort.Slice(t.Cells, func(i, j int) bool { return t.Cells[i].Number < t.Cells[j].Number })
	if len(t.Cells) == 0 {
		return s.Fatal(s.HeaderLine, "no-cells", "a header without a cell", "no test of cells", "a column cell1_mv or cell1_po2_bar")
	}
	return nil
}
