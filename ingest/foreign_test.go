package ingest

import (
	"bytes"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"afterloop/ingest/mapping"
)

// plainMapping is a mapping to which tests add.
const plainMapping = `mapping = 1
[file]
delimiter = ";"
decimal = ","
missing = ["--"]
[time]
column = "Time"
format = "hh:mm:ss"
[columns.depth_m]
name = "Depth"
[columns.cell1_po2_bar]
name = "Cell 1"
`

// foreign reads one dive, or gives the error.
func foreign(t *testing.T, text, log string) (*Dive, error) {
	t.Helper()
	return Read(strings.NewReader(log), "lake.csv", Options{Mapping: mustMap(t, text)})
}

func mustForeign(t *testing.T, text, log string) *Dive {
	t.Helper()
	d, err := foreign(t, text, log)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestProblemsAreInTheFilesTerms: whatever is wrong is said with the foreign
// file's line, its name of the column, its text and its unit.
func TestProblemsAreInTheFilesTerms(t *testing.T) {
	const head = "A lake\n\nTime;Depth;Cell 1\n10:00:00;1,0;0,70\n"
	const tail = "10:00:20;1,2;0,72\n10:00:30;1,3;0,73\n"
	feet := strings.Replace(plainMapping, `name = "Depth"`, "name = \"Depth\"\nunit = \"ft\"", 1)
	for _, c := range []struct {
		name, mapping, rows, code string
		line                      int
		column, read, want        string
	}{
		{"no number", plainMapping, "10:00:10;1.1;0,71\n", "not-a-number", 5, "Depth", "1.1", "1,28"},
		{"no word for nothing", plainMapping, "10:00:10;?;0,71\n", "not-a-number", 5, "Depth", "?", "file.missing"},
		{"impossible, in its unit", feet, "10:00:10;9999,0;0,71\n", "impossible", 5, "Depth", "9999,0", "6562 ft"},
		{"no time", plainMapping, "25 past;1,1;0,71\n", "no-time", 5, "Time", "25 past", "hh:mm:ss"},
		{"time backwards", plainMapping, "09:59:00;1,1;0,71\n", "time-backwards", 5, "Time", "9:59:00", ""},
		{"same time", plainMapping, "10:00:00;2,0;0,71\n", "same-time-contradicts", 5, "Depth", "2,0", ""},
		{"short", plainMapping, "10:00:10;1,1\n", "short-row", 5, "", "10:00:10;1,1", ""},
		{"long", plainMapping, "10:00:10;1;1;0,71\n", "long-row", 5, "", "10:00:10;1;1;0,71", "decimal mark"},
		{"sentinel", plainMapping, "10:00:10;1,1;65535\n", "sentinel", 5, "Cell 1", "65535", ""},
		{"quote", plainMapping, "10:00:10;1,1;\"0,71\n", "odd-quote", 5, "", "10:00:10;1,1;0,71", ""},
		{"header again", plainMapping, "Time;Depth;Cell 1\n", "header-again", 5, "", "Time;Depth;Cell 1", ""},
	} {
		d, err := foreign(t, c.mapping, head+c.rows+tail)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		found := withCode(d, c.code)
		if len(found) == 0 {
			t.Errorf("%s: no problem %s in %v", c.name, c.code, d.Problems)
			continue
		}
		p := found[0]
		if p.File != "lake.csv" || p.Line != c.line || p.Column != c.column || p.Read != c.read || !strings.Contains(p.Want, c.want) {
			t.Errorf("%s: %v\nwant line %d, column %q, read %q, right %q", c.name, p, c.line, c.column, c.read, c.want)
		}
	}
}

// TestUnitsOfTheFileAreChecked: where file and mapping name different units, the
// column is not used, because one of them makes feet of metres.
func TestUnitsOfTheFileAreChecked(t *testing.T) {
	units := "[header]\nunits_row = true\n"
	inRow := strings.Replace(plainMapping, "[time]", units+"[time]", 1) + "[columns.temp_c]\nname = \"Temp\"\n"
	log := "Time;Depth;Cell 1;Temp\nhh:mm:ss;m;bar;°F\n10:00:00;1,0;0,70;50\n10:00:10;1,0;0,71;50\n"
	d := mustForeign(t, inRow, log)
	if p := withCode(d, "unit-mismatch"); len(p) != 1 || p[0].Line != 2 || p[0].Column != "Temp" || p[0].Read != "°F" || d.TempC != nil {
		t.Errorf("temperature %v, problems %v", d.TempC, d.Problems)
	}
	d = mustForeign(t, inRow+"check_unit = false\n", log)
	if len(withCode(d, "unit-mismatch")) != 0 || d.TempC == nil || d.TempC[0] != 50 {
		t.Errorf("check_unit = false: %v, %v", d.TempC, d.Problems)
	}
	if _, err := foreign(t, inRow, strings.Replace(log, ";m;", ";ft;", 1)); !strings.Contains(errText(err), "no-depth") && !strings.Contains(errText(err), "without depth") {
		t.Errorf("feet under metres: %v", err)
	}
	named := strings.Replace(plainMapping, `"Depth"`, `"Depth (ft)"`, 1)
	if _, err := foreign(t, named, "Time;Depth (ft);Cell 1\n10:00:00;1,0;0,70\n"); err == nil {
		t.Error("a name with another unit than the mapping's passes")
	}
	cells := strings.Replace(plainMapping, "missing", "units_in_cells = true\nmissing", 1)
	d = mustForeign(t, cells, "Time;Depth;Cell 1\n10:00:00;12,4 m;0,70 bar\n10:00:10;40,1 ft;0,71 bar\n10:00:20;12,6m;0,72\n")
	if p := withCode(d, "unit-mismatch"); len(p) != 1 || p[0].Line != 3 || p[0].Read != "40,1 ft" || !IsMissing(d.DepthM[1]) || d.DepthM[2] != 12.6 {
		t.Errorf("depth %v, problems %v", d.DepthM, d.Problems)
	}
	minutes := strings.Replace(strings.Replace(plainMapping, `"hh:mm:ss"`, `"s"`, 1), `"Time"`, `"Time (min)"`, 1)
	_, err := foreign(t, minutes, "Time (min);Depth;Cell 1\n0,1;1,0;0,70\n")
	if p := (Problem{}); !errors.As(err, &p) || p.Code != "unit-mismatch" || p.Column != "Time (min)" {
		t.Errorf("minutes as seconds: %v", err)
	}
}

func errText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func TestScaleOffsetConstantAndWords(t *testing.T) {
	d := mustForeign(t, plainMapping+`[columns.setpoint_bar]
constant = 1.2
[columns.cell2_po2_bar]
name = "C2"
scale = 0.01
missing = ["0"]
[columns.temp_c]
name = "T"
unit = "K"
scale = 0.1
offset = 200
[columns.valve1_openings]
name = "V"
words = { "ON" = "1", "off" = "0" }
[columns.cell1_vote]
name = "S"
[columns.event]
name = "E"
[columns.diluent]
name = "G"
[events]
separator = "/"
unlisted = "note"
[words.vote]
"good" = "in"
[words.event]
"FL" = "diluent_flush"
"x" = ""
[words.gas]
"Tx A" = "18/45"
[metadata]
surface_pressure_bar = { constant = 980, unit = "mbar" }
water = { constant = "fresh" }
cell1_serial = { column = "Serial" }
start = { label = "On", format = "DD.MM.YYYY" }
dive = { pattern = 'Lake (\w+), (\w+)' }
loop_volume_l = { label = "Volume" }
`, "Lake Ombrel, north\nOn: 23.05.2026\nVolume: 6,5 l\nTime;Depth;Cell 1;C2;T;V;S;E;G;Serial\n"+
		"23:59:55;1;0,70;70;831,5;ON;GOOD;FL/what?/x;Tx A;--\n0:00:05;1;0,70;0;831,5;OFF;good;;;B7\n")
	if d.SetPointBar[1] != 1.2 || d.Cells[1].PO2Bar[0] != 0.7 || !IsMissing(d.Cells[1].PO2Bar[1]) || d.Cells[1].StepBar != 0.01 {
		t.Errorf("set point %v, cell 2 %v step %v", d.SetPointBar, d.Cells[1].PO2Bar, d.Cells[1].StepBar)
	}
	if got := d.TempC[0]; got < 9.99 || got > 10.01 { // 83.15 + 200 K = 10 C
		t.Errorf("temperature %v", got)
	}
	if d.Valves[0].Openings[0] != 1 || d.Valves[0].Openings[1] != 0 || d.Cells[0].Vote[0] != VoteIn || d.TimeS[1]-d.TimeS[0] != 10 {
		t.Errorf("openings %v, votes %v, times %v", d.Valves[0].Openings, d.Cells[0].Vote, d.TimeS)
	}
	if len(d.Events) != 1 || d.Events[0].Kind != DiluentFlush || len(d.Notes) != 1 || d.Notes[0].Text != "what?" || d.Diluent[1].He != 0.45 {
		t.Errorf("events %v, notes %v, diluent %v", d.Events, d.Notes, d.Diluent)
	}
	m := d.Meta
	if m.SurfacePressureBar != 0.98 || m.WaterDensityKgM3 != 1000 || d.Cells[0].Serial != "B7" || m.Dive != "Ombrel/north" || m.LoopVolumeL != 6.5 || m.Start != "" {
		t.Errorf("metadata %+v, serial %q", m, d.Cells[0].Serial)
	}
}

// TestRowsThatAreNone: rows of events whose other fields are zeros, remarks
// among the rows, and a footer.
func TestRowsThatAreNone(t *testing.T) {
	m := strings.Replace(plainMapping, "missing", "comment = \"//\"\nend_at = \"Total\"\nmissing", 1) + `[columns.event]
name = "E"
[columns.cell2_po2_bar]
number = 4
[columns.cell3_po2_bar]
name = "Cell 3"
optional = true
[columns.cell4_po2_bar]
name = "Cell 4"
[events]
own_rows = true
`
	d := mustForeign(t, m, "Time;Depth;Cell 1;Cell 1;E\n10:00:00;1,0;0,70;0,80;\n10:00:00;0;0;0;bailout\n// a remark\n10:00:10;1,1;0,71;0,81;\nTotal 2 rows\nand more\n")
	if d.Rows() != 2 || d.DepthM[0] != 1 || d.Cells[0].PO2Bar[0] != 0.7 || d.Cells[1].PO2Bar[1] != 0.81 || len(d.Cells) != 2 || len(d.Events) != 1 {
		t.Errorf("%d rows, depth %v, cells %v, events %v", d.Rows(), d.DepthM, d.Cells, d.Events)
	}
	absent := withCode(d, "absent-column")
	if len(absent) != 2 || absent[0].Severity != Info || absent[1].Severity != Warning || absent[1].Read != "Cell 4" || absent[1].Line != 1 {
		t.Errorf("absent columns: %v", absent)
	}
	if twice := withCode(d, "repeated-column"); len(twice) != 1 || twice[0].Column != "Cell 1" {
		t.Errorf("a name that stands twice: %v", d.Problems)
	}
	if bad := graver(d); len(bad) != 2 {
		t.Errorf("problems: %v", bad)
	}
}

func TestNegativeDepthAndGauge(t *testing.T) {
	m := strings.Replace(plainMapping, `name = "Depth"`, "name = \"Depth\"\nscale = -1", 1) + "[columns.ambient_bar]\nname = \"Gauge\"\nunit = \"kPa\"\noffset = 101.3\n"
	d := mustForeign(t, m, "Time;Depth;Cell 1;Gauge\n10:00:00;-1,0;0,70;-1\n10:00:10;-12,5;0,71;125\n")
	if d.DepthM[0] != 1 || d.DepthM[1] != 12.5 || d.AmbientBar[0] < 1.00299 || d.AmbientBar[0] > 1.00301 || len(graver(d)) > 0 {
		t.Errorf("depth %v, ambient %v, problems %v", d.DepthM, d.AmbientBar, graver(d))
	}
}

func TestStart(t *testing.T) {
	dated := strings.Replace(plainMapping, `format = "hh:mm:ss"`, "format = \"DD.MM.YYYY hh:mm:ss\"\nzone = \"-03:30\"", 1)
	const log = "Start: 23.05.2026 10:00\nTime;Depth;Cell 1\n23.05.2026 10:00:05;1;0,7\n24.05.2026 00:00:05;1;0,7\n"
	d := mustForeign(t, dated, log)
	if d.Meta.Start != "2026-05-23T00:00:00-03:30" || d.TimeS[0] != 36005 || d.TimeS[1] != 86405 {
		t.Errorf("start %s, times %v", d.Meta.Start, d.TimeS)
	}
	d = mustForeign(t, strings.Replace(dated, "zone", "zero = \"first-row\"\nzone", 1), log)
	if d.Meta.Start != "2026-05-23T10:00:05-03:30" || d.TimeS[0] != 0 || d.TimeS[1] != 50400 {
		t.Errorf("first row: start %s, times %v", d.Meta.Start, d.TimeS)
	}
	// The rows' clock has no date: a start with a clock would be added to it.
	d = mustForeign(t, strings.Replace(plainMapping, "[time]", "[time]\nzone = \"Z\"", 1)+"[metadata]\nstart = { label = \"Start\", format = \"DD.MM.YYYY hh:mm\" }\n",
		strings.NewReplacer("23.05.2026 10:00:05", "10:00:05", "24.05.2026 00:00:05", "10:00:15").Replace(log))
	if d.Meta.Start != "" || len(withCode(d, "start-and-clock")) != 1 {
		t.Errorf("start %q, problems %v", d.Meta.Start, d.Problems)
	}
}

func TestFilesWithoutNames(t *testing.T) {
	m := `mapping = 1
[header]
absent = true
[file]
skip_lines = 1
[time]
number = 1
[columns.depth_m]
number = 2
[columns.cell1_po2_bar]
number = 4
`
	d := mustForeign(t, m, "0,99,99,99\n0,1.5,x,0.7\n10,2.5,y,0.8\n")
	if d.Rows() != 2 || d.DepthM[1] != 2.5 || d.Cells[0].PO2Bar[1] != 0.8 || d.Line[0] != 2 {
		t.Errorf("%d rows, depth %v, cell %v", d.Rows(), d.DepthM, d.Cells[0].PO2Bar)
	}
}

// TestDivesInOneFile: every way of telling dives apart, and the digest of a dive,
// which stays the same when the file grows by another.
func TestDivesInOneFile(t *testing.T) {
	const head = "Time;Depth;Cell 1;No\n"
	one := "10:00:00;1;0,7;7\n10:00:10;2;0,8;7\n"
	two := "12:00:00;3;0,9;9\n12:00:10;4;1,0;9\n"
	again := "09:00:00;5;1,1;7\n"
	for _, c := range []struct {
		split, log string
		names      string
		rows       []int
	}{
		{`split = "column"` + "\ncolumn = \"No\"", head + one + two, "7 9", []int{2, 2}},
		{`split = "blank-line"`, head + one + "\n\n" + two, "1 2", []int{2, 2}},
		{`split = "header"`, "x\n" + head + one + "y: z\n\n" + head + two, "1 2", []int{2, 2}},
		{`split = "time-restarts"`, head + two + one, "1 2", []int{2, 2}},
		{`split = "gap"` + "\ngap_min = 60", head + one + two + again, "1 2 3", []int{2, 2, 1}},
		{`split = "none"`, head + one, "1", []int{2}},
	} {
		m := mustMap(t, plainMapping+"[dives]\n"+c.split+"\n")
		parts, err := ReadParts(strings.NewReader(c.log), "lake.csv", Options{Mapping: m})
		if err != nil {
			t.Errorf("%s: %v", c.split, err)
			continue
		}
		var names []string
		for i, p := range parts {
			names = append(names, p.Name)
			if p.Err != nil || i < len(c.rows) && p.Dive.Rows() != c.rows[i] {
				t.Errorf("%s: dive %s: %v", c.split, p.Name, p.Err)
			}
		}
		if strings.Join(names, " ") != c.names {
			t.Errorf("%s: dives %v, want %s", c.split, names, c.names)
		}
	}
	m := mustMap(t, plainMapping+"[dives]\nsplit = \"column\"\ncolumn = \"No\"\n")
	pick := func(log, part string) (*Dive, error) {
		return Read(strings.NewReader(log), "lake.csv", Options{Mapping: m, Part: part})
	}
	a, errA := pick(head+one, "")
	b, errB := pick(head+one+two, "7")
	c, errC := pick(head+one+two, "2")
	if errA != nil || errB != nil || errC != nil || a.Source.SHA256 != b.Source.SHA256 || a.Source.FileSHA256 == b.Source.FileSHA256 || c.Source.Part != "9" {
		t.Errorf("%v %v %v: %+v %+v %+v", errA, errB, errC, a, b, c)
	}
	_, err := pick(head+one+two, "")
	if p := (Problem{}); !errors.As(err, &p) || p.Code != "several-dives" || p.Read != "7, 9" {
		t.Errorf("no pick: %v", err)
	}
	if _, err = pick(head+one+two, "8"); !strings.Contains(errText(err), "7, 9") {
		t.Errorf("no such dive: %v", err)
	}
	if _, err := pick(head+"10:00:00;1;0,7;\n"+one, ""); err == nil {
		t.Log("a first row without a dive is a dive of its own")
	}
}

// TestOneBadDiveLeavesTheOthers: and what stands above a header is the next dive's.
func TestOneBadDiveLeavesTheOthers(t *testing.T) {
	m := mustMap(t, plainMapping+"[dives]\nsplit = \"header\"\n[metadata]\ndive = { label = \"Dive\" }\n")
	parts, err := ReadParts(strings.NewReader("Dive: a\nTime;Depth;Cell 1\nDive: b\nTime;Depth;Cell 1\n10:00:00;1;0,7\nrubbish\nDive: c\nTime;Depth;Cell 1\n10:00:00;1;0,7\n"), "lake.csv", Options{Mapping: m})
	if err != nil || len(parts) != 3 || parts[0].Err == nil || parts[1].Err != nil || parts[2].Err != nil {
		t.Fatalf("%v %+v", err, parts)
	}
	if parts[1].Dive.Meta.Dive != "b" || parts[2].Dive.Meta.Dive != "c" {
		t.Errorf("dives %q, %q", parts[1].Dive.Meta.Dive, parts[2].Dive.Meta.Dive)
	}
}

func TestMappingErrorsOfTheFormat(t *testing.T) {
	for _, c := range []struct{ add, key string }{
		{"[columns.depth_ft]\nname = \"d\"\n", "columns.depth_ft"}, {"[columns.time_s]\nname = \"d\"\n", "columns.time_s"}, {"[columns.dept]\nname = \"d\"\n", "columns.dept"},
		{"[columns.temp_c]\nname = \"d\"\nunit = \"m\"\n", "columns.temp_c.unit"}, {"[columns.event]\nname = \"d\"\nunit = \"m\"\n", "columns.event"},
		{"[words.vote]\nx = \"yes\"\n", "words.vote.x"}, {"[words.event]\nx = \"surfaced\"\n", "words.event.x"}, {"[columns.setpoint_bar]\nconstant = \"x\"\n", "columns.setpoint_bar.constant"}, {"[columns.breathing]\nconstant = \"OC\"\n", "columns.breathing.constant"},
		{"[metadata]\nwater = { constant = \"dead sea\" }\n", "metadata.water.constant"}, {"[metadata]\nsurface_pressure_bar = { constant = 1013 }\n", "metadata.surface_pressure_bar.constant"}, {"[metadata]\ndives = { label = \"x\" }\n", "metadata.dives"},
		{"[metadata]\ncell7_serial = { label = \"x\" }\n", "metadata.cell7_serial"}, {"[metadata]\ndive = { label = \"x\", unit = \"m\" }\n", "metadata.dive.unit"}, {"[metadata]\ndive = { label = \"x\", format = \"hh\" }\n", "metadata.dive.format"},
	} {
		_, err := foreign(t, plainMapping+c.add, "")
		var e mapping.Error
		if !errors.As(err, &e) || e.Key != c.key || e.Line < 12 {
			t.Errorf("%q: %v, want key %s with its line", c.add, err, c.key)
		}
	}
}

// FuzzForeign: nothing makes the reading of a foreign file panic, whatever the
// file and whatever the mapping; what reads is a sound dive that writes as a loop log.
func FuzzForeign(f *testing.F) {
	var texts [][]byte
	for _, fix := range foreignFixtures() {
		data, err := os.ReadFile(fix.path(fix.ending))
		if err != nil {
			f.Fatal(err)
		}
		text, err := os.ReadFile(fix.path("toml"))
		if err != nil {
			f.Fatal(err)
		}
		texts = append(texts, text)
		f.Add(data, text)
	}
	f.Add([]byte("Time;Depth;Cell 1\n10:00:00;1;\"0,7\n"), []byte(plainMapping))
	f.Fuzz(func(t *testing.T, data, text []byte) {
		for _, text := range append([][]byte{text}, texts...) {
			m, err := mapping.Parse(text, "m.toml")
			if err != nil {
				continue
			}
			parts, err := ReadParts(bytes.NewReader(data), "fuzz.txt", Options{Mapping: m, MaxBytes: 1 << 20})
			if err != nil && !errors.As(err, &Problem{}) && !errors.As(err, &mapping.Error{}) {
				t.Fatalf("error is %T: %v", err, err)
			}
			for _, p := range parts {
				if p.Err != nil && !errors.As(p.Err, &Problem{}) {
					t.Fatalf("error is no Problem: %v", p.Err)
				}
				if p.Dive == nil {
					continue
				}
				if err := Inspect(p.Dive).WriteText(io.Discard); err != nil {
					t.Fatal(err)
				}
				writeAndRead(t, p.Dive)
			}
		}
	})
}
