package ingest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterloop/analysis/gas"
)

// Units: 1 ata = 1.01325 bar, 1 ft = 0.3048 m, 1 msw = 0.1 bar exactly and 1 fsw
// = 0.0306434 bar (64 lbf/ft3; see package gas for the sources).
func TestUnitsBecomeBaseUnits(t *testing.T) {
	tests := []struct {
		column, field string
		want          float64
		of            func(*Dive) []float64
	}{
		{"cell1_po2_bar", "1.28", 1.28, firstCell},
		{"cell1_po2_ata", "1.00", 1.01325, firstCell},
		{"cell1_po2_kpa", "128.5", 1.285, firstCell},
		{"cell1_po2_mbar", "1285", 1.285, firstCell},
		{"cell1_po2_bar", "12.5", 12.5, firstCell}, // no limit of a display
		{"po2_kpa", "71", 0.71, func(d *Dive) []float64 { return d.UnitPO2Bar }},
		{"setpoint_ata", "1.2", 1.2159, func(d *Dive) []float64 { return d.SetPointBar }},
		{"setpoint_mbar", "1300", 1.3, func(d *Dive) []float64 { return d.SetPointBar }},
		{"halfB_po2_bar", "1.3", 1.3, func(d *Dive) []float64 { return d.HalfPO2Bar[0].Values }},
		{"depth_m", "10.5", 10.5, func(d *Dive) []float64 { return d.DepthM }},
		{"depth_ft", "100", 30.48, func(d *Dive) []float64 { return d.DepthM }},
		{"depth_msw", "10", 2.013, func(d *Dive) []float64 { return d.AmbientBar }},
		{"depth_fsw", "33", 1.013 + 33*0.0306434, func(d *Dive) []float64 { return d.AmbientBar }},
		{"ambient_kpa", "250", 2.5, func(d *Dive) []float64 { return d.AmbientBar }},
		{"valve3_open_s", "0.4", 0.4, func(d *Dive) []float64 { return d.Valves[0].OpenS }},
		{"valve3_openings", "2", 2, func(d *Dive) []float64 { return d.Valves[0].Openings }},
		{"loop_he", "-0.003", -0.003, func(d *Dive) []float64 { return d.LoopHe }},
		{"loop_he2", "0.45", 0.45, func(d *Dive) []float64 { return d.LoopHe }},
		{"loop_mbar", "-1", -1, func(d *Dive) []float64 { return d.LoopMbar }},
		{"temp_c", "-1.5", -1.5, func(d *Dive) []float64 { return d.TempC }},
		{"loop_temp_c", "28", 28, func(d *Dive) []float64 { return d.LoopTempC }},
		{"o2_cyl_bar", "182", 182, func(d *Dive) []float64 { return d.O2CylBar }},
		{"dil_cyl_bar", "171", 171, func(d *Dive) []float64 { return d.DilCylBar }},
		{"battery2_v", "3.9", 3.9, func(d *Dive) []float64 { return d.BatteryV[0].Values }},
	}
	for _, tt := range tests {
		header, row := "time_s,"+tt.column, "0,"+tt.field
		if !strings.HasPrefix(tt.column, "depth") && !strings.HasPrefix(tt.column, "ambient") {
			header, row = header+",depth_m", row+",3"
		}
		if !strings.HasPrefix(tt.column, "cell1") {
			header, row = header+",cell1_po2_bar", row+",0.3"
		}
		d := mustRead(t, header+"\n"+row+"\n")
		wantSeries(t, tt.column, tt.of(d), []float64{tt.want})
		if p := graver(d); len(p) > 0 {
			t.Errorf("%s: %v", tt.column, p)
		}
	}
}

func firstCell(d *Dive) []float64 { return d.Cells[0].PO2Bar }

