package compare

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"afterloop/analysis"
)

// versions fills a comparison of two debriefs of one log. ref is the older by
// being the reference; which is which is the caller's word.
func (c *Comparison) versions(ref int) error {
	old, now := c.subjects[ref], c.subjects[1-ref]
	params := valueChanges(old.parameters, now.parameters, nil)
	if old.Tool == now.Tool && len(params) == 0 {
		return fmt.Errorf("%s and %s are debriefs of the same log by the same version with the same parameters: there is nothing to compare", old.File, now.File)
	}
	if old.figures == nil || now.figures == nil {
		return errors.New("the figures of the debriefs were not kept")
	}
	c.Mode = ModeVersions
	v := &Versions{Old: old.Tool, New: now.Tool, OldDive: old.Label, NewDive: now.Label, Checks: checkChanges(old, now), Parameters: params, Figures: valueChanges(old.figures, now.figures, near), FiguresCompared: len(now.figures)}
	c.Versions = v
	c.Matching = Matching{"position", "One log: a cell is the same by its number."}
	c.Alignment = Alignment{By: "none", Text: "Nothing is drawn: both debriefs are of the same rows.", Zeros: []Zero{}}
	c.Findings.Rows = findingRows(c.subjects, func(_ int, f *analysis.Finding) string { return partName(f) })
	c.Findings.Against = append(c.Findings.Against, against(c.Findings.Rows, c.subjects, nil, 1-ref, ref, true))
	if old.Tool == now.Tool {
		c.Remarks = append(c.Remarks, "Both debriefs were made by version "+old.Tool+"; what differs is their parameters.")
	}
	if old.LeftOut != "" {
		c.Remarks = append(c.Remarks, "In "+old.Label+" "+old.LeftOut+".")
	}
	return nil
}

// checkChanges lists the checks that differ, in the order of the newer debrief.
func checkChanges(old, now *Subject) []CheckChange {
	out := []CheckChange{}
	for _, id := range now.checkOrder {
		a, had := old.checks[id]
		b := now.checks[id]
		c := CheckChange{id, b.Title, a.Version, b.Version, a.Outcome, b.Outcome, ""}
		switch {
		case !had:
			c.Text = "a new check; it ended " + OutcomeText(b.Outcome)
		case a.Version != b.Version && a.Outcome != b.Outcome:
			c.Text = fmt.Sprintf("version %d, was %d; %s, was %s", b.Version, a.Version, OutcomeText(b.Outcome), OutcomeText(a.Outcome))
		case a.Version != b.Version:
			c.Text = fmt.Sprintf("version %d, was %d; it ended as before, %s", b.Version, a.Version, OutcomeText(b.Outcome))
		case a.Outcome != b.Outcome:
			c.Text = OutcomeText(b.Outcome) + ", was " + OutcomeText(a.Outcome)
		default:
			continue
		}
		out = append(out, c)
	}
	for _, id := range old.checkOrder {
		if _, has := now.checks[id]; !has {
			a := old.checks[id]
			out = append(out, CheckChange{id, a.Title, a.Version, 0, a.Outcome, "", "no longer there; it had ended " + OutcomeText(a.Outcome)})
		}
	}
	return out
}

// apart are the parts of a debrief that hold no figure of the dive, or are compared apart.
var apart = []string{"schema", "tool", "sources", "parameters", "findings", "checks", "problems", "assumptions", "definitions", "calibration"}

// figuresAmong are the leaves that are figures: no words, none of what is compared apart.
func figuresAmong(leaves map[string]string) map[string]string {
	out := map[string]string{}
	for k, v := range leaves {
		top, _, _ := strings.Cut(k, ".")
		if v != "" && v[0] != '"' && !slices.Contains(apart, top) {
			out[k] = v
		}
	}
	return out
}

// valueChanges lists what differs between two flat values, by path. equal tells
// whether two numbers count as one; nil for the same text.
func valueChanges(a, b map[string]string, equal func(x, y float64) bool) []ValueChange {
	out := []ValueChange{}
	all := map[string]bool{}
	for k := range a {
		all[k] = true
	}
	for k := range b {
		all[k] = true
	}
	for _, k := range sortedKeys(all) {
		x, hasX := a[k]
		y, hasY := b[k]
		if x == y && hasX == hasY || hasX && hasY && equal != nil && equalNumbers(x, y, equal) {
			continue
		}
		out = append(out, ValueChange{k, shown(x, hasX), shown(y, hasY)})
	}
	slices.SortStableFunc(out, func(a, b ValueChange) int { return cmp.Compare(a.rank(), b.rank()) })
	return out
}

// rank puts what changed before what came or went.
func (v ValueChange) rank() int {
	if v.Old == "absent" || v.New == "absent" {
		return 1
	}
	return 0
}

func equalNumbers(x, y string, equal func(x, y float64) bool) bool {
	a, errA := strconv.ParseFloat(x, 64)
	b, errB := strconv.ParseFloat(y, 64)
	return errA == nil && errB == nil && equal(a, b)
}

func shown(v string, has bool) string {
	switch {
	case !has:
		return "absent"
	case v == "null":
		return "not known"
	}
	return v
}

// flattenJSON writes every leaf of a JSON text by its path: votes.mean.undecided_s.
func flattenJSON(text []byte, into map[string]string) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var v any
	if d.Decode(&v) == nil {
		flatten("", v, into)
	}
}

// namesIn names the elements of a list by what tells them apart (a source, a
// policy, a number of a cell), so that one more of them moves no other; by their
// place where nothing does.
func namesIn(list []any) func(int) string {
	for _, key := range []string{"source", "policy", "id", "cell", "valve"} {
		names := make([]string, len(list))
		seen := map[string]bool{}
		for i, e := range list {
			m, _ := e.(map[string]any)
			switch v := m[key].(type) {
			case string:
				names[i] = v
			case json.Number:
				names[i] = key + v.String()
			}
			if names[i] == "" || seen[names[i]] {
				names = nil
				break
			}
			seen[names[i]] = true
		}
		if names != nil {
			return func(i int) string { return names[i] }
		}
	}
	return strconv.Itoa
}

// flatten writes the leaves of v: elements of lists by their names, else from 0.
func flatten(path string, v any, into map[string]string) {
	join := func(k string) string {
		if path == "" {
			return k
		}
		return path + "." + k
	}
	switch x := v.(type) {
	case map[string]any:
		for k, e := range x {
			flatten(join(k), e, into)
		}
	case []any:
		if len(x) == 0 {
			into[path] = "[]"
		}
		name := namesIn(x)
		for i, e := range x {
			flatten(join(name(i)), e, into)
		}
	case json.Number:
		into[path] = x.String()
	case string:
		into[path] = strconv.Quote(x)
	case bool:
		into[path] = strconv.FormatBool(x)
	default:
		into[strings.TrimSuffix(path, ".")] = "null"
	}
}
