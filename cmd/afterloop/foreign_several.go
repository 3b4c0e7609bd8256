package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"afterloop/ingest"
)

// foreignHelp is what commands over several logs say about files that are no loop logs.
const foreignHelp = `
Files that are no loop logs are read with a mapping file (--mapping), which inspect --draft-mapping
drafts. One that holds several dives counts as that many logs, each called "FILE, dive NAME"; --dive
picks one. With --mapping every LOG is read by it.
`

// gather reads the mapping, opens folders, and makes one entry of every dive in the logs.
func (o *foreignOptions) gather(s *streams, args []string) ([]string, error) {
	if err := o.load(); err != nil {
		return nil, err
	}
	logs, err := o.expand(args)
	if err != nil {
		return nil, err
	}
	if err := o.keepInput(s, logs); err != nil {
		return nil, err
	}
	return o.findDives(*s, nil, logs)
}

// names are how the entries are called: each log by its name, and where it holds
// several dives with that of the dive.
func (o *foreignOptions) names(logs []string) []string {
	out := make([]string, len(logs))
	for i, l := range logs {
		if out[i] = l; o.several(logs, i) {
			out[i] = o.shown(l, i)
		}
	}
	return out
}

// isJSON tells whether a file is what the program wrote, and not a log.
func isJSON(log string) bool { return strings.EqualFold(filepath.Ext(log), ".json") }

// endings are those of the files that a folder is searched for.
func (o *foreignOptions) endings() []string {
	if o.mapping == nil {
		return []string{".csv"}
	}
	return textEndings
}

// endingsText are they in words.
func (o *foreignOptions) endingsText() string {
	if o.mapping == nil {
		return "no .csv or .csv.gz file"
	}
	return "no file that ends in " + strings.Join(textEndings, ", ")
}

// isLog tells by its name whether a file in a folder is a log.
func (o *foreignOptions) isLog(name string) bool {
	name = strings.TrimSuffix(name, ".gz")
	for _, e := range o.endings() {
		if strings.EqualFold(filepath.Ext(name), e) {
			return !ours(name)
		}
	}
	return false
}

// single reads the one dive of a log: of several the one that --dive names.
func (o *foreignOptions) single(s streams, log string, strict bool) (*ingest.Dive, error) {
	if err := o.load(); err != nil {
		return nil, err
	}
	o.parts = []string{o.dive}
	return o.read(s, log, 0, strict)
}

// addHalfFlags are the flags of a command that reads one log, or the two of --half:
// both take one mapping, or one each in the order of --half.
func (o *foreignOptions) addHalfFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&o.files, "mapping", nil, "read files that are no loop logs, with this mapping `FILE` (TOML); twice with --half, one for each, an empty one for a loop log")
	f.StringArrayVar(&o.dives, "dive", nil, "with --mapping: the one of several dives in a file, by its `NAME`, else by its number from 1; twice with --half, one for each")
}

// settle takes the flags of addHalfFlags for a call without halves.
func (o *foreignOptions) settle() error {
	for _, v := range []struct {
		flag  string
		given []string
		to    *string
	}{{"--mapping", o.files, &o.file}, {"--dive", o.dives, &o.dive}} {
		switch len(v.given) {
		case 0:
		case 1:
			*v.to = v.given[0]
		default:
			return fmt.Errorf("%s: give one; two go with the two logs of --half", v.flag)
		}
	}
	return nil
}

// half are the options for one of the two logs.
func (o *foreignOptions) half(k int) (*foreignOptions, error) {
	pick := func(given []string) string {
		switch len(given) {
		case 0:
			return ""
		case 1:
			return given[0]
		}
		return given[k]
	}
	if len(o.files) > 2 || len(o.dives) > 2 {
		return nil, errors.New("--mapping and --dive: with --half give one for both logs, or two in the order of --half")
	}
	h := &foreignOptions{file: pick(o.files), dive: pick(o.dives)}
	if h.file == "" && len(o.dives) < 2 && len(o.files) > 0 {
		h.dive = "" // one name for the log that has a mapping
	}
	return h, nil
}

// readHalves reads the logs of two halves.
func (o *foreignOptions) readHalves(s streams, logs []string, strict bool) ([2]*ingest.Dive, error) {
	var dives [2]*ingest.Dive
	for k, log := range logs {
		h, err := o.half(k)
		if err != nil {
			return dives, err
		}
		if dives[k], err = h.single(s, log, strict); err != nil {
			return dives, err
		}
	}
	return dives, nil
}

// checkHalves asks for logs as given by args, or for the two of --half and no others.
func checkHalves(halves, args []string) error {
	switch n := len(halves); {
	case n != 2:
		return fmt.Errorf("--half: give the logs of two halves, not %d", n)
	case len(args) > 0:
		return errors.New("--half takes the place of LOG: give one or the other")
	case halves[0] == "-" && halves[1] == "-":
		return errors.New("--half: only one log can come from standard input")
	}
	return nil
}