func TestOrderOfColumnsIsFree(t *testing.T) {
	d := mustRead(t, "cell12_po2_bar,cell2_po2_bar,depth_m,time_s,cell1_po2_bar\n0.12,0.2,3,1,0.1\n")
	var numbers []int
	for _, c := range d.Cells {
		numbers = append(numbers, c.Number)
	}
	if diff := cmp.Diff([]int{1, 2, 12}, numbers); diff != "" {
		t.Errorf("cells (-want +got):\n%s", diff)
	}
	wantSeries(t, "cell 12", d.Cells[2].PO2Bar, []float64{0.12})
}

func TestAnyNumberOfCells(t *testing.T) {
	for _, n := range []int{1, 2, 3, 4, 8, 64, 66} {
		header, row := "time_s,depth_m", "0,1"
		for k := 1; k <= n; k++ {
			header += fmt.Sprintf(",cell%d_po2_bar", k)
			row += ",0.7"
		}
		d := mustRead(t, header+"\n"+row+"\n")
		if want := min(n, MaxCells); len(d.Cells) != want {
			t.Errorf("%d cells of %d", len(d.Cells), n)
		}
		if over := len(withCode(d, "too-many-cells")); over != max(0, n-MaxCells) || len(d.Unknown) != over {
			t.Errorf("%d cells: %d problems, %d columns kept as text", n, over, len(d.Unknown))
		}
	}
}

func TestNamesThatMatchButForCaseOrSpaces(t *testing.T) {
	d := mustRead(t, " Time_S ,DEPTH M,Cell1 _PO2_bar,cell01_po2_bar,cell0_mv\n0,1,0.7,x,y\n")
	var got []string
	for _, p := range d.Problems {
		got = append(got, fmt.Sprintf("%s %q: %s", p.Code, p.Column, p.Treatment))
	}
	want := []string{
		`no-version "": a loop log of version 1`,
		`name-spelling " Time_S ": time_s`,
		`name-spelling "DEPTH M": depth_m`,
		`name-spelling "Cell1 _PO2_bar": cell1_po2_bar`,
		`unknown-column "cell01_po2_bar": a column that the format does not define; it is kept as text`,
		`unknown-column "cell0_mv": a column that the format does not define; it is kept as text`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if d.Cells[0].PO2Bar[0] != 0.7 || d.DepthM[0] != 1 {
		t.Error("values are not read")
	}
}

func TestUnknownColumnsAreKeptAsText(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar,heading,\n0,1,0.7, 120 ,\n1,1,0.7,\"a,b\",\n")
	want := []TextColumn{{"heading", []string{" 120 ", "a,b"}}, {"", []string{"", ""}}}
	if diff := cmp.Diff(want, d.Unknown); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if len(withCode(d, "unknown-column")) != 2 || len(graver(d)) != 0 {
		t.Errorf("problems %v", d.Problems)
	}
}

func TestTheSameQuantityTwice(t *testing.T) {
	head := "time_s,depth_m,cell1_po2_ata,cell1_po2_bar"
	tests := []struct{ log, want string }{
		{head + "\n0,1,0.69,0.70\n1,1,0.70,0.71\n",
			`test.csv:1: column "cell1_po2_ata": read "cell1_po2_ata", treated as left out: column "cell1_po2_bar" gives the same and is used; they agree`},
		{head + "\n0,1,0.69,0.70\n1,1,1.30,0.71\n",
			`test.csv:3: column "cell1_po2_ata": read "1.30", treated as left out: column "cell1_po2_bar" gives the same, is used, and says 0.71 bar here`},
		{"time_s,depth_ft,depth_m,cell1_po2_bar\n0,33,10.1,0.7\n",
			`test.csv:1: column "depth_ft": read "depth_ft", treated as left out: column "depth_m" gives the same and is used; they agree`},
		{"time_s,time_min,depth_m,cell1_po2_bar\n6,0.1,10.1,0.7\n12,0.5,10,0.7\n",
			`test.csv:3: column "time_min": read "0.5", treated as left out: column "time_s" gives the same, is used, and says 12 s here`},
		{"time,time_s,depth_m,cell1_po2_bar\n0:06,6,10.1,0.7\n",
			`test.csv:1: column "time": read "time", treated as text: column "time_s" gives the same and is used (right would be one column for each quantity)`},
		{"time_s,depth_m,cell1_po2_bar,cell1_po2_bar\n6,1,0.70,0.80\n",
			`test.csv:2: column "cell1_po2_bar": read "0.80", treated as left out: column "cell1_po2_bar" gives the same, is used, and says 0.7 bar here`},
	}
	for _, tt := range tests {
		d := mustRead(t, tt.log)
		if p := theProblem(t, d, "repeated-column"); p.String() != tt.want {
			t.Errorf("problem\n%s, want\n%s", p, tt.want)
		}
	}
	d := mustRead(t, tests[1].log)
	wantSeries(t, "the column in bar", d.Cells[0].PO2Bar, []float64{0.70, 0.71})
}

