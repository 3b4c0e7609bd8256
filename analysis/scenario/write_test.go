package scenario

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// TestWriteSet writes a set of dives with their truths for others to measure
// with. It is skipped unless SCENARIO_OUT names a folder:
//
//	SCENARIO_OUT=dives SCENARIO_FAMILY=difficult SCENARIO_N=36 SCENARIO_SEED=1 go test ./analysis/scenario -run TestWriteSet -count=1
//
// SCENARIO_FAMILY is any name of [Kinds] (default plain), SCENARIO_N how many
// (default: 36), SCENARIO_SEED which set (default 1; sets do not overlap).
func TestWriteSet(t *testing.T) {
	out := os.Getenv("SCENARIO_OUT")
	if out == "" {
		t.Skip("SCENARIO_OUT is not set: no set of dives is written")
	}
	family := envOr("SCENARIO_FAMILY", "plain")
	n, set := envInt(t, "SCENARIO_N", 36), envInt(t, "SCENARIO_SEED", 1)
	if err := os.MkdirAll(out, 0o755); err != nil {
		t.Fatal(err)
	}
	for i := range n {
		name := filepath.Join(out, fmt.Sprintf("%s-%03d", filepath.Base(filepath.Dir(family+"/x")), i+1))
		if err := writeDive(name, family, uint64(set)*1_000_000+uint64(i)); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("wrote %d dives of %s to %s", n, family, out)
}

func envOr(key, otherwise string) string {
	if v := os.Getenv(key); v != "" {
		return v
	}
	return otherwise
}

func envInt(t *testing.T, key string, otherwise int) int {
	v, err := strconv.Atoi(envOr(key, strconv.Itoa(otherwise)))
	if err != nil || v < 0 {
		t.Fatalf("%s is %q; want a whole number from 0", key, os.Getenv(key))
	}
	return v
}

func writeDive(name, kind string, seed uint64) error {
	s, err := Draw(kind, seed)
	if err != nil {
		return err
	}
	log, truth, err := Run(s)
	if err != nil {
		return fmt.Errorf("%s seed %d: %w", kind, seed, err)
	}
	for suffix, write := range map[string]func(io.Writer) error{
		".csv": log.WriteCSV, ".truth.csv": truth.WriteCSV, ".truth.json": truth.WriteJSON,
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return err
		}
		if err := os.WriteFile(name+suffix, b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
