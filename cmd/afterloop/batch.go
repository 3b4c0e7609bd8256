package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/schollz/progressbar/v3"

	"afterloop/analysis"
	"afterloop/analysis/wording"
	"afterloop/report"
)

// debriefMany debriefs several logs into folders. A bad one never stops the others.
func debriefMany(s streams, o *debriefOptions, logs []string) error {
	for _, dir := range []string{o.html, o.json, o.series} {
		if dir == "-" {
			return errors.New("several logs can't share standard output; give a folder")
		}
		if dir == "" {
			continue
		}
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return fmt.Errorf("%s can't be made a folder: %w", dir, cause(err))
		}
	}
	names := o.foreign.reportNames(logs)
	if o.anonymous {
		names = numberedNames(len(logs))
	}
	bar := progress(s.err, len(logs), o.quiet)
	var entries []report.IndexEntry
	var done []*analysis.Debrief
	failed := 0
	each := *o
	each.quiet = true
	for i, log := range logs {
		d, err := each.one(s, logs, i, in(o.html, names[i], ".html"), in(o.json, names[i], ".json"), in(o.series, names[i], ".series.csv"))
		_ = bar.Add(1)
		if err != nil {
			failed++
			fmt.Fprintf(s.err, "afterloop: error: %s\n", report.Clean(err.Error()))
			entries = append(entries, report.IndexEntry{File: o.foreign.shown(log, i), Err: err.Error()})
			continue
		}
		d.Series = nil // written by now; many logs would fill the memory
		done = append(done, d)
		entries = append(entries, report.IndexEntry{File: o.foreign.shown(log, i), Page: names[i] + ".html", Debrief: d})
		if !o.quiet {
			fmt.Fprintln(s.out, oneLine(o.shown(o.foreign.shown(log, i), names[i]), d))
		}
	}
	_ = bar.Finish()
	if err := writeIndex(s, o, logs, entries); err != nil {
		return err
	}
	if failed > 0 {
		status := exitPartial
		if failed == len(logs) {
			status = exitUsage
		}
		return statusError{status, fmt.Errorf("%d of %d logs failed", failed, len(logs))}
	}
	return o.verdict(done)
}

// shown is how a log is called on the terminal.
func (o *debriefOptions) shown(log, name string) string {
	if o.anonymous {
		return name
	}
	return log
}

// oneLine sums a log up for the terminal.
func oneLine(log string, d *analysis.Debrief) string {
	n := map[analysis.Severity]int{}
	for i := range d.Findings {
		n[d.Findings[i].Severity]++
	}
	return fmt.Sprintf("%s: %s, %s, %s; %d of %d checks ran", report.Clean(log), wording.Count(n[analysis.Warning], "warning", "warnings"),
		wording.Count(n[analysis.Caution], "caution", "cautions"), wording.Count(n[analysis.Note], "note", "notes"), d.Assessable.ChecksRun, d.Assessable.ChecksTotal)
}

// writeIndex puts a page and a table over all debriefs into the reports' folder.
func writeIndex(s streams, o *debriefOptions, inputs []string, entries []report.IndexEntry) error {
	dir := o.html
	if dir == "" {
		return nil
	}
	out := &outputs{stdout: s.out, inputs: inputs}
	defer out.discard()
	if err := errors.Join(
		out.add(filepath.Join(dir, "index.html"), func(w io.Writer) error { return report.WriteIndex(w, entries, o.report()) }),
		out.add(filepath.Join(dir, "index.csv"), func(w io.Writer) error { return report.WriteIndexCSV(w, entries, o.report()) }),
	); err != nil {
		return err
	}
	return out.commit()
}

// reportNames are file names without ending, one a log, none twice: logs of one
// name in two folders get a number, and "index" is kept for the index page.
func reportNames(logs []string) []string {
	out := make([]string, len(logs))
	seen := map[string]bool{"index": true}
	for i, l := range logs {
		base := strings.TrimSuffix(strings.TrimSuffix(filepath.Base(l), ".gz"), ".csv")
		if l == "-" {
			base = "standard-input"
		}
		name := base
		for n := 2; seen[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s-%d", base, n)
		}
		seen[strings.ToLower(name)] = true
		out[i] = name
	}
	return out
}

// numberedNames are file names that say nothing about the logs.
func numberedNames(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = fmt.Sprintf("log-%03d", i+1)
	}
	return out
}

func in(dir, name, ending string) string {
	if dir == "" {
		return ""
	}
	return filepath.Join(dir, name+ending)
}

// progress is a bar on a terminal, and nothing anywhere else.
func progress(w io.Writer, n int, quiet bool) *progressbar.ProgressBar {
	if quiet || !isTerminal(w) || n < 2 {
		return progressbar.DefaultSilent(int64(n))
	}
	return progressbar.NewOptions(n, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription("logs"),
		progressbar.OptionShowCount(), progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(30))
}
