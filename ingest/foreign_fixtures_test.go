package ingest

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterloop/analysis/gas"
	"afterloop/internal/golden"
)

const foreignDir = "../testdata/foreign"

// foreignFixture is an invented file of no program's format, and the dives in it.
type foreignFixture struct {
	name, ending, title string
	dialect             *dialect
	dives               []*Dive
}

func foreignFixtures() []foreignFixture {
	all := []foreignFixture{quay(), slate(), harbour(), week(), cells(), feet()}
	for _, f := range all {
		for _, d := range f.dives {
			f.dialect.prune(d)
		}
	}
	return all
}

// prune leaves in a dive only what the dialect writes.
func (w *dialect) prune(d *Dive) {
	writes := map[string]bool{}
	for _, c := range w.columns {
		writes[c.ours] = true
	}
	for ours, series := range map[string]*[]float64{"po2_bar": &d.UnitPO2Bar, "setpoint_bar": &d.SetPointBar, "temp_c": &d.TempC} {
		if !writes[ours] {
			*series = nil
		}
	}
	d.Meta.SurfaceAssumed = d.Meta.SurfacePressureBar == gas.StandardSurfaceBar
	d.Meta.DensityAssumed = d.Meta.WaterDensityKgM3 == gas.SeaWater
}

// quay: a preamble without #, text until which to skip, a row of units, semicolons
// and decimal commas, a clock past midnight, two dashes for nothing, rows for
// events that share a time with a sample.
func quay() foreignFixture {
	d := inventedDive(70, 86100, 10, 21.3, 3)
	d.Meta.Dive, d.Meta.Diver, d.Meta.Unit = "Lake Ombrel, quay", "R.T.", "loop 7"
	d.Cells[1].PO2Bar[20], d.Cells[1].PO2Bar[21], d.TempC[44] = Missing(), Missing(), Missing()
	d.Events = []Event{{Row: 15, Kind: DiluentFlush}, {Row: 33, Kind: ManualOxygen}, {Row: 33, Kind: CalibrationRun}}
	d.Notes = []Note{{Row: 40, Text: "battery of the light low"}}
	return foreignFixture{"quay", "csv", "files of the recorder on the quay of Lake Ombrel (invented)", &dialect{
		encoding: "utf-8", mark: true, delimiter: ";", decimal: ",", missing: "--",
		lead:      []string{"Recorder of Lake Ombrel, printed 24.05.2026", "Dive: Lake Ombrel, quay", "Diver: R.T.", "Rig: loop 7", "Surface pressure: 965 mbar", "Water: fresh water", "", "Samples; every 10 seconds"},
		skipUntil: "Samples;", unitsRow: true, timeName: "Time", timeFormat: "hh:mm:ss", eventRows: true,
		columns: []theirColumn{depthColumn("Depth", "m", 1), cellColumn(1, "Cell 1", "bar", 2), cellColumn(2, "Cell 2", "bar", 2), cellColumn(3, "Cell 3", "bar", 2),
			seriesColumn("po2_bar", "PO2 control", "bar", 2, func(d *Dive) []float64 { return d.UnitPO2Bar }),
			seriesColumn("setpoint_bar", "Setpoint", "bar", 1, func(d *Dive) []float64 { return d.SetPointBar }),
			degrees(seriesColumn("temp_c", "Water temp", "C", 1, func(d *Dive) []float64 { return d.TempC })), eventAndNoteColumn("Event")},
		words:  map[string]map[string]string{"event": {"diluent_flush": "Dil flush", "manual_oxygen": "O2 by hand", "calibration": "Calibrate"}},
		events: "\n[events]\nseparator = \"+\"\nunlisted = \"note\"\n",
		metadata: `dive = { label = "Dive" }
diver = { label = "Diver" }
unit = { label = "Rig" }
surface_pressure_bar = { label = "Surface pressure", unit = "mbar" }
water = { label = "Water", words = { "fresh water" = "fresh" } }
`}, []*Dive{d}}
}

func degrees(c theirColumn) theirColumn { c.unitShown = "°C"; return c }

