package scenario

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Log is a loop log, version 1, before it is written.
type Log struct {
	Meta    []MetaLine
	Columns []Column
}

// MetaLine is one "# key: value" line.
type MetaLine struct{ Key, Value string }

// Column is one column: numbers written with a fixed number of decimals, or text.
type Column struct {
	Name     string
	Decimals int
	IsText   bool
	Values   []float64
	Text     []string
}

func (c *Column) append(f field) {
	if c.IsText {
		c.Text = append(c.Text, f.text)
		return
	}
	c.Values = append(c.Values, f.num)
}

func (c Column) field(i int) string {
	if c.IsText {
		return c.Text[i]
	}
	return strconv.FormatFloat(c.Values[i], 'f', c.Decimals, 64)
}

// Rows is the number of rows.
func (l Log) Rows() int {
	if len(l.Columns) == 0 {
		return 0
	}
	return max(len(l.Columns[0].Values), len(l.Columns[0].Text))
}

// Column returns the column of that name, or nil.
func (l Log) Column(name string) *Column {
	for i := range l.Columns {
		if l.Columns[i].Name == name {
			return &l.Columns[i]
		}
	}
	return nil
}

// WriteCSV writes the log in the form of FORMAT.md, version 1.
func (l Log) WriteCSV(w io.Writer) error {
	b := bufio.NewWriter(w)
	for _, m := range l.Meta {
		fmt.Fprintf(b, "# %s: %s\n", m.Key, m.Value)
	}
	c := csv.NewWriter(b)
	row := make([]string, len(l.Columns))
	for i, col := range l.Columns {
		row[i] = col.Name
	}
	c.Write(row) // errors stick to the writer and are read below
	for r := range l.Rows() {
		for i, col := range l.Columns {
			row[i] = col.field(r)
		}
		c.Write(row)
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return fmt.Errorf("scenario: writing the log: %w", err)
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("scenario: writing the log: %w", err)
	}
	return nil
}

// log puts the rows and the lines before the header together.
func (d *dive) log() Log { return Log{Meta: metaLines(d.spec), Columns: d.recorder.columns} }

// metaLines lists what the log says before its header.
func metaLines(s Spec) []MetaLine {
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	lines := []MetaLine{{"loop-log", "1"}}
	add := func(key, value string) {
		if value != "" {
			lines = append(lines, MetaLine{key, value})
		}
	}
	add("dive", s.Meta.Dive)
	add("diver", s.Meta.Diver)
	add("unit", s.Meta.Unit)
	add("start", s.Meta.Start)
	add("surface_pressure_bar", num(s.SurfacePressureBar))
	add("water_density_kg_m3", num(s.WaterDensityKgM3))
	add("diluent", s.Diluent)
	if s.OpenCircuitGas != s.Diluent {
		add("open_circuit_gas", s.OpenCircuitGas)
	}
	if s.Meta.LoopFacts {
		add("loop_volume_l", num(s.Loop.VolumeL))
		add("oxygen_flow_l_min", num(s.Valves[0].FlowLMin))
	}
	if s.Supply != nil && s.Supply.OxygenCylinderL > 0 {
		add("oxygen_cylinder_l", num(s.Supply.OxygenCylinderL))
	}
	for k := range s.Meta.Serials {
		add(fmt.Sprintf("cell%d_serial", k+1), s.Meta.Serials[k])
	}
	for k := range s.Meta.Installed {
		add(fmt.Sprintf("cell%d_installed", k+1), s.Meta.Installed[k])
	}
	if c := s.Meta.Calibration; c != nil {
		add("cal_gas_o2", num(c.GasO2))
		add("cal_pressure_bar", num(c.PressureBar))
		if c.TempC != 0 {
			add("cal_temp_c", num(c.TempC))
		}
		add("cal_time", c.Time)
		add("cal_gas_humid", either(c.Humid, "yes", "no"))
	}
	if h := s.Helium; h != nil {
		add("loop_he_basis", h.Basis)
		if h.StatedSigma > 0 {
			add("loop_he_sigma", num(h.StatedSigma))
		}
	}
	for _, half := range s.Meta.Halves {
		lines = append(lines, halfLine(half))
	}
	return lines
}

// halfLine splits "half_A: cells 1,2; valve 1".
func halfLine(text string) MetaLine {
	key, value, _ := strings.Cut(text, ":")
	return MetaLine{strings.TrimSpace(key), strings.TrimSpace(value)}
}
