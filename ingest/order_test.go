package ingest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestTwoRowsOfOneTime(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar,valve1_open_s,cell1_vote,event,note,x\n"+
		"0,1,0.7,0.0,in,,,p\n0,,0.7,0.4,,bailout,a,\n1,2,0.71,0.3,in,,a,q\n1,3,0.72,0.2,out,,b,r\n1,,,,,,a,\n2,1,0.7,0,in,,,\n")
	wantSeries(t, "time", d.TimeS, []float64{0, 1, 2})
	wantSeries(t, "depth", d.DepthM, []float64{1, 2, 1})
	wantSeries(t, "cell", d.Cells[0].PO2Bar, []float64{0.7, 0.71, 0.7})
	wantSeries(t, "valve", d.Valves[0].OpenS, []float64{0.4, 0.3, 0})
	if diff := cmp.Diff([]int{2, 4, 7}, d.Line); diff != "" {
		t.Errorf("lines (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]Note{{0, "a"}, {1, "a"}, {1, "b"}}, d.Notes); diff != "" {
		t.Errorf("notes (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]string{"p", "q", ""}, d.Unknown[0].Values); diff != "" {
		t.Errorf("text (-want +got):\n%s", diff)
	}
	var got []string
	for _, p := range withCode(d, "same-time-contradicts") {
		got = append(got, p.String())
	}
	want := []string{
		`test.csv:5: column "depth_m": read "3", treated as left out: the row before has the same time and says 2 (right would be one row for each time)`,
		`test.csv:5: column "cell1_po2_bar": read "0.72", treated as left out: the row before has the same time and says 0.71 (right would be one row for each time)`,
		`test.csv:5: column "valve1_open_s": read "0.2", treated as left out: the row before has the same time and says 0.3 (right would be one row for each time)`,
		`test.csv:5: column "cell1_vote": read "out", treated as left out: the row before has the same time and says in (right would be one row for each time)`,
		`test.csv:5: column "x": read "r", treated as left out: the row before has the same time and says q (right would be one row for each time)`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if n := len(withCode(d, "same-time")); n == 0 {
		t.Error("that rows were merged is not said")
	}
}

func TestTimeRunningBackwards(t *testing.T) {
	tests := []struct {
		name  string
		times []float64
		want  []float64
		line  int
	}{
		{"one row late", []float64{0, 1, 2, 1.5, 3}, []float64{0, 1, 2, 3}, 5},
		{"one row early", []float64{0, 1, 99999, 2, 3, 4}, []float64{0, 1, 2, 3, 4}, 4},
		{"the first row", []float64{50, 0, 1, 2}, []float64{0, 1, 2}, 2},
		{"the last row", []float64{0, 1, 2, 0}, []float64{0, 1, 2}, 5},
		{"late and equal to an earlier one", []float64{0, 1, 2, 1, 3}, []float64{0, 1, 2, 3}, 5},
	}
	for _, tt := range tests {
		d := mustRead(t, timesLog(tt.times))
		wantSeries(t, tt.name, d.TimeS, tt.want)
		p := theProblem(t, d, "time-backwards")
		if p.Line != tt.line || p.Severity != Warning || p.Column != "time_s" {
			t.Errorf("%s: problem %s", tt.name, p)
		}
	}
}

func timesLog(times []float64) string {
	var b strings.Builder
	b.WriteString("time_s,depth_m,cell1_po2_bar\n")
	for i, tS := range times {
		fmt.Fprintf(&b, "%g,1,0.%02d\n", tS, i%100)
	}
	return b.String()
}

// Two dives in one file must not become one.
func TestTimeThatStartsAgainIsAnError(t *testing.T) {
	var times []float64
	for range 2 {
		for i := range 10 {
			times = append(times, float64(i))
		}
	}
	p := mustFail(t, timesLog(times), Options{})
	want := `test.csv:12: read "0", treated as a second dive or a clock that was set: 9 of 20 rows are against the order of time (right would be one dive in a file, its time increasing: split it here)`
	if p.String() != want {
		t.Errorf("problem\n%s, want\n%s", p, want)
	}
	again := mustFail(t, plainHeader+"0,1,0.7,0.7\n1,1,0.7,0.7\n"+plainHeader+"0,1,0.7,0.7\n", Options{})
	want = `test.csv:4: read "time_s,depth_m,cell1_po2_bar,cell2_po2_bar", treated as the header of a second dive in the same file (right would be one dive in a file: split it here)`
	if again.String() != want {
		t.Errorf("problem\n%s, want\n%s", again, want)
	}
}

// The rows kept are in order, and no longer run in order exists.
func TestLongestInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.SliceOfN(rapid.Float64Range(0, 9), 1, 10).Draw(t, "times")
		for i := range times {
			times[i] = float64(int(times[i]))
		}
		keep := longestInOrder(times)
		last := -1.0
		for i, in := range keep {
			if in && times[i] < last {
				t.Fatalf("%v kept %v: not in order", times, keep)
			}
			if in {
				last = times[i]
			}
		}
		best := 0
		for set := range 1 << len(times) {
			n, last, ok := 0, -1.0, true
			for i, v := range times {
				if set>>i&1 == 0 {
					continue
				}
				ok = ok && v >= last
				n, last = n+1, v
			}
			if ok {
				best = max(best, n)
			}
		}
		if count(keep) != best {
			t.Fatalf("%v kept %v: %d rows, %d are possible", times, keep, count(keep), best)
		}
	})
}