// slate: tabs, windows-1252, thousands marks, date and clock of twelve hours in
// two columns, millivolts, helium in per cent, the header again on every page.
func slate() foreignFixture {
	d := inventedDive(60, 41400+1800, 5, 30, 2)
	d.Meta.Unit, d.Meta.Start = "loop 12", "2026-05-23T00:00:00+02:00"
	d.Meta.Diluent = Gas{Mix: gas.Mix{O2: 0.18, He: 0.45}, Known: true}
	d.AmbientFrom = AmbientMeasured
	for i, z := range d.DepthM {
		d.AmbientBar[i] = onStep(gas.Ambient(0.965, z, gas.FreshWater), 0.001)
		d.LoopHe = append(d.LoopHe, onStep(0.30+0.001*float64(i%7), 0.001))
		d.Diluent[i] = d.Meta.Diluent
	}
	for k := range d.Cells {
		c := &d.Cells[k]
		c.CalMV, c.CalPO2Bar, c.FromMV, c.Serial = 48.5+float64(k), 0.98, true, fmt.Sprintf("OM-%d", 410+k)
		for i, p := range c.PO2Bar {
			c.MV = append(c.MV, onStep(p*c.CalMV/c.CalPO2Bar, 0.1))
			c.PO2Bar[i] = c.MV[i] * c.CalPO2Bar / c.CalMV
		}
	}
	return foreignFixture{"slate", "tsv", "pages of the slate logger (invented)", &dialect{
		encoding: "windows-1252", delimiter: "\t", decimal: ".", thousands: ",", missing: "n/a", zone: "+02:00", lineEnd: "\r\n",
		lead:     []string{"Slate logger \u2013 page by page", "Unit\tloop 12", "Surface pressure\t965 mbar", "Water\tfresh", "Diluent\tTx 18/45", "Cell 1 serial\tOM-410", "Cell 2 serial\tOM-411", "Cell 1 calibration\t48.5 mV at 0.98 bar", "Cell 2 calibration\t49.5 mV at 0.98 bar"},
		dateName: "Date", dateFormat: "M/D/YYYY", timeName: "Clock", timeFormat: "h:mm:ss AM", headerEvery: 25, unitsRow: true,
		columns: []theirColumn{depthColumn("Depth", "m", 1), seriesColumn("ambient_bar", "Ambient pressure", "mbar", 0, func(d *Dive) []float64 { return d.AmbientBar }),
			seriesColumn("cell1_mv", "Sensor 1", "mV", 1, func(d *Dive) []float64 { return d.Cells[0].MV }), seriesColumn("cell2_mv", "Sensor 2", "mV", 1, func(d *Dive) []float64 { return d.Cells[1].MV }),
			seriesColumn("loop_he", "Helium", "%", 1, func(d *Dive) []float64 { return d.LoopHe }), degrees(seriesColumn("temp_c", "Temperature", "C", 1, func(d *Dive) []float64 { return d.TempC }))},
		metadata: `surface_pressure_bar = { label = "Surface pressure", unit = "mbar" }
water = { label = "Water" }
unit = { label = "Unit" }
diluent = { label = "Diluent", words = { "Tx 18/45" = "18/45" } }
cell1_serial = { label = "Cell 1 serial" }
cell2_serial = { label = "Cell 2 serial" }
cell1_cal_mv = { pattern = '^Cell 1 calibration\s+([0-9.]+) mV' }
cell2_cal_mv = { pattern = '^Cell 2 calibration\s+([0-9.]+) mV' }
cell1_cal_po2_bar = { pattern = '^Cell 1 calibration.* at ([0-9.]+) bar' }
cell2_cal_po2_bar = { pattern = '^Cell 2 calibration.* at ([0-9.]+) bar' }
`}, []*Dive{d}}
}

// harbour: UTF-16, several dives, each with a preamble and a header of its own.
func harbour() foreignFixture {
	f := foreignFixture{"harbour", "txt", "the book of the harbour (invented)", &dialect{
		encoding: "utf-16le", mark: true, delimiter: ";", decimal: ",", missing: "--", split: "header", lineEnd: "\r\n",
		lead: []string{"", "Dive: harbour wall %N", "Diver: K.O.", "----"}, unitsRow: true, timeName: "Dive time", timeFormat: "mm:ss",
		columns: []theirColumn{depthColumn("Depth", "m", 1), cellColumn(1, "ppO2 1", "bar", 2), cellColumn(2, "ppO2 2", "bar", 2), cellColumn(3, "ppO2 3", "bar", 2),
			seriesColumn("valve1_open_s", "Solenoid open", "ms", 0, func(d *Dive) []float64 { return d.Valves[0].OpenS })},
		metadata: "dive = { label = \"Dive\" }\ndiver = { label = \"Diver\" }\n"}, nil}
	for n, deep := range []float64{12, 25, 9} {
		d := inventedDive(30, 0, []float64{1, 10, 5}[n], deep, 3)
		d.Meta.Dive, d.Meta.Diver, d.Meta.SurfacePressureBar, d.Meta.WaterDensityKgM3 = fmt.Sprintf("harbour wall %d", n+1), "K.O.", gas.StandardSurfaceBar, gas.SeaWater
		open := make([]float64, d.Rows())
		for i := range open {
			if i%6 == 3 {
				open[i] = 0.5 + 0.1*float64(i%5)
			}
		}
		d.Valves = []Valve{{Number: 1, OpenS: open}}
		f.dives = append(f.dives, d)
	}
	return f
}

