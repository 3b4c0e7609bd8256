package compare

import (
	"fmt"
	"math"

	"afterloop/analysis"
	"afterloop/analysis/wording"
)

// against sets dive i's findings against those of dive ref. exact also calls a
// finding changed whose figures differ, as in two debriefs of one log.
func against(rows []FindingRow, ss []*Subject, cells []matched, i, ref int, exact bool) Against {
	a := Against{Dive: ss[i].Label, New: []Change{}, Gone: []Change{}, Changed: []Change{}, Unsettled: []Change{}, Same: []Change{}}
	for _, r := range rows {
		here, there := r.Dives[i], r.Dives[ref]
		c := Change{Kind: r.Kind, Title: r.Title, Part: r.Part, Here: here, There: there}
		if h, t := here.Count > 0, there.Count > 0; h != t && !exact { // the check ran, but perhaps not for this cell
			missing, of := &there, ref
			if t {
				missing, of = &here, i
			}
			if why := notForThisCell(ss, cells, of, r); why != "" && missing.ran() {
				missing.Outcome, missing.Reason = analysis.NotAssessed, why
			}
		}
		h, t := here.Count > 0, there.Count > 0
		switch {
		case !h && !t:
		case h && t:
			if c.Text = changes(here, there, exact); c.Text != "" {
				a.Changed = append(a.Changed, c)
			} else {
				c.Text = both(here, there)
				a.Same = append(a.Same, c)
			}
		case exact && h:
			c.Text = "before: " + notSettled(there, here)
			a.New = append(a.New, c)
		case exact:
			c.Text = "now: " + notSettled(here, there)
			a.Gone = append(a.Gone, c)
		case h && there.ran() && there.Version == here.Version:
			c.Text = several(here) + "its check ran in " + ss[ref].Label + " and ended " + OutcomeText(there.Outcome)
			a.New = append(a.New, c)
		case t && here.ran() && there.Version == here.Version:
			c.Text = several(there) + "its check ran in " + ss[i].Label + " and ended " + OutcomeText(here.Outcome)
			a.Gone = append(a.Gone, c)
		case h:
			c.Text = "found in " + ss[i].Label + "; in " + ss[ref].Label + " " + notSettled(there, here)
			a.Unsettled = append(a.Unsettled, c)
		default:
			c.Text = "found in " + ss[ref].Label + "; in " + ss[i].Label + " " + notSettled(here, there)
			a.Unsettled = append(a.Unsettled, c)
		}
	}
	return a
}

// several says how often a finding came, and of which parts, where it came more than once.
func several(s FindingState) string {
	switch {
	case s.Count < 2:
		return ""
	case len(s.Parts) > 1:
		return fmt.Sprintf("%d times, of %s; ", s.Count, wording.And(s.Parts))
	}
	return fmt.Sprintf("%d times; ", s.Count)
}

// notForThisCell says why the check could not tell about a matched cell of dive i;
// empty where it could, or where the finding is of no cell.
func notForThisCell(ss []*Subject, cells []matched, i int, r FindingRow) string {
	at := 0
	for _, s := range ss[:i] {
		if s.LeftOut == "" {
			at++
		}
	}
	for _, c := range cells {
		if r.Part != "cell "+c.name || ss[i].LeftOut != "" {
			continue
		}
		v := valuesOf(ss[i].cells, c.numbers[at])
		if v == nil {
			return "that cell is not in this dive"
		}
		id := map[string]string{"slow-cell": "cell_t90_s", "miscalibrated-cell": "cell_gain", "drifting-cell": "cell_drift_per_h"}[r.Kind]
		if m, ok := v[id]; ok && !m.Value.Known() {
			return "of that cell: " + m.Reason
		}
	}
	return ""
}