func TestFormsOfTime(t *testing.T) {
	tests := []struct {
		header string
		fields []string
		want   []float64
	}{
		{"time_s", []string{"-5", "0", "2.5", "1e1"}, []float64{-5, 0, 2.5, 10}},
		{"time_s", []string{"1741944600", "1741944601"}, []float64{1741944600, 1741944601}},
		{"time_min", []string{"0", "0.5", "1.25"}, []float64{0, 30, 75}},
		{"time", []string{"0:05", "59:59", "60:01", "1:00:05"}, []float64{5, 3599, 3601, 3605}},
		{"time", []string{"23:59:58", "0:00:03", "0:00:08"}, []float64{86398, 86403, 86408}},
		{"time", []string{"23:59:59.5", "00:00:00.5"}, []float64{86399.5, 86400.5}},
	}
	for _, tt := range tests {
		log := tt.header + ",depth_m,cell1_po2_bar\n"
		for _, f := range tt.fields {
			log += f + ",1,0.7\n"
		}
		d := mustRead(t, log)
		wantSeries(t, tt.header+" "+tt.fields[0], d.TimeS, tt.want)
		if d.Source.TimeForm != tt.header || len(graver(d)) > 0 {
			t.Errorf("%s: form %q, problems %v", tt.header, d.Source.TimeForm, graver(d))
		}
	}
}

func TestARowWithoutATimeIsLeftOut(t *testing.T) {
	d := mustRead(t, plainHeader+"0,1,0.7,0.7\n,1,0.7,0.7\nNaN,1,0.7,0.7\n1e12,1,0.7,0.7\n2,1,0.7,0.7\n")
	wantSeries(t, "time", d.TimeS, []float64{0, 2})
	const tail = ", treated as a row without a time, which is left out (right would be a plain decimal such as 12 or 12.5)"
	want := []string{`test.csv:3: column "time_s": read ""` + tail, `test.csv:4: column "time_s": read "NaN"` + tail, `test.csv:5: column "time_s": read "1e12"` + tail}
	var got []string
	for _, p := range withCode(d, "no-time") {
		got = append(got, p.String())
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	clock := mustRead(t, "time,depth_m,cell1_po2_bar\n0:01,1,0.7\n0:61,1,0.7\n")
	if p := theProblem(t, clock, "no-time"); p.Want != "mm:ss or h:mm:ss" {
		t.Errorf("problem %s", p)
	}
}

func TestGaps(t *testing.T) {
	tests := []struct {
		name  string
		times []float64
		usual float64
		want  []bool
	}{
		{"one row", []float64{0}, nan, []bool{false}},
		{"30 s is no gap", []float64{0, 1, 2, 32, 33}, 1, []bool{false, false, false, false, false}},
		{"more is", []float64{0, 1, 2, 32.5, 33.5}, 1, []bool{false, false, true, false, false}},
		{"2.5 times the usual is no gap", []float64{0, 20, 40, 90, 110}, 20, []bool{false, false, false, false, false}},
		{"more is", []float64{0, 20, 40, 91, 111}, 20, []bool{false, false, true, false, false}},
		{"even number of intervals", []float64{0, 1, 4}, 2, []bool{false, false, false}},
	}
	for _, tt := range tests {
		d := mustRead(t, timesLog(tt.times))
		wantSeries(t, tt.name, []float64{d.UsualIntervalS()}, []float64{tt.usual})
		if diff := cmp.Diff(tt.want, d.GapAfter()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}
