package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/report"
	comparePages "afterloop/report/compare"
	coursePages "afterloop/report/course"
	daysPages "afterloop/report/days"
	lessonPages "afterloop/report/lesson"
	whatifPages "afterloop/report/whatif"
)

// document is one kind of file that the program writes or reads, with its schema.
type document struct {
	name, what string
	schema     func() ([]byte, error)
}

// documents are all of them but the log, whose schema depends on its header.
// A new kind of file is one line here.
func documents() []document {
	return append([]document{
		{"debrief", "the JSON of a debrief", debriefSchema},
		{"days", "the JSON of a series of dives", daysPages.Schema},
		{"compare", "the JSON of a comparison", comparePages.Schema},
		{"course", "the JSON of a course", coursePages.Schema},
		{"answers", "a student's answers to a lesson", lessonPages.AnswersSchema},
		{"key", "a lesson's key", lessonPages.KeySchema},
		{"whatif", "the JSON of a dive run again", whatifPages.Schema},
		{"mapping", "mapping files (TOML) for logs of other formats", mappingSchema},
	}, moreDocuments()...)
}

func newSchema(s streams) *cobra.Command {
	var lines strings.Builder
	words := []string{"log"}
	for _, d := range documents() {
		words = append(words, d.name)
		fmt.Fprintf(&lines, "  %-15s %s\n", d.name, d.what)
	}
	return &cobra.Command{
		Use:       "schema log LOG | schema NAME",
		Short:     "Print the schema of a log's columns, or of a file that the program writes or reads",
		ValidArgs: words,
		Long: `schema log LOG prints a Frictionless Table Schema for the header of that log (a log may have
any number of cells, so the schema is made for the one given).
schema NAME prints the JSON Schema of
` + lines.String() + exitHelp,
		Example: `  afterloop schema log dive.csv > dive.schema.json
  afterloop schema debrief > debrief.schema.json`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(_ *cobra.Command, args []string) error { return runSchema(s, args) },
	}
}

func runSchema(s streams, args []string) error {
	b, err := schemaOf(s, args)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s\n", b)
	return err
}

func schemaOf(s streams, args []string) ([]byte, error) {
	if args[0] == "log" && len(args) == 2 {
		return logSchema(s, args[1])
	}
	var names []string
	for _, d := range documents() {
		if d.name == args[0] && len(args) == 1 {
			return d.schema()
		}
		names = append(names, d.name)
	}
	if args[0] == "log" {
		return nil, errors.New("give `schema log LOG`: the schema is made for the header of that log")
	}
	return nil, fmt.Errorf("no schema is called %q: give `schema log LOG` or `schema NAME` with one of %s", report.Clean(strings.Join(args, " ")), strings.Join(names, ", "))
}