// notSettled says why the lack of a finding tells nothing.
func notSettled(missing, found FindingState) string {
	switch {
	case missing.Outcome == "":
		return missing.Reason
	case missing.ran() && missing.Version == found.Version:
		return "the check ran and ended " + OutcomeText(missing.Outcome)
	case missing.ran():
		return fmt.Sprintf("the check ran as version %d, not %d, and ended %s", missing.Version, found.Version, OutcomeText(missing.Outcome))
	case missing.Reason != "":
		return OutcomeText(missing.Outcome) + ": " + missing.Reason
	}
	return OutcomeText(missing.Outcome)
}

// OutcomeText is an outcome in words.
func OutcomeText(o analysis.Outcome) string {
	switch o {
	case analysis.NotFound:
		return "not found"
	case analysis.NotAssessed:
		return "not assessed"
	case analysis.DoesNotApply:
		return "does not apply"
	}
	return string(o)
}

// changes says in what two states of one finding differ; empty where they don't.
func changes(here, there FindingState, exact bool) string {
	text := ""
	add := func(s string) {
		if text != "" {
			text += "; "
		}
		text += s
	}
	if here.Severity != there.Severity {
		add(fmt.Sprintf("%s, was %s", here.Severity, there.Severity))
	}
	if here.Confidence != there.Confidence {
		add(fmt.Sprintf("%s, was %s", here.Confidence, there.Confidence))
	}
	if here.Count != there.Count {
		add(fmt.Sprintf("%d times, was %d", here.Count, there.Count))
	}
	if exact && here.Version != there.Version {
		add(fmt.Sprintf("check version %d, was %d", here.Version, there.Version))
	}
	if exact && (!alike(here.Worst, there.Worst) || here.Unit != there.Unit) {
		add(worsts(here, there))
	}
	if exact && !(alike(here.FromS, there.FromS) && alike(here.ToS, there.ToS)) {
		add(fmt.Sprintf("%s to %s s, was %s to %s s", Number(here.FromS, 0), Number(here.ToS, 0), Number(there.FromS, 0), Number(there.ToS, 0)))
	}
	if text != "" && !exact {
		add(worsts(here, there))
	}
	return text
}

func both(here, there FindingState) string {
	return fmt.Sprintf("%s, %s; %s", here.Severity, here.Confidence, worsts(here, there))
}

func worsts(here, there FindingState) string {
	h, t := Significant(here.Worst), Significant(there.Worst)
	if here.Worst < 0 && there.Worst > 0 { // two moments, not one figure whose sign turned
		t = "+" + t
	} else if here.Worst > 0 && there.Worst < 0 {
		h = "+" + h
	}
	return "worst " + h + unitOf(here) + at(here) + ", was " + t + unitOf(there) + at(there)
}

// at says when the worst was: each dive since its own first row.
func at(s FindingState) string {
	if s.worstAt == "" || !s.Worst.Known() {
		return ""
	}
	return " at " + s.worstAt
}

func unitOf(s FindingState) string {
	if s.Unit == "" || !s.Worst.Known() {
		return ""
	}
	return " " + s.Unit
}

// Significant prints about three significant digits.
func Significant(v analysis.Float) string {
	a := math.Abs(float64(v))
	switch {
	case !v.Known():
		return "not known"
	case a >= 100:
		return Number(v, 0)
	case a >= 10:
		return Number(v, 1)
	case a >= 1 || a == 0:
		return Number(v, 2)
	}
	return Number(v, 3)
}

// alike tells whether two figures are equal to what is printed of them in JSON.
func alike(a, b analysis.Float) bool {
	if !a.Known() || !b.Known() {
		return a.Known() == b.Known()
	}
	return near(float64(a), float64(b))
}

// near allows for rounding: nine digits are written, and machines may differ in the last.
func near(a, b float64) bool {
	return math.Abs(a-b) <= 1e-7*math.Max(math.Abs(a), math.Abs(b))+1e-9
}

// sinceFirst is a moment as h:mm:ss since the first row; empty where not known.
func sinceFirst(atS, firstS float64) string {
	if s := atS - firstS; s >= 0 {
		return wording.Clock(s)
	}
	return ""
}
