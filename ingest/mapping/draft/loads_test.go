package draft_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterloop/ingest"
	"afterloop/ingest/mapping"
	"afterloop/ingest/mapping/draft"
)

// TestEveryDraftLoads: what the draft leaves open never keeps the rest from being
// read, here nor in the fixtures.
func TestEveryDraftLoads(t *testing.T) {
	own, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(own) < 3 {
		t.Fatalf("%d files (%v)", len(own), err)
	}
	for _, file := range append(own, fixtures(t)...) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d := draft.Make(data, filepath.Base(file))
		m, err := mapping.Parse(d.TOML, "draft.toml")
		if err != nil {
			t.Errorf("%s: %v\n%s", file, err, d.TOML)
			continue
		}
		parts, err := ingest.ReadPartsFile(file, ingest.Options{Mapping: m})
		if err != nil || len(parts) == 0 || parts[0].Err != nil {
			t.Errorf("%s: %d dives, %v\n%s", file, len(parts), err, d.TOML)
		}
	}
}

// TestDraftOfAwkwardFiles: what each of them settles and what it leaves open.
func TestDraftOfAwkwardFiles(t *testing.T) {
	for _, c := range []struct {
		file         string
		live, absent []string
		undecided    []string
	}{
		{"rareunit.txt", []string{"[columns.cell2_po2_bar]", `"Bailout OC" = "bailout"`}, []string{"[columns.cell1_", `unit = "kPa"`},
			[]string{`"Cell 1" has no unit behind 39, kPa behind 1 of 40 numbers`}},
		{"midnight.txt", []string{`date_column = "Date"`, `date_format = "D/M/YYYY"`, `"Dil flush" = "diluent_flush"`}, []string{"[columns.cell1_", `"Bail out!"`},
			[]string{`"Bail out!" looks like bailout`, `not known: "lamp on"`, "time zone", `"Cell 1" has no unit behind 37`}},
		{"eitherdate.txt", []string{`column = "Clock"`, "[columns.cell2_po2_bar]"}, []string{"date_column", "date_format", "zone"},
			[]string{"date_format: the times of this file fit several forms (D/M/YYYY, M/D/YYYY)"}},
	} {
		data, err := os.ReadFile(filepath.Join("testdata", c.file))
		if err != nil {
			t.Fatal(err)
		}
		d := draft.Make(data, c.file)
		for _, want := range c.live {
			if !strings.Contains(string(d.TOML), "\n"+want) {
				t.Errorf("%s: no %s in\n%s", c.file, want, d.TOML)
			}
		}
		for _, no := range c.absent {
			if strings.Contains(string(d.TOML), "\n"+no) {
				t.Errorf("%s: %s is in force in\n%s", c.file, no, d.TOML)
			}
		}
		for _, want := range c.undecided {
			if !strings.Contains(strings.Join(d.Undecided, "\n"), want) {
				t.Errorf("%s: undecided %q, want %q", c.file, d.Undecided, want)
			}
		}
	}
}

// TestUnitThatNoCellShows: a unit under which a cell would read what none does is a
// question, wherever the unit stands; one field in ten may lack it.
func TestUnitThatNoCellShows(t *testing.T) {
	rows := func(cell string) string { return strings.Repeat("0,1,"+cell+"\n10,2,"+cell+"\n", 10) }
	for _, c := range []struct {
		name, log string
		open      bool
	}{
		{"kPa for bar", "Seconds,Depth (m),Cell 1 (kPa)\n" + rows("0.71"), true},
		{"bar for kPa", "Seconds,Depth (m),Cell 1 (bar)\n" + rows("71"), true},
		{"kPa", "Seconds,Depth (m),Cell 1 (kPa)\n" + rows("71"), false},
		{"behind all but one", "Seconds,Depth (m),Cell 1\n20,2,71\n" + rows("71 kPa"), false},
		{"behind all of one column among many", "Seconds,Depth (m),Cell 2,Cell 3,Cell 1\n" + strings.Repeat("0,1,0.7,0.7,71 kPa\n10,2,0.7,0.7,71 kPa\n", 10), false},
		{"behind half", "Seconds,Depth (m),Cell 1\n" + rows("71 kPa") + rows("71"), true},
		{"two units", "Seconds,Depth (m),Cell 1\n" + rows("71 kPa") + "20,2,0.7 bar\n", true},
	} {
		d := draft.Make([]byte(c.log), "lake.csv")
		if strings.Contains(c.name, "behind all") && !strings.Contains(string(d.TOML), "\nunits_in_cells = true") {
			t.Errorf("%s: the units can't be read with\n%s", c.name, d.TOML)
		}
		if live := strings.Contains(string(d.TOML), "\n[columns.cell1_po2_bar]"); live == c.open {
			t.Errorf("%s: in force %t, undecided %q\n%s", c.name, live, d.Undecided, d.TOML)
		}
	}
}