func TestAmbientPressureBeatsDepth(t *testing.T) {
	tests := []struct {
		name, log, from string
		ambient, depth  []float64
	}{
		{"measured beside depth", "time_s,depth_m,ambient_bar,cell1_po2_bar\n0,10,2.1,0.7\n1,,2.2,0.7\n2,12,,0.7\n",
			AmbientMeasured, []float64{2.1, 2.2, nan}, []float64{10, nan, 12}},
		{"measured alone", "time_s,ambient_bar,cell1_po2_bar\n0,2.013,0.7\n",
			AmbientMeasured, []float64{2.013}, []float64{gas.Depth(1.013, 2.013, 1025)}},
		{"several sensors", "time_s,ambient2_bar,ambient1_bar,cell1_po2_bar\n0,2.0,2.1,0.7\n",
			AmbientMeasured, []float64{2.1}, []float64{gas.Depth(1.013, 2.1, 1025)}},
		{"msw is a pressure, whatever the water", "# water: fresh\n# surface_pressure_bar: 0.9\ntime_s,depth_msw,cell1_po2_bar\n0,10,0.7\n",
			AmbientPressureDepth, []float64{1.9}, []float64{1e5 / (1000 * 9.80665)}},
		{"msw beside metres", "time_s,depth_msw,depth_m,cell1_po2_bar\n0,10,9.9,0.7\n",
			AmbientPressureDepth, []float64{2.013}, []float64{9.9}},
		{"depth", "# surface_pressure_bar: 0.9\n# water_density_kg_m3: 1000\ntime_s,depth_m,cell1_po2_bar\n0,10,0.7\n1,,0.7\n",
			AmbientFromDepth, []float64{0.9 + 0.980665, nan}, []float64{10, nan}},
		{"a pressure column that is empty", "time_s,depth_m,ambient_bar,cell1_po2_bar\n0,0,,0.7\n",
			AmbientFromDepth, []float64{1.013}, []float64{0}},
	}
	for _, tt := range tests {
		d := mustRead(t, tt.log)
		if d.AmbientFrom != tt.from {
			t.Errorf("%s: pressure from %q, want %q", tt.name, d.AmbientFrom, tt.from)
		}
		wantSeries(t, tt.name+": pressure", d.AmbientBar, tt.ambient)
		wantSeries(t, tt.name+": depth", d.DepthM, tt.depth)
	}
}

