package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/ingest"
	"afterloop/report"
	pages "afterloop/report/days"
)

// daysOptions are the flags of the days command.
type daysOptions struct {
	html, json, csv, dayCSV string
	failOn, models          string
	starts, halves          []string
	quiet, strict           bool
	anonymous               bool
	skipDiagnosis           bool
	params                  days.Params
	foreign                 foreignOptions
}

func newDays(s streams) *cobra.Command {
	o := &daysOptions{params: days.DefaultParams()}
	c := &cobra.Command{
		Use:   "days LOG...",
		Short: "Add up the oxygen exposure of one diver over several dives",
		Long: `Reads several loop logs of one diver as one exposure record: the largest share of the 24-hour
limit in any 24 hours (no decay), the pulmonary dose (OTU) of each local day against the limit
for that day of a run of diving days, and CNS at the start and end of each dive, with the decay
at the surface that is a convention. Each dive's dose is that of its debrief's headline, with
its range. It reads what was recorded; it plans no dive, and clears nobody to dive.

LOG is a CSV file, gzip or not, "-" for standard input, or a folder of *.csv and *.csv.gz files.
The order makes no difference. A log needs its start; --start supplies one.
` + foreignHelp + `
RULES
  once       the same bytes count once; time that two logs cover counts once, and is said
  diver      logs that name different divers are refused, unless --diver says whose is wanted
  day        calendar day by the offset of each log's own start; a dive over midnight is cut there
  day n      day 1 is the first day with a pulmonary dose, every calendar day after it the next;
             a run ends after --rest-days whole days without a dose
  given      only what was given: a dive that was not given can't be known
` + exitHelp,
		Example: `  afterloop days friday.csv saturday.csv sunday.csv -o days.html
  afterloop days trip/ --csv dives.csv --day-csv days.csv --fail-on warning
  afterloop days saturday.csv --half sunday-1.csv --half sunday-2.csv
  afterloop days a.csv b.csv --start b.csv=2026-07-04T10:35:00+02:00 --json - | jq .worst_24h`,
		Args: func(c *cobra.Command, args []string) error {
			if len(o.halves) > 0 {
				return checkPairs(o.halves)
			}
			return cobra.MinimumNArgs(1)(c, args)
		},
		RunE: func(_ *cobra.Command, args []string) error { return runDays(s, o, args) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"csv", "gz"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	o.addFlags(c.Flags())
	completeFailOn(c)
	_ = c.RegisterFlagCompletionFunc("models", cobra.FixedCompletions([]string{"esot"}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func (o *daysOptions) addFlags(f *pflag.FlagSet) {
	f.StringVarP(&o.html, "output", "o", "", `HTML page: a file, or "-"`)
	f.StringVar(&o.json, "json", "", `result as JSON: a file, or "-"`)
	f.StringVar(&o.csv, "csv", "", `table of dives as CSV: a file, or "-"`)
	f.StringVar(&o.dayCSV, "day-csv", "", `table of local days as CSV: a file, or "-"`)
	f.StringArrayVar(&o.halves, "half", nil, "log of one half of doubled electronics, the other half's next: both are joined and count as one dive")
	f.StringArrayVar(&o.starts, "start", nil, "FILE=TIME: the time at time 0 of a log, RFC 3339; may be given for several logs")
	f.StringVar(&o.params.Diver, "diver", "", "whose dives: the name as in the logs")
	f.IntVar(&o.params.RestDays, "rest-days", o.params.RestDays, "whole local days without a pulmonary dose that end a run of diving days")
	f.StringVar(&o.models, "models", "", "esot: show the equivalent surface oxygen time of each day too (equation and limits from memory)")
	o.foreign.addFlags(f)
	quietFlag(f, &o.quiet)
	strictFlag(f, &o.strict)
	f.BoolVar(&o.anonymous, "anonymous", false, "leave out names: diver, dives, unit, files (digests and starts stay)")
	failOnFlag(f, &o.failOn)
	f.BoolVar(&o.skipDiagnosis, "no-diagnosis", false, "leave out the diagnosis of cells and the estimate of PO2: faster, and false cells stay in")
	f.BoolVar(&o.params.Exposure.StrictATA, "strict-ata", false, "read the CNS table strictly in ata instead of bar")
}

// check says what is wrong with the flags, before anything is read.
func (o *daysOptions) check() error {
	outputs := apart(false, target{"--output", o.html}, target{"--json", o.json}, target{"--csv", o.csv}, target{"--day-csv", o.dayCSV})
	if err := firstOf(outputs, checkFailOn(o.failOn)); err != nil {
		return err
	}
	if o.params.RestDays < 1 || o.params.RestDays > 60 {
		return errors.New("--rest-days: give a number of days from 1 to 60")
	}
	switch o.models {
	case "", "esot", "all":
		o.params.ESOT = o.models != ""
	default:
		return fmt.Errorf("--models %s: in a series of days only esot has limits to be held against", o.models)
	}
	return nil
}

// startsOf assigns each --start to one log, by its name as given or its last part.
func startsOf(starts, logs []string) (map[int]string, error) {
	out := map[int]string{}
	for _, s := range starts {
		file, text, ok := strings.Cut(s, "=")
		if at := strings.LastIndex(s, "="); ok { // a name may hold the sign, a time can't
			file, text = s[:at], s[at+1:]
		}
		if _, err := time.Parse(time.RFC3339, text); !ok || err != nil {
			return nil, fmt.Errorf("--start %s: give FILE=TIME with a time as in 2026-07-04T10:35:00+02:00", s)
		}
		found := logsNamed(logs, file)
		switch {
		case len(found) == 0:
			return nil, fmt.Errorf("--start: no log is called %s", file)
		case len(found) > 1:
			return nil, fmt.Errorf("--start: %d logs are called %s; give the path", len(found), file)
		}
		if _, twice := out[found[0]]; twice {
			return nil, fmt.Errorf("--start: two starts for %s", file)
		}
		out[found[0]] = text
	}
	return out, nil
}

func runDays(s streams, o *daysOptions, args []string) error {
	if err := o.check(); err != nil {
		return err
	}
	logs, err := o.foreign.gather(&s, args)
	if err != nil {
		return err
	}
	starts, err := startsOf(o.starts, o.foreign.names(logs))
	if err != nil {
		return err
	}
	read, unread, err := o.debriefs(s, logs, starts)
	if err != nil {
		return err
	}
	r, err := days.Compose(read, unread, o.params)
	if err != nil {
		return o.refused(err, len(unread), len(logs)+len(o.halves)/2)
	}
	r.Tool.Version = buildVersion()
	if o.anonymous {
		r = pages.WithoutNames(r)
	}
	if err := o.write(s, logs, r); err != nil {
		return err
	}
	if len(unread) > 0 {
		return statusError{exitPartial, fmt.Errorf("%d of %d logs failed: their exposure is missing", len(unread), len(logs))}
	}
	return failsOn(o.failOn, r.Findings)
}

// refused says what the user can do about a series that can't be put together.
func (o *daysOptions) refused(err error, unread, logs int) error {
	switch {
	case unread == logs:
		return fmt.Errorf("no log could be read")
	case errors.Is(err, days.ErrNothingPlaced):
		return errors.New("no log could be placed in time: none has both a start and a PO2; give --start FILE=TIME, as in --start dive.csv=2026-07-04T10:35:00+02:00")
	}
	return err
}

// debriefs reads and debriefs every log. One that can't be read is said and left
// out; with --strict it ends everything.
func (o *daysOptions) debriefs(s streams, logs []string, starts map[int]string) ([]days.Log, []days.LeftOut, error) {
	p := analysis.DefaultParameters()
	p.SkipDiagnosis, p.Exposure = o.skipDiagnosis, o.params.Exposure
	bar := progress(s.err, max(1, len(logs)), o.quiet)
	var out []days.Log
	var unread []days.LeftOut
	for i, log := range logs {
		dive, err := o.foreign.read(s, log, i, o.strict)
		_ = bar.Add(1)
		if err != nil {
			if o.strict {
				return nil, nil, err
			}
			fmt.Fprintf(s.err, "afterloop: error: %s\n", report.Clean(err.Error()))
			unread = append(unread, days.LeftOut{File: o.foreign.shown(log, i), Kind: "unreadable", Reason: "it could not be read"})
			continue
		}
		if !o.quiet {
			warn(s.err, dive.Problems)
		}
		out = append(out, debriefForDays(dive, p, starts[i]))
	}
	joined, err := o.joinedHalves(s, p)
	if err != nil {
		return nil, nil, err
	}
	return append(out, joined...), unread, bar.Finish()
}

// debriefForDays debriefs one log, with the start that was supplied for it.
func debriefForDays(dive *ingest.Dive, p analysis.Parameters, start string) days.Log {
	l := days.Log{StartSupplied: start != "", Profile: profileOf(dive)}
	if l.StartSupplied {
		l.StartInLog, dive.Meta.Start = dive.Meta.Start, start
	}
	l.Debrief = analysis.Analyze(dive, p)
	l.Debrief.Series = nil // a series of dives needs no columns but those breathed
	return l
}

// write prints a series to all outputs, or leaves nothing behind.
func (o *daysOptions) write(s streams, logs []string, r *days.Report) error {
	return writeAll(s, o.foreign.inputs(append(o.halves, logs...)), o.quiet, func(w io.Writer) error { return pages.WriteText(w, r, s.text()) },
		rendering{o.html, func(w io.Writer) error { return pages.WritePage(w, r) }},
		rendering{o.json, func(w io.Writer) error { return pages.WriteJSON(w, r) }},
		rendering{o.csv, func(w io.Writer) error { return pages.WriteDiveTable(w, r) }},
		rendering{o.dayCSV, func(w io.Writer) error { return pages.WriteDayTable(w, r) }})
}
