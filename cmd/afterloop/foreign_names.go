package main

import (
	"errors"
	"strings"

	"afterloop/ingest"
	"afterloop/ingest/mapping"
)

// several tells whether a log stands for more than one dive.
func (o *foreignOptions) several(logs []string, i int) bool {
	return o.mapping != nil && (i > 0 && logs[i-1] == logs[i] || i+1 < len(logs) && logs[i+1] == logs[i])
}

// shown is how a log and its dive are called.
func (o *foreignOptions) shown(log string, i int) string {
	if o.mapping == nil || o.parts[i] == "" {
		return log
	}
	return log + ", dive " + o.parts[i]
}

// reportNames are file names without ending, one a dive, none twice.
func (o *foreignOptions) reportNames(logs []string) []string {
	if o.mapping == nil {
		return reportNames(logs)
	}
	bases := make([]string, len(logs))
	for i, l := range logs {
		bases[i] = strings.TrimSuffix(l, ".gz")
		if l == "-" {
			bases[i] = "standard-input"
		}
		for _, ending := range textEndings {
			bases[i] = strings.TrimSuffix(bases[i], ending)
		}
		if o.several(logs, i) {
			bases[i] += "-" + fileWord(o.parts[i])
		}
	}
	return reportNames(bases)
}

// fileWord is a name of which a file's name can be made.
func fileWord(name string) string {
	s := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_':
			return r
		}
		return '-'
	}, name)
	return s[:min(len(s), 60)]
}

// foreignHint tells who gave a file that is no loop log how to have it read.
func foreignHint(err error) string {
	var p ingest.Problem
	if errors.As(err, &mapping.Error{}) {
		return "afterloop: hint: `afterloop schema mapping` lists the keys of a mapping file"
	}
	if !errors.As(err, &p) {
		return ""
	}
	switch p.Code {
	case "several-dives":
		return "afterloop: hint: pick one of them with --dive"
	case "no-header", "not-utf-8", "no-cells", "no-depth":
		return "afterloop: hint: a log of another format is read with a mapping file; `afterloop inspect --draft-mapping LOG -o mapping.toml` drafts one"
	}
	return ""
}
