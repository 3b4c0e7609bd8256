package main

import (
	"fmt"
	"sort"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/ageing"
	"afterloop/analysis/bench"
	"afterloop/analysis/compare"
	"afterloop/analysis/course"
	"afterloop/analysis/days"
	"afterloop/analysis/lesson"
	"afterloop/analysis/vote"
	"afterloop/analysis/whatif"
)

// chapter is what one command shows: its figures, checks and kinds of finding, each as
// its package lists them.
type chapter struct {
	of          string
	definitions []analysis.Definition
	checks      []analysis.Check
	kinds       map[string]string
	describe    func(string) (analysis.Finding, bool)
}

// chapters are all of them. A package with something to explain is one entry here.
func chapters() []chapter {
	return []chapter{
		{"a debrief", analysis.Definitions(), analysis.CheckList(), analysis.FindingKinds(), analysis.DescribeKind},
		{"newer models of oxygen toxicity (--models)", analysis.ModelDefinitions(), nil, nil, nil},
		{"a series of dives (days)", days.Definitions(), days.CheckList(), days.FindingKinds(), days.DescribeKind},
		{"dives beside one another (compare, course)", append(compare.Definitions(), course.Definitions()...), nil, nil, nil},
		{"a recorded dive run again (whatif)", whatif.Definitions(), nil, nil, nil},
		{"tests on the bench (bench)", bench.Definitions(), bench.CheckList(), bench.FindingKinds(), bench.DescribeKind},
		{"the register of cells (register)", nil, ageing.CheckList(), nil, nil},
	}
}

// policies are those of the vote and those of the model.
func policies() []vote.Policy { return append(vote.Policies(), analysis.ModelPolicies()...) }

// lessonTopic is how explain calls a lesson: their names say what is taught, and some
// are those of checks too.
func lessonTopic(l lesson.Lesson) string { return "lesson-" + l.Name }

// topics are all words that explain knows, in order.
func topics() []string {
	var t []string
	for _, c := range chapters() {
		for _, d := range c.definitions {
			t = append(t, d.ID)
		}
		for _, k := range c.checks {
			t = append(t, k.ID)
		}
		t = append(t, sortedKeys(c.kinds)...)
	}
	for _, p := range policies() {
		t = append(t, p.Name)
	}
	for _, l := range lesson.All() {
		t = append(t, lessonTopic(l))
	}
	sort.Strings(t)
	return compact(t)
}

// explainLesson says what a lesson is about and what physics it stands on.
func explainLesson(b *strings.Builder, l lesson.Lesson) {
	fmt.Fprintf(b, "%s (lesson, %d min; `afterloop lesson make %s`)\n  %s\n", l.Title, l.Minutes, l.Name, l.Line)
	for _, g := range l.Goals {
		fmt.Fprintf(b, "  goal: %s\n", g)
	}
	for _, p := range l.Physics {
		fmt.Fprintf(b, "  %s\n", p.Text)
		if p.Equation != "" {
			fmt.Fprintf(b, "    %s\n", p.Equation)
		}
		if p.Source != "" {
			fmt.Fprintf(b, "    source: %s\n", p.Source)
		}
	}
}
