package ingest

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestWhenNothingCanBeUsed(t *testing.T) {
	header := ` (right would be a header with time_s (or time_min, time), depth_m (or ambient_bar) and cell1_po2_bar ...; lines above it begin with #)`
	cells := ` (right would be cell1_po2_bar (or _ata, _kpa, _mbar), or cell1_mv with cell1_cal_mv and cell1_cal_po2_bar, for each cell)`
	tests := []struct{ name, log, want string }{
		{"an empty file", "", `test.csv:1: read "the end of the file", treated as a file that is no loop log` + header},
		{"metadata alone", "# dive: x\n", `test.csv:2: read "the end of the file", treated as a file that is no loop log` + header},
		{"a preamble without #", "Some export\ntime_s,depth_m,cell1_po2_bar\n", `test.csv:1: read "Some export", treated as a header without a time column` + header},
		{"no header", "0,1,0.7\n1,1,0.7\n", `test.csv:1: read "0,1,0.7", treated as a row of numbers where the header should be` + header},
		{"semicolons", "time_s;depth_m;cell1_po2_bar\n0;1,0;0,7\n", `test.csv:1: read "time_s;depth_m;cell1_po2_bar", treated as a header whose names are not parted by commas` + header},
		{"no time", "depth_m,cell1_po2_bar\n1,0.7\n", `test.csv:1: read "depth_m,cell1_po2_bar", treated as a header without a time column` + header},
		{"no cells", "# dive: x\ntime_s,depth_m,po2_bar\n0,1,0.7\n", `test.csv:2: read "time_s,depth_m,po2_bar", treated as a log without oxygen cells` + cells},
		{"no depth", "time_s,cell1_po2_bar\n0,0.7\n", `test.csv:1: read "time_s,cell1_po2_bar", treated as a log without depth or pressure (right would be depth_m (or depth_ft, depth_msw, depth_fsw), or ambient_bar)`},
		{"no rows", "time_s,depth_m,cell1_po2_bar\n\n", `test.csv:1: read "time_s,depth_m,cell1_po2_bar", treated as a header without rows (right would be at least one row below the header)`},
		{"decimal commas", "time_s,depth_m,cell1_po2_bar\n0,1,5,0,70\n1,1,6,0,71\n", `test.csv:2: read "0,1,5,0,70", treated as a log without a usable row; the first was treated as a row left out: it has more than 3 fields, so that none can be given its column (right would be numbers with a decimal point in fields parted by commas, the time first of all)`},
		{"another version", "# loop-log: 2\ntime_s,depth_m,cell1_po2_bar\n0,1,0.7\n", `test.csv:1: read "loop-log: 2", treated as a format that this program does not know (right would be loop-log: 1)`},
		{"UTF-16", "\xff\xfet\x00i\x00", `test.csv:1: read "a UTF-16 byte-order mark", treated as no text in UTF-8 (right would be the file saved as UTF-8)`},
		{"lone carriage returns", "time_s,depth_m,cell1_po2_bar\r0,1,0.7\r", `test.csv:1: read "lone carriage returns", treated as one single line (right would be lines that end in LF or CRLF)`},
	}
	for _, tt := range tests {
		p := mustFail(t, tt.log, Options{})
		if p.String() != tt.want || p.Severity != Error || p.Code == "" {
			t.Errorf("%s: problem (%s, %q)\n%s, want\n%s", tt.name, p.Severity, p.Code, p, tt.want)
		}
	}
}

func TestStrict(t *testing.T) {
	good := "# loop-log: 1\n" + plainHeader + "0,1,0.00,-1\n"
	if _, err := Read(strings.NewReader(good), "test.csv", Options{Strict: true}); err != nil {
		t.Errorf("strict on a log with remarks only: %v", err)
	}
	p := mustFail(t, plainHeader+"0,1,0.7,0.7\n1,1,x,0.7\n2,1,0.7\n", Options{Strict: true})
	if p.Line != 3 || p.Column != "cell1_po2_bar" || p.Severity != Warning {
		t.Errorf("the error is not the first warning: %s", p)
	}
}

