package draft_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"afterloop/ingest/mapping"
	"afterloop/ingest/mapping/draft"
)

// TestWhatTheFileDoesNotSettle: it stands as a comment with its candidates, and
// is listed; it is never in force.
func TestWhatTheFileDoesNotSettle(t *testing.T) {
	const rows = "0,10,0.7\n10,12,0.8\n20,14,0.9\n"
	for _, c := range []struct{ name, log, question, absent string }{
		{"depth without a unit", "Seconds,Depth,Cell 1\n" + rows, `"Depth" has no unit`, "\n[columns.depth_m]"},
		{"cells that may be kPa", "Seconds,Depth (m),Cell 1\n0,1.5,71\n10,1.6,72\n20,1.7,73\n", "kPa", "\n[columns.cell1_"},
		{"day or month", "Time,Depth (m),Cell 1\n03/04/2026 10:00:00,1,0.7\n03/04/2026 10:00:10,1,0.7\n", "D/M/YYYY", "\nformat ="},
		{"point and comma", "Time;Depth (m);Cell 1\n0:00:00;1,5;0.7\n0:00:10;1,6;0.7\n", "which is the decimal mark", "\ndecimal ="},
		{"a word of votes", "Seconds,Depth (m),Cell 1,Cell 1 status\n0,1,0.7,blue\n10,1,0.7,in\n20,1,0.8,in\n", `"blue"`, "\n\"blue\""},
		{"temperature that may be either", "Seconds,Depth (m),Cell 1,Water temp\n0,1,0.7,33\n10,1,0.7,34\n", "C or F", "\n[columns.temp_c]"},
		{"cylinder that may be either", "Seconds,Depth (m),Cell 1,O2 pressure\n0,1,0.7,133\n10,1,0.7,134\n", "bar or psi", "\n[columns.o2_cyl_bar]"},
		{"two of one", "Seconds,Depth (m),Cell 1,Sensor 1\n0,1,0.7,0.7\n10,1,0.7,0.7\n", "looks like cell1_po2_bar too", ""},
		{"hours or minutes", "Time,Depth (m),Cell 1\n12:30,1,0.7\n12:31,1,0.7\n12:32,1,0.7\n", "hh:mm", "\nformat ="},
		{"one word, two meanings", "Seconds,Depth (m),Cell 1,Temp (C),Cell 1 status\n0,1,0.7,off,off\n10,1,0.7,12,in\n20,1,0.8,12,in\n", `"off" stands for nothing`, "\nmissing ="},
		{"a PO2 of something else", "Seconds,Depth (m),Cell 1,Diluent PO2\n0,1,0.7,0.2\n10,1,0.7,0.2\n", `the word "diluent"`, "\n[columns.po2_bar]"},
		{"a temperature of something else", "Seconds,Depth (m),Cell 1,Battery temp (C)\n0,1,0.7,20\n10,1,0.7,20\n", `the word "battery"`, "\n[columns.temp_c]"},
		{"another depth", "Seconds,Depth (m),Next stop depth (m),Cell 1\n0,1,3,0.7\n10,1,3,0.7\n", `"Next stop depth (m)"`, ""},
		{"cell or half", "Seconds,Depth (m),PO2 A,PO2 B\n0,1,0.7,0.7\n10,1,0.7,0.7\n", "half A of doubled electronics", "\n[columns.cell1_po2_bar]"},
		{"no table", "hello\nthis is a letter\n", "no table was found", "\n[columns"},
	} {
		d := draft.Make([]byte(c.log), "lake.csv")
		if !strings.Contains(strings.Join(d.Undecided, "\n"), c.question) {
			t.Errorf("%s: undecided %q, want %q\n%s", c.name, d.Undecided, c.question, d.TOML)
		}
		if !strings.Contains(string(d.TOML), "# UNDECIDED: ") || c.absent != "" && strings.Contains(string(d.TOML), c.absent) {
			t.Errorf("%s: in force, or not said:\n%s", c.name, d.TOML)
		}
	}
}

// TestSetPointIsNoPO2: the words of a set point beside those of a PO2.
func TestSetPointIsNoPO2(t *testing.T) {
	d := draft.Make([]byte("Seconds,Depth (m),Cell 1,PO2 setpoint,Sensor 1 temp (C)\n0,1,0.7,0.7,9\n10,1,0.7,0.7,9\n"), "lake.csv")
	if s := string(d.TOML); !strings.Contains(s, "[columns.setpoint_bar]") || strings.Contains(s, "\n[columns.po2_bar]") || strings.Count(s, "cell1_po2_bar") != 1 {
		t.Errorf("%s", s)
	}
}

// TestLoopLogsOwnNames: the names of the loop log itself, units at their end.
func TestLoopLogsOwnNames(t *testing.T) {
	d := draft.Make([]byte("# water_density_kg_m3: 1000\ntime_s,depth_m,cell1_po2_bar,cell2_mv,valve1_open_s,o2_cyl_bar,battery1_v,temp_c,Cell C,c4 mV,Scrubber temp C\n0,1,0.7,40,0,180,3.9,9,0.7,41,30\n10,1,0.7,41,0.5,180,3.9,9,0.7,41,31\n"), "lake.csv")
	for _, want := range []string{"column = \"time_s\"", "[columns.depth_m]", "[columns.cell1_po2_bar]", "[columns.cell2_mv]", "[columns.cell3_po2_bar]", "[columns.cell4_mv]", "[columns.valve1_open_s]", "[columns.o2_cyl_bar]", "[columns.battery1_v]", "[columns.temp_c]", "[columns.loop_temp_c]", "water_density_kg_m3 = { label"} {
		if !strings.Contains(string(d.TOML), "\n"+want) {
			t.Errorf("no %s in\n%s", want, d.TOML)
		}
	}
	if len(d.Undecided) > 0 {
		t.Errorf("undecided: %v", d.Undecided)
	}
}

// FuzzMake: any bytes give a draft, which is TOML of the language: nothing but
// what the draft leaves open keeps it from being a mapping.
func FuzzMake(f *testing.F) {
	for _, file := range fixtures(f) {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[:min(len(data), 1500)])
	}
	f.Add([]byte("a,b,c\n1,2,3\n2,3,4\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d := draft.Make(data, "x\x1b\n.csv")
		_, err := mapping.Parse(d.TOML, "draft.toml")
		var e mapping.Error
		if err != nil && (!errors.As(err, &e) || e.Key != "time.column" && e.Key != "time.format" && e.Key != "time.date_format" && e.Key != "dives.column") {
			t.Fatalf("%v\n%s", err, d.TOML)
		}
		if strings.ContainsRune(string(d.TOML), 0x1b) {
			t.Fatalf("a control character in\n%q", d.TOML)
		}
	})
}
