package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"afterloop/ingest"
	"afterloop/report"
)

// expand turns folders into the logs within them, in order of name. Files that the
// program writes itself (.truth.csv, .series.csv, index.csv) are no logs.
func expand(args []string) ([]string, error) {
	return expandBy(args, isLog, ".csv or .csv.gz file")
}

// expandBy is expand with what a file in a folder must be, by its name without
// .gz, and the words for it.
func expandBy(args []string, wanted func(name string) bool, what string) ([]string, error) {
	var out []string
	for _, a := range args {
		st, err := os.Stat(a)
		if a == "-" || err != nil || !st.IsDir() {
			out = append(out, a) // a missing file is reported when it is read
			continue
		}
		found, err := filesIn(a, wanted, what)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// isLog tells whether a file in a folder is taken for a log.
func isLog(name string) bool { return strings.HasSuffix(name, ".csv") }

// ours tells whether a file is one that the program itself writes beside logs.
func ours(name string) bool {
	return name == "index.csv" || strings.HasSuffix(name, ".truth.csv") || strings.HasSuffix(name, ".series.csv")
}

func filesIn(dir string, wanted func(name string) bool, what string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("%s can't be listed: %w", dir, cause(err))
	}
	var out []string
	for _, e := range entries {
		n := strings.TrimSuffix(e.Name(), ".gz")
		if !e.IsDir() && wanted(n) && !ours(n) {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s holds no %s", dir, what)
	}
	sort.Strings(out)
	return out, nil
}

// logsNamed finds the log of a name: the one whose path it is, else all whose last
// part it is.
func logsNamed(logs []string, name string) []int {
	var found []int
	for i, l := range logs {
		if l == name || filepath.Clean(l) == filepath.Clean(name) {
			return []int{i}
		}
		if filepath.Base(l) == name {
			found = append(found, i)
		}
	}
	return found
}

// openFile opens an input.
func openFile(file string) (*os.File, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("%s can't be read: %w", file, cause(err))
	}
	return f, nil
}

// readLog reads a file, or standard input for "-".
func readLog(s streams, log string, strict bool) (*ingest.Dive, error) {
	return readWith(s, log, ingest.Options{Strict: strict})
}

func readWith(s streams, log string, opt ingest.Options) (*ingest.Dive, error) {
	if log == "-" {
		return ingest.Read(s.again(), "-", opt)
	}
	d, err := ingest.ReadFile(log, opt)
	var p *os.PathError
	if errors.As(err, &p) {
		return nil, fmt.Errorf("%s can't be read: %w", log, p.Err)
	}
	return d, err
}

// warn lists the first problems of a log on standard error.
func warn(w io.Writer, ps []ingest.Problem) {
	const most = 8
	n := 0
	for _, p := range ps {
		if p.Severity == ingest.Info {
			continue
		}
		if n++; n <= most {
			fmt.Fprintf(w, "afterloop: warning: %s\n", report.Clean(p.String()))
		}
	}
	if n > most {
		fmt.Fprintf(w, "afterloop: warning: and %d more; `afterloop inspect` lists them all\n", n-most)
	}
}
