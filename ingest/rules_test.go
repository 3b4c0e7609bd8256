package ingest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterloop/analysis/gas"
)

const plainHeader = "time_s,depth_m,cell1_po2_bar,cell2_po2_bar\n"

func TestEmptyIsNotRecordedAndZeroIsAReading(t *testing.T) {
	d := mustRead(t, plainHeader+"0,1,0.00,0.7\n1,1,,0.7\n2,1, ,0.7\n3,1,0,0.7\n")
	wantSeries(t, "cell 1", d.Cells[0].PO2Bar, []float64{0, nan, nan, 0})
	if len(graver(d)) > 0 {
		t.Errorf("problems %v", graver(d))
	}
	want := `test.csv:2: column "cell1_po2_bar": read "0.00", treated as a reading of 0, which the vote saw [2 rows]`
	if p := theProblem(t, d, "zero-reading"); p.String() != want {
		t.Errorf("problem\n%s, want\n%s", p, want)
	}
}

func TestANumberThatIsNotOne(t *testing.T) {
	for _, field := range []string{"NaN", "Inf", "-inf", "0x1p0", "1_0", "--", "n/a", "1.3 bar", `"1,30"`, "1e999"} {
		d := mustRead(t, plainHeader+"0,1,"+field+",0.7\n1,1,0.72,0.7\n")
		wantSeries(t, field, d.Cells[0].PO2Bar, []float64{nan, 0.72})
		want := fmt.Sprintf(`test.csv:2: column "cell1_po2_bar": read "%s", treated as not recorded (right would be a plain decimal with a point, such as 1.28, or an empty field)`, strings.Trim(field, `"`))
		if p := theProblem(t, d, "not-a-number"); p.String() != want || p.Severity != Warning {
			t.Errorf("problem\n%s, want\n%s", p, want)
		}
	}
}

func TestMinusOneAnd65535AreNotRecorded(t *testing.T) {
	tests := []struct{ column, field string }{
		{"cell3_po2_bar", "-1"}, {"cell3_po2_bar", "-1.00"}, {"cell3_po2_bar", "65535"},
		// Looked for before the unit is converted: 65535 mbar would be a possible pressure.
		{"cell3_po2_mbar", "65535"}, {"ambient_mbar", "65535"}, {"cell3_mv", "-1"},
		{"loop_he", "-1"}, {"valve1_open_s", "-1"}, {"valve1_openings", "65535"}, {"temp_c", "65535"},
		{"loop_mbar", "65535"}, {"battery1_v", "-1"}, {"o2_cyl_bar", "-1"}, {"setpoint_bar", "-1"}, {"po2_bar", "-1"},
	}
	for _, tt := range tests {
		d := mustRead(t, "time_s,depth_m,cell1_po2_bar,"+tt.column+"\n0,1,0.7,"+tt.field+"\n1,1,0.7,"+tt.field+"\n")
		facts := d.Columns[3]
		if facts.Filled != 0 {
			t.Errorf("%s %s: %d rows filled, want none", tt.column, tt.field, facts.Filled)
		}
		p := theProblem(t, d, "sentinel")
		want := fmt.Sprintf(`test.csv:2: column %q: read %q, treated as not recorded [2 rows]`, tt.column, tt.field)
		if p.String() != want {
			t.Errorf("problem\n%s, want\n%s", p, want)
		}
	}
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar\n-1,1,0.7\n65535,1,0.7\n")
	wantSeries(t, "time has no word for missing", d.TimeS, []float64{-1, 65535})
}

