package report

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A spike of one sample stays in the drawn data, wherever it stands and however
// many rows share a bucket.
func TestSpikeStaysDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30000).Draw(t, "rows")
		at := rapid.IntRange(0, n-1).Draw(t, "row of the spike")
		up := rapid.Bool().Draw(t, "upwards")
		bucket := rapid.IntRange(1, 500).Draw(t, "bucket")
		tS, v := make([]float64, n), make([]float64, n)
		for i := range v {
			tS[i], v[i] = float64(i), 1.2+0.05*jitter(i, 1)
		}
		v[at] = 1.6
		if !up {
			v[at] = 0.4
		}
		for _, p := range thin(tS, v, nil, bucket) {
			if p.tS == tS[at] && p.v == v[at] {
				return
			}
		}
		t.Fatalf("the spike at row %d of %d is not drawn", at, n)
	})
}

// The same through the whole page: the drawn samples hold the spike.
func TestSpikeStaysInPage(t *testing.T) {
	for _, row := range []int{0, 1, 777, 5003, 9998, 10799} {
		d := dive{rows: 10800, cells: 4, valves: 2, stepS: 1}.debrief()
		d.Series.Cells[3].PO2Bar[row] = 2.345
		var found bool
		for _, c := range drawCharts(d) {
			if c.ID != "cells" {
				continue
			}
			b, err := json.Marshal(c.draw.Option["series"])
			if err != nil {
				t.Fatal(err)
			}
			found = contains(string(b), "2.345]")
		}
		if !found {
			t.Errorf("the spike at row %d is not in the page", row)
		}
	}
}

// Thinned data are a subset of the rows, in order, with every extreme, and a
// break wherever the rows have one between two drawn samples.
func TestThinKeepsExtremesAndBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 400).Draw(t, "rows")
		bucket := rapid.IntRange(1, 50).Draw(t, "bucket")
		tS, v, gap := make([]float64, n), make([]float64, n), make([]bool, n)
		for i := range v {
			tS[i] = float64(i)
			v[i] = float64(rapid.IntRange(-3, 5).Draw(t, "v"))
			if v[i] < -1 {
				v[i] = math.NaN()
			}
			gap[i] = rapid.IntRange(0, 30).Draw(t, "gap") == 0
		}
		out := thin(tS, v, gap, bucket)
		checkThinned(t, tS, v, gap, bucket, out)
	})
}

func checkThinned(t *rapid.T, tS, v []float64, gap []bool, bucket int, out []point) {
	last, broke := -1, false
	for _, p := range out {
		if math.IsNaN(p.v) {
			broke = true
			continue
		}
		i := int(p.tS)
		if v[i] != p.v || i <= last {
			t.Fatalf("point %v is no sample, or out of order", p)
		}
		if last >= 0 && broke != broken(v, gap, last, i) {
			t.Fatalf("between rows %d and %d: break drawn %v", last, i, broke)
		}
		last, broke = i, false
	}
	for lo := 0; lo < len(v); lo += bucket {
		for _, i := range v[lo:min(lo+bucket, len(v))] {
			if !math.IsNaN(i) && !spans(out, i) {
				t.Fatalf("value %v of the bucket at %d lies outside what is drawn", i, lo)
			}
		}
	}
}

// spans tells whether x lies within the drawn values.
func spans(out []point, x float64) bool {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range out {
		if !math.IsNaN(p.v) {
			lo, hi = math.Min(lo, p.v), math.Max(hi, p.v)
		}
	}
	return lo <= x && x <= hi
}

func TestPointsJSON(t *testing.T) {
	for _, c := range []struct {
		data []point
		want string
	}{
		{nil, `[]`},
		{[]point{{0, 1}, {1, 2.0004}}, `[[0,1],[1,2]]`},
		{[]point{{0, 1}, {1, 2}, {1, nan}, {5, 3}, {6, 3}}, `[[0,1],[1,2],[1,null],[5,3],[6,3]]`},
		{[]point{{0.5, 1.25}}, `[{"value":[0.5,1.25],"symbol":"circle","symbolSize":4}]`},
		{[]point{{0, 1}, {0, nan}, {2, 3}, {2, nan}, {4, 5}, {5, 5}},
			`[{"value":[0,1],"symbol":"circle","symbolSize":4},[0,null],{"value":[2,3],"symbol":"circle","symbolSize":4},[2,null],[4,5],[5,5]]`},
	} {
		b, err := json.Marshal(points{data: c.data, decimals: 3})
		if err != nil {
			t.Fatal(err)
		}
		if string(b) != c.want {
			t.Errorf("got  %s\nwant %s", b, c.want)
		}
	}
}

func TestEqualRunsAreDrawnByTheirEnds(t *testing.T) {
	got := thin([]float64{0, 1, 2, 3, 4}, []float64{7, 7, 7, 8, 8}, nil, 1)
	want := []point{{0, 7}, {2, 7}, {3, 8}, {4, 8}}
	if len(got) != len(want) {
		t.Fatalf("got %v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("got %v", got)
		}
	}
}

func TestStemsKeepTheTallest(t *testing.T) {
	got := stems([]float64{0, 1, 2, 3}, []float64{0.2, 0.5, nan, 0}, 2)
	if len(got) != 3 || got[1] != (point{1, 0.5}) || got[0] != (point{1, 0}) {
		t.Errorf("got %v", got)
	}
}

func TestBucketRows(t *testing.T) {
	for _, c := range []struct{ rows, lines, want int }{{0, 20, 1}, {4500, 20, 1}, {4501, 20, 3}, {10800, 25, 6}, {36000, 25, 10}, {432000, 25, 90}, {432000, 1000, 864}} {
		if got := bucketRows(c.rows, c.lines); got != c.want {
			t.Errorf("%d rows, %d lines: got %d, want %d", c.rows, c.lines, got, c.want)
		}
	}
}
