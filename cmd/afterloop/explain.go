package main

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis"
	"afterloop/analysis/lesson"
	"afterloop/report"
)

func newExplain(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "explain [WORD]",
		Short: "Say what a figure, a check, a finding, a voting policy or a lesson means",
		Long: `Without a word lists everything that can be explained, of every command. With one, prints the definition with its
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
	for _, c := range chapters() {
		fmt.Fprintf(&b, "%s\n", strings.ToUpper(c.of[:1])+c.of[1:])
		list(&b, "figures", len(c.definitions), func(i int) (string, string) { return c.definitions[i].ID, c.definitions[i].Name })
		list(&b, "checks", len(c.checks), func(i int) (string, string) {
			return c.checks[i].ID, c.checks[i].Title + ": looks for " + c.checks[i].Looks
		})
		names := sortedKeys(c.kinds)
		list(&b, "findings", len(names), func(i int) (string, string) { return names[i], c.kinds[names[i]] })
		b.WriteString("\n")
	}
	ps, ls := policies(), lesson.All()
	b.WriteString("Voting policies\n")
	list(&b, "", len(ps), func(i int) (string, string) { return ps[i].Name, ps[i].Rule })
	b.WriteString("\nLessons\n")
	list(&b, "", len(ls), func(i int) (string, string) { return lessonTopic(ls[i]), ls[i].Line })
	_, err := io.WriteString(w, b.String())
	return err
}

// list writes words with what they are, under a title where there is one.
func list(b *strings.Builder, title string, n int, line func(int) (word, what string)) {
	if n > 0 && title != "" {
		fmt.Fprintf(b, " %s\n", title)
	}
	for i := range n {
		word, what := line(i)
		fmt.Fprintf(b, "  %-28s %s\n", word, what)
	}
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
	for _, c := range chapters() {
		c.explain(&b, word)
	}
	for _, p := range policies() {
		if p.Name == word {
			fmt.Fprintf(&b, "%s (voting policy)\n  %s\n", p.Name, p.Rule)
		}
	}
	for _, l := range lesson.All() {
		if lessonTopic(l) == word {
			explainLesson(&b, l)
		}
	}
	if b.Len() == 0 {
		return fmt.Errorf("nothing is called %q; `afterloop explain` lists what is", report.Clean(word))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// explain says what a word means in this chapter, if anything.
func (c chapter) explain(b *strings.Builder, word string) {
	for _, d := range c.definitions {
		if d.ID == word {
			explainDefinition(b, d)
		}
	}
	for _, k := range c.checks {
		if k.ID == word {
			fmt.Fprintf(b, "%s (check of %s, version %d)\n  looks for %s\n", k.Title, c.of, k.Version, k.Looks)
		}
	}
	if c.describe == nil {
		return
	}
	if f, ok := c.describe(word); ok {
		fmt.Fprintf(b, "%s (finding of %s)\n  could also be: %s\n  would have changed it: %s\n  diver:      %s\n  technician: %s\n  instructor: %s\n",
			f.Title, c.of, strings.Join(f.Alternatives, "; "), f.WouldChange, f.Advice.Diver, f.Advice.Technician, f.Advice.Instructor)
	}
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