func TestMillivolts(t *testing.T) {
	cal := "# cell1_cal_mv: 50\n"
	tests := []struct {
		name, meta string
		want       float64
	}{
		{"by the cell's own PO2", cal + "# cell1_cal_po2_bar: 1\n# cal_gas_o2: 0.5\n# cal_pressure_bar: 1\n", 0.5},
		{"by the calibration gas", cal + "# cal_gas_o2: 0.98\n# cal_pressure_bar: 1.02\n", 0.5 * 0.98 * 1.02},
		{"dry gas, said", cal + "# cal_gas_o2: 1\n# cal_pressure_bar: 1\n# cal_gas_humid: no\n# cal_temp_c: 30\n", 0.5},
		// 47 mmHg at 37 C: 0.0627 bar.
		{"humid gas at 37 C", cal + "# cal_gas_o2: 1\n# cal_pressure_bar: 1\n# cal_gas_humid: yes\n", 0.5 * (1 - gas.SaturatedVapourBar(37))},
		{"humid gas at a temperature", cal + "# cal_gas_o2: 1\n# cal_pressure_bar: 1\n# cal_gas_humid: yes\n# cal_temp_c: 20\n", 0.5 * (1 - gas.SaturatedVapourBar(20))},
	}
	for _, tt := range tests {
		d := mustRead(t, tt.meta+"time_s,depth_m,cell1_mv\n0,1,25\n1,1,\n")
		c := d.Cells[0]
		wantSeries(t, tt.name, c.PO2Bar, []float64{tt.want, nan})
		if !c.FromMV || len(graver(d)) > 0 {
			t.Errorf("%s: from mV %v, problems %v", tt.name, c.FromMV, graver(d))
		}
	}
}

func TestMillivoltsBesidePO2AreAWitness(t *testing.T) {
	d := mustRead(t, "# cell1_cal_mv: 50\n# cell1_cal_po2_bar: 1\ntime_s,depth_m,cell1_mv,cell1_po2_bar\n0,1,25,0.7\n1,1,-1,0.7\n2,1,-0.2,0.7\n")
	c := d.Cells[0]
	wantSeries(t, "PO2", c.PO2Bar, []float64{0.7, 0.7, 0.7})
	wantSeries(t, "mV", c.MV, []float64{25, nan, -0.2})
	if c.FromMV || len(graver(d)) > 0 {
		t.Errorf("from mV %v, problems %v", c.FromMV, graver(d))
	}
}

func TestMillivoltsWithoutCalibration(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_mv,cell2_po2_bar\n0,1,25,0.7\n")
	wantSeries(t, "PO2", d.Cells[0].PO2Bar, []float64{nan})
	want := `test.csv:1: column "cell1_mv": read "cell1_mv", treated as millivolts whose PO2 is not known (right would be cell1_cal_mv, and cell1_cal_po2_bar or cal_gas_o2 with cal_pressure_bar)`
	if p := theProblem(t, d, "no-calibration"); p.String() != want {
		t.Errorf("problem\n%s, want\n%s", p, want)
	}
	negative := mustRead(t, "# cell1_cal_mv: 50\n# cell1_cal_po2_bar: 1\ntime_s,depth_m,cell1_mv\n0,1,-0.5\n")
	wantSeries(t, "PO2 of negative mV", negative.Cells[0].PO2Bar, []float64{nan})
	if p := theProblem(t, negative, "impossible"); p.Treatment != "a PO2 that is not recorded; the millivolts are kept" {
		t.Errorf("problem %s", p)
	}
}

func TestVotes(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar,cell1_vote,cell2_vote\n0,1,0.7,in,in\n1,1,0.7,out,\n2,1,0.7,manual_in,\n3,1,0.7,MANUAL_OUT,\n4,1,0.7,,\n5,1,0.7,maybe,\n")
	want := []UnitVote{VoteIn, VoteOut, VoteManualIn, VoteManualOut, VoteNotRecorded, VoteNotRecorded}
	if diff := cmp.Diff(want, d.Cells[0].Vote); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if p := theProblem(t, d, "unknown-word"); p.Line != 7 || p.Want != "one of in, out, manual_in, manual_out" {
		t.Errorf("problem %s", p)
	}
	if p := theProblem(t, d, "word-spelling"); p.Line != 5 {
		t.Errorf("problem %s", p)
	}
	theProblem(t, d, "vote-without-cell")
}
