package ingest

import (
	"math"
	"strings"
	"testing"

	"afterloop/analysis/gas"
)

func TestCheckFindsEveryBrokenRule(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(*Dive)
		says  string
	}{
		{"no rows", func(d *Dive) { d.TimeS = nil }, "no rows"},
		{"equal times", func(d *Dive) { d.TimeS[1] = d.TimeS[0] }, "time"},
		{"infinite time", func(d *Dive) { d.TimeS[8] = math.Inf(1) }, "time"},
		{"NaN time", func(d *Dive) { d.TimeS[0] = nan }, "time"},
		{"lines short", func(d *Dive) { d.Line = d.Line[1:] }, "lines"},
		{"line 0", func(d *Dive) { d.Line[2] = 0 }, "line"},
		{"no pressure", func(d *Dive) { d.AmbientBar = nil }, "ambient"},
		{"no source of pressure", func(d *Dive) { d.AmbientFrom = "" }, "ambient"},
		{"pressure 0", func(d *Dive) { d.AmbientBar[3] = 0 }, "ambient"},
		{"depth short", func(d *Dive) { d.DepthM = d.DepthM[1:] }, "depth"},
		{"depth infinite", func(d *Dive) { d.DepthM[0] = math.Inf(-1) }, "depth"},
		{"surface pressure", func(d *Dive) { d.Meta.SurfacePressureBar = nan }, "surface"},
		{"density", func(d *Dive) { d.Meta.WaterDensityKgM3 = 0 }, "density"},
		{"no cells", func(d *Dive) { d.Cells = nil }, "cells"},
		{"cells out of order", func(d *Dive) { d.Cells[1].Number = 1 }, "cell 1"},
		{"cell short", func(d *Dive) { d.Cells[0].PO2Bar = nil }, "cell 1"},
		{"negative PO2", func(d *Dive) { d.Cells[0].PO2Bar[0] = -0.1 }, "cell 1"},
		{"infinite mV", func(d *Dive) { d.Cells[0].MV[0] = math.Inf(1) }, "cell 1"},
		{"votes short", func(d *Dive) { d.Cells[0].Vote = d.Cells[0].Vote[1:] }, "cell 1"},
		{"no such vote", func(d *Dive) { d.Cells[0].Vote[0] = 9 }, "vote"},
		{"step", func(d *Dive) { d.Cells[0].StepBar = nan }, "step"},
		{"valves out of order", func(d *Dive) { d.Valves[1].Number = 1 }, "valve"},
		{"valve without seconds", func(d *Dive) { d.Valves[0].OpenS = nil }, "valve"},
		{"negative seconds", func(d *Dive) { d.Valves[0].OpenS[0] = -1 }, "valve"},
		{"helium over 1", func(d *Dive) { d.LoopHe[0] = 2 }, "helium"},
		{"set point short", func(d *Dive) { d.SetPointBar = []float64{1} }, "set point"},
		{"batteries out of order", func(d *Dive) { d.BatteryV[1].Number = 1 }, "part"},
		{"halves out of order", func(d *Dive) { d.HalfPO2Bar[1].Letter = "A" }, "half"},
		{"breathing short", func(d *Dive) { d.Breathing = nil }, "breathing"},
		{"no such breathing", func(d *Dive) { d.Breathing[0] = 7 }, "breathing"},
		{"a gas of 120 %", func(d *Dive) { d.Diluent[0] = Gas{Mix: gas.Mix{O2: 0.6, He: 0.6}, Known: true} }, "gas"},
		{"event beyond the end", func(d *Dive) { d.Events[0].Row = 99 }, "event"},
		{"notes out of order", func(d *Dive) { d.Notes[0].Row = 8 }, "note"},
		{"text short", func(d *Dive) { d.Unknown[0].Values = nil }, "heading"},
	}
	for _, tt := range tests {
		d, err := ReadFile("testdata/full.csv", Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := d.Check(); err != nil {
			t.Fatalf("a sound dive: %v", err)
		}
		tt.spoil(d)
		if err := d.Check(); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: Check gives %v, want words with %q", tt.name, err, tt.says)
		}
	}
}
