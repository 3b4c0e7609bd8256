package benchlog

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"afterloop/ingest"
)

func cells(text string) (*CellTest, error) {
	return ReadCells("-", Options{Stdin: strings.NewReader(text)})
}

func tight(text string) (*TightnessTest, error) {
	return ReadTightness("-", Options{Stdin: strings.NewReader(text)})
}

// TestUnits: each spelling of a pressure is the same absolute pressure.
func TestUnits(t *testing.T) {
	for _, c := range []struct{ meta, column, value string }{
		{"absolute", "pressure_bar", "2.013"}, {"gauge", "pressure_bar", "1.0"}, {"gauge", "pressure_kpa", "100"}, {"gauge", "pressure_mbar", "1000"}, {"gauge", "pressure_psi", "14.5038"},
	} {
		x, err := cells("# pressure: " + c.meta + "\ntime_min," + c.column + ",cell2_po2_bar,humidity_percent\n1.5," + c.value + ",0.21,40\n")
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(x.PressureBar[0]-2.013) > 1e-5 || x.TimeS[0] != 90 || x.Cells[0].Number != 2 || x.Humidity[0] != 0.4 {
			t.Errorf("%+v: %+v", c, x)
		}
	}
}

func TestGas(t *testing.T) {
	const rest = "time_s,pressure_bar,cell1_mv\n0,1,10\n"
	x, err := cells("# pressure: gauge\n# ambient_pressure_bar: 1.0\n# purges: 3\n# purge_low_bar: 0\n# purge_high_bar: 2.5\n# supply_o2: 0.99\n# cell1_serial: K-1\n" + rest)
	if err != nil || x.Gas.Purges != 3 || x.Gas.LowBar != 1 || x.Gas.HighBar != 3.5 || x.Gas.SupplyO2 != 0.99 || x.Cells[0].Serial != "K-1" {
		t.Errorf("%v, %+v", err, x)
	}
	x, err = cells("# pressure: absolute\n# purges: 3\n" + rest) // without their pressures purges mean nothing
	if err != nil || x.Gas.Purges != -1 || len(x.Problems) != 1 || x.Problems[0].Line != 2 {
		t.Errorf("%v, %+v", err, x.Problems)
	}
}

// TestProblems: what is wrong is said with its line and its column.
func TestProblems(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,x\n", `:3: column "cell1_mv": read "x"`},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,1\n0,1,1\n", `:4: column "time_s": read "0"`},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,1\nlater,1,1\n", `:4: column "time_s": read "later"`},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,1\n1,1,2,3\n", `:4: read "1,1,2,3"`},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,1\n1,1,12", `:4: column "cell1_mv": read "12", treated as not recorded`},
		{"# pressure: absolute\n# supply_o2: 99\ntime_s,pressure_bar,cell1_mv\n0,1,1\n", `:2: read "supply_o2: 99"`},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,-0.5,1\n", `:3: column "pressure_bar"`},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv,smell\n0,1,1,x\n", `:2: column "smell"`},
	} {
		x, err := cells(c.text)
		if err != nil || len(x.Problems) != 1 || !strings.Contains(x.Problems[0].String(), c.want) {
			t.Errorf("%q: %v, %v; want %q", c.text, err, x, c.want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"time_s,pressure_bar,cell1_mv\n0,1,1\n", "gauge"},
		{"# pressure: absolute\ntime_s,cell1_mv\n0,1\n", "pressure_bar"},
		{"# pressure: absolute\ntime_s,pressure_bar\n0,1\n", "cell1_mv"},
		{"# pressure: absolute\npressure_bar,cell1_mv\n1,1\n", "time_s"},
		{"# pressure: absolute\ntime_s,time_min,pressure_bar,cell1_mv\n", "second column of time"},
		{"# bench-cells: 2\n# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,1\n", "does not know"},
		{"# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n", "without a usable row"},
		{"", "no header"},
	} {
		_, err := cells(c.text)
		var p ingest.Problem
		if !errors.As(err, &p) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v; want %q", c.text, err, c.want)
		}
	}
	if _, err := ReadCells("-", Options{Strict: true, Stdin: strings.NewReader("# pressure: absolute\ntime_s,pressure_bar,cell1_mv\n0,1,x\n")}); err == nil {
		t.Error("strict let a bad number pass")
	}
}

func TestTightness(t *testing.T) {
	x, err := tight("# test: positive\n# ambient_pressure_bar: 1.002\ntime,pressure_mbar,temp_c,event\n0:01,1022,20,\n0:02,1021.9,20.1,Closed\n0:03,,,jumped\n")
	if err != nil {
		t.Fatal(err)
	}
	if x.Kind != "positive" || math.Abs(x.LoopMbar[0]-20) > 1e-9 || !math.IsNaN(x.LoopMbar[2]) || len(x.Events) != 1 || x.Events[0].Kind != "closed" || x.Events[0].AtS != 2 {
		t.Errorf("%+v", x)
	}
	if len(x.Problems) != 1 || !strings.Contains(x.Problems[0].String(), `:6: column "event": read "jumped"`) {
		t.Errorf("%v", x.Problems)
	}
	if _, err := tight("time_s,pressure_mbar\n0,1022\n"); err == nil || !strings.Contains(err.Error(), "room") {
		t.Errorf("absolute without the room: %v", err)
	}
}

// TestAnyText: no text makes a reader panic, and what is read has columns as
// long as its time, which increases.
func TestAnyText(t *testing.T) {
	demo, err := os.ReadFile("../../testdata/bench-tightness-positive.csv")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		b := append([]byte{}, demo[:rapid.IntRange(0, 900).Draw(t, "cut")]...)
		for range rapid.IntRange(0, 6).Draw(t, "spoilt") {
			if len(b) > 0 {
				b[rapid.IntRange(0, len(b)-1).Draw(t, "at")] = rapid.SampledFrom([]byte("\n,\"#x-.\x00\xff9")).Draw(t, "byte")
			}
		}
		x, err := tight(string(b))
		_, _ = cells(string(b))
		if err != nil {
			return
		}
		if len(x.LoopMbar) != len(x.TimeS) || x.TempC != nil && len(x.TempC) != len(x.TimeS) || len(x.AmbientBar) != len(x.TimeS) {
			t.Fatalf("columns of different lengths in %q", b)
		}
		for i := 1; i < len(x.TimeS); i++ {
			if !(x.TimeS[i] > x.TimeS[i-1]) {
				t.Fatalf("time does not increase in %q", b)
			}
		}
	})
}
