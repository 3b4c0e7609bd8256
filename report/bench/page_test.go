package bench

import (
	"bytes"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"afterloop/analysis/ageing"
	"afterloop/analysis/bench"
	"afterloop/analysis/linearity"
	"afterloop/analysis/tightness"
	"afterloop/ingest/benchlog"
	"afterloop/ingest/register"
	"afterloop/report"
)

const hostile = `"'><script>alert(1)</script><img src=http://example.invalid/x onerror=alert(2)>` + "\x1b[31m\u202e"

// pages are all pages, made from files and a register whose every text is hostile.
func pages(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	add := func(name string, write func(io.Writer) error) {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = b.Bytes()
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
			if bytes.ContainsAny(b, "\x1b\u202e") {
				t.Errorf("%s: control characters reach the terminal", name)
			}
			continue
		}
		root, err := html.Parse(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		for n := range root.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			switch n.Data {
			case "script", "img", "iframe", "object", "link", "form":
				t.Errorf("%s: element %s", name, n.Data)
			}
			for _, a := range n.Attr {
				if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "style" || a.Key == "href" && strings.Contains(a.Val, ":") {
					t.Errorf("%s: attribute %s=%q", name, a.Key, a.Val)
				}
			}
		}
		for _, want := range []string{"default-src &#39;none&#39;", "clears no equipment for use", "call emergency medical services", "NaN"} {
			if has := bytes.Contains(b, []byte(want)); has != (want != "NaN") {
				t.Errorf("%s: %q: %v", name, want, has)
			}
		}
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

// TestSpike: one sample's spike among many is drawn.
func TestSpike(t *testing.T) {
	var xs, ys []float64
	for i := range 200_000 {
		xs, ys = append(xs, float64(i)), append(ys, 1)
	}
	for _, at := range []int{0, 77_777, 199_999} {
		v := append([]float64{}, ys...)
		v[at] = 5
		p := newPlot("x", "", "", "", "", [2]float64{0, 200_000}, [2]float64{0, 6})
		p.line("", report.LimitStroke(), xs, v)
		top := p.y.at(5)
		if !strings.Contains(p.Curves[0].Path, " "+strings.TrimSuffix(trim(top), ".0")) {
			t.Errorf("the spike at %d is not drawn", at)
		}
		if len(p.Curves[0].Path) > 200_000 {
			t.Errorf("%d bytes are drawn", len(p.Curves[0].Path))
		}
	}
}

func trim(v float64) string { return minus(strings.TrimSpace(itoaTenths(v))) }

func itoaTenths(v float64) string {
	n := int(math.Round(v * 10))
	return itoa(n/10) + "." + itoa(n%10)
}

func TestTicks(t *testing.T) {
	p := newPlot("x", "", "", "", "", [2]float64{-0.1, 0.1}, [2]float64{3, 3})
	var labels []string
	for _, k := range p.XTicks {
		labels = append(labels, k.Label)
	}
	if got := strings.Join(labels, " "); got != "−0.10 −0.05 0.00 0.05 0.10" && got != "−0.10 −0.08 −0.06 −0.04 −0.02 0.00 0.02 0.04 0.06 0.08 0.10" {
		t.Errorf("ticks %q", got)
	}
	months := axis{from: 20454, to: 20454 + 240, a: 0, b: 100}.monthTicks() // 2026-01-01 on
	if len(months) != 8 || months[0].Label != "2026-01" || months[7].Label != "2026-08" {
		t.Errorf("%v", months)
	}
	if got := order(3, 1, 3, 2); len(got) != 3 || got[0] != 1 || got[2] != 3 {
		t.Errorf("%v", got)
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
