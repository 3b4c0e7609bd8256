package compare

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"afterloop/analysis"
)

// Options of a comparison.
type Options struct {
	// By is start, event or depth, Moment that of an event ([ParseAlign]).
	By, Moment string
	// Reference is the place of the reference among the arguments, from 0.
	Reference int
	// Version of the program, for the result.
	Version string
}

// Compare sets dives beside one another. The order of ss plays no part but for
// the place of the reference. The error says why nothing can be compared: fewer
// than two dives or more than fifty, one log twice, no PO2 in all but one.
func Compare(ss []*Subject, o Options) (*Comparison, error) {
	if len(ss) < MinDives || len(ss) > MaxDives {
		return nil, fmt.Errorf("a comparison takes %d to %d dives, not %d", MinDives, MaxDives, len(ss))
	}
	if o.Reference < 0 || o.Reference >= len(ss) {
		return nil, errors.New("the reference is none of the dives")
	}
	ordered, reference := inOrder(ss, ss[o.Reference])
	c := &Comparison{Schema: SchemaID, Tool: analysis.Tool{Name: "afterloop", Version: o.Version}, Mode: ModeDives, Remarks: []string{}, Figures: []Figure{},
		Alignment: Alignment{Zeros: []Zero{}}, Findings: Findings{[]FindingRow{}, []Against{}}, subjects: ordered}
	c.Reference = ordered[reference].Label
	for _, s := range ordered {
		c.Dives = append(c.Dives, s.Dive)
	}
	twice := same(ordered)
	if len(ordered) == 2 && ordered[0].SHA256 == ordered[1].SHA256 && (ordered[0].From == "json" || ordered[1].From == "json") {
		return c, c.versions(reference)
	}
	if twice != nil {
		return nil, twice
	}
	return c, c.dives(reference, o)
}

// inOrder sorts the dives so that the arguments' order plays no part, and names
// them: by start where one is stated, then by digest and program.
func inOrder(ss []*Subject, ref *Subject) ([]*Subject, int) {
	out := slices.Clone(ss)
	slices.SortStableFunc(out, func(a, b *Subject) int {
		ta, oka := startOf(a)
		tb, okb := startOf(b)
		switch {
		case oka != okb:
			if oka {
				return -1
			}
			return 1
		case oka && !ta.Equal(tb):
			return ta.Compare(tb)
		}
		return cmp.Or(cmp.Compare(a.SHA256, b.SHA256), cmp.Compare(a.Tool, b.Tool), cmp.Compare(a.From, b.From), cmp.Compare(a.File, b.File))
	})
	for i, s := range out {
		s.Label = Label(i)
	}
	return out, slices.Index(out, ref)
}

func startOf(s *Subject) (time.Time, bool) {
	t, err := time.Parse(time.RFC3339, s.Start)
	return t, err == nil
}

// Label is A to Z, then AA and so on.
func Label(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return Label(i/26-1) + string(rune('A'+i%26))
}

// same finds one log given twice, by its digest or by its rows.
func same(ss []*Subject) error {
	for i, a := range ss {
		for _, b := range ss[:i] {
			if a.SHA256 == b.SHA256 {
				return fmt.Errorf("%s and %s are the same log (SHA-256 %.12s…): a dive can't be compared with itself", b.File, a.File, a.SHA256)
			}
			if a.fingerprint != "" && a.fingerprint == b.fingerprint {
				return fmt.Errorf("%s and %s hold the same rows, though their files differ: a dive can't be compared with itself", b.File, a.File)
			}
		}
	}
	return nil
}

// dives fills a comparison of dives.
func (c *Comparison) dives(ref int, o Options) error {
	ss := c.subjects
	in := used(ss)
	if len(in) < 2 {
		var why []string
		for _, s := range ss {
			if s.LeftOut != "" {
				why = append(why, s.File+": "+s.LeftOut)
			}
		}
		return fmt.Errorf("fewer than two dives can be compared: %s", strings.Join(why, "; "))
	}
	if r := ss[ref]; r.LeftOut != "" {
		return fmt.Errorf("%s can't be the reference: %s; name another", r.File, r.LeftOut)
	}
	matching, cells := matchCells(in)
	c.Matching = matching
	c.Alignment = align(ss, cmp.Or(o.By, "start"), o.Moment)
	valves, _ := matchValves(in)
	c.Findings.Rows = findingRows(ss, partNames(ss, cells, valves != nil))
	for i := range ss {
		if i != ref {
			c.Findings.Against = append(c.Findings.Against, against(c.Findings.Rows, ss, cells, i, ref, false))
		}
	}
	c.Figures = figureRows(ss, ref, cells, matching)
	c.Remarks = remarks(ss)
	return nil
}

// partNames names the part of a finding: a cell as it is matched, a valve by its
// number where all dives have the same ones. What can't be matched is named by
// its kind alone: cell 2 of one unit is not cell 2 of another.
func partNames(ss []*Subject, cells []matched, valves bool) func(int, *analysis.Finding) string {
	place, at := make([]int, len(ss)), 0
	for i, s := range ss {
		if place[i] = -1; s.LeftOut == "" {
			place[i] = at
			at++
		}
	}
	return func(i int, f *analysis.Finding) string {
		switch {
		case f.Cell != nil && place[i] >= 0:
			for _, c := range cells {
				if c.numbers[place[i]] == *f.Cell {
					return "cell " + c.name
				}
			}
		case f.Valve != nil && valves:
			return partName(f)
		}
		return ""
	}
}

// remarks are what must be known to read the rest.
func remarks(ss []*Subject) []string {
	out := []string{}
	if len(ss) == 2 {
		out = append(out, "Two dives: a figure has a difference and no spread. One dive of the same diver on the same unit differs from the next as well.")
	} else if len(ss) < 8 {
		out = append(out, fmt.Sprintf("%d dives are few: a median moves with each of them, and a difference within the range of the others is no difference that could be told.", len(ss)))
	}
	tools, json, left := map[string]string{}, []string{}, []string{}
	for _, s := range ss {
		if tools[s.Tool] == "" {
			tools[s.Tool] = s.Label
		}
		if s.From == "json" {
			json = append(json, s.Label)
		}
		if s.LeftOut != "" {
			left = append(left, s.Label+" ("+s.LeftOut+")")
		}
	}
	if len(left) > 0 {
		out = append(out, "Left out of all figures: "+strings.Join(left, "; ")+".")
	}
	if len(json) > 0 {
		out = append(out, "Read from a debrief's JSON, which holds no rows: "+labels(json)+". There is nothing to draw of them, and their mean and highest PO2 are not known.")
	}
	if len(tools) > 1 {
		out = append(out, "The debriefs were made by different versions of the program: "+strings.Join(sortedKeys(tools), ", ")+". A difference may be the program's.")
	}
	if p := parametersDiffer(ss); p != "" {
		out = append(out, p)
	}
	return out
}

// parametersDiffer says which parameters the debriefs do not share.
func parametersDiffer(ss []*Subject) string {
	var paths []string
	seen := map[string]bool{}
	for _, s := range ss[1:] {
		for _, d := range valueChanges(ss[0].parameters, s.parameters, nil) {
			if !seen[d.Path] {
				seen[d.Path] = true
				paths = append(paths, d.Path)
			}
		}
	}
	if len(paths) == 0 {
		return ""
	}
	return fmt.Sprintf("The debriefs were made with different parameters (%s): a difference may be theirs.", labels(paths))
}