func TestFilesThatAreNotThere(t *testing.T) {
	_, err := ReadFile(filepath.Join(t.TempDir(), "none.csv"), Options{})
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("error %v, want one that says the file does not exist", err)
	}
	_, err = Read(io.MultiReader(strings.NewReader(plainHeader), brokenReader{}), "-", Options{})
	if !errors.Is(err, errBroken) {
		t.Errorf("error %v, want the reader's own", err)
	}
}

var errBroken = errors.New("cable pulled")

type brokenReader struct{}

func (brokenReader) Read([]byte) (int, error) { return 0, errBroken }

func TestReadFileTakesPlainAndPackedFiles(t *testing.T) {
	log := "# loop-log: 1\n" + plainHeader + "0,1,0.7,0.71\n"
	dir := t.TempDir()
	// Gzip is told by its bytes, whatever the name.
	for name, data := range map[string][]byte{"a.csv": []byte(log), "a.csv.gz": gzipped(t, log), "b.csv": gzipped(t, log)} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		d, err := ReadFile(path, Options{Strict: true})
		if err != nil {
			t.Fatal(err)
		}
		if d.Source.File != path || d.Source.Bytes != int64(len(data)) || d.Source.Gzip != bytes.HasPrefix(data, gzipMagic) {
			t.Errorf("source %+v", d.Source)
		}
	}
}

func TestSourceSHA256(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar\n0,1,0.7\n")
	// sha256sum of the same bytes.
	const want = "aeefe889f85e3ebe548371cc6fe8fa4409e40a5de868270db33150dc493b33a1"
	if d.Source.SHA256 != want {
		t.Errorf("sha256 %s, want %s", d.Source.SHA256, want)
	}
}

func TestSizeIsBounded(t *testing.T) {
	log := plainHeader + strings.Repeat("0,1,0.7,0.71\n", 1000)
	o := Options{MaxBytes: 4000}
	if p := mustFail(t, log, o); p.Code != "too-large" {
		t.Errorf("a large file: %s", p)
	}
	bomb := string(gzipped(t, log))
	if len(bomb) > 4000 {
		t.Fatalf("the bomb has %d bytes", len(bomb))
	}
	want := `test.csv: read "more than 4000 bytes", treated as no loop log (right would be at most 4000 bytes, unpacked too)`
	if p := mustFail(t, bomb, o); p.String() != want {
		t.Errorf("a bomb:\n%s, want\n%s", p, want)
	}
}

// A header of many columns over many short rows would need far more memory than
// the file has bytes.
func TestRowsTimesColumnsIsBounded(t *testing.T) {
	log := "time_s,depth_m,cell1_po2_bar" + strings.Repeat(",x", MaxColumns-3) + "\n" + strings.Repeat("0\n", 20)
	rd := newReader(loaded{data: []byte(log)})
	rd.maxFields = 10 * MaxColumns
	var p Problem
	if err := rd.read(); !errors.As(err, &p) || p.Code != "too-large" || p.Line != 12 {
		t.Errorf("20 rows where 10 are allowed: %v", err)
	}
}

