package main

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/analysis/vote"
	"afterloop/report"
)

func newExplain(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "explain [WORD]",
		Short: "Say what a figure, a check, a finding or a voting policy means",
		Long: `Without a word lists everything that can be explained. With one, prints the definition with its
equation, unit and source.
` + exitHelp,
		Example: `  afterloop explain
  afterloop explain cns-step`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listTopics(s.out)
			}
			return explain(s.out, args[0])
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return topics(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	return c
}

// topics are all words that explain knows, in order.
func topics() []string {
	var t []string
	for _, d := range definitions() {
		t = append(t, d.ID)
	}
	for _, p := range policies() {
		t = append(t, p.Name)
	}
	for _, c := range checkList() {
		t = append(t, c.ID)
	}
	for k := range analysis.FindingKinds() {
		t = append(t, k)
	}
	sort.Strings(t)
	return compact(t)
}

// policies are those of the vote and those of the model.
func policies() []vote.Policy { return append(vote.Policies(), analysis.ModelPolicies()...) }

// definitions are those of the debrief, of the newer models and of a series of dives.
func definitions() []analysis.Definition {
	return append(append(analysis.Definitions(), analysis.ModelDefinitions()...), days.Definitions()...)
}

// checkList are the checks of a debrief and of a series of dives.
func checkList() []analysis.Check { return append(analysis.CheckList(), days.CheckList()...) }

func compact(s []string) []string {
	var out []string
	for i, x := range s {
		if i == 0 || x != s[i-1] {
			out = append(out, x)
		}
	}
	return out
}

func listTopics(w io.Writer) error {
	var b strings.Builder
	b.WriteString("Figures\n")
	for _, d := range definitions() {
		fmt.Fprintf(&b, "  %-22s %s\n", d.ID, d.Name)
	}
	b.WriteString("\nVoting policies\n")
	for _, p := range policies() {
		fmt.Fprintf(&b, "  %-22s %s\n", p.Name, p.Rule)
	}
	b.WriteString("\nChecks\n")
	for _, c := range checkList() {
		fmt.Fprintf(&b, "  %-22s %s: looks for %s\n", c.ID, c.Title, c.Looks)
	}
	b.WriteString("\nFindings\n")
	kinds := analysis.FindingKinds()
	for _, k := range sortedKeys(kinds) {
		fmt.Fprintf(&b, "  %-22s %s\n", k, kinds[k])
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func sortedKeys(m map[string]string) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func explain(w io.Writer, word string) error {
	var b strings.Builder
	for _, d := range definitions() {
		if d.ID == word {
			explainDefinition(&b, d)
		}
	}
	for _, p := range policies() {
		if p.Name == word {
			fmt.Fprintf(&b, "%s (voting policy)\n  %s\n", p.Name, p.Rule)
		}
	}
	for _, c := range checkList() {
		if c.ID == word {
			fmt.Fprintf(&b, "%s (check, version %d)\n  %s: looks for %s\n", c.ID, c.Version, c.Title, c.Looks)
		}
	}
	if f, ok := analysis.DescribeKind(word); ok {
		fmt.Fprintf(&b, "%s (finding)\n  could also be: %s\n  would have changed it: %s\n  diver:      %s\n  technician: %s\n  instructor: %s\n",
			f.Title, strings.Join(f.Alternatives, "; "), f.WouldChange, f.Advice.Diver, f.Advice.Technician, f.Advice.Instructor)
	}
	if b.Len() == 0 {
		return fmt.Errorf("nothing is called %q; `afterloop explain` lists what is", report.Clean(word))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func explainDefinition(b *strings.Builder, d analysis.Definition) {
	unit := ""
	if d.Unit != "" {
		unit = " [" + d.Unit + "]"
	}
	fmt.Fprintf(b, "%s%s\n  %s\n", d.Name, unit, d.Text)
	if d.Equation != "" {
		fmt.Fprintf(b, "  %s\n", d.Equation)
	}
	if d.Source != "" {
		fmt.Fprintf(b, "  source: %s\n", d.Source)
	}
}