// week: a column tells the dives apart; date and clock in one field, with the
// zone; coarse figures every 10 s; no rows at the surface; the unit's own votes.
func week() foreignFixture {
	f := foreignFixture{"week", "csv", "the week's file (invented)", &dialect{
		encoding: "utf-8", delimiter: ",", decimal: ".", zone: "+01:00", split: "column", diveName: "Dive no", names: []string{"141", "142", "143"},
		timeName: "Timestamp", timeFormat: "YYYY-MM-DDThh:mm:ssZ",
		columns: []theirColumn{depthColumn("Depth [m]", "m", 1), cellColumn(1, "Cell A PO2 [bar]", "bar", 2), voteColumn(1, "Cell A status"), cellColumn(2, "Cell B PO2 [bar]", "bar", 2),
			voteColumn(2, "Cell B status"), cellColumn(3, "Cell C PO2 [bar]", "bar", 2), voteColumn(3, "Cell C status"), noteColumn("Remark")},
		words: map[string]map[string]string{"vote": {"in": "used", "out": "ignored"}}}, nil}
	for n, deep := range []float64{17, 33, 14} {
		d := inventedDive(36, 36000+3600*float64(n), 10, deep, 3)
		d.Meta.SurfacePressureBar, d.Meta.WaterDensityKgM3 = gas.StandardSurfaceBar, gas.SeaWater
		d.Meta.Start = inventedDay.AddDate(0, 0, n).Format("2006-01-02") + "T00:00:00+01:00"
		for i := range d.DepthM {
			d.DepthM[i] = math.Max(1.2, d.DepthM[i])
		}
		for k := range d.Cells {
			d.Cells[k].Vote = make([]UnitVote, d.Rows())
			for i := range d.Cells[k].Vote {
				d.Cells[k].Vote[i] = VoteIn
				if n == 1 && k == 2 && i > 20 {
					d.Cells[k].Vote[i] = VoteOut
				}
			}
		}
		if n == 2 {
			d.Notes = []Note{{Row: 12, Text: `pike, "large"`}}
		}
		f.dives = append(f.dives, d)
	}
	return f
}

// cells: a unit behind every number, UTF-16 without a mark.
func cells() foreignFixture {
	d := inventedDive(40, 0, 2, 18, 2)
	d.Meta.Dive, d.Meta.SurfacePressureBar, d.Meta.WaterDensityKgM3 = "pool of Lake Ombrel", gas.StandardSurfaceBar, gas.SeaWater
	for i := range d.DepthM {
		d.O2CylBar = append(d.O2CylBar, 180-float64(i/8))
	}
	d.Cells[0].PO2Bar[9] = Missing()
	return foreignFixture{"cells", "txt", "a file with units in its cells (invented)", &dialect{
		encoding: "utf-16be", delimiter: ";", decimal: ",", missing: "--", unitsInCells: true, lead: []string{"Dive: pool of Lake Ombrel"}, timeName: "Elapsed", timeFormat: "mm:ss",
		columns: []theirColumn{depthColumn("Depth", "m", 1), cellColumn(1, "Cell 1", "bar", 2), cellColumn(2, "Cell 2", "bar", 2),
			degrees(seriesColumn("temp_c", "Water", "C", 1, func(d *Dive) []float64 { return d.TempC })), seriesColumn("o2_cyl_bar", "O2 cylinder", "bar", 0, func(d *Dive) []float64 { return d.O2CylBar })},
		metadata: "dive = { label = \"Dive\" }\n"}, []*Dive{d}}
}

