package mapping

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// MaxBytes bounds a mapping file.
const MaxBytes = 1 << 20

// Error is what is wrong with a mapping: where it stands, and what would be right.
type Error struct {
	File string
	Line int    // from 1; 0 where it has none
	Key  string // dotted, or empty
	Text string
}

// Error is `file:line: key "x": text`, quoted where text comes from the file.
func (e Error) Error() string {
	q := strconv.Quote(e.File)
	s := q[1 : len(q)-1]
	if e.Line > 0 {
		s += ":" + strconv.Itoa(e.Line)
	}
	s += ": mapping: "
	if e.Key != "" {
		s += "key " + strconv.Quote(e.Key) + ": "
	}
	return s + e.Text
}

// ReadFile reads a mapping file.
func ReadFile(path string) (*Mapping, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	defer f.Close() // nothing was written, so closing cannot lose anything
	b, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	return Parse(b, path)
}

// Parse reads a mapping; name is what its errors call it. A key that the
// language does not have is an error, since a misspelt key would otherwise be a
// default that nobody asked for. Errors are of type [Error].
func Parse(b []byte, name string) (*Mapping, error) {
	if len(b) > MaxBytes {
		return nil, Error{File: name, Text: fmt.Sprintf("more than %d bytes are no mapping", MaxBytes)}
	}
	m := &Mapping{}
	d := toml.NewDecoder(bytes.NewReader(b)).DisallowUnknownFields()
	if err := d.Decode(m); err != nil {
		return nil, decodeError(name, err)
	}
	sum := sha256.Sum256(b)
	m.source = source{name: name, sha256: hex.EncodeToString(sum[:]), lines: keyLines(b)}
	if err := m.check(); err != nil {
		return nil, err
	}
	return m, nil
}

// decodeError gives an error of the TOML library its file and line.
func decodeError(name string, err error) error {
	var strict *toml.StrictMissingError
	var wrong *toml.DecodeError
	switch {
	case errors.As(err, &strict) && len(strict.Errors) > 0:
		line, _ := strict.Errors[0].Position()
		return Error{name, line, strings.Join(strict.Errors[0].Key(), "."), "no such key; `afterloop schema mapping` lists them all"}
	case errors.As(err, &wrong):
		line, _ := wrong.Position()
		return Error{name, line, strings.Join(wrong.Key(), "."), printable(strings.TrimPrefix(wrong.Error(), "toml: "))}
	}
	return Error{File: name, Text: printable(err.Error())}
}

// printable keeps what the library quotes from the file from reaching a terminal as it is.
func printable(s string) string {
	q := strconv.Quote(s)
	return strings.ReplaceAll(q[1:len(q)-1], `\"`, `"`)
}

// Fail makes an error about a key of this mapping.
func (m *Mapping) Fail(key, format string, args ...any) error {
	return Error{m.source.name, m.Line(key), key, fmt.Sprintf(format, args...)}
}

// Line is the line on which a dotted key, or the nearest table around it, stands; 0 for none.
func (m *Mapping) Line(key string) int {
	for key != "" {
		if line := m.source.lines[key]; line > 0 {
			return line
		}
		key = key[:max(0, strings.LastIndexByte(key, '.'))]
	}
	return 0
}

// keyLines finds the line of every key of a document that has been decoded.
func keyLines(b []byte) map[string]int {
	lines := map[string]int{}
	p := &unstable.Parser{}
	p.Reset(b)
	table := ""
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			table = note(p, lines, "", e)
		case unstable.KeyValue:
			noteValue(p, lines, table, e)
		}
	}
	return lines
}

// note remembers the line of a key and of the tables that it names.
func note(p *unstable.Parser, lines map[string]int, table string, n *unstable.Node) string {
	for it := n.Key(); it.Next(); {
		k := it.Node()
		if table != "" {
			table += "."
		}
		table += string(k.Data)
		if _, seen := lines[table]; !seen {
			lines[table] = p.Shape(k.Raw).Start.Line
		}
	}
	return table
}

func noteValue(p *unstable.Parser, lines map[string]int, table string, kv *unstable.Node) {
	key := note(p, lines, table, kv)
	if v := kv.Value(); v != nil && v.Kind == unstable.InlineTable {
		for it := v.Children(); it.Next(); {
			noteValue(p, lines, key, it.Node())
		}
	}
}