// A depth or a temperature may be -1: its neighbours tell.
func TestMinusOneIsToldByHowItPersists(t *testing.T) {
	tests := []struct {
		name   string
		column string
		values []float64
		want   []float64
	}{
		{"depth passes through -1", "depth_m", []float64{-0.9, -1, -1.1}, []float64{-0.9, -1, -1.1}},
		{"depth jumps to -1 and back", "depth_m", []float64{30, -1, -1, 30.1}, []float64{30, nan, nan, 30.1}},
		{"depth ends in -1", "depth_m", []float64{30, 29, -1}, []float64{30, 29, nan}},
		{"ice water", "temp_c", []float64{0, -1, -1, -1, -2}, []float64{0, -1, -1, -1, -2}},
		{"a thermometer that fails", "temp_c", []float64{14, 14, -1, -1}, []float64{14, 14, nan, nan}},
		{"a few rows of -1 alone", "temp_c", []float64{-1, -1}, []float64{-1, -1}},
		{"a column of -1", "temp_c", filled(-1, 12), filled(nan, 12)},
	}
	for _, tt := range tests {
		header := "time_s,cell1_po2_bar," + tt.column
		if tt.column != "depth_m" {
			header += ",depth_m"
		}
		var b strings.Builder
		b.WriteString(header + "\n")
		for i, v := range tt.values {
			fmt.Fprintf(&b, "%d,0.7,%g", i, v)
			if tt.column != "depth_m" {
				b.WriteString(",3")
			}
			b.WriteString("\n")
		}
		d := mustRead(t, b.String())
		got := d.TempC
		if tt.column == "depth_m" {
			got = d.DepthM
		}
		wantSeries(t, tt.name, got, tt.want)
		if len(withCode(d, "sentinel"))+len(withCode(d, "minus-one")) != 1 {
			t.Errorf("%s: not listed: %v", tt.name, d.Problems)
		}
	}
}

func filled(v float64, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = v
	}
	return x
}

func TestTheDisplaysLimit(t *testing.T) {
	tests := []struct {
		name   string
		column string
		fields []string
		want   []bool
		code   string
	}{
		{"a run of 9.99", "cell1_po2_bar", []string{"1.3", "9.99", "9.99", "1.3"}, []bool{false, true, true, false}, "display-limit"},
		{"a run with a hole", "cell1_po2_bar", []string{"9.99", "", "9.99"}, []bool{true, false, true}, "display-limit"},
		{"one row", "cell1_po2_bar", []string{"1.3", "9.99", "1.3"}, nil, "display-limit-once"},
		{"a display that shows more", "cell1_po2_bar", []string{"9.99", "9.99", "10.2"}, nil, ""},
		{"in ata", "cell1_po2_ata", []string{"9.99", "9.99"}, []bool{true, true}, "display-limit"},
		{"not in kPa", "cell1_po2_kpa", []string{"9.99", "9.99"}, nil, ""},
	}
	for _, tt := range tests {
		var b strings.Builder
		b.WriteString("# surface_pressure_bar: 1\ntime_s,depth_m," + tt.column + "\n")
		for i, f := range tt.fields {
			fmt.Fprintf(&b, "%d,9.99,%s\n", i, f)
		}
		d := mustRead(t, b.String())
		if diff := cmp.Diff(tt.want, d.Cells[0].AtDisplayLimit); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
		for _, p := range d.Problems {
			if strings.HasPrefix(p.Code, "display") && p.Code != tt.code || p.Severity != Info {
				t.Errorf("%s: problem %s", tt.name, p)
			}
		}
		if tt.code != "" {
			theProblem(t, d, tt.code)
		}
		if IsMissing(d.Cells[0].PO2Bar[0]) {
			t.Errorf("%s: a reading was dropped", tt.name)
		}
	}
}

func TestAValueThatNoInstrumentCanGive(t *testing.T) {
	tests := []struct{ column, field, want string }{
		{"cell3_po2_bar", "-0.5", "a value from 0 to 100 bar"},
		{"cell3_po2_bar", "1280", "a value from 0 to 100 bar"},
		{"cell3_po2_ata", "-0.5", "a value from 0 to 98.69 ata"},
		{"loop_he", "45", "a value from -0.05 to 1.05 (a fraction)"},
		{"temp_c", "400", "a value from -60 to 150 C"},
		{"valve1_open_s", "-0.4", "a value from 0 to 14400 s"},
		{"valve1_openings", "-2", "a value from 0 to 60000 openings"},
		{"ambient_bar", "0", "a value from 0.05 to 150 bar"},
		{"battery1_v", "-3", "a value from 0 to 1000 V"},
	}
	for _, tt := range tests {
		d := mustRead(t, "time_s,depth_m,cell1_po2_bar,"+tt.column+"\n0,1,0.7,"+tt.field+"\n")
		p := theProblem(t, d, "impossible")
		want := fmt.Sprintf(`test.csv:2: column %q: read %q, treated as not recorded (right would be %s)`, tt.column, tt.field, tt.want)
		if p.String() != want || p.Severity != Warning {
			t.Errorf("problem\n%s, want\n%s", p, want)
		}
		if d.Columns[3].Filled != 0 {
			t.Errorf("%s %s was kept", tt.column, tt.field)
		}
	}
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar\n0,-11,0.7\n1,2500,0.7\n")
	wantSeries(t, "depth", d.DepthM, []float64{nan, nan})
	vacuum := mustRead(t, "# surface_pressure_bar: 0.9\ntime_s,depth_m,cell1_po2_bar\n0,-9.5,0.7\n1,3,0.7\n")
	wantSeries(t, "depth below vacuum", vacuum.DepthM, []float64{nan, 3})
	theProblem(t, vacuum, "vacuum")
	deep := mustRead(t, "# surface_pressure_bar: 3\ntime_s,ambient_bar,cell1_po2_bar\n0,1,0.7\n")
	wantSeries(t, "depth by a wrong surface pressure", deep.DepthM, []float64{nan})
	theProblem(t, deep, "impossible-depth")
}

