// Package benchlog reads what was recorded at two bench tests: a test of oxygen
// cells in a pressure pot (bench-cells, version 1) and a tightness test of a
// loop (bench-tightness, version 1). Both are small CSVs, documented in the
// README; reading follows the rules of the loop log, and every problem names its
// line and its column.
package benchlog

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

var missing = ingest.Missing()

// metaReader gives the lines "# key: value" their meaning.
type metaReader struct {
	sheet *ingest.Sheet
	keys  []string // all that the format defines; # stands for a number
	seen  map[string]ingest.KeyValue
}

// newMetaReader checks the version and notes keys that nothing defines.
func newMetaReader(s *ingest.Sheet, format string, keys ...string) (*metaReader, error) {
	m := &metaReader{s, append(keys, format), map[string]ingest.KeyValue{}}
	for _, kv := range s.Meta {
		key := strings.ToLower(kv.Key)
		switch _, again := m.seen[key]; {
		case !m.known(key):
			s.Add(problem(kv, ingest.Info, "unknown-key", "a key that the format does not define", ""))
		case again:
			s.Add(problem(kv, ingest.Warning, "repeated-key", "nothing: an earlier line says it already", "one line for each key"))
		case kv.Value != "":
			m.seen[key] = kv
		}
	}
	if kv, ok := m.seen[format]; ok && kv.Value != "1" {
		return nil, s.Fatal(kv.Line, "version", kv.Key+": "+kv.Value, "a format that this program does not know", format+": 1")
	}
	s.Source.FormatVersion = map[bool]int{true: 1}[m.has(format)]
	return m, nil
}

func (m *metaReader) known(key string) bool {
	for _, k := range m.keys {
		head, tail, numbered := strings.Cut(k, "#")
		if key == k || numbered && strings.HasPrefix(key, head) && strings.HasSuffix(key, tail) {
			return true
		}
	}
	return false
}

func (m *metaReader) has(key string) bool { _, ok := m.seen[key]; return ok }

func (m *metaReader) text(key string) string { return m.seen[key].Value }

// number is a value between two bounds, NaN where it is not stated.
func (m *metaReader) number(key string, lowest, highest float64) float64 {
	kv, ok := m.seen[key]
	if !ok {
		return missing
	}
	v, ok := ingest.ParseDecimal(kv.Value)
	if !ok || v < lowest || v > highest {
		m.sheet.Add(problem(kv, ingest.Warning, "bad-metadata", "not stated", fmt.Sprintf("a number from %g to %g", lowest, highest)))
		return missing
	}
	return v
}

// word is one of some words, empty where none is stated.
func (m *metaReader) word(key string, words ...string) string {
	kv, ok := m.seen[key]
	w := strings.ToLower(kv.Value)
	if !ok || slices.Contains(words, w) {
		return w
	}
	m.sheet.Add(problem(kv, ingest.Warning, "bad-metadata", "not stated", "one of "+strings.Join(words, ", ")))
	return ""
}

func problem(kv ingest.KeyValue, s ingest.Severity, code, treatment, want string) ingest.Problem {
	return ingest.Problem{Line: kv.Line, Read: kv.Key + ": " + kv.Value, Severity: s, Code: code, Treatment: treatment, Want: want}
}

// ambient is the pressure of the room, and whether it was assumed.
func (m *metaReader) ambient() (bar float64, assumed bool) {
	if v := m.number("ambient_pressure_bar", 0.4, 1.1); !math.IsNaN(v) {
		return v, false
	}
	return gas.StandardSurfaceBar, true
}

// values are the numbers of a column, nil without the column.
func values(s *ingest.Sheet, key string) []float64 {
	if c := s.Find(key, 0); c != nil {
		return c.Values
	}
	return nil
}

// firstGrave makes the first warning an error where the reading is strict.
func firstGrave(ps []ingest.Problem, strict bool) error {
	for _, p := range ps {
		if strict && p.Severity != ingest.Info {
			return p
		}
	}
	return nil
}

// Options say how a file is read.
type Options struct {
	Strict bool      // the first repaired or left-out value is an error
	Stdin  io.Reader // what "-" stands for
}
