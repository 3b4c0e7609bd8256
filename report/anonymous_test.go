package report

import (
	"bytes"
	"strings"
	"testing"
)

// No name that a log states stands in any output of an anonymous debrief; the
// digest does. The debrief itself is left as it was.
func TestAnonymousLeavesNamesOut(t *testing.T) {
	d := small.debrief()
	names := []string{d.Dive.Name, d.Dive.Diver, d.Dive.Unit, d.Sources[0].File, d.Cells[0].Serial, d.Recording.Notes[0].Text, d.Problems[0].Read}
	o := Options{Anonymous: true}
	var html, json, text, index, table bytes.Buffer
	entry := []IndexEntry{{File: d.Sources[0].File, Page: "1.html", Debrief: d}, {File: d.Sources[0].File, Err: d.Sources[0].File + " can't be read"}}
	for _, err := range []error{WriteHTML(&html, d, o), WriteJSON(&json, d, o), WriteText(&text, d, TextOptions{Anonymous: true}),
		WriteIndex(&index, entry, o), WriteIndexCSV(&table, entry, o)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for where, out := range map[string]string{"page": html.String(), "JSON": json.String(), "text": text.String(), "index": index.String(), "index table": table.String()} {
		for _, name := range names {
			if name == "" || strings.Contains(out, name) {
				t.Errorf("%s names %q", where, name)
			}
		}
	}
	for where, out := range map[string]string{"page": html.String(), "JSON": json.String()} {
		if !strings.Contains(out, d.Sources[0].SHA256) {
			t.Errorf("%s lost the log's digest", where)
		}
	}
	if d.Dive.Diver != names[1] || d.Cells[0].Serial != names[4] || d.Problems[0].Read != names[6] {
		t.Error("the debrief was changed")
	}
	var plain bytes.Buffer
	if err := WriteHTML(&plain, d, Options{}); err != nil || !strings.Contains(plain.String(), names[1]) {
		t.Errorf("names are left out without being asked: %v", err)
	}
}
