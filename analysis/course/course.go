package course

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/compare"
)

// MaxLogs bounds a course.
const MaxLogs = 500

// By says how logs are told to be of one student.
type By string

// Ways to tell.
const (
	ByAuto   By = "auto"
	ByDiver  By = "diver"
	ByFolder By = "folder"
	ByFile   By = "file"
)

// Entry is one log of the folder.
type Entry struct {
	// File is its path below the folder, with slashes.
	File string
	// Subject is nil where Err says why it could not be read.
	Subject *compare.Subject
	Err     error
	Page    string
}

// Options of a course.
type Options struct {
	By        By
	Anonymous bool
	Version   string
}

// Build puts a course together. The order of entries plays no part. The error
// says that no log could be read.
func Build(entries []Entry, o Options) (*Course, error) {
	c := &Course{Schema: SchemaID, Tool: analysis.Tool{Name: "afterloop", Version: o.Version}, Anonymous: o.Anonymous, TopicRule: TopicRule,
		Students: []Student{}, Unreadable: []Unreadable{}, Remarks: []string{}}
	var good []Entry
	for _, e := range entries {
		if e.Subject != nil {
			good = append(good, e)
			continue
		}
		u := Unreadable{e.File, fmt.Sprint(e.Err)}
		if o.Anonymous {
			u = Unreadable{"a log", "it could not be read; the reason may hold a name and is left out"}
		}
		c.Unreadable = append(c.Unreadable, u)
	}
	slices.SortFunc(c.Unreadable, func(a, b Unreadable) int { return cmp.Compare(a.File, b.File) })
	if len(good) == 0 {
		return nil, errors.New("no log could be read")
	}
	good = c.once(good)
	key, rule := ruleFor(good, o.By)
	c.Rule = rule
	c.group(good, key)
	c.Kinds = kindRows(c)
	c.Topics = topics(c.Students, c.Kinds)
	c.Figures = compare.GroupFigures(c.subjects)
	c.NotAssessed = notAssessed(c)
	c.remark()
	return c, nil
}

// once keeps each log once, by its digest.
func (c *Course) once(entries []Entry) []Entry {
	slices.SortFunc(entries, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.Subject.SHA256, b.Subject.SHA256), cmp.Compare(a.File, b.File))
	})
	n := len(entries)
	entries = slices.CompactFunc(entries, func(a, b Entry) bool { return a.Subject.SHA256 == b.Subject.SHA256 })
	if d := n - len(entries); d > 0 {
		c.Remarks = append(c.Remarks, fmt.Sprintf("%d of %d logs are there twice (the same SHA-256) and counted once.", d, n))
	}
	return entries
}

// ruleFor gives the rule that tells students apart, and says it.
func ruleFor(entries []Entry, by By) (key func(Entry) string, rule string) {
	diver := func(e Entry) string { return strings.TrimSpace(e.Subject.Diver) }
	folder := func(e Entry) string { first, _, ok := strings.Cut(e.File, "/"); return orEmpty(ok, first) }
	all := func(f func(Entry) string) bool {
		return !slices.ContainsFunc(entries, func(e Entry) bool { return f(e) == "" })
	}
	or := func(f func(Entry) string) func(Entry) string {
		return func(e Entry) string { return cmp.Or(f(e), e.File) }
	}
	switch {
	case by == ByDiver, by == ByAuto && all(diver):
		return or(diver), "Logs of one student are those whose “diver” line is the same" + orEmpty(!all(diver), "; a log without one is a student of its own") + "."
	case by == ByFolder, by == ByAuto && all(folder):
		return or(folder), "Logs of one student are those in one sub-folder" + orEmpty(!all(folder), "; a log in none is a student of its own") + "."
	}
	return func(e Entry) string { return e.File }, "Each log is taken for one student" + orEmpty(by == ByAuto, ", because neither does every log name its diver nor does every log lie in a sub-folder") + "."
}

func orEmpty(use bool, s string) string {
	if use {
		return s
	}
	return ""
}

