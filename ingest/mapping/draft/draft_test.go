package draft_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterloop/ingest"
	"afterloop/ingest/mapping"
	"afterloop/ingest/mapping/draft"
)

const dir = "../../../testdata/foreign"

// fixtures are the foreign files that have a mapping beside them.
func fixtures(t testing.TB) (files []string) {
	t.Helper()
	mappings, err := filepath.Glob(filepath.Join(dir, "*.toml"))
	if err != nil || len(mappings) < 6 {
		t.Fatalf("%d fixtures (%v)", len(mappings), err)
	}
	for _, m := range mappings {
		for _, ending := range []string{".csv", ".txt", ".tsv"} {
			file := strings.TrimSuffix(m, ".toml") + ending
			if _, err := os.Stat(file); err == nil {
				files = append(files, file)
			}
		}
	}
	return files
}

func read(t *testing.T, file string, m *mapping.Mapping) []*ingest.Dive {
	t.Helper()
	parts, err := ingest.ReadPartsFile(file, ingest.Options{Mapping: m})
	if err != nil {
		t.Fatal(err)
	}
	var dives []*ingest.Dive
	for _, p := range parts {
		if p.Err != nil {
			t.Fatal(p.Err)
		}
		dives = append(dives, p.Dive)
	}
	return dives
}

// TestDraftReadsTheFixtures: the mapping drafted from each fixture reads it to
// the dives that the fixture's own mapping reads, but for the start where the
// file does not say the time zone.
func TestDraftReadsTheFixtures(t *testing.T) {
	for _, file := range fixtures(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			own, err := mapping.ReadFile(strings.TrimSuffix(file, filepath.Ext(file)) + ".toml")
			if err != nil {
				t.Fatal(err)
			}
			d := draft.Make(data, filepath.Base(file))
			drafted, err := mapping.Parse(d.TOML, "draft.toml")
			if err != nil {
				t.Fatalf("%v\n%s", err, d.TOML)
			}
			want, got := read(t, file, own), read(t, file, drafted)
			if len(want) != len(got) {
				t.Fatalf("%d dives, want %d\n%s", len(got), len(want), d.TOML)
			}
			for i := range want {
				if got[i].Meta.Start == "" {
					want[i].Meta.Start = ""
				}
				if diff := cmp.Diff(want[i], got[i], cmpopts.IgnoreFields(ingest.Source{}, "Mapping", "MappingSHA256", "Encoding"),
					cmpopts.IgnoreFields(ingest.Dive{}, "Problems", "Columns"), cmpopts.EquateNaNs(), cmpopts.EquateApprox(1e-12, 1e-12)); diff != "" {
					t.Errorf("dive %d (-own +drafted):\n%s\n%s", i+1, diff, d.TOML)
				}
			}
			for _, q := range d.Undecided {
				if !strings.Contains(q, "time zone") && !strings.Contains(q, `kept as notes, since their words are not known: "battery of the light low"`) {
					t.Errorf("undecided: %s", q)
				}
			}
		})
	}
}
