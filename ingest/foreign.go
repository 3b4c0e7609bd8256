package ingest

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"afterloop/ingest/mapping"
)

// MaxParts bounds the dives in one file.
const MaxParts = 10_000

// Part is one of several dives in a file: the dive, or why it could not be read.
type Part struct {
	Name string
	Dive *Dive
	Err  error
}

// foreignFile is a file that is no loop log, as text, cut into its dives. The
// translation of a field is at most as long as the field, and is made while a
// row is read, so that a large file takes no more memory than a loop log.
type foreignFile struct {
	loaded
	c        *translation
	decoded  mapping.Decoded
	dives    []foreignDive
	problems problemList // of the file, not of one dive
}

// foreignDive is the place of one dive in a file.
type foreignDive struct {
	c        *translation
	name     string
	header   foreignHeader
	preamble []textLine
	spans    []span
	odd      []Problem // found while the file was cut
	last     bool      // the file ends with it
}

// textLine is a line of a preamble.
type textLine struct {
	line int
	text []byte
}

// span is a stretch of whole records.
type span struct{ from, to, line int }

// ReadParts reads every dive of a file with a mapping (o.Mapping is required;
// o.Part is not looked at). One dive that can't be read does not keep the others
// from being read. The error is one of the whole file.
func ReadParts(r io.Reader, name string, o Options) ([]Part, error) {
	f, err := openForeign(r, name, o)
	if err != nil {
		return nil, err
	}
	parts := make([]Part, len(f.dives))
	for i := range f.dives {
		parts[i].Name = f.dives[i].name
		parts[i].Dive, parts[i].Err = f.read(i, o)
	}
	return parts, nil
}

// PartNames lists the dives in the file at path by name, without reading them.
func PartNames(r io.Reader, name string, o Options) ([]string, error) {
	f, err := openForeign(r, name, o)
	if err != nil {
		return nil, err
	}
	return f.names(), nil
}

func (f *foreignFile) names() []string {
	names := make([]string, len(f.dives))
	for i := range f.dives {
		names[i] = f.dives[i].name
	}
	return names
}

// ReadPartsFile is [ReadParts] of a file.
func ReadPartsFile(path string, o Options) ([]Part, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("ingest: %w", err)
	}
	defer f.Close() // nothing was written, so closing cannot lose anything
	return ReadParts(f, path, o)
}

func openForeign(r io.Reader, name string, o Options) (*foreignFile, error) {
	if o.Mapping == nil {
		return nil, errors.New("ingest: a foreign file needs a mapping")
	}
	if o.MaxBytes <= 0 {
		o.MaxBytes = DefaultMaxBytes
	}
	l, err := load(r, name, o.MaxBytes)
	if err != nil {
		return nil, err
	}
	return cutForeign(l, o)
}

// cutForeign decodes a file and finds its dives.
func cutForeign(l loaded, o Options) (*foreignFile, error) {
	c, err := compile(o.Mapping)
	if err != nil {
		return nil, err
	}
	f := &foreignFile{loaded: l, c: c, problems: problemList{file: l.source.File}}
	if better, why := mapping.Contradicts(l.data[:min(len(l.data), 1<<16)], o.Mapping.File.Encoding); better != "" {
		return nil, f.problems.fatal(1, "encoding", why, "no "+orElse(o.Mapping.File.Encoding, "utf-8"), fmt.Sprintf("encoding = %q in the mapping", better))
	}
	f.decoded = mapping.Decode(l.data, o.Mapping.File.Encoding)
	f.data = f.decoded.Text
	s := scanner{f: f}
	if err := s.scan(); err != nil {
		return nil, err
	}
	f.nameDives()
	return f, nil
}

// nameDives gives every dive a name: its value of the column that tells them
// apart, else its number from 1.
func (f *foreignFile) nameDives() {
	for i := range f.dives {
		if f.dives[i].name == "" {
			f.dives[i].name = strconv.Itoa(i + 1)
		}
	}
	if n := len(f.dives); n > 0 {
		f.dives[n-1].last = true
	}
}

// readForeignPart reads the one dive of a file, or the one that o.Part names.
func readForeignPart(l loaded, o Options) (*Dive, error) {
	f, err := cutForeign(l, o)
	if err != nil {
		return nil, err
	}
	i, err := f.find(o.Part)
	if err != nil {
		return nil, err
	}
	return f.read(i, o)
}

// find is the place of a dive by its name, else by its number from 1.
func (f *foreignFile) find(part string) (int, error) {
	if part == "" && len(f.dives) == 1 {
		return 0, nil
	}
	for i := range f.dives {
		if part != "" && f.dives[i].name == part {
			return i, nil
		}
	}
	if n, err := strconv.Atoi(part); err == nil && n >= 1 && n <= len(f.dives) {
		return n - 1, nil
	}
	const most = 20
	names := f.names()
	list := strings.Join(names[:min(most, len(names))], ", ")
	if len(names) > most {
		list += fmt.Sprintf(" and %d more", len(names)-most)
	}
	if part == "" {
		return 0, f.problems.fatal(0, "several-dives", list, fmt.Sprintf("%d dives in one file", len(names)), "the name or number of one of them")
	}
	return 0, f.problems.fatal(0, "no-such-dive", part, "the name of a dive that the file does not hold", "one of "+shorten(list))
}

// read reads dive i.
func (f *foreignFile) read(i int, o Options) (*Dive, error) {
	dive := &f.dives[i]
	rd := &reader{loaded: f.loaded, problems: problemList{file: f.source.File}, maxFields: MaxFields, foreign: dive, utf8: f.decoded.Bad == 0}
	rd.packedCut, rd.tail = f.packedCut && dive.last, f.tail && dive.last
	rd.setForeignSource(f, i)
	if err := rd.readForeign(f, dive); err != nil {
		return nil, err
	}
	return rd.finish(o)
}

// setForeignSource says what was read, and with what.
func (rd *reader) setForeignSource(f *foreignFile, i int) {
	s := &rd.source
	s.Mapping, s.MappingSHA256, s.Encoding = f.c.m.Name(), f.c.m.SHA256(), f.decoded.Encoding
	if f.c.split == "" {
		return
	}
	s.FileSHA256, s.Part, s.PartOf = s.SHA256, f.dives[i].name, len(f.dives)
	sum := sha256.New()
	for _, name := range f.dives[i].header.names {
		sum.Write([]byte(name + "\x1f"))
	}
	for _, sp := range f.dives[i].spans {
		sum.Write(f.data[sp.from:sp.to])
	}
	s.SHA256 = hex.EncodeToString(sum.Sum(nil))
}
