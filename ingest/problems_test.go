package ingest

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

func TestProblemString(t *testing.T) {
	p := Problem{File: "a\x1b[31m.csv", Line: 3, Column: "cell1\tpo2", Read: "\x1b]0;x\x07", Treatment: "not recorded", Want: "1.28", Count: 4}
	want := `a\x1b[31m.csv:3: column "cell1\tpo2": read "\x1b]0;x\a", treated as not recorded (right would be 1.28) [4 rows]`
	if got := p.String(); got != want || p.Error() != want {
		t.Errorf("String is\n%s, want\n%s", got, want)
	}
	if got := (Problem{File: "f", Read: "x", Treatment: "y"}).String(); got != `f: read "x", treated as y` {
		t.Errorf("String is %s", got)
	}
}

func TestTheSameProblemOnRowsOneAfterTheOtherIsOne(t *testing.T) {
	var b strings.Builder
	b.WriteString("# loop-log: 1\n" + plainHeader)
	for i := range 30 {
		field := [...]string{"x", "y", "0.7"}[i/10]
		fmt.Fprintf(&b, "%d,1,%s,-1\n", i, field)
	}
	b.WriteString("30,1,z,0.7\n")
	d := mustRead(t, b.String())
	type line struct {
		line, count  int
		read, readTo string
	}
	var got []line
	for _, p := range d.Problems {
		got = append(got, line{p.Line, p.Count, p.Read, p.ReadTo})
	}
	want := []line{{3, 10, "x", ""}, {3, 30, "-1", ""}, {13, 10, "y", ""}, {33, 1, "z", ""}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("problems %v, want %v", got, want)
	}
}

func TestTheListOfProblemsIsBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString("# loop-log: 1\n" + plainHeader)
	for i := range 2*MaxProblems + 6 {
		// Every other row is good, so that nothing folds.
		field := [...]string{"-1", "0.7"}[i%2]
		if i == 2*MaxProblems+4 {
			field = "bad"
		}
		fmt.Fprintf(&b, "%d,1,%s,0.7\n", i, field)
	}
	d := mustRead(t, b.String())
	if len(d.Problems) != MaxProblems+1 {
		t.Fatalf("%d problems, want %d", len(d.Problems), MaxProblems+1)
	}
	last := d.Problems[MaxProblems]
	want := `test.csv:20007: column "cell1_po2_bar": read "bad", treated as not recorded; and 2 more problems are not listed, none graver (right would be a plain decimal with a point, such as 1.28, or an empty field)`
	if last.String() != want || last.Severity != Warning || last.Code != "more" {
		t.Errorf("the last problem (%s) is\n%s, want\n%s", last.Severity, last, want)
	}
	if firstGrave(d.Problems) == nil {
		t.Error("a warning that found no room is lost to Strict")
	}
}

func TestLongTextIsShortened(t *testing.T) {
	d := mustRead(t, plainHeader+"0,1,"+strings.Repeat("é", 500)+",0.7\n")
	read := theProblem(t, d, "not-a-number").Read
	if want := strings.Repeat("é", 80) + "…"; read != want {
		t.Errorf("read %q, want %q", read, want)
	}
	if _, err := json.Marshal(d.Problems); err != nil {
		t.Error(err)
	}
}

func TestProblemsAreInTheOrderOfLines(t *testing.T) {
	d, err := ReadFile("testdata/untidy.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(d.Problems); i++ {
		if d.Problems[i].Line < d.Problems[i-1].Line {
			t.Errorf("line %d after line %d", d.Problems[i].Line, d.Problems[i-1].Line)
		}
	}
}
