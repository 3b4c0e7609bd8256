package ingest

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// split cuts text into copies of its records.
func split(text string) (records [][]string, lines [][]int) {
	s := splitter{data: []byte(text), line: 1}
	for s.next() {
		if s.rec.blank() {
			continue
		}
		var fields []string
		var at []int
		for i, f := range s.rec.fields {
			fields = append(fields, string(f))
			at = append(at, s.rec.lineOf(i))
		}
		records, lines = append(records, fields), append(lines, at)
	}
	return records, lines
}

// encoding/csv is the reference for what RFC 4180 allows.
func TestRecordsAreThoseOfEncodingCSV(t *testing.T) {
	field := rapid.StringMatching(`[a-c0-9 ,."\n#]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		records := rapid.SliceOfN(rapid.SliceOfN(field, 2, 5), 1, 8).Draw(t, "records")
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.UseCRLF = rapid.Bool().Draw(t, "crlf")
		if err := w.WriteAll(records); err != nil {
			t.Fatal(err)
		}
		r := csv.NewReader(bytes.NewReader(b.Bytes()))
		r.FieldsPerRecord = -1
		var want [][]string
		var wantLines [][]int
		for {
			rec, err := r.Read()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			var at []int
			for i := range rec {
				line, _ := r.FieldPos(i)
				at = append(at, line)
			}
			want, wantLines = append(want, rec), append(wantLines, at)
		}
		got, gotLines := split(b.String())
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("%q (-encoding/csv +ours):\n%s", b.String(), diff)
		}
		if diff := cmp.Diff(wantLines, gotLines); diff != "" {
			t.Fatalf("lines of %q (-encoding/csv +ours):\n%s", b.String(), diff)
		}
	})
}

func TestOddQuotesAreTakenAsTheyStand(t *testing.T) {
	tests := []struct {
		text string
		want []string
		odd  string
	}{
		{"1,3\" pipe,2\n", []string{"1", `3" pipe`, "2"}, insideQuote},
		{"1,\"a\"b,2\n", []string{"1", "ab", "2"}, afterQuote},
		{"1, \"a\",2\n", []string{"1", ` "a"`, "2"}, insideQuote},
		{"1,\"a\"\"b\",2\n", []string{"1", `a"b`, "2"}, ""},
		{"1,\"a,b\r\nc\",2\r\n", []string{"1", "a,b\nc", "2"}, ""},
	}
	for _, tt := range tests {
		s := splitter{data: []byte(tt.text), line: 1}
		s.next()
		var got []string
		for _, f := range s.rec.fields {
			got = append(got, string(f))
		}
		if diff := cmp.Diff(tt.want, got); diff != "" || s.rec.oddQuote != tt.odd || s.rec.cut {
			t.Errorf("%q: odd %q, cut %v (-want +got):\n%s", tt.text, s.rec.oddQuote, s.rec.cut, diff)
		}
	}
}

// A quote that is never closed must not swallow the rest of the dive.
func TestAStrayQuoteCostsItsLineOnly(t *testing.T) {
	d := mustRead(t, "time_s,depth_m,cell1_po2_bar,note\n0,1,0.70,\"left the, buoy\n1,1,0.71,\n2,1,0.72,\"and \"\"so\"\" on\"\n")
	wantSeries(t, "time", d.TimeS, []float64{0, 1, 2})
	if d.Notes[0].Text != "left the, buoy" || d.Notes[1].Text != `and "so" on` {
		t.Errorf("notes %+v", d.Notes)
	}
	p := theProblem(t, d, "odd-quote")
	want := `test.csv:2: read "0,1,0.70,left the, buoy", treated as a quote that is never closed, which was taken as it stands (right would be a field in quotes, with quotes inside doubled (""))`
	if p.String() != want {
		t.Errorf("problem\n%s, want\n%s", p, want)
	}
}

// Lines are counted inside of quoted fields too.
func TestLinesAreTrueBelowAFieldThatSpansLines(t *testing.T) {
	d := mustRead(t, "# dive: x\n\ntime_s,note,depth_m,cell1_po2_bar\n0,\"one\ntwo\n\nthree\",1,bad\n1,,1,worse\n")
	var got []string
	for _, p := range withCode(d, "not-a-number") {
		got = append(got, p.String())
	}
	// The first is on the fourth line of its row.
	const tail = ", treated as not recorded (right would be a plain decimal with a point, such as 1.28, or an empty field)"
	want := []string{`test.csv:7: column "cell1_po2_bar": read "bad"` + tail, `test.csv:8: column "cell1_po2_bar": read "worse"` + tail}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]int{4, 8}, d.Line); diff != "" {
		t.Errorf("lines of the rows (-want +got):\n%s", diff)
	}
}

func TestBoundsOfLinesAndColumns(t *testing.T) {
	header := "time_s,depth_m,cell1_po2_bar" + strings.Repeat(",x", MaxColumns)
	if p := mustFail(t, header+"\n1,2,0.3\n", Options{}); p.Code != "too-many-columns" {
		t.Errorf("too many columns: %s", p)
	}
	long := "time_s,depth_m,cell1_po2_bar,note\n1,2,0.3," + strings.Repeat("x", MaxLineBytes) + "\n"
	if p := mustFail(t, long, Options{}); p.Code != "line-too-long" || p.Line != 2 {
		t.Errorf("a line without end: %s", p)
	}
	commas := "time_s,depth_m,cell1_po2_bar\n1,2,0.3\n2,2,0.3" + strings.Repeat(",", 500) + "\n"
	if d := mustRead(t, commas); d.Rows() != 2 {
		t.Errorf("%d rows, want 2", d.Rows())
	}
}
