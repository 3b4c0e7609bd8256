package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis/scenario"
)

func newScenario(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "scenario",
		Short: "Make simulated loop logs, with the truth beside them",
		Long: `Simulates dives on an invented unit and writes what it would have recorded, so that tools and
people can be tried on logs whose truth is known. A simulation is no dive plan.
` + exitHelp,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newScenarioList(s), newScenarioMake(s), newScenarioDemos(s), newScenarioScore(s))
	return c
}

func newScenarioList(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "List the kinds of scenario",
		Long:    "Lists the kinds of scenario that `make` knows.\n" + exitHelp,
		Example: "  afterloop scenario list",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			for _, k := range scenario.Kinds() {
				if _, err := fmt.Fprintf(s.out, "%-28s %s\n", k.Name, k.Line); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

type scenarioOptions struct {
	seed        uint64
	output      string
	truth, spec bool
}

func newScenarioMake(s streams) *cobra.Command {
	o := &scenarioOptions{}
	c := &cobra.Command{
		Use:   "make KIND|SPEC.json",
		Short: "Simulate one dive",
		Long: `Simulates one dive of a kind (see list), drawn by its seed, or the one that a JSON file describes
(--spec prints the description of a kind, to start from). With --truth the truth is written beside
the log: NAME.truth.csv and NAME.truth.json.
` + exitHelp,
		Example: `  afterloop scenario make slow --seed 7 -o slow.csv --truth
  afterloop scenario make limited-pair --spec > my.json
  afterloop scenario make my.json -o my.csv`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return makeScenario(s, o, args[0]) },
	}
	c.Flags().Uint64Var(&o.seed, "seed", 1, "which dive of the kind")
	c.Flags().StringVarP(&o.output, "output", "o", "-", `the log: a file, or "-"`)
	c.Flags().BoolVar(&o.truth, "truth", false, "write the truth beside the log")
	c.Flags().BoolVar(&o.spec, "spec", false, "print the description instead of simulating")
	return c
}

func makeScenario(s streams, o *scenarioOptions, what string) error {
	spec, err := loadSpec(what, o.seed)
	if err != nil {
		return err
	}
	if o.spec {
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(spec)
	}
	if o.truth && o.output == "-" {
		return errors.New("--truth needs a file: give -o FILE")
	}
	return writeScenario(s, spec, o.output, o.truth, what)
}

// loadSpec reads a description, or draws one of a kind.
func loadSpec(what string, seed uint64) (scenario.Spec, error) {
	if !strings.HasSuffix(what, ".json") {
		return scenario.Draw(what, seed)
	}
	var spec scenario.Spec
	f, err := openFile(what)
	if err != nil {
		return spec, err
	}
	defer f.Close()
	if spec, err = scenario.ReadSpec(f); err != nil {
		return spec, fmt.Errorf("%s is no scenario: %w", what, err)
	}
	return spec, nil
}

// writeScenario runs a scenario into a log and, if asked, its truth.
func writeScenario(s streams, spec scenario.Spec, target string, truth bool, inputs ...string) error {
	log, tr, err := scenario.Run(spec)
	if err != nil {
		return err
	}
	out := &outputs{stdout: s.out, inputs: inputs}
	defer out.discard()
	err = out.add(target, log.WriteCSV)
	if truth {
		base := strings.TrimSuffix(target, ".csv")
		err = errors.Join(err, out.add(base+".truth.csv", tr.WriteCSV), out.add(base+".truth.json", tr.WriteJSON))
	}
	if err != nil {
		return err
	}
	return out.commit()
}

func newScenarioDemos(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "demos FOLDER",
		Short:   "Write the demo logs into a folder",
		Long:    "Writes the demo logs into an existing folder, those of one recorder with their truth. They are invented.\n" + exitHelp,
		Example: "  mkdir -p demos && afterloop scenario demos demos",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			for _, d := range scenario.Demos() {
				if err := writeScenario(s, d.Spec, filepath.Join(args[0], d.Name+".csv"), true); err != nil {
					return err
				}
			}
			return writeDoubledDemo(s, args[0])
		},
	}
}

// writeDoubledDemo writes the logs of both halves of the doubled demo.
func writeDoubledDemo(s streams, folder string) error {
	spec, logs := scenario.DoubledDemo()
	whole, _, err := scenario.Run(spec)
	if err != nil {
		return err
	}
	out := &outputs{stdout: s.out}
	defer out.discard()
	for _, l := range logs {
		err = errors.Join(err, out.add(filepath.Join(folder, l.Name+".csv"), l.Half.Record(whole).WriteCSV))
	}
	if err != nil {
		return err
	}
	return out.commit()
}