// feet: feet, pounds, Fahrenheit, minutes; two dives with a blank line between;
// what was breathed, and its gas, in words.
func feet() foreignFixture {
	f := foreignFixture{"feet", "csv", "a file in feet and pounds (invented)", &dialect{
		encoding: "utf-8", delimiter: ",", decimal: ".", missing: "n/a", split: "blank-line", gap: "blank", timeName: "Minutes (min)", timeFormat: "min",
		columns: []theirColumn{depthColumn("Depth (ft)", "ft", 1), cellColumn(1, "Cell 1 (ata)", "ata", 2), cellColumn(2, "Cell 2 (ata)", "ata", 2), cellColumn(3, "Cell 3 (ata)", "ata", 2),
			seriesColumn("temp_c", "Water temp (F)", "F", 0, func(d *Dive) []float64 { return d.TempC }), seriesColumn("o2_cyl_bar", "O2 pressure (psi)", "psi", 0, func(d *Dive) []float64 { return d.O2CylBar }),
			seriesColumn("dil_cyl_bar", "Diluent pressure (psi)", "psi", 0, func(d *Dive) []float64 { return d.DilCylBar }), seriesColumn("battery1_v", "Battery (V)", "V", 2, func(d *Dive) []float64 { return d.BatteryV[0].Values }), breathingColumn("Mode")},
		words: map[string]map[string]string{"breathing": {"loop": "CC", "open": "OC"}}}, nil}
	for n, deep := range []float64{22, 15} {
		d := inventedDive(45, 0, 6, deep, 3)
		d.Meta.SurfacePressureBar, d.Meta.WaterDensityKgM3 = gas.StandardSurfaceBar, gas.SeaWater
		battery := make([]float64, d.Rows())
		for i := range d.DepthM {
			d.O2CylBar, d.DilCylBar = append(d.O2CylBar, 170-float64(i)/3), append(d.DilCylBar, 185-float64(i)/5)
			battery[i] = onStep(3.9-0.002*float64(i), 0.01)
			d.Breathing[i] = OnLoop
			if n == 1 && i > 38 {
				d.Breathing[i] = OpenCircuit
			}
		}
		d.BatteryV = []Numbered{{Number: 1, Values: battery}}
		d.Cells[2].PO2Bar[7] = Missing()
		f.dives = append(f.dives, d)
	}
	return f
}

func (f foreignFixture) path(ending string) string {
	return filepath.Join(foreignDir, f.name+"."+ending)
}

// loopLog is the file of dive n as a loop log.
func (f foreignFixture) loopLog(n int) string { return f.path(fmt.Sprintf("%d.loop.csv", n+1)) }

// TestForeignFixtures: every fixture, read with its mapping, gives the dive that
// its loop log gives, within the rounding of the fixture.
func TestForeignFixtures(t *testing.T) {
	for _, f := range foreignFixtures() {
		t.Run(f.name, func(t *testing.T) {
			data, toml := f.dialect.write(f.dives), "# Mapping of "+f.title+".\n"+f.dialect.mapping()
			if golden.Update() {
				f.update(t, data, toml)
			}
			kept, err := os.ReadFile(f.path(f.ending))
			if err != nil || !bytes.Equal(kept, data) {
				t.Fatalf("%s is not what the test writes (run with -update): %v", f.path(f.ending), err)
			}
			m, err := os.ReadFile(f.path("toml"))
			if err != nil {
				t.Fatal(err)
			}
			got := mustParts(t, data, string(m))
			if len(got) != len(f.dives) {
				t.Fatalf("%d dives, want %d", len(got), len(f.dives))
			}
			for n, d := range got {
				f.compare(t, n, d)
			}
		})
	}
}

func (f foreignFixture) update(t *testing.T, data []byte, toml string) {
	t.Helper()
	write := func(path string, b []byte) {
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(f.path(f.ending), data)
	write(f.path("toml"), []byte(toml))
	for n, d := range f.dives {
		var b bytes.Buffer
		if err := Write(&b, d); err != nil {
			t.Fatal(err)
		}
		write(f.loopLog(n), b.Bytes())
	}
}

func (f foreignFixture) compare(t *testing.T, n int, got *Dive) {
	t.Helper()
	want, err := ReadFile(f.loopLog(n), Options{})
	if err != nil {
		t.Fatal(err)
	}
	f.dialect.equalWithin(t, want, got)
	for _, p := range graver(got) {
		t.Errorf("problem: %v", p)
	}
	if diff := cmp.Diff(want.Meta, got.Meta, cmp.Comparer(sameFloat)); diff != "" {
		t.Errorf("metadata of dive %d (-loop log +foreign):\n%s", n+1, diff)
	}
	if diff := cmp.Diff(want.Diluent, got.Diluent); diff != "" {
		t.Errorf("diluent of dive %d:\n%s", n+1, diff)
	}
	for k := range want.Cells {
		a, b := want.Cells[k], got.Cells[k]
		if a.Serial != b.Serial || !sameFloat(a.CalMV, b.CalMV) || !sameFloat(a.CalPO2Bar, b.CalPO2Bar) || a.FromMV != b.FromMV {
			t.Errorf("cell %d: %v %v %v %v, want %v %v %v %v", k+1, b.Serial, b.CalMV, b.CalPO2Bar, b.FromMV, a.Serial, a.CalMV, a.CalPO2Bar, a.FromMV)
		}
	}
}

func sameFloat(a, b float64) bool {
	return a == b || math.Abs(a-b) < 1e-9 || math.IsNaN(a) && math.IsNaN(b)
}
