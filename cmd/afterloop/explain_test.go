package main

import (
	"strings"
	"testing"
)

// TestExplainKnowsEverything: every word that is listed can be explained, within a
// chapter no word is there twice, and each explanation holds words.
func TestExplainKnowsEverything(t *testing.T) {
	var all strings.Builder
	if err := listTopics(&all); err != nil {
		t.Fatal(err)
	}
	for _, word := range topics() {
		var b strings.Builder
		if err := explain(&b, word); err != nil || len(b.String()) < len(word)+20 {
			t.Errorf("%s: %v, %q", word, err, b.String())
		}
		if !strings.Contains(all.String(), "  "+word+" ") {
			t.Errorf("%s is not in the list", word)
		}
	}
	for _, c := range chapters() {
		seen := map[string]bool{}
		for _, d := range c.definitions {
			if seen[d.ID] || d.ID == "" || d.Name == "" || d.Text == "" {
				t.Errorf("%s: definition %+v is there twice or lacks words", c.of, d)
			}
			seen[d.ID] = true
		}
		seen = map[string]bool{}
		for _, k := range c.checks {
			if seen[k.ID] || k.Title == "" || k.Looks == "" {
				t.Errorf("%s: check %+v is there twice or lacks words", c.of, k)
			}
			seen[k.ID] = true
		}
		for k := range c.kinds {
			if f, ok := c.describe(k); !ok || f.Title == "" || f.Advice.Technician == "" || f.WouldChange == "" {
				t.Errorf("%s: kind %s: %+v", c.of, k, f)
			}
		}
	}
}
