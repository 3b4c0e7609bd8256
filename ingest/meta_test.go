package ingest

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterloop/analysis/gas"
)

const oneRow = "time_s,depth_m,cell1_po2_bar,cell2_mv\n0,1,0.7,30\n"

func TestMetadata(t *testing.T) {
	d, err := ReadFile("testdata/full.csv", Options{Strict: true})
	if err != nil {
		t.Fatal(err)
	}
	humid := false
	want := Meta{
		Dive: "Lake Ombrel, north wall", Diver: "A. Q.", Unit: "training unit 3", Start: "2025-08-14T09:30:00+02:00",
		SurfacePressureBar: 0.962, WaterDensityKgM3: 1000,
		Diluent:        Gas{Mix: gas.Mix{O2: 0.18, He: 0.45}, Known: true},
		OpenCircuitGas: Gas{Mix: gas.Mix{O2: 0.21, He: 0.35}, Known: true},
		LoopVolumeL:    7.2, OxygenFlowLMin: 4.5, OxygenCylinderL: 3,
		Calibration: Calibration{GasO2: 0.99, PressureBar: 0.962, TempC: 21, Time: "2025-08-14T08:50:00+02:00", Humid: &humid},
		LoopHeBasis: "wet", LoopHeSigma: 0.005,
		Halves: []Half{
			{Letter: "A", Cells: []int{1, 2}, Valves: []int{1}, Batteries: []int{1}},
			{Letter: "B", Cells: []int{3}, Valves: []int{2}, Batteries: []int{2}},
		},
		Other: []KeyValue{{Key: "shop", Value: "invented", Line: 29}},
	}
	if diff := cmp.Diff(want, d.Meta, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	type cal struct {
		Serial, Installed string
		MV, PO2           float64
	}
	var got []cal
	for _, c := range d.Cells {
		got = append(got, cal{c.Serial, c.Installed, c.CalMV, c.CalPO2Bar})
	}
	wantCal := []cal{{"OA-1007", "2025-03-02", 50.4, 0.99 * 0.962}, {"OA-1011", "", 47.9, 0.99 * 0.962}, {"", "", 52, 0.96}}
	if diff := cmp.Diff(wantCal, got, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("cells (-want +got):\n%s", diff)
	}
	if d.Source.FormatVersion != 1 {
		t.Errorf("version %d", d.Source.FormatVersion)
	}
}

func TestWithoutMetadata(t *testing.T) {
	d := mustRead(t, oneRow)
	m := d.Meta
	if !m.SurfaceAssumed || m.SurfacePressureBar != 1.013 || !m.DensityAssumed || m.WaterDensityKgM3 != 1025 {
		t.Errorf("assumed: %+v", m)
	}
	if d.Source.FormatVersion != 0 {
		t.Errorf("version %d, want 0 for not stated", d.Source.FormatVersion)
	}
	for name, v := range map[string]float64{"volume": m.LoopVolumeL, "flow": m.OxygenFlowLMin, "cylinder": m.OxygenCylinderL,
		"sigma": m.LoopHeSigma, "gas": m.Calibration.GasO2, "pressure": m.Calibration.PressureBar, "temperature": m.Calibration.TempC} {
		if !IsMissing(v) {
			t.Errorf("%s is %v, want not known", name, v)
		}
	}
	if m.Diluent.Known || m.OpenCircuitGas.Known || m.Calibration.Humid != nil {
		t.Errorf("known: %+v", m)
	}
}

func TestWater(t *testing.T) {
	for word, want := range map[string]float64{"salt": 1025, "fresh": 1000, "en13319": 1019.7, "EN13319": 1019.7} {
		if d := mustRead(t, "# water: "+word+"\n"+oneRow); d.Meta.WaterDensityKgM3 != want || d.Meta.DensityAssumed {
			t.Errorf("water %s: %v kg/m3", word, d.Meta.WaterDensityKgM3)
		}
	}
	for _, log := range []string{"# water: salt\n# water_density_kg_m3: 1005\n", "# water_density_kg_m3: 1005\n# water: salt\n"} {
		d := mustRead(t, log+oneRow)
		if p := theProblem(t, d, "water-contradicts"); d.Meta.WaterDensityKgM3 != 1005 || p.Line < 1 {
			t.Errorf("%v kg/m3, problem %s", d.Meta.WaterDensityKgM3, p)
		}
	}
}

func TestMetadataThatCannotBeUsed(t *testing.T) {
	tests := []struct{ line, want string }{
		{"surface_pressure_bar: 1013", "a plain decimal from 0.2 to 10"},
		{"surface_pressure_bar: 1,013", "a plain decimal from 0.2 to 10"},
		{"water_density_kg_m3: 1.025", "a plain decimal from 900 to 1300"},
		{"cal_gas_o2: 98", "a plain decimal from 0.01 to 1"},
		{"start: 14.8.2025 9:30", "an RFC 3339 time such as 2026-03-14T09:30:00Z"},
		{"diluent: EAN32", "O2/He in per cent, as in 18/45, or air"},
		{"water: brackish", "salt, fresh or en13319"},
		{"cal_gas_humid: rather", "yes or no"},
		{"loop_he_basis: moist", "dry or wet"},
		{"loop_he_sigma: 1 %", "a plain decimal from 0.000001 to 0.5"},
		{"half_A: left", "cells 1,2; valve 1; battery 1"},
		{"half_A: cells", "cells 1,2; valve 1; battery 1"},
		{"half_A: cells 1,x", "cells 1,2; valve 1; battery 1"},
		{"cell1_cal_mv: NaN", "a plain decimal from 0.1 to 5000"},
	}
	for _, tt := range tests {
		d := mustRead(t, "# loop-log: 1\n# "+tt.line+"\n"+oneRow)
		want := fmt.Sprintf(`test.csv:2: read %q, treated as not stated; it is kept as text (right would be %s)`, tt.line, tt.want)
		if p := theProblem(t, d, "bad-metadata"); p.String() != want || p.Severity != Warning {
			t.Errorf("problem\n%s, want\n%s", p, want)
		}
		if len(d.Meta.Other) != 1 || d.Meta.Other[0].Line != 2 {
			t.Errorf("%s is not kept: %v", tt.line, d.Meta.Other)
		}
	}
}

func TestOddLinesOfMetadata(t *testing.T) {
	d := mustRead(t, "#\n# ----\n# dive: first\n# Dive: first\n# dive: second\n# Boat : M: 1\n# cell7_serial: X\n# UNIT: u\n# diver:\n"+oneRow)
	if d.Meta.Dive != "first" || d.Meta.Unit != "u" || d.Meta.Diver != "" {
		t.Errorf("dive %q, unit %q", d.Meta.Dive, d.Meta.Unit)
	}
	want := []KeyValue{{"", "----", 2}, {"dive", "second", 5}, {"Boat", "M: 1", 6}, {"cell7_serial", "X", 7}}
	if diff := cmp.Diff(want, d.Meta.Other); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	var got []string
	for _, p := range d.Problems[1:] {
		got = append(got, fmt.Sprintf("%d %s %s", p.Line, p.Severity, p.Code))
	}
	wantProblems := []string{"2 info comment", "5 warning repeated-key", "6 info unknown-key", "7 info key-without-cell", "8 info name-spelling", "10 warning no-calibration"}
	if diff := cmp.Diff(wantProblems, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestAHalfNamesPartsThatTheLogHolds(t *testing.T) {
	d := mustRead(t, "# half_A: cells 1,9; valve 3\n"+plainHeader+"0,1,0.7,0.7\n")
	want := `test.csv:1: read "half_A: cells 1,9; valve 3", treated as a half without cell 9, valve 3, which the log does not hold (right would be parts that have a column)`
	if p := theProblem(t, d, "half-without-part"); p.String() != want {
		t.Errorf("problem\n%s, want\n%s", p, want)
	}
}
