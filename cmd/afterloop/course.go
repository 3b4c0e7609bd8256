package main

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis"
	"afterloop/analysis/compare"
	"afterloop/analysis/course"
	"afterloop/report"
	pages "afterloop/report/course"
)

// courseOptions are the flags of the course command.
type courseOptions struct {
	html, json, csv  string
	by               string
	anonymous, quiet bool
	foreign          foreignOptions
}

func newCourse(s streams) *cobra.Command {
	o := &courseOptions{}
	c := &cobra.Command{
		Use:   "course FOLDER",
		Short: "An instructor's page over the logs of a group",
		Long: `Reads every log (*.csv, *.csv.gz) in a folder and its sub-folders and writes a page for the
instructor: what the group should talk about first and by which rule, who had which findings, the
figures of the group, what could not be assessed and for whom. It ranks topics and no people.

Logs are of one student where they name the same diver, if all of them name one; else where they lie
in one sub-folder, if all lie in one; else each log is one student's. --by diver, folder or file
decides otherwise; the page says which rule held.

With -o FILE.html the page alone is written; with -o FOLDER the page (index.html) and the debrief of
each log beside it. --anonymous leaves out names, files, units, serial numbers, notes and dates and
calls students by letters that follow the digests of their logs.

A log that can't be read never stops the others: it is listed with the reason.
` + foreignHelp + `` + exitHelp,
		Example: `  afterloop course logs/ -o course.html
  afterloop course logs/ -o pages/ --anonymous
  afterloop course logs/ --by folder --json - | jq .topics[0]`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return runCourse(s, o, args[0]) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return nil, cobra.ShellCompDirectiveFilterDirs
		},
	}
	f := c.Flags()
	f.StringVarP(&o.html, "output", "o", "", `HTML page: a file, "-", or a folder that also gets each log's debrief`)
	f.StringVar(&o.json, "json", "", `course as JSON: a file, or "-"`)
	f.StringVar(&o.csv, "csv", "", `figures and findings as a table: a file, or "-"`)
	f.StringVar(&o.by, "by", "auto", "what makes logs one student's: auto, diver, folder or file")
	f.BoolVar(&o.anonymous, "anonymous", false, "leave out names, files, units, serial numbers, notes and dates")
	o.foreign.addFlags(f)
	f.BoolVarP(&o.quiet, "quiet", "q", false, "print no summary")
	_ = c.RegisterFlagCompletionFunc("by", cobra.FixedCompletions([]string{"auto", "diver", "folder", "file"}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func runCourse(s streams, o *courseOptions, folder string) error {
	switch course.By(o.by) {
	case course.ByAuto, course.ByDiver, course.ByFolder, course.ByFile:
	default:
		return fmt.Errorf("--by %s: give auto, diver, folder or file", o.by)
	}
	if err := apart(false, target{"--output", o.html}, target{"--json", o.json}, target{"--csv", o.csv}); err != nil {
		return err
	}
	if err := o.foreign.load(); err != nil {
		return err
	}
	logs, err := o.foreign.logsBelow(folder)
	if err != nil {
		return err
	}
	if logs, err = o.foreign.findDives(s, nil, logs); err != nil {
		return err
	}
	if len(logs) > course.MaxLogs {
		return fmt.Errorf("%s holds %d dives; a course has at most %d", folder, len(logs), course.MaxLogs)
	}
	dir, err := o.folder()
	if err != nil {
		return err
	}
	entries, failed := o.debriefAll(s, folder, logs, dir)
	c, err := course.Build(entries, course.Options{By: course.By(o.by), Anonymous: o.anonymous, Version: buildVersion()})
	if err != nil {
		return o.nothing(err, entries)
	}
	target := o.html
	if dir != "" {
		target = filepath.Join(dir, "index.html")
	}
	if err := writeAll(s, o.foreign.inputs(logs), o.quiet, func(w io.Writer) error { return pages.WriteText(w, c, s.text()) },
		rendering{target, func(w io.Writer) error { return pages.Write(w, c) }},
		rendering{o.json, func(w io.Writer) error { return report.EncodeJSON(w, c) }},
		rendering{o.csv, func(w io.Writer) error { return pages.WriteCSV(w, c) }}); err != nil {
		return err
	}
	if failed > 0 {
		return statusError{exitPartial, fmt.Errorf("%d of %d logs could not be read; the page lists them", failed, len(logs))}
	}
	return nil
}

// nothing says why there is no course at all.
func (o *courseOptions) nothing(err error, entries []course.Entry) error {
	if o.anonymous {
		return err
	}
	var why []string
	for i, e := range entries {
		if i == 3 {
			why = append(why, fmt.Sprintf("and %d more", len(entries)-3))
			break
		}
		why = append(why, e.Err.Error())
	}
	return fmt.Errorf("%w: %s", err, strings.Join(why, "; "))
}

// folder makes the folder that -o names; empty where it names a file. What ends
// in .html is a file unless a folder of that name is there.
func (o *courseOptions) folder() (string, error) {
	if o.html == "" || o.html == "-" {
		return "", nil
	}
	st, err := os.Stat(o.html)
	isDir := err == nil && st.IsDir()
	if !isDir && (err == nil || filepath.Ext(o.html) != "") {
		return "", nil
	}
	if err := os.MkdirAll(o.html, 0o755); err != nil {
		return "", fmt.Errorf("%s can't be made a folder: %w", o.html, cause(err))
	}
	return o.html, nil
}

// logsBelow lists the logs in a folder and its sub-folders, in order of their
// paths. Links are not followed, hidden folders and our own files passed over.
func (o *foreignOptions) logsBelow(folder string) ([]string, error) {
	if st, err := os.Stat(folder); err != nil {
		return nil, fmt.Errorf("%s can't be read: %w", folder, cause(err))
	} else if !st.IsDir() {
		return nil, fmt.Errorf("%s is no folder", folder)
	}
	var out []string
	err := filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && path != folder && strings.HasPrefix(e.Name(), "."):
			return filepath.SkipDir
		case e.Type().IsRegular() && o.isLog(e.Name()):
			out = append(out, path)
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s can't be listed: %w", folder, cause(err))
	case len(out) == 0:
		return nil, fmt.Errorf("%s holds %s", folder, o.endingsText())
	case len(out) > course.MaxLogs:
		return nil, fmt.Errorf("%s holds %d logs; a course has at most %d", folder, len(out), course.MaxLogs)
	}
	return out, nil
}

// debriefAll debriefs the logs one after the other, writes their pages into dir,
// if there is one, and keeps what the course needs.
func (o *courseOptions) debriefAll(s streams, folder string, logs []string, dir string) (entries []course.Entry, failed int) {
	names := o.foreign.reportNames(logs)
	bar := progress(s.err, len(logs), o.quiet)
	defer func() { _ = bar.Finish() }()
	for i, log := range logs {
		e := course.Entry{File: below(folder, log)}
		if o.foreign.several(logs, i) { // a slash would seem a folder
			e.File += ", dive " + strings.ReplaceAll(o.foreign.parts[i], "/", "-")
		}
		e.Subject, e.Page, e.Err = o.debriefOne(s, logs, i, dir, names[i])
		if e.Err != nil {
			e.Subject = nil
			failed++
			if !o.anonymous {
				fmt.Fprintf(s.err, "afterloop: error: %s\n", report.Clean(e.Err.Error()))
			}
		}
		entries = append(entries, e)
		_ = bar.Add(1)
	}
	return entries, failed
}

// below is a path within the folder, with slashes.
func below(folder, path string) string {
	rel, err := filepath.Rel(folder, path)
	if err != nil {
		rel = filepath.Base(path)
	}
	return filepath.ToSlash(rel)
}

func (o *courseOptions) debriefOne(s streams, logs []string, i int, dir, name string) (*compare.Subject, string, error) {
	log := logs[i]
	dive, err := o.foreign.read(s, log, i, false)
	if err != nil {
		return nil, "", err
	}
	d := analysis.Analyze(dive, analysis.DefaultParameters())
	d.Tool.Version = buildVersion()
	x := compare.Take(d, compare.Source{File: o.foreign.shown(log, i)})
	if dir == "" {
		return x, "", nil
	}
	if o.anonymous { // a name that tells no more than the digest on the page
		name = "log-" + x.SHA256[:12]
		bare(d)
	}
	out := &outputs{stdout: s.out, inputs: o.foreign.inputs(logs)}
	defer out.discard()
	if err := out.add(filepath.Join(dir, name+".html"), func(w io.Writer) error { return report.WriteHTML(w, d, report.Options{Anonymous: o.anonymous}) }); err != nil {
		return nil, "", err
	}
	return x, name + ".html", out.commit()
}

// bare takes from a debrief that is written without names what those might leave:
// dates, and the names of columns that somebody made up.
func bare(d *analysis.Debrief) {
	d.Dive.Start = ""
	for i := range d.Cells {
		d.Cells[i].Installed = ""
	}
	for i := range d.Recording.UnknownColumns {
		d.Recording.UnknownColumns[i] = "left out"
	}
	for i := range d.Problems {
		d.Problems[i].Column = ""
	}
	for i := range d.Sources {
		for k, c := range d.Sources[i].Columns {
			if c.Meaning == "" {
				d.Sources[i].Columns[k].Name = "left out"
			}
		}
	}
}
