package compare

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"afterloop/analysis"
)

// goodJSON is a debrief as the program writes it.
func goodJSON(t testing.TB) []byte {
	t.Helper()
	b, err := json.Marshal(debrief(t, "good.csv", demo(1, nil)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestReadDebrief: what was written is what is read.
func TestReadDebrief(t *testing.T) {
	good := goodJSON(t)
	d, leaves, err := ReadDebrief(bytes.NewReader(good))
	if err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(again, good) {
		t.Error("a debrief changes by being read")
	}
	if leaves["schema"] != `"afterloop/debrief/1"` || leaves["parameters.vote.out_bar"] != "0.2" {
		t.Errorf("%q %q", leaves["schema"], leaves["parameters.vote.out_bar"])
	}
}

// TestAbsentIsNotZero: a figure that an older version did not write is not known.
func TestAbsentIsNotZero(t *testing.T) {
	var generic map[string]any
	if err := json.Unmarshal(goodJSON(t), &generic); err != nil {
		t.Fatal(err)
	}
	delete(generic["exposure"].(map[string]any)["headline"].(map[string]any), "cns_percent")
	delete(generic["tracking"].(map[string]any), "mae_bar")
	delete(generic["cells"].([]any)[1].(map[string]any), "gain")
	delete(generic, "assessable")
	b, _ := json.Marshal(generic)
	d, _, err := ReadDebrief(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	if d.Exposure.Headline.CNSPercent.Known() || d.Tracking.MAEBar.Known() || d.Cells[1].Gain.Value.Known() || d.Assessable.TimeFraction.Known() {
		t.Errorf("CNS %v, MAE %v, gain %v, assessable %v", d.Exposure.Headline.CNSPercent, d.Tracking.MAEBar, d.Cells[1].Gain.Value, d.Assessable.TimeFraction)
	}
	s := Take(d, Source{FromJSON: true})
	if m := s.values["cns_percent"]; m.Value.Known() || m.Reason == "" {
		t.Errorf("%+v", m)
	}
	if s.LeftOut == "" {
		t.Error("nothing is known of what could be assessed, and the dive takes part")
	}
}

// TestReadDebriefRefuses what is no debrief, with the reason.
func TestReadDebriefRefuses(t *testing.T) {
	good := string(goodJSON(t))
	swap := func(old, new string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("the fixture has no %s", old)
		}
		return strings.Replace(good, old, new, 1)
	}
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "empty"},
		{"no JSON", "time_s,depth_m\n1,2\n", "no JSON"},
		{"a list", "[1,2]", "no debrief"},
		{"another schema", swap("afterloop/debrief/1", "afterloop/debrief/2"), `"afterloop/debrief/2", not`},
		{"another document", `{"schema":"afterloop/bench-cells/1"}`, "bench-cells"},
		{"cut off", good[:len(good)/2], "no JSON"},
		{"something after it", good + "{}", "follows the debrief"},
		{"a key twice", swap(`{"schema"`, `{"tool":{"name":"x"},"schema"`), `"tool" is there twice`},
		{"too deep", strings.Repeat("[", 40) + strings.Repeat("]", 40), "24 levels"},
		{"a number as text", swap(`"max_depth_m":`, `"max_depth_m":"deep","x":`), "no debrief of this schema"},
		{"a number too large", swap(`"max_depth_m":`, `"max_depth_m":1e999,"x":`), "no debrief of this schema"},
		{"no digest", swap(`"sha256":"`, `"sha256":"zz`), "without its SHA-256"},
		{"no confidence", swap(`"confidence":"`, `"confidence":"very `), "no severity and confidence"},
		{"no outcome", swap(`"outcome":"not_found"`, `"outcome":"passed"`), "no outcome"},
		{"no source", `{"schema":"afterloop/debrief/1"}`, "names no log"},
		{"kinds without end", `{"schema":"afterloop/debrief/1","sources":[{"sha256":"` + strings.Repeat("a", 64) + `"}],"findings":[` + manyKinds(300) + `]}`, "more kinds"},
		{"too large", strings.Repeat(" ", maxBytes+1), "no debrief"},
	} {
		if _, _, err := ReadDebrief(strings.NewReader(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func manyKinds(n int) string {
	var out []string
	for i := range n {
		out = append(out, fmt.Sprintf(`{"kind":"k%d","severity":"note","confidence":"sure"}`, i))
	}
	return strings.Join(out, ",")
}

// TestLongTexts are cut where they would fill a page.
func TestLongTexts(t *testing.T) {
	d := made('1', []analysis.Check{{ID: "k", Reason: strings.Repeat("r", 1e6)}}, analysis.Finding{Kind: "k", Title: strings.Repeat("ü", 1e6), Observed: strings.Repeat("o", 1e6)})
	d.Dive.Name, d.Dive.Unit = strings.Repeat("n", 1e6), strings.Repeat("u", 1e6)
	s := Take(d, Source{})
	c, err := Compare([]*Subject{s, Take(made('2', nil), Source{})}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(text(t, c)); n > 100_000 {
		t.Errorf("%d bytes of JSON", n)
	}
}

// FuzzReadDebrief: whatever the bytes, an error or a debrief that can be taken and
// compared; nothing panics.
func FuzzReadDebrief(f *testing.F) {
	f.Add([]byte(`{"schema":"afterloop/debrief/1","sources":[{"sha256":"` + strings.Repeat("a", 64) + `"}],"assessable":{"time_fraction":1},"findings":[{"kind":"x","severity":"note","confidence":"sure","cell":-1,"check":"c"}],"dive":{"phases":[{}],"set_points_bar":[null]},"injection":{"valves":[{}]}}`))
	f.Add([]byte(`{"schema":`))
	f.Add([]byte(`{"schema":"afterloop/debrief/1","tool":{"version":"0"},"sources":[{"sha256":"` + strings.Repeat("9", 64) + `"}],"parameters":{"x":[1,{"y":null}]},"checks":[{"id":"k","outcome":"found","version":2}],"cells":[{"cell":1,"t90_s":{"value":3,"low":2}}]}`))
	other := Take(made('9', nil), Source{Keep: true})
	f.Fuzz(func(t *testing.T, b []byte) {
		d, leaves, err := ReadDebrief(bytes.NewReader(b))
		if err != nil {
			return
		}
		s := Take(d, Source{FromJSON: true, Leaves: leaves, Keep: true})
		c, err := Compare([]*Subject{s, other}, Options{})
		if err != nil {
			return
		}
		if _, err := json.Marshal(c); err != nil {
			t.Fatal(err)
		}
	})
}
