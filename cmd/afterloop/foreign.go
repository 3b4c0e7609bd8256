package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"afterloop/ingest"
	"afterloop/ingest/mapping"
)

// foreignOptions are the flags for files that are no loop logs, and what they came to.
type foreignOptions struct {
	file, dive   string
	files, dives []string // the same where --half may want one for each log
	mapping      *mapping.Mapping
	parts        []string // the dive of each log, empty for the one in it; nil without a mapping
}

func (o *foreignOptions) addFlags(f *pflag.FlagSet) {
	f.StringVar(&o.file, "mapping", "", "read files that are no loop logs, with this mapping file (TOML)")
	f.StringVar(&o.dive, "dive", "", "with --mapping: the one of several dives in a file, by its name, else by its number from 1")
	_ = cobra.MarkFlagFilename(f, "mapping", "toml") // the flag is there
}

// load reads the mapping.
func (o *foreignOptions) load() error {
	if o.file == "" {
		if o.dive != "" {
			return errors.New("--dive goes with --mapping: a loop log holds one dive")
		}
		return nil
	}
	m, err := mapping.ReadFile(o.file)
	var p *os.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s can't be read: %w", o.file, p.Err)
	}
	o.mapping = m
	return err
}

// again is standard input, from its beginning if all of it was kept.
func (s streams) again() io.Reader {
	if s.kept != nil {
		return bytes.NewReader(s.kept)
	}
	return s.in
}

// keep reads all of standard input, once.
func (s *streams) keep(log string) error {
	if log != "-" || s.kept != nil {
		return nil
	}
	b, err := io.ReadAll(io.LimitReader(s.in, ingest.DefaultMaxBytes+1))
	s.kept = append([]byte{}, b...)
	return err
}

// keepInput keeps standard input where it is one of the files, to be cut and then read.
func (o *foreignOptions) keepInput(s *streams, logs []string) error {
	for _, log := range logs {
		if o.mapping != nil && log == "-" {
			return s.keep(log)
		}
	}
	return nil
}

// expand turns folders into the files within them; with a mapping they may have
// any of the endings of text, and the mapping itself is none of them.
func (o *foreignOptions) expand(args []string) ([]string, error) {
	if o.mapping == nil {
		return expand(args)
	}
	return expandBy(args, func(name string) bool {
		return slices.ContainsFunc(textEndings, func(ending string) bool { return strings.EqualFold(filepath.Ext(name), ending) })
	}, "file that ends in "+strings.Join(textEndings, ", "))
}

// textEndings are the endings of files that a folder is searched for with a mapping.
var textEndings = []string{".csv", ".txt", ".tsv", ".dat", ".log"}

// findDives makes one entry of every dive in the logs. A log that can't be cut
// into dives stays as it is: why not is said when it is read.
func (o *foreignOptions) findDives(s streams, d *debriefOptions, logs []string) ([]string, error) {
	if o.mapping == nil {
		return logs, nil
	}
	var out []string
	for _, log := range logs {
		names := o.divesIn(s, log)
		if d != nil && len(names) > 1 && len(logs) == 1 {
			if err := d.refuseFiles(log, names); err != nil {
				return nil, err
			}
		}
		for _, name := range names {
			out, o.parts = append(out, log), append(o.parts, name)
		}
	}
	return out, nil
}

// divesIn lists the dives of a log that are asked for: one that is empty stands for the only one.
func (o *foreignOptions) divesIn(s streams, log string) []string {
	one := []string{o.dive}
	if o.dive != "" || isJSON(log) {
		return one
	}
	r, err := open(s, log)
	if err != nil {
		return one
	}
	defer r.Close() // nothing was written, so closing cannot lose anything
	names, err := ingest.PartNames(r, log, ingest.Options{Mapping: o.mapping})
	if err != nil || len(names) < 2 {
		return one
	}
	return names
}

func open(s streams, log string) (io.ReadCloser, error) {
	if log == "-" {
		return io.NopCloser(s.again()), nil
	}
	f, err := openFile(log)
	if err != nil {
		return nil, err // and no nil file in an interface
	}
	return f, nil
}

// refuseFiles refuses outputs that are files where a log holds several dives.
func (d *debriefOptions) refuseFiles(log string, names []string) error {
	for _, out := range []struct{ flag, target string }{{"--output", d.html}, {"--json", d.json}, {"--series", d.series}} {
		st, err := os.Stat(out.target)
		isFile := err == nil && !st.IsDir()
		switch ext := strings.ToLower(filepath.Ext(out.target)); {
		case out.target == "":
			continue
		case err != nil && (ext == ".html" || ext == ".htm" || ext == ".json" || ext == ".csv"):
			isFile = true
		}
		if isFile || out.target == "-" {
			return fmt.Errorf("%s holds %d dives (%s), which %s %s can't take: give a folder, or pick one with --dive", log, len(names), listed(names), out.flag, out.target)
		}
	}
	return nil
}

// listed are the first of several names.
func listed(names []string) string {
	const most = 8
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:most], ", ") + ", ..."
}

// read reads one dive: a loop log, or one of a foreign file.
func (o *foreignOptions) read(s streams, log string, which int, strict bool) (*ingest.Dive, error) {
	opt := ingest.Options{Strict: strict, Mapping: o.mapping}
	if o.mapping != nil {
		opt.Part = o.parts[which]
	}
	return readWith(s, log, opt)
}

// inputs are the files that may not be overwritten.
func (o *foreignOptions) inputs(logs []string) []string {
	out := append([]string{}, o.files...)
	if o.file != "" {
		out = append(out, o.file)
	}
	return append(out, logs...)
}

// mappingSchema is the JSON Schema of mapping files.
func mappingSchema() ([]byte, error) {
	return mapping.Schema(ingest.MappingColumns(), ingest.MappingKeys())
}
