package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/pflag"

	"afterloop/ingest"
	"afterloop/ingest/mapping"
	"afterloop/ingest/mapping/draft"
	"afterloop/report"
)

// foreignInspection is what inspect does with a file that is no loop log.
type foreignInspection struct {
	foreign  foreignOptions
	draft    bool
	output   string
	writeLog string
}

func (o *foreignInspection) addFlags(f *pflag.FlagSet) {
	o.foreign.addFlags(f)
	f.BoolVar(&o.draft, "draft-mapping", false, "draft a mapping file for a log of another format")
	f.StringVarP(&o.output, "output", "o", "", "with --draft-mapping: the file for it; standard output without")
	f.StringVar(&o.writeLog, "write-log", "", `write what was read as a loop log: a file, or "-"`)
}

func (o *foreignInspection) asked() bool {
	return o.draft || o.output != "" || o.writeLog != "" || o.foreign.file != "" || o.foreign.dive != ""
}

func (o *foreignInspection) check() error {
	switch {
	case o.draft && (o.foreign.file != "" || o.foreign.dive != "" || o.writeLog != ""):
		return errors.New("--draft-mapping stands alone, with -o at most")
	case !o.draft && o.output != "":
		return errors.New("--output goes with --draft-mapping")
	}
	return nil
}

func (o *foreignInspection) run(s streams, log string, asJSON, strict bool) error {
	if err := o.check(); err != nil {
		return err
	}
	if o.draft {
		return o.draftMapping(s, log)
	}
	if err := o.foreign.load(); err != nil {
		return err
	}
	if o.foreign.mapping != nil {
		if err := s.keep(log); err != nil {
			return err
		}
	}
	dives := []string{""}
	if o.foreign.mapping != nil {
		dives = o.foreign.divesIn(s, log)
	}
	if o.writeLog != "" && len(dives) > 1 {
		return fmt.Errorf("%s holds %d dives (%s) and a loop log one: pick it with --dive", log, len(dives), listed(dives))
	}
	o.foreign.parts = dives
	var all []*ingest.Dive
	for i := range dives {
		d, err := o.foreign.read(s, log, i, strict)
		if err != nil {
			return err
		}
		all = append(all, d)
	}
	if o.writeLog != "" {
		return o.write(s, log, all[0])
	}
	return show(s, all, asJSON)
}

// show writes inspections: one, or one after the other, in JSON as a list.
func show(s streams, dives []*ingest.Dive, asJSON bool) error {
	if !asJSON {
		for i, d := range dives {
			if i > 0 {
				fmt.Fprintln(s.out)
			}
			if err := ingest.Inspect(d).WriteText(s.out); err != nil {
				return err
			}
		}
		return nil
	}
	e := json.NewEncoder(s.out)
	e.SetIndent("", "  ")
	if len(dives) == 1 {
		return e.Encode(ingest.Inspect(dives[0]))
	}
	list := make([]ingest.Inspection, len(dives))
	for i, d := range dives {
		list[i] = ingest.Inspect(d)
	}
	return e.Encode(list)
}

// write writes the dive as a loop log, and says what was wrong with the one it came from.
func (o *foreignInspection) write(s streams, log string, d *ingest.Dive) error {
	warn(s.err, d.Problems)
	return o.put(s, log, o.writeLog, func(w io.Writer) error { return ingest.Write(w, d) })
}

// put writes one file, whole or not at all, and never over an input.
func (o *foreignInspection) put(s streams, log, target string, render func(io.Writer) error) error {
	out := &outputs{stdout: s.out, inputs: []string{log, o.foreign.file}}
	defer out.discard()
	if err := out.add(target, render); err != nil {
		return err
	}
	return out.commit()
}

// draftMapping drafts a mapping, tries it, and says what is still to be settled.
func (o *foreignInspection) draftMapping(s streams, log string) error {
	r, err := open(s, log)
	if err != nil {
		return err
	}
	defer r.Close() // nothing was written, so closing cannot lose anything
	data, err := ingest.Unpacked(r, log, 0)
	if err != nil {
		return err
	}
	if _, err := ingest.Read(bytes.NewReader(data), log, ingest.Options{}); err == nil {
		fmt.Fprintf(s.err, "afterloop: %s reads as a loop log and needs no mapping\n", report.Clean(log))
	}
	d := draft.Make(data, baseOf(log))
	for _, q := range d.Undecided {
		fmt.Fprintf(s.err, "afterloop: undecided: %s\n", report.Clean(q))
	}
	fmt.Fprintf(s.err, "afterloop: %s\n", report.Clean(tried(data, log, d.TOML)))
	target := o.output
	if target == "" {
		target = "-"
	}
	return o.put(s, log, target, func(w io.Writer) error {
		_, err := w.Write(d.TOML)
		return err
	})
}

// baseOf is a file's name without its folder.
func baseOf(log string) string {
	if log == "-" {
		return "standard input"
	}
	return filepath.Base(log)
}

// tried says what a drafted mapping reads.
func tried(data []byte, log string, toml []byte) string {
	m, err := mapping.Parse(toml, "the draft")
	if err != nil {
		return "the draft can't be used yet: " + err.Error()
	}
	rows, warnings, dives := 0, 0, 0
	parts, err := ingest.ReadParts(bytes.NewReader(data), log, ingest.Options{Mapping: m})
	for _, p := range parts {
		if p.Err != nil {
			err = p.Err
			continue
		}
		dives++
		rows += p.Dive.Rows()
		warnings += ingest.Inspect(p.Dive).Warnings
	}
	if err != nil {
		return fmt.Sprintf("the draft reads %d dives; then: %v", dives, err)
	}
	return fmt.Sprintf("the draft reads %d dives with %d rows and %d warnings; look at every line of it before you rely on it", dives, rows, warnings)
}
