package report

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"testing"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/vote"
	"afterloop/internal/golden"
)

func TestSeriesGolden(t *testing.T) {
	var b bytes.Buffer
	if err := WriteSeries(&b, small.debrief()); err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "testdata/series.csv", b.Bytes())
}

// Every row and every value comes back; what is not known is an empty field.
func TestSeriesReadBack(t *testing.T) {
	d := small.debrief()
	var b bytes.Buffer
	if err := WriteSeries(&b, d); err != nil {
		t.Fatal(err)
	}
	recs, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cols := seriesColumns(d.Series)
	if len(recs) != len(d.Series.TimeS)+1 || len(recs[0]) != len(cols) {
		t.Fatalf("%d lines of %d fields", len(recs), len(recs[0]))
	}
	for i, rec := range recs[1:] {
		for k, c := range cols {
			if c.values == nil {
				continue
			}
			v, err := strconv.ParseFloat(rec[k], 64)
			if math.IsNaN(c.values[i]) != (rec[k] == "") || rec[k] != "" && (err != nil || math.Abs(v-c.values[i]) > 5.1e-7) {
				t.Errorf("row %d, %s: %v became %q", i, c.name, c.values[i], rec[k])
			}
		}
	}
}

func TestSeriesLeavesOutWhatIsNotThere(t *testing.T) {
	s := &analysis.Series{TimeS: []float64{1, 2}, HeliumBar: []float64{nan, 1.25},
		Votes: []analysis.SeriesVote{{Policy: `odd,"policy"`, PO2Bar: []float64{1, nan}, State: analysis.States{vote.Agreed, vote.Undecided}}}}
	var b bytes.Buffer
	if err := WriteSeries(&b, &analysis.Debrief{Series: s}); err != nil {
		t.Fatal(err)
	}
	want := "time_s,depth_m,ambient_bar,setpoint_bar,po2_unit_bar,\"po2_odd,\"\"policy\"\"_bar\",\"state_odd,\"\"policy\"\"\",po2_helium_bar,tracking_error_bar,cns_percent,otu\n" +
		"1,,,,,1,agreed,,,,\n2,,,,,,undecided,1.25,,,\n"
	if b.String() != want {
		t.Errorf("got\n%swant\n%s", b.String(), want)
	}
	if err := WriteSeries(io.Discard, &analysis.Debrief{}); err == nil {
		t.Error("a debrief without a series gives no error")
	}
}

// 432,000 rows, twelve hours at ten rows a second, in well under two seconds.
func TestSeriesIsFast(t *testing.T) {
	if testing.Short() {
		t.Skip("long series")
	}
	d := &analysis.Debrief{Series: dive{rows: 432000, cells: 4, valves: 2, stepS: 0.1}.series()}
	start := time.Now()
	if err := WriteSeries(io.Discard, d); err != nil {
		t.Fatal(err)
	}
	if took := time.Since(start); took > 4*time.Second {
		t.Errorf("took %v", took)
	} else {
		t.Logf("took %v", took)
	}
}
