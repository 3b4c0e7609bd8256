package bench

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"time"

	"afterloop/analysis/ageing"
	"afterloop/analysis/bench"
	"afterloop/analysis/linearity"
	"afterloop/analysis/tightness"
	"afterloop/ingest/benchlog"
	"afterloop/ingest/register"
	"afterloop/report"
	"afterloop/report/internal/reporttest"
)

const hostile = reporttest.Hostile

// pages are all pages, made from files and a register whose every text is hostile.
func pages(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	add := func(name string, write func(io.Writer) error) {
		out[name] = reporttest.Bytes(t, write)
	}
	ct, err := benchlog.ReadCells("../../testdata/bench-cells.csv", benchlog.Options{})
	if err != nil {
		t.Fatal(err)
	}
	ct.Test, ct.Tester, ct.Pot, ct.Date, ct.Source.File, ct.Cells[0].Serial = hostile, hostile, hostile, hostile, hostile, hostile
	cells := bench.Cells(ct, linearity.DefaultParams())
	add("cells", func(w io.Writer) error { return WriteCells(w, cells) })
	add("cells text", func(w io.Writer) error { return WriteCellsText(w, cells, report.TextOptions{}) })
	tt, err := benchlog.ReadTightness("../../testdata/bench-tightness-positive.csv", benchlog.Options{})
	if err != nil {
		t.Fatal(err)
	}
	tt.Name, tt.Tester, tt.Unit, tt.Date = hostile, hostile, hostile, hostile
	tight := bench.Tightness(tt, tightness.DefaultParams(), false)
	add("tightness", func(w io.Writer) error { return WriteTightness(w, tight) })
	add("tightness text", func(w io.Writer) error { return WriteTightnessText(w, tight, report.TextOptions{Width: 40}) })
	reg := ageing.Judge(hostileRegister(), time.Unix(1.79e9, 0), ageing.DefaultParams())
	add("register", func(w io.Writer) error { return WriteRegister(w, reg, func(string) string { return "x.html" }) })
	add("register cell", func(w io.Writer) error { return WriteRegisterCell(w, reg, &reg.Cells[0], "index.html") })
	add("register text", func(w io.Writer) error { return WriteRegisterText(w, reg, report.TextOptions{}) })
	add("register cell text", func(w io.Writer) error { return WriteRegisterCellText(w, reg, &reg.Cells[0], report.TextOptions{}) })
	return out
}

func hostileRegister() register.Content {
	c := register.Content{Cells: []register.Cell{{Serial: hostile, Note: hostile, Made: "2025-01-01", RetiredReason: hostile, Retired: "2026-05-01",
		Fittings: []register.Fitting{{Serial: hostile, Unit: hostile, Position: 1, From: "2025-02-01", To: "2026-05-01"}}}}}
	for i := range 12 {
		v := 50 - 0.5*float64(i)
		at := time.Date(2026, 1, 1+10*i, 0, 0, 0, 0, time.UTC).Format(time.RFC3339)
		c.Measurements = append(c.Measurements, register.Measurement{Serial: hostile, Quantity: "mv_per_bar", At: at, Value: v, Kind: "debrief", File: hostile})
	}
	return c
}

// TestPages: no text of a file becomes markup, nothing is loaded, nothing runs,
// and every page says that it clears nothing for use.
func TestPages(t *testing.T) {
	for name, b := range pages(t) {
		if strings.Contains(name, "text") {
			reporttest.Terminal(t, name, b)
			continue
		}
		reporttest.Bare(t, name, b)
	}
}

// TestSameBytes: two renders are equal.
func TestSameBytes(t *testing.T) {
	a, b := pages(t), pages(t)
	for name := range a {
		if !bytes.Equal(a[name], b[name]) {
			t.Errorf("%s differs between two renders", name)
		}
	}
}

// TestEmpty: a register without cells, and a cell without measurements, have pages.
func TestEmpty(t *testing.T) {
	none := ageing.Judge(register.Content{}, time.Unix(1.79e9, 0), ageing.DefaultParams())
	one := ageing.Judge(register.Content{Cells: []register.Cell{{Serial: "K-1"}}}, time.Unix(1.79e9, 0), ageing.DefaultParams())
	for _, write := range []func(io.Writer) error{
		func(w io.Writer) error { return WriteRegister(w, none, nil) },
		func(w io.Writer) error { return WriteRegisterText(w, none, report.TextOptions{}) },
		func(w io.Writer) error { return WriteRegisterCell(w, one, &one.Cells[0], "") },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil || b.Len() == 0 {
			t.Error(err)
		}
	}
}

// TestTables: a number that is not known is an empty field, and no text is a formula.
func TestTables(t *testing.T) {
	c := hostileRegister()
	c.Cells[0].Note = "=1+1"
	var cellsCSV, measured bytes.Buffer
	if err := WriteCellTable(&cellsCSV, c); err != nil {
		t.Fatal(err)
	}
	if err := WriteMeasurementTable(&measured, register.Content{Measurements: []register.Measurement{{Serial: "K", Quantity: "gain", At: "2026-01-01", Value: 0}}}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(cellsCSV.String(), "'=1+1") {
		t.Errorf("%s", cellsCSV.String())
	}
	if !strings.Contains(measured.String(), "K,gain,2026-01-01,0,,,") {
		t.Errorf("%s", measured.String())
	}
}
