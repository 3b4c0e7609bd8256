package ingest

import (
	"bytes"
	"strings"

	"afterloop/ingest/mapping"
)

// metadata gathers the lines of metadata that the mapping makes of a dive, with
// the line of the file from which each comes; 0 for a constant.
func (tr *rowTranslator) metadata(f *foreignFile, dive *foreignDive) []KeyValue {
	lines := []KeyValue{{Key: versionKey, Value: "1"}}
	given := map[string]bool{}
	for i := range tr.c.keys {
		k := &tr.c.keys[i]
		value, line := tr.find(k, f, dive)
		if value == "" {
			continue
		}
		if k.name == "start" && tr.startIsDoubtful(k, value, line) {
			continue
		}
		given[k.name] = true
		lines = append(lines, KeyValue{Key: k.name, Value: tr.c.valueOf(k, value), Line: line})
	}
	if !given["start"] {
		lines = tr.addStart(lines)
	}
	return lines
}

// startIsDoubtful: start is the moment at 0 s. Where the rows have the time of
// day, 0 s is a midnight, and a clock beside the date would be added to it.
func (tr *rowTranslator) startIsDoubtful(k *translatedKey, value string, line int) bool {
	c := tr.rd.t.cols[tr.rd.t.timeAt].clock
	if k.clock == nil || c.clock.Plain() || c.fromFirst || !c.begun || c.first.S < secondsPerHour {
		return false
	}
	if m, ok := k.clock.Parse(nil, []byte(value)); !ok || m.S == 0 {
		return false
	}
	tr.rd.problems.add(wholeFile, wholeFile, Problem{Line: line, Read: value, Severity: Warning, Code: "start-and-clock",
		Treatment: "a start that is not stated: the rows have the time of day, so that 0 s is a midnight and not this moment", Want: `zero = "first-row" in [time]; or a format with the date alone`})
	return true
}

// addStart states the moment at 0 s where the times carry it.
func (tr *rowTranslator) addStart(lines []KeyValue) []KeyValue {
	k := tr.rd.t.cols[tr.rd.t.timeAt].clock
	if start := k.start(); start != "" {
		return append(lines, KeyValue{Key: "start", Value: start, Line: tr.rd.t.line[0]})
	}
	if k.begun && k.first.Dated {
		tr.rd.problems.add(tr.rd.t.timeAt, wholeFile, Problem{Line: tr.rd.t.line[0], Column: tr.rd.t.cols[tr.rd.t.timeAt].name,
			Read: "a date without a time zone", Severity: Info, Code: "start-without-zone", Treatment: "a dive whose start is not stated", Want: "time.zone in the mapping"})
	}
	return lines
}

// find looks for the value of a key: in the dive's own preamble, else in the
// file's; or in the first of the dive's rows that has it.
func (tr *rowTranslator) find(k *translatedKey, f *foreignFile, dive *foreignDive) (value string, line int) {
	switch {
	case k.spec.Constant != nil:
		value, _ = mapping.Text(k.spec.Constant)
		return value, 0
	case k.spec.Column != "":
		return tr.firstOf(k.spec.Column, f, dive)
	}
	for _, lines := range [][]textLine{dive.preamble, f.dives[0].preamble} {
		for _, l := range lines {
			if value := k.in(l.text, tr.c.delimiter()); value != "" {
				return strings.ToValidUTF8(value, "\ufffd"), l.line
			}
		}
	}
	return "", 0
}

// in is the value in a line of a preamble, empty for none.
func (k *translatedKey) in(line []byte, delimiter byte) string {
	if k.pattern != nil {
		var groups []string
		if m := k.pattern.FindSubmatch(line); m != nil {
			for _, g := range m[1:] {
				groups = append(groups, strings.TrimSpace(string(g)))
			}
		}
		return strings.Join(groups, "/")
	}
	text := strings.TrimLeft(string(line), "#\" \t")
	label := k.spec.Label
	if len(text) < len(label) || !strings.EqualFold(text[:len(label)], label) {
		return ""
	}
	rest := strings.TrimLeft(text[len(label):], "\" \t")
	if rest == "" {
		return ""
	}
	switch rest[0] {
	case ':', '=':
		rest = strings.TrimSpace(rest[1:])
		return unquoted(strings.TrimRight(rest, string(delimiter)+" \t"))
	case delimiter:
		rest, _, _ = strings.Cut(rest[1:], string(delimiter))
		return unquoted(strings.TrimSpace(rest))
	}
	if strings.HasPrefix(text[len(label):], "\t") {
		return unquoted(rest)
	}
	return ""
}

func unquoted(s string) string { return strings.TrimSpace(strings.Trim(s, `"`)) }

// firstOf is the first value of a column in the dive's rows.
func (tr *rowTranslator) firstOf(name string, f *foreignFile, dive *foreignDive) (value string, line int) {
	at := dive.header.place(name, 0)
	if at < 0 {
		return "", 0
	}
	for _, sp := range dive.spans {
		s := splitter{data: f.data[:sp.to], pos: sp.from, line: sp.line, delimiter: f.c.delimiter(), looksLikeRow: tr.looksLikeRow}
		for s.next() {
			if at >= len(s.rec.fields) || s.rec.cut && at == len(s.rec.fields)-1 {
				continue
			}
			field := bytes.TrimSpace(s.rec.fields[at])
			if len(field) > 0 && !isWord(tr.c.m.File.Missing...)(string(field)) {
				return strings.ToValidUTF8(string(field), "\ufffd"), s.rec.lineOf(at)
			}
		}
	}
	return "", 0
}
