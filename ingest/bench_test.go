package ingest

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strconv"
	"testing"
	"time"
)

// benchLog is a log of 4 cells and 2 valves, one row a second, as a recorder
// writes it.
func benchLog(rows int) []byte {
	var b bytes.Buffer
	b.WriteString("# loop-log: 1\n# surface_pressure_bar: 1.013\n# diluent: 18/45\n")
	b.WriteString("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,cell4_po2_bar,setpoint_bar,po2_bar,valve1_open_s,valve2_open_s\n")
	for i := range rows {
		s := math.Sin(float64(i) / 40)
		fmt.Fprintf(&b, "%d,%.1f,%.2f,%.2f,%.2f,%.2f,1.30,%.2f,%.1f,%.1f\n", i, 40+20*s,
			1.3+0.03*s, 1.29+0.04*s, 1.31-0.02*s, 1.28+0.05*s, 1.30+0.02*s, math.Max(0, s), math.Max(0, -s))
	}
	return b.Bytes()
}

const benchRows = 10800

func BenchmarkRead(b *testing.B) {
	log := benchLog(benchRows)
	b.SetBytes(int64(len(log)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader(log), "bench.csv", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBareCSV is the least that any reader on the standard library does.
func BenchmarkBareCSV(b *testing.B) {
	log := benchLog(benchRows)
	b.SetBytes(int64(len(log)))
	b.ReportAllocs()
	for b.Loop() {
		bareCSV(b, log)
	}
}

// bareCSV cuts the records and converts every field, keeping the columns.
func bareCSV(tb testing.TB, log []byte) [][]float64 {
	r := csv.NewReader(bytes.NewReader(log))
	r.ReuseRecord = true
	r.Comment = '#'
	header, err := r.Read()
	if err != nil {
		tb.Fatal(err)
	}
	cols := make([][]float64, len(header))
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return cols
		}
		if err != nil {
			tb.Fatal(err)
		}
		for i, f := range record {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				tb.Fatal(err)
			}
			cols[i] = append(cols[i], v)
		}
	}
}

// TestReadIsFast holds reading to twice the time of encoding/csv and
// strconv.ParseFloat over the same bytes, the best of several runs of each.
func TestReadIsFast(t *testing.T) {
	if testing.Short() || raceEnabled {
		t.Skip("measures time; not with -short or -race")
	}
	log := benchLog(benchRows)
	best := func(f func()) time.Duration {
		least := time.Hour
		for range 9 {
			start := time.Now()
			f()
			least = min(least, time.Since(start))
		}
		return least
	}
	bare := best(func() { bareCSV(t, log) })
	read := best(func() {
		if _, err := Read(bytes.NewReader(log), "bench.csv", Options{}); err != nil {
			t.Fatal(err)
		}
	})
	t.Logf("bare %v, read %v: ratio %.2f", bare, read, float64(read)/float64(bare))
	if read > 2*bare {
		t.Errorf("reading takes %v, more than twice the %v of a bare loop", read, bare)
	}
}

// TestReadOfALongDiveStaysSmall reads ten hours at twelve rows a second.
func TestReadOfALongDiveStaysSmall(t *testing.T) {
	if testing.Short() || raceEnabled {
		t.Skip("reads 432,000 rows; not with -short or -race")
	}
	log := benchLog(432000)
	runtime.GC()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	d, err := Read(bytes.NewReader(log), "long.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	// All that was ever allocated bounds the peak from above.
	mb := float64(after.TotalAlloc-before.TotalAlloc) / 1e6
	t.Logf("%d rows, %d bytes: %.0f MB allocated in all", d.Rows(), len(log), mb)
	if mb > 200 {
		t.Errorf("%.0f MB allocated for 432,000 rows, want at most 200", mb)
	}
}
