package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterloop/analysis"
	"afterloop/internal/golden"
)

func TestJSONGolden(t *testing.T) {
	var b bytes.Buffer
	if err := WriteJSON(&b, small.debrief(), Options{}); err != nil {
		t.Fatal(err)
	}
	golden.Hold(t, "testdata/debrief.json", withoutParameters(t, b.Bytes()))
}

// withoutParameters cuts the parameters out of a JSON text: they belong to the
// packages that own them and change with those.
func withoutParameters(t *testing.T, b []byte) []byte {
	t.Helper()
	from := bytes.Index(b, []byte("  \"parameters\": {"))
	end := []byte("\n  },\n")
	n := bytes.Index(b[max(from, 0):], end)
	if from < 0 || n < 0 {
		t.Fatal("no parameters in the JSON")
	}
	return append(append([]byte{}, b[:from]...), b[from+n+len(end):]...)
}

// What is written can be read back into the same value, null as NaN.
func TestJSONRoundTrip(t *testing.T) {
	d := small.debrief()
	var b bytes.Buffer
	if err := WriteJSON(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	var got analysis.Debrief
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	d.Series = nil
	near := cmp.Comparer(func(a, b analysis.Float) bool {
		if !a.Known() || !b.Known() {
			return a.Known() == b.Known()
		}
		return math.Abs(float64(a-b)) <= 1e-8*math.Max(1, math.Abs(float64(a)))
	})
	if diff := cmp.Diff(*d, got, near, cmpopts.EquateNaNs()); diff != "" {
		t.Error(diff)
	}
}

func TestJSONEscapesControls(t *testing.T) {
	d := small.debrief()
	d.Dive.Name = "a\x1b[2Jb\u009b31mc\x7fd\u2028e</script>"
	var b bytes.Buffer
	if err := WriteJSON(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	for _, r := range b.String() {
		if harmful(r) && r != '\n' {
			t.Fatalf("the JSON holds %U", r)
		}
	}
	if strings.Contains(b.String(), "</script") {
		t.Error("the JSON holds markup")
	}
	var got analysis.Debrief
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if got.Dive.Name != d.Dive.Name {
		t.Errorf("read back %q", got.Dive.Name)
	}
}
