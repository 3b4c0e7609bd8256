package lesson

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// AnswersSchema names the version of the JSON form of [Answers].
const AnswersSchema = "afterloop/answers/1"

// Bounds of what is read, so that no file can take the marker's machine.
const (
	mostAnswerBytes = 64 << 10
	mostKeyBytes    = 8 << 20
	mostText        = 4000
)

// Answers are what one student committed to.
type Answers struct {
	Schema string `json:"schema"`
	// Sheet identifies the dive and its questions; it stands on the student's page.
	Sheet   string      `json:"sheet"`
	Student string      `json:"student"`
	Stages  []Committed `json:"stages"`
}

// Committed is one stage, fixed before the next was seen.
type Committed struct {
	Stage int `json:"stage"`
	// Answers by the question's id. A choice is a letter; cells are "1,3", none or
	// unknown; a moment is minutes, start or never; a number is plain.
	Answers []Answer `json:"answers"`
	// Code is what the page showed when it was committed; empty if filled in by hand.
	Code string `json:"code"`
}

// Answer is one answer; an empty one was left open.
type Answer struct {
	ID     string `json:"id"`
	Answer string `json:"answer"`
}

// codeLetters leave out those that are taken for others when read aloud
// (the alphabet of Crockford's base 32).
const codeLetters = "0123456789abcdefghjkmnpqrstvwxyz"

// Code is the short code of a stage: 40 bits of SHA-256 over the sheet, the code
// of the stage before and the answers, so that none can be changed afterwards
// without another code. The student's page computes the same.
func Code(sheet, before string, c Committed) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n%s\n%d\n", AnswersSchema, sheet, before, c.Stage)
	for _, a := range c.Answers {
		fmt.Fprintf(&b, "%s=%s\n", a.ID, a.Answer)
	}
	sum := digest("%s", b.String())
	n := uint64(0)
	for _, x := range sum[:5] {
		n = n<<8 | uint64(x)
	}
	code := make([]byte, 8)
	for i := 7; i >= 0; i-- {
		code[i], n = codeLetters[n%32], n/32
	}
	return string(code[:4]) + "-" + string(code[4:])
}

// ReadAnswers reads an answer file strictly: at most 64 KiB, no unknown or
// doubled key, nothing after its end. Errors name the file and the line; with an
// empty name the line alone, for a list that names the file itself.
func ReadAnswers(r io.Reader, file string) (Answers, error) {
	var a Answers
	if err := readStrictly(r, file, mostAnswerBytes, &a); err != nil {
		return Answers{}, err
	}
	if a.Schema != AnswersSchema {
		return Answers{}, fmt.Errorf("%sschema is %q; want %q", of(file), short(a.Schema), AnswersSchema)
	}
	return a, a.check(file)
}

func (a Answers) check(file string) error {
	if len(a.Stages) > 2 {
		return fmt.Errorf("%s%d stages; there are two", of(file), len(a.Stages))
	}
	for i, s := range a.Stages {
		if s.Stage != i+1 {
			return fmt.Errorf("%sstage %d stands in place %d", of(file), s.Stage, i+1)
		}
		seen := map[string]bool{}
		for _, x := range s.Answers {
			if len(x.Answer) > mostText {
				return fmt.Errorf("%sstage %d, %q: an answer of %d bytes; at most %d", of(file), s.Stage, short(x.ID), len(x.Answer), mostText)
			}
			if seen[x.ID] {
				return fmt.Errorf("%sstage %d answers %q twice", of(file), s.Stage, short(x.ID))
			}
			seen[x.ID] = true
		}
	}
	return nil
}

// ReadKey reads a key as strictly as answers are read.
func ReadKey(r io.Reader, file string) (Key, error) {
	var k Key
	if err := readStrictly(r, file, mostKeyBytes, &k); err != nil {
		return Key{}, err
	}
	if k.Schema != KeySchema {
		return Key{}, fmt.Errorf("%sschema is %q; want %q", of(file), short(k.Schema), KeySchema)
	}
	if len(k.Sheets) == 0 {
		return Key{}, fmt.Errorf("%sno sheets", of(file))
	}
	if err := k.check(); err != nil {
		return Key{}, fmt.Errorf("%sthe key is damaged: %w", of(file), err)
	}
	return k, nil
}

// of is a file's name before what is said of it.
func of(file string) string {
	if file == "" {
		return ""
	}
	return file + ": "
}

// short bounds what an error repeats of a file.
func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return s
}

func readStrictly(r io.Reader, file string, most int64, to any) error {
	b, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return fmt.Errorf("%scan't be read: %w", of(file), err)
	}
	if int64(len(b)) > most {
		return fmt.Errorf("%smore than %d KiB; this is no file of a lesson", of(file), most>>10)
	}
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	d := json.NewDecoder(bytes.NewReader(b))
	if err := oneKeyEach(d, 0); err != nil {
		return at(file, b, d, err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return at(file, b, d, errors.New("something stands after the end"))
	}
	d = json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(to); err != nil {
		return at(file, b, d, err)
	}
	return nil
}

// at adds the file and the line to an error of the decoder.
func at(file string, b []byte, d *json.Decoder, err error) error {
	offset := d.InputOffset()
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
		err = wrongKind(kind)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		offset, err = int64(len(b)), errors.New("the file ends too early")
	case strings.HasPrefix(err.Error(), "json: unknown field "):
		field := strings.TrimPrefix(err.Error(), "json: unknown field ")
		if i := bytes.Index(b, []byte(field)); i >= 0 {
			offset = int64(i)
		}
		err = fmt.Errorf("unknown key %s", short(field))
	}
	line := 1 + bytes.Count(b[:min(max(offset, 0), int64(len(b)))], []byte("\n"))
	where := fmt.Sprintf("%s:%d: ", file, line)
	if file == "" {
		where = fmt.Sprintf("line %d: ", line)
	}
	return errors.New(where + strings.TrimPrefix(err.Error(), "json: "))
}

// wrongKind says in plain words that a value is of another kind than is wanted.
func wrongKind(e *json.UnmarshalTypeError) error {
	found, _, _ := strings.Cut(e.Value, " ") // "number 1.5" is a number
	return fmt.Errorf("%s is %s; it should be %s", cmp.Or(e.Field, "the whole"), cmp.Or(foundWords[found], found), wantedWord(e.Type))
}

var foundWords = map[string]string{"array": "a list", "object": "an object in braces", "string": "text in quotes", "number": "a number", "bool": "true or false"}

func wantedWord(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Slice:
		return "a list"
	case reflect.Struct:
		return "an object in braces"
	case reflect.String:
		return "text in quotes"
	case reflect.Bool:
		return "true or false"
	case reflect.Float64:
		return "a number"
	}
	return "a whole number"
}

// mostDeep bounds the nesting that is followed.
const mostDeep = 12

// oneKeyEach walks one value and refuses a key that stands twice in an object:
// of two answers encoding/json would silently take the last.
func oneKeyEach(d *json.Decoder, depth int) error {
	t, err := d.Token()
	if err != nil {
		return err
	}
	open, ok := t.(json.Delim)
	if !ok {
		return nil
	}
	if depth >= mostDeep {
		return errors.New("nested too deep")
	}
	seen := map[string]bool{}
	for d.More() {
		if open == '{' {
			k, err := d.Token()
			if err != nil {
				return err
			}
			key, _ := k.(string)
			if seen[key] {
				return fmt.Errorf("key %q stands twice", short(key))
			}
			seen[key] = true
		}
		if err := oneKeyEach(d, depth+1); err != nil {
			return err
		}
	}
	_, err = d.Token()
	return err
}