func TestDamagedGzip(t *testing.T) {
	log := "# loop-log: 1\n" + plainHeader + strings.Repeat("0,1,0.7,0.71\n", 3)
	packed := gzipped(t, log)
	damaged := append([]byte{}, packed...)
	damaged[len(damaged)-6] ^= 0xff // within the checksum
	if p := mustFail(t, string(damaged), Options{}); p.Code != "damaged-gzip" {
		t.Errorf("a wrong checksum: %s", p)
	}
	if p := mustFail(t, "\x1f\x8b\x00\x00", Options{}); p.Severity != Error {
		t.Errorf("two bytes of gzip: %s", p)
	}
	d := mustRead(t, string(packed)+"tail")
	if p := theProblem(t, d, "gzip-tail"); p.Severity != Warning {
		t.Errorf("bytes behind the end: %s", p)
	}
	if d := mustRead(t, string(gzipped(t, log))+string(gzipped(t, "7,1,0.7,0.7\n"))); d.Rows() != 2 || len(graver(d)) > 0 {
		t.Errorf("two members: %d rows, problems %v", d.Rows(), graver(d))
	}
	d = mustRead(t, string(packed[:len(packed)-4]))
	if !d.Source.Truncated {
		t.Error("a gzip file without its end is not said to be cut off")
	}
	want := `test.csv:5: read "the end of the gzip data", treated as the end of the log: the packed file was cut off (right would be a whole gzip file)`
	if p := theProblem(t, d, "truncated"); p.String() != want {
		t.Errorf("problem\n%s, want\n%s", p, want)
	}
}

// Wherever a log is cut off, its whole rows are read, the fields before the cut
// are kept, and the cut is said.
func TestCutOffAtEveryByte(t *testing.T) {
	const log = "# loop-log: 1\n# diluent: 18/45\ntime_s,depth_m,cell1_po2_bar,note,cell2_po2_bar\r\n" +
		"10,1.5,0.71,calm,0.72\r\n11,1.6,0.81,\"two\nlines, \"\"odd\"\"\",0.82\r\n12,1.7,0.91,,0.92\r\n"
	whole := mustRead(t, log)
	headerEnd := strings.Index(log, "10,1.5")
	for cut := range len(log) {
		d, err := Read(strings.NewReader(log[:cut]), "cut.csv", Options{})
		rows := strings.Count(strings.Replace(log[headerEnd:max(cut, headerEnd)], "two\n", "two", 1), "\n")
		if err != nil {
			var p Problem
			if !errors.As(err, &p) {
				t.Fatalf("cut at %d: %v", cut, err)
			}
			if rows > 0 {
				t.Errorf("cut at %d: %d whole rows are lost: %v", cut, rows, err)
			}
			continue
		}
		checkPrefix(t, cut, whole, d, rows)
		atRowEnd := strings.HasSuffix(log[:cut], "\n") && rows == d.Rows() && !strings.HasSuffix(log[:cut], "two\n")
		if d.Source.Truncated == atRowEnd || len(withCode(d, "truncated")) > 0 == atRowEnd {
			t.Errorf("cut at %d (%q): truncated is %v, problems %v", cut, log[max(0, cut-8):cut], d.Source.Truncated, d.Problems)
		}
	}
}

// checkPrefix makes sure that rows whole rows are as in the whole log, and that
// of a row more every value is the right one or missing.
func checkPrefix(t *testing.T, cut int, whole, d *Dive, rows int) {
	t.Helper()
	if d.Rows() < rows || d.Rows() > rows+1 {
		t.Fatalf("cut at %d: %d rows, want %d or one more", cut, d.Rows(), rows)
	}
	series := func(d *Dive) [][]float64 { return [][]float64{d.TimeS, d.DepthM, d.Cells[0].PO2Bar, d.Cells[1].PO2Bar} }
	for k, x := range series(d) {
		for i, v := range x {
			if right := series(whole)[k][i]; v != right && (i < rows || !IsMissing(v)) {
				t.Errorf("cut at %d: series %d row %d is %v, want %v", cut, k, i, v, right)
			}
		}
	}
}

func TestTheLastFieldOfALineThatIsCut(t *testing.T) {
	d := mustRead(t, plainHeader+"0,1,0.70,0.71\n1,2,0.72,0.7")
	wantSeries(t, "cell 1", d.Cells[0].PO2Bar, []float64{0.70, 0.72})
	wantSeries(t, "cell 2", d.Cells[1].PO2Bar, []float64{0.71, nan})
	want := []string{`test.csv:3: column "cell2_po2_bar": read "0.7", treated as not recorded: the last line has no line end, so that its last field may be cut off`}
	var got []string
	for _, p := range graver(d) {
		got = append(got, p.String())
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
