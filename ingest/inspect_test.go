package ingest

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode"

	"afterloop/internal/golden"
)

func TestInspectionText(t *testing.T) {
	for _, name := range []string{"full", "untidy", "pressure"} {
		d, err := ReadFile("testdata/"+name+".csv", Options{})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := Inspect(d).WriteText(&b); err != nil {
			t.Fatal(err)
		}
		golden.Hold(t, "testdata/"+name+".inspect.txt", b.String())
	}
}

func TestInspectionJSON(t *testing.T) {
	d, err := ReadFile("testdata/untidy.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.MarshalIndent(Inspect(d), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "testdata/untidy.inspect.json", string(text)+"\n")
}

// No text of a file may steer a terminal.
func TestInspectionLetsNoControlCharacterThrough(t *testing.T) {
	evil := "\x1b]0;owned\x07\x1b[2J\u202e\u0085\x00\x9b"
	log := "# dive: " + evil + "\n# " + evil + ": x\n# start: " + evil + "\n" +
		"time_s,depth_m,cell1_po2_bar,note,event," + evil + "\n0,1," + evil + "," + evil + "," + evil + "," + evil + "\n"
	d, err := Read(strings.NewReader(log), evil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := Inspect(d).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	for i, r := range b.String() {
		if r != '\n' && !unicode.IsPrint(r) {
			t.Fatalf("%U at byte %d: %q", r, i, b.String()[max(0, i-20):i])
		}
	}
	if !strings.Contains(b.String(), `\x1b]0;owned`) {
		t.Errorf("the text is not shown at all:\n%s", b.String())
	}
}

// The tables of the documentation are made from those that reading uses.
func TestDocumentationTables(t *testing.T) {
	golden.Hold(t, "testdata/columns.md", ColumnTable()+"\n"+KeyTable())
	for _, name := range []string{"`cellN_po2_bar`", "`halfX_po2_bar`", "`cellN_cal_mv`", "`half_X`"} {
		if !strings.Contains(ColumnTable()+KeyTable(), name) {
			t.Errorf("%s is lacking", name)
		}
	}
}
