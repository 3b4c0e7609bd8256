package ingest

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"unicode/utf8"

	"afterloop/ingest/mapping"
)

// Options says how strictly a log is read.
type Options struct {
	// Strict makes the first problem of severity Warning or worse the error.
	Strict bool
	// MaxBytes bounds the file and what it unpacks to; 0 is [DefaultMaxBytes].
	MaxBytes int64
	// Mapping describes a file that is no loop log; nil for a loop log.
	Mapping *mapping.Mapping
	// Part picks one of several dives in a foreign file, by its name, else by its
	// place from 1; empty where there is one.
	Part string
}

// ReadFile reads the loop log at path, packed with gzip or not; "-" is standard input.
func ReadFile(path string, o Options) (*Dive, error) {
	if path == "-" {
		return Read(os.Stdin, path, o)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("ingest: %w", err)
	}
	defer f.Close() // nothing was written, so closing cannot lose anything
	return Read(f, path, o)
}

// Read reads a loop log from r; name is what its problems call it. Gzip is told
// by its first two bytes. What is wrong with the log but leaves it usable is in
// Dive.Problems. The error is a [Problem] where nothing could be used, and the
// dive is nil then; trouble with r itself is wrapped.
//
// The samples are cut and converted here rather than by gocsv, which makes an
// empty field 0, takes NaN for a number, lets the last of two equal columns win
// without a word, and counts records where a reader needs lines. A sensor that
// said nothing must not become a sensor that read zero.
func Read(r io.Reader, name string, o Options) (*Dive, error) {
	if o.MaxBytes <= 0 {
		o.MaxBytes = DefaultMaxBytes
	}
	l, err := load(r, name, o.MaxBytes)
	if err != nil {
		return nil, err
	}
	if o.Mapping != nil {
		return readForeignPart(l, o)
	}
	rd := newReader(l)
	if err := rd.read(); err != nil {
		return nil, err
	}
	return rd.finish(o)
}

// finish makes the dive of what was read and makes sure of its rules.
func (rd *reader) finish(o Options) (*Dive, error) {
	d := rd.dive()
	d.Problems = rd.problems.sorted()
	if err := firstGrave(d.Problems); o.Strict && err != nil {
		return nil, err
	}
	if err := d.Check(); err != nil {
		return nil, fmt.Errorf("ingest: reading %s gave a dive that breaks a rule, which is a defect of this program: %w", clean(rd.source.File), err)
	}
	return d, nil
}

// firstGrave is the first problem of severity Warning or worse, or nil.
func firstGrave(problems []Problem) error {
	for _, p := range problems {
		if p.Severity.rank() >= Warning.rank() {
			return p
		}
	}
	return nil
}

// reader holds the state of reading one file.
type reader struct {
	loaded
	s        splitter
	t        table
	problems problemList
	// utf8 is true where the whole file is valid UTF-8, so that no text needs a look.
	utf8       bool
	headerLine int
	headerText string
	meta       metadata
	lines      []KeyValue // metadata as it stands in the file
	record     int        // counts records, so that problems on neighbours fold
	maxFields  int        // MaxFields
	// foreign is how a file that is no loop log is translated; nil for a loop log.
	foreign *foreignDive
}

func newReader(l loaded) *reader {
	rd := &reader{loaded: l, problems: problemList{file: l.source.File}, maxFields: MaxFields}
	rd.utf8 = utf8.Valid(l.data)
	rd.s = splitter{data: l.data, line: 1}
	if !rd.utf8 {
		rd.sayNotUTF8()
	}
	return rd
}

// sayNotUTF8 notes the first line with bytes that are no UTF-8. Numbers do not
// suffer: such bytes matter in text alone.
func (rd *reader) sayNotUTF8() {
	at := len(rd.data) - len(bytes.TrimLeftFunc(rd.data, func(r rune) bool { return r != utf8.RuneError }))
	begin := bytes.LastIndexByte(rd.data[:at], '\n') + 1
	line, _, _ := lineAt(rd.data[begin:])
	rd.problems.add(wholeFile, wholeFile, Problem{Line: 1 + bytes.Count(rd.data[:begin], []byte{'\n'}), Read: string(line[:min(len(line), MaxLineBytes)]),
		Severity: Warning, Code: "not-utf-8", Treatment: "text in which every wrong byte is a replacement character", Want: "the file saved as UTF-8"})
}

// read goes through the file from top to bottom, then repairs.
func (rd *reader) read() error {
	if err := rd.notText(); err != nil {
		return err
	}
	if err := rd.readPreamble(); err != nil {
		return err
	}
	if err := rd.readHeader(); err != nil {
		return err
	}
	rd.readMeta()
	if err := rd.readRows(); err != nil {
		return err
	}
	return rd.repair()
}

// notText catches the encodings whose bytes would look like a strange header.
func (rd *reader) notText() error {
	d := rd.data
	if bytes.HasPrefix(d, []byte{0xff, 0xfe}) || bytes.HasPrefix(d, []byte{0xfe, 0xff}) {
		return rd.problems.fatal(1, "not-utf-8", "a UTF-16 byte-order mark", "no text in UTF-8", "the file saved as UTF-8")
	}
	if bytes.IndexByte(d, '\n') < 0 && bytes.IndexByte(d, '\r') >= 0 {
		return rd.problems.fatal(1, "line-ends", "lone carriage returns", "one single line", "lines that end in LF or CRLF")
	}
	return nil
}

// text copies bytes of the file into a string of valid UTF-8.
func (rd *reader) text(b []byte) string {
	if rd.utf8 {
		return string(b)
	}
	return string(bytes.ToValidUTF8(b, []byte(string(utf8.RuneError))))
}

func (rd *reader) lineTooLong() error {
	rest := rd.s.data[rd.s.pos:]
	return rd.problems.fatal(rd.s.line, "line-too-long", string(rest[:4*shownRunes]),
		fmt.Sprintf("no line of a log: it is longer than %d bytes", MaxLineBytes), wantHeader)
}