func TestFieldsTooFewAndTooMany(t *testing.T) {
	d := mustRead(t, plainHeader+"0,1,0.7,0.71\n1,1,0.7\n2\n3,1,0.7,0.71,\n4,1,0,7,0.71\n5,1,0.7,0.71\n")
	wantSeries(t, "time", d.TimeS, []float64{0, 1, 2, 3, 5})
	wantSeries(t, "cell 1", d.Cells[0].PO2Bar, []float64{0.7, 0.7, nan, 0.7, 0.7})
	wantSeries(t, "cell 2", d.Cells[1].PO2Bar, []float64{0.71, nan, nan, 0.71, 0.71})
	var got []string
	for _, p := range d.Problems[1:] {
		got = append(got, fmt.Sprintf("%d %s %s: %s", p.Line, p.Severity, p.Code, p.Treatment))
	}
	want := []string{
		"3 warning short-row: the first 3 of 4 fields; the others are not recorded",
		"4 warning short-row: the first 1 of 4 fields; the others are not recorded",
		"5 info long-row: a row with empty fields behind the last column, which are left out",
		"6 warning long-row: a row left out: it has more than 4 fields, so that none can be given its column",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestWhatIsTolerated(t *testing.T) {
	const log = "# loop-log: 1\n# dive: x\n" + plainHeader + "0,1,0.7,0.71\n1,1,0.72,0.73\n"
	want := mustRead(t, log)
	variants := map[string]string{
		"a byte-order mark":    "\ufeff" + log,
		"CRLF":                 strings.ReplaceAll(log, "\n", "\r\n"),
		"trailing blank lines": log + "\n\n  \n\r\n",
		"blank lines above":    "\n" + strings.Replace(log, "time_s", "\ntime_s", 1),
		"quoted fields":        strings.Replace(log, "0,1,0.7,0.71", `"0","1","0.7","0.71"`, 1),
		"gzip":                 string(gzipped(t, log)),
		"gzip of CRLF and BOM": string(gzipped(t, "\ufeff"+strings.ReplaceAll(log, "\n", "\r\n"))),
	}
	for name, text := range variants {
		d := mustRead(t, text)
		if diff := cmp.Diff(want, d, sameDive()); diff != "" {
			t.Errorf("%s (-plain +variant):\n%s", name, diff)
		}
		if len(d.Problems) > 0 {
			t.Errorf("%s: problems %v", name, d.Problems)
		}
	}
	d := mustRead(t, "# loop-log: 1\n"+plainHeader+"0,1,0.7,0.71\n\n\n# late: x, y\n1,1,0.72,0.73\n")
	if p := theProblem(t, d, "blank-line"); p.Severity != Info || p.Line != 4 {
		t.Errorf("blank lines between rows: %s", p)
	}
	want2 := `test.csv:6: read "# late: x, y", treated as nothing: metadata below the header is left out (right would be lines with # above the header)`
	if p := theProblem(t, d, "late-metadata"); p.String() != want2 {
		t.Errorf("problem\n%s, want\n%s", p, want2)
	}
}

func TestTextThatIsNotUTF8(t *testing.T) {
	d := mustRead(t, "# dive: caf\xe9\ntime_s,depth_m,cell1_po2_bar,note\n0,1,0.7,\xff\xfe!\n")
	if d.Meta.Dive != "caf\ufffd" || d.Notes[0].Text != "\ufffd!" {
		t.Errorf("dive %q, note %q", d.Meta.Dive, d.Notes[0].Text)
	}
	if p := theProblem(t, d, "not-utf-8"); p.Severity != Warning {
		t.Errorf("problem %s", p)
	}
}

func TestGases(t *testing.T) {
	d := mustRead(t, "# diluent: 18/45\n# open_circuit_gas: air\ntime_s,depth_m,cell1_po2_bar,diluent,open_gas\n0,1,0.7,,\n1,1,0.7,10/50,\n2,1,0.7,,trimix\n3,1,0.7,Air,\n4,1,0.7,unknown,50/0\n")
	mix := func(o2, he float64) Gas { return Gas{Mix: gas.Mix{O2: o2, He: he}, Known: true} }
	want := []Gas{mix(0.18, 0.45), mix(0.10, 0.50), mix(0.10, 0.50), mix(0.21, 0), {}}
	if diff := cmp.Diff(want, d.Diluent, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("diluent (-want +got):\n%s", diff)
	}
	want = []Gas{mix(0.21, 0), mix(0.21, 0), {}, {}, mix(0.50, 0)}
	if diff := cmp.Diff(want, d.OpenGas, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("open-circuit gas (-want +got):\n%s", diff)
	}
	text := `test.csv:6: column "open_gas": read "trimix", treated as a change to a gas that is not known, from this row on (right would be O2/He in per cent, as in 18/45, or air)`
	if p := theProblem(t, d, "not-a-gas"); p.String() != text {
		t.Errorf("problem\n%s, want\n%s", p, text)
	}
	if d := mustRead(t, plainHeader+"0,1,0.7,0.7\n"); d.Diluent[0].Known || d.OpenGas[0].Known {
		t.Error("a gas that nobody stated is known")
	}
}

func TestBreathing(t *testing.T) {
	const n, l, o = BreathingNotRecorded, OnLoop, OpenCircuit
	tests := []struct {
		name   string
		header string
		rows   []string
		want   []Breathing
	}{
		{"nothing said", "event", []string{"", "", ""}, []Breathing{n, n, n}},
		{"bailout and back", "event", []string{"", "bailout", "", "on_loop", ""}, []Breathing{l, o, o, l, l}},
		{"on_loop first", "event", []string{"", "on_loop", ""}, []Breathing{n, l, l}},
		{"both on one row", "event", []string{"", "bailout;on_loop", ""}, []Breathing{l, l, l}},
		{"the column beats events", "event,breathing", []string{",loop", "bailout,loop", ",loop", ",open"}, []Breathing{l, l, l, o}},
		{"a word stands until the next", "event,breathing", []string{",", ",open", ",", ",loop"}, []Breathing{n, o, o, l}},
		{"an empty column leaves it to events", "event,breathing", []string{",", "bailout,", ","}, []Breathing{l, o, o}},
	}
	for _, tt := range tests {
		log := "time_s,depth_m,cell1_po2_bar," + tt.header + "\n"
		for i, r := range tt.rows {
			log += fmt.Sprintf("%d,1,0.7,%s\n", i, r)
		}
		d := mustRead(t, log)
		if diff := cmp.Diff(tt.want, d.Breathing); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
		if got := len(withCode(d, "event-overruled")); (got == 1) != (tt.name == "the column beats events") {
			t.Errorf("%s: %d events overruled", tt.name, got)
		}
	}
}

func TestEventsAndNotes(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar,event,note\n0,1,0.7,diluent_flush,\" <b>calm</b> \"\n1,1,0.7,,\n2,1,0.7,Oxygen_Flush;whale;calibration,seen\n3,1,0.7,whale;whale,\n")
	wantEvents := []Event{{0, DiluentFlush}, {2, OxygenFlush}, {2, CalibrationRun}}
	if diff := cmp.Diff(wantEvents, d.Events); diff != "" {
		t.Errorf("events (-want +got):\n%s", diff)
	}
	wantNotes := []Note{{0, "<b>calm</b>"}, {2, "whale"}, {2, "seen"}, {3, "whale"}}
	if diff := cmp.Diff(wantNotes, d.Notes); diff != "" {
		t.Errorf("notes (-want +got):\n%s", diff)
	}
	if list := withCode(d, "unknown-event"); len(list) == 0 || list[0].Severity != Warning || list[0].Treatment != "a note" {
		t.Errorf("problems %v", list)
	}
}
