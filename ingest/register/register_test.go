package register

import (
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func open(t *testing.T) *Register {
	t.Helper()
	r, err := Open(filepath.Join(t.TempDir(), "a folder? with marks %41#", "cells.db"), true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func wantError(t *testing.T, err error, part string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), part) {
		t.Errorf("error %v, want one with %q", err, part)
	}
}

func content(t *testing.T, r *Register) Content {
	t.Helper()
	c, err := r.Read()
	must(t, err)
	return c
}

// document is a debrief in JSON whose log has the hash n.
func document(t *testing.T, n int, start string, cells ...string) *Document {
	t.Helper()
	d, err := ReadDocument(strings.NewReader(documentJSON(n, start, cells...)))
	must(t, err)
	return d
}

func documentJSON(n int, start string, cells ...string) string {
	return `{"schema":"afterloop/debrief/1","tool":{"version":"v1"},"sources":[{"file":"dive.csv","sha256":"` + strings.Repeat("0", 60) + pad(n) +
		`"}],"dive":{"start":"` + start + `","unit":"Reiher 2"},"cells":[` + strings.Join(cells, ",") + `]}`
}

func pad(n int) string { s := "0000" + strconv.Itoa(n); return s[len(s)-4:] }

func cellJSON(position int, serial string) string {
	return `{"cell":` + strconv.Itoa(position) + `,"serial":"` + serial + `","t90_s":{"value":6.5,"low":6,"high":7.5},"gain":{"value":null,"low":null,"high":null,"reason":"no step"},` +
		`"ceiling_bar":{"value":null},"drift_per_h":{"value":0.01,"low":-0.02,"high":0.04},"mv":{"mv_per_bar":51.5}}`
}

func TestCells(t *testing.T) {
	r := open(t)
	must(t, r.Add("K-2291", "2025-11-02", "spare"))
	must(t, r.Add("K-1874", "", ""))
	wantError(t, r.Add("k-2291 ", "", ""), "already") // upper and lower case are one cell
	wantError(t, r.Add(" ", "", ""), "needs a serial")
	wantError(t, r.Add("X", "2.11.2025", ""), "no day")
	must(t, r.Fit("k-2291", "Reiher 2", 1, "2026-01-10"))
	must(t, r.Fit("K-1874", "Reiher 2", 1, "2026-03-01")) // takes the place
	wantError(t, r.Fit("K-1874", "Reiher 2", 2, "2026-02-01"), "later")
	wantError(t, r.Fit("K-9", "Reiher 2", 1, "2026-03-02"), "not in the register")
	wantError(t, r.Retire("K-1874", "2026-02-01", ""), "later")
	must(t, r.Retire("K-1874", "2026-06-01", "slow"))
	wantError(t, r.Fit("K-1874", "Reiher 2", 1, "2026-07-01"), "retired")
	got := content(t, r).Cells
	want := []Cell{
		{ID: 2, Serial: "K-1874", Retired: "2026-06-01", RetiredReason: "slow", Fittings: []Fitting{{"K-1874", "Reiher 2", 1, "2026-03-01", "2026-06-01"}}},
		{ID: 1, Serial: "K-2291", Made: "2025-11-02", Note: "spare", Fittings: []Fitting{{"K-2291", "Reiher 2", 1, "2026-01-10", "2026-03-01"}}}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestImport(t *testing.T) {
	r := open(t)
	doc := document(t, 1, "2026-04-01T09:00:00+02:00", cellJSON(1, "K-1"), cellJSON(2, ""))
	_, err := r.Import(doc, ImportOptions{})
	wantError(t, err, "not in the register")
	if c := content(t, r); len(c.Sources)+len(c.Cells) != 0 {
		t.Fatalf("a refused document left %+v", c)
	}
	res, err := r.Import(doc, ImportOptions{AddCells: true})
	must(t, err)
	if res.Measurements != 3 || len(res.Added) != 1 || len(res.Skipped) != 1 {
		t.Errorf("%+v", res)
	}
	again, err := r.Import(doc, ImportOptions{AddCells: true})
	must(t, err)
	if !again.Known || len(content(t, r).Measurements) != 3 {
		t.Errorf("the same source twice: %+v", again)
	}
	if _, err := r.Import(doc, ImportOptions{Replace: true}); err != nil || len(content(t, r).Measurements) != 3 || len(content(t, r).Sources) != 1 {
		t.Errorf("replaced: %v", err)
	}
	m := content(t, r).Measurements
	if m[2].Quantity != "t90_s" || m[2].Value != 6.5 || *m[2].Low != 6 || *m[2].High != 7.5 || m[2].At != "2026-04-01T07:00:00Z" {
		t.Errorf("%+v", m[2])
	}
	if m[1].Quantity != "mv_per_bar" || m[1].Low != nil {
		t.Errorf("%+v", m[1])
	}
}

// TestImportByPlace: a cell without a serial number is the one that was fitted there on that day.
func TestImportByPlace(t *testing.T) {
	r := open(t)
	must(t, r.Add("OLD", "", ""))
	must(t, r.Add("NEW", "", ""))
	must(t, r.Fit("OLD", "reiher 2", 1, "2026-01-01"))
	must(t, r.Fit("NEW", "reiher 2", 1, "2026-03-01"))
	for n, day := range []string{"2025-12-31", "2026-02-28", "2026-03-01"} {
		if _, err := r.Import(document(t, n, day, cellJSON(1, "")), ImportOptions{}); n == 0 && err == nil {
			t.Error("a dive before any fitting was given to a cell")
		} else if n > 0 {
			must(t, err)
		}
	}
	m := content(t, r).Measurements
	if len(m) != 6 || m[0].Serial != "NEW" || m[0].At[:10] != "2026-03-01" || m[5].Serial != "OLD" {
		t.Errorf("%+v", m)
	}
}

func TestDocuments(t *testing.T) {
	for text, part := range map[string]string{
		`{`:                                "line 1, column 1",
		"{\n  x":                           "line 2, column 3",
		`{"schema":"afterloop/debrief/9"}`: "schema",
		`{"schema":"afterloop/bench-tightness/1"}`:                                "measures no cell",
		`{"schema":"afterloop/debrief/1"}`:                                        "no source",
		`{"schema":"afterloop/debrief/1","sources":[{"sha256":"ab"}]}`:            "without its SHA-256",
		`{"schema":"afterloop/debrief/1","cells":3}`:                              "line 1, column",
		strings.Replace(documentJSON(1, "2026"), "afterloop/debrief", "other", 1): "schema",
	} {
		_, err := ReadDocument(strings.NewReader(text))
		wantError(t, err, part)
	}
	r := open(t)
	_, err := r.Import(document(t, 1, "", cellJSON(1, "A")), ImportOptions{AddCells: true})
	wantError(t, err, "no time")
	_, err = r.Import(document(t, 1, "yesterday", cellJSON(1, "A")), ImportOptions{AddCells: true})
	wantError(t, err, "can't be read")
	_, err = r.Import(document(t, 1, "2026-01-01"), ImportOptions{AddCells: true})
	wantError(t, err, "nothing in it")
}

// TestMigration: a register of the first schema version opens, keeps its content
// and gets the new columns.
func TestMigration(t *testing.T) {
	path := filepath.Join(t.TempDir(), "old.db")
	db, err := sql.Open("sqlite", dsn(path, "rwc"))
	must(t, err)
	_, err = db.Exec(migrations[0] + "; PRAGMA application_id = 1634102384; PRAGMA user_version = 1; INSERT INTO cell (serial, retired) VALUES ('K-7', '2026-01-01')")
	must(t, errors.Join(err, db.Close()))
	r, err := Open(path, false)
	must(t, err)
	defer r.Close()
	if v, err := r.version(); v != SchemaVersion || err != nil {
		t.Errorf("version %d, %v", v, err)
	}
	must(t, r.Retire("K-7", "2026-02-02", "slow"))
	if c := content(t, r).Cells; len(c) != 1 || c[0].RetiredReason != "slow" {
		t.Errorf("%+v", c)
	}
}

func TestForeignFiles(t *testing.T) {
	dir := t.TempDir()
	_, err := Open(filepath.Join(dir, "none.db"), false)
	if !errors.Is(err, ErrNone) {
		t.Errorf("an absent register: %v", err)
	}
	text := filepath.Join(dir, "text.db")
	must(t, os.WriteFile(text, []byte(strings.Repeat("no database at all ", 100)), 0o644))
	_, err = Open(text, true)
	wantError(t, err, "no register can be read")
	for name, set := range map[string]string{"other.db": "CREATE TABLE x (a)", "newer.db": "PRAGMA application_id = 1634102384; PRAGMA user_version = 99"} {
		path := filepath.Join(dir, name)
		db, err := sql.Open("sqlite", dsn(path, "rwc"))
		must(t, err)
		_, err = db.Exec(set)
		must(t, errors.Join(err, db.Close()))
		before, _ := os.ReadFile(path)
		_, err = Open(path, true)
		wantError(t, err, map[string]string{"other.db": "no register of cells", "newer.db": "newer program"}[name])
		if after, _ := os.ReadFile(path); string(before) != string(after) {
			t.Errorf("%s was changed", name)
		}
	}
}

func TestBackupRestore(t *testing.T) {
	r := open(t)
	must(t, r.Add("K-1", "", ""))
	_, err := r.Import(document(t, 1, "2026-04-01", cellJSON(1, "K-1")), ImportOptions{})
	must(t, err)
	want := content(t, r)
	copied := filepath.Join(t.TempDir(), "backup.db")
	must(t, r.Backup(copied))
	must(t, Verify(copied))
	wantError(t, r.Backup(copied), "never overwritten")

	must(t, r.Add("K-2", "", ""))
	wantError(t, r.Restore(copied, false), "--replace")
	must(t, r.Restore(copied, true))
	if d := cmp.Diff(want, content(t, r)); d != "" {
		t.Error(d)
	}
	other := open(t) // an empty register takes a backup without being asked
	must(t, other.Restore(copied, false))
	if d := cmp.Diff(want, content(t, other)); d != "" {
		t.Error(d)
	}

	b, err := os.ReadFile(copied)
	must(t, err)
	damaged := filepath.Join(t.TempDir(), "damaged.db")
	for i := len(b) / 2; i < len(b); i++ {
		b[i] ^= 0x5a
	}
	must(t, os.WriteFile(damaged, b, 0o644))
	if err := other.Restore(damaged, true); err == nil {
		t.Error("a damaged backup was restored")
	}
	if d := cmp.Diff(want, content(t, other)); d != "" {
		t.Errorf("a damaged backup changed the register: %s", d)
	}
	if entries, _ := os.ReadDir(filepath.Dir(copied)); len(entries) != 1 {
		t.Errorf("left beside the backup: %v", entries)
	}
}

// TestFittedFromLog: a log's day of installation becomes a fitting where the register
// has none, and never changes what is there.
func TestFittedFromLog(t *testing.T) {
	installed := func(position int, serial, day string) string {
		return strings.Replace(cellJSON(position, serial), `,"t90_s"`, `,"installed":"`+day+`","t90_s"`, 1)
	}
	r := open(t)
	must(t, r.Add("HAND", "", ""))
	must(t, r.Fit("HAND", "Reiher 2", 2, "2026-01-05"))
	must(t, r.Add("OLD", "", ""))
	must(t, r.Retire("OLD", "2026-01-01", "low"))
	d := document(t, 1, "2026-02-01T10:00:00Z", installed(1, "NEW", "2025-12-24"), installed(2, "RIVAL", "2026-01-20"), installed(3, "LATER", "2026-03-01"),
		installed(4, "ODD", "last winter"), installed(5, "OLD", "2025-01-01"), installed(6, "HAND", "2024-01-01"), cellJSON(7, "NODAY"))
	out, err := r.Import(d, ImportOptions{AddCells: true})
	must(t, err)
	if diff := cmp.Diff([]string{"NEW in Reiher 2, position 1, since 2025-12-24"}, out.Fitted); diff != "" {
		t.Error(diff)
	}
	for i, why := range []string{"has HAND since 2026-01-05", "later than the dive", "no day", "retired on 2026-01-01"} {
		if i >= len(out.NotFitted) || !strings.Contains(out.NotFitted[i], why) {
			t.Errorf("%q, want %q", out.NotFitted, why)
		}
	}
	var got []Fitting
	for _, c := range content(t, r).Cells {
		got = append(got, c.Fittings...)
	}
	want := []Fitting{{"HAND", "Reiher 2", 2, "2026-01-05", ""}, {"NEW", "Reiher 2", 1, "2025-12-24", ""}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	// A cell that is fitted so is known by its place from then on.
	out, err = r.Import(document(t, 2, "2026-02-03T10:00:00Z", cellJSON(1, "")), ImportOptions{})
	must(t, err)
	if out.Cells != 1 {
		t.Errorf("%+v", out)
	}
	// A debrief of two joined logs numbers cells anew.
	j := document(t, 3, "2026-02-04T10:00:00Z", installed(8, "HALF", "2026-01-20"))
	j.Joined = true
	out, err = r.Import(j, ImportOptions{AddCells: true})
	must(t, err)
	if len(out.Fitted) != 0 || len(out.NotFitted) != 1 {
		t.Errorf("%+v", out)
	}
}
