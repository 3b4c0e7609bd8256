package calibration

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The committed table must be readable and say where it comes from: which
// version, which seeds, how many dives, and whether anyone had looked at them.
func TestTheCommittedTableSaysWhereItComesFrom(t *testing.T) {
	table, err := Parse(committed)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(table.Version, Current().Version); diff != "" || table.Version == "" {
		t.Errorf("version %q; %s", table.Version, diff)
	}
	for _, name := range []string{"plain", "hard-healthy", "difficult"} {
		f, ok := table.FamilyOf(name)
		if !ok {
			t.Errorf("no figures for the family %s", name)
			continue
		}
		t.Logf("%s set, version %s: %s, %d dives from seed %d, right kind %d/%d, sure and wrong %d",
			table.Set, table.Version, f.Family, f.Dives, f.FirstSeed, f.RightKind.Right, f.RightKind.Of, f.SureAndWrong)
		if len(f.Grades) != 3 {
			t.Errorf("%s: %d grades, want sure, likely and possible", name, len(f.Grades))
		}
	}
	if _, ok := table.FamilyOf("no such family"); ok {
		t.Error("a family that is not there was found")
	}
}

// Whatever the table gets wrong about itself is refused with a reason.
func TestCheckRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Table)
		want  string
	}{
		"schema":        {func(t *Table) { t.Schema = "x" }, "schema"},
		"note":          {func(t *Table) { t.Note = "proven" }, Note},
		"set":           {func(t *Table) { t.Set = "best" }, "set"},
		"version":       {func(t *Table) { t.Version = "" }, "version"},
		"sealed devel":  {func(t *Table) { t.Set, t.Version = Sealed, "devel" }, "version"},
		"no checks":     {func(t *Table) { t.Checks = nil }, "no checks"},
		"twice":         {func(t *Table) { t.Families = append(t.Families, t.Families[0]) }, "twice"},
		"no seed":       {func(t *Table) { t.Families[0].FirstSeed = 0 }, "seed"},
		"failed":        {func(t *Table) { t.Families[0].Failed = 9999 }, "failed"},
		"faults":        {func(t *Table) { t.Families[0].Faults++ }, "faults"},
		"share above 1": {func(t *Table) { t.Families[0].HealthyClean = Rate{2, 1, 0.1, 1} }, "can't be"},
		"interval":      {func(t *Table) { t.Families[0].HealthyClean = Rate{1, 2, 0.6, 0.9} }, "can't be"},
		"count":         {func(t *Table) { t.Families[0].FalseAlarms = Count{1, 10, 0.1, 0.05} }, "can't be"},
	} {
		t.Run(name, func(t *testing.T) {
			table := Current()
			c.spoil(&table)
			if err := table.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one about %q", err, c.want)
			}
		})
	}
	if _, err := Parse([]byte(`{"schema":"afterloop/calibration/1","novelty":1}`)); err == nil {
		t.Error("an unknown field was accepted")
	}
}

// A figure that is not known is null, never 0, and comes back so; others come
// back to four significant digits.
func TestFigureThroughJSON(t *testing.T) {
	for in, want := range map[Figure]string{0: "0", 0.123456: "0.1235", 12345.6: "12350", Figure(math.Inf(1)): "null", 1e-7: "0.0000001"} {
		if text, err := json.Marshal(in); err != nil || string(text) != want {
			t.Errorf("%g became %s (%v), want %s", in, text, err, want)
		}
	}
	var f Figure
	if err := json.Unmarshal([]byte("null"), &f); err != nil || f.Known() {
		t.Errorf("null became %g (%v)", f, err)
	}
	if err := json.Unmarshal([]byte(`"x"`), &f); err == nil {
		t.Error("a text was taken for a number")
	}
	rapid.Check(t, func(t *rapid.T) {
		v := Figure(rapid.Float64Range(-1e6, 1e6).Draw(t, "v"))
		text, err := json.Marshal(v)
		var back Figure
		if err != nil || json.Unmarshal(text, &back) != nil || back != v.Rounded() || math.Abs(float64(back-v)) > 5.01e-4*math.Abs(float64(v)) {
			t.Fatalf("%g became %s and %g", v, text, back)
		}
	})
}

func TestShare(t *testing.T) {
	if s := (Rate{Right: 3, Of: 4}).Share(); s != 0.75 {
		t.Errorf("3 of 4 is %g", s)
	}
	if s := (Rate{}).Share(); s.Known() {
		t.Errorf("a share of no cases is %g", s)
	}
}