// group makes the students. With names they stand in the order of their names,
// without in that of the smallest digest of their logs: the letters then tell
// nothing about who is who to anybody who does not have the logs.
func (c *Course) group(entries []Entry, key func(Entry) string) {
	by := map[string][]Entry{}
	var order []string
	for _, e := range entries { // in the order of digests
		k := key(e)
		if by[k] == nil {
			order = append(order, k)
		}
		by[k] = append(by[k], e)
	}
	if !c.Anonymous {
		slices.SortFunc(order, func(a, b string) int {
			return cmp.Or(cmp.Compare(strings.ToLower(a), strings.ToLower(b)), cmp.Compare(a, b))
		})
	}
	for i, k := range order {
		s := Student{Label: compare.Label(i), Logs: []Log{}}
		if !c.Anonymous {
			s.Name = k
		}
		var subjects []*compare.Subject
		for _, e := range by[k] {
			e.Subject.Label = s.Label
			subjects = append(subjects, e.Subject)
			s.Logs = append(s.Logs, c.log(e))
		}
		c.Students, c.subjects = append(c.Students, s), append(c.subjects, subjects)
	}
}

func (c *Course) log(e Entry) Log {
	d := e.Subject.Dive
	l := Log{Page: e.Page, DurationS: d.DurationS, DepthM: d.Depth, SampleS: d.SampleS, ChecksRun: d.ChecksRun, ChecksTotal: d.ChecksTotal}
	if !c.Anonymous {
		l.File, l.SHA256, l.Unit, l.Start = e.File, d.SHA256, d.Unit, d.Start
	}
	return l
}

// kindRows is who had which findings.
func kindRows(c *Course) []Kind {
	var flat []*compare.Subject
	for _, g := range c.subjects {
		flat = append(flat, g...)
	}
	out := []Kind{}
	for _, r := range compare.KindRows(flat) {
		k, at := Kind{Kind: r.Kind, Title: r.Title, Check: r.Check, Students: []State{}}, 0
		for i, g := range c.subjects {
			k.Students = append(k.Students, merge(r.Dives[at:at+len(g)], c.Students[i].Logs))
			at += len(g)
		}
		out = append(out, k)
	}
	return out
}

// merge is the state of one student over their logs: found where it was found in
// one; else the outcome that leaves most open.
func merge(states []compare.FindingState, logs []Log) State {
	s := State{Logs: len(states), Parts: []string{}}
	order := []analysis.Outcome{analysis.Found, analysis.Borderline, analysis.NotAssessed, "", analysis.NotFound, analysis.DoesNotApply}
	best := len(order)
	for i, f := range states {
		switch f.Outcome {
		case analysis.Found, analysis.NotFound, analysis.Borderline:
			s.Ran++
		}
		if f.Count > 0 && s.Page == "" && logs[i].Page != "" {
			s.Page = logs[i].Page + "#findings"
		}
		s.Count += f.Count
		if compare.SeverityRank(f.Severity) > compare.SeverityRank(s.Severity) {
			s.Severity = f.Severity
		}
		for _, p := range f.Parts {
			if !slices.Contains(s.Parts, p) {
				s.Parts = append(s.Parts, p)
			}
		}
		if at := slices.Index(order, f.Outcome); at < best && at >= 0 {
			best, s.Outcome, s.Reason = at, f.Outcome, f.Reason
		}
	}
	slices.Sort(s.Parts)
	return s
}

// notAssessed lists, check by check, for whom it did not run and why.
func notAssessed(c *Course) []NotAssessed {
	type key struct{ check, reason string }
	at := map[key]int{}
	out := []NotAssessed{}
	place := map[string]int{}
	for _, g := range c.subjects {
		for _, s := range g {
			for _, check := range s.Checks() {
				if _, ok := place[check.ID]; !ok {
					place[check.ID] = len(place)
				}
				if check.Outcome != analysis.NotAssessed {
					continue
				}
				k := key{check.ID, check.Reason}
				i, ok := at[k]
				if !ok {
					i = len(out)
					at[k], out = i, append(out, NotAssessed{check.ID, check.Title, check.Reason, []string{}})
				}
				if !slices.Contains(out[i].Students, s.Label) {
					out[i].Students = append(out[i].Students, s.Label)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b NotAssessed) int { return cmp.Compare(place[a.Check], place[b.Check]) })
	return out
}

func (c *Course) remark() {
	several := 0
	for _, s := range c.Students {
		if len(s.Logs) > 1 {
			several++
		}
	}
	if several > 0 {
		c.Remarks = append(c.Remarks, fmt.Sprintf("%d of %d students have several logs: a figure is then the median of their own dives, and counts once.", several, len(c.Students)))
	}
	if n := len(c.Students); n < 5 {
		c.Remarks = append(c.Remarks, fmt.Sprintf("A group of %d is small: no quartiles are given, and what most had may be chance.", n))
	}
	if c.Anonymous {
		c.Remarks = append(c.Remarks, "Names of people, files, units, serial numbers, notes and dates are left out. Letters follow the digests of the logs, not names.")
	}
}
