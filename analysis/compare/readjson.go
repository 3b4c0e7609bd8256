package compare

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"strings"

	"afterloop/analysis"
)

// What a debrief's JSON may hold. One of 12 hours at 10 Hz has some 3 MB.
const (
	maxBytes = 16 << 20
	maxDepth = 24
	maxParts = 64    // cells, valves, sources
	maxList  = 2_000 // findings, checks
	maxKinds = 200   // of findings
)

var digest = regexp.MustCompile(`^[0-9a-fA-F]{64}$`)

// ReadDebrief reads what `afterloop debrief --json` wrote, strictly: the schema's
// name, one JSON value and no more, no key twice, bounded in size and depth, the
// fixed words as they are. Keys that it does not know are passed over, as the
// schema asks; a number that is absent, as in a debrief of an older version, is
// not known and never 0. There is no Series. The second value holds every leaf of
// the text by its path, for [Source.Leaves].
func ReadDebrief(r io.Reader) (*analysis.Debrief, map[string]string, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, nil, err
	}
	if len(text) > maxBytes {
		return nil, nil, fmt.Errorf("it has more than %d MB: that is no debrief", maxBytes>>20)
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if err := strict(text); err != nil {
		return nil, nil, err
	}
	var head struct{ Schema string }
	if err := json.Unmarshal(text, &head); err != nil {
		return nil, nil, fmt.Errorf("it is no debrief: %w", err)
	}
	if head.Schema != analysis.SchemaID {
		return nil, nil, fmt.Errorf("its schema is %.60q, not %q: give the JSON that `afterloop debrief --json` wrote", head.Schema, analysis.SchemaID)
	}
	var generic any
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if err := dec.Decode(&generic); err != nil {
		return nil, nil, err
	}
	leaves := map[string]string{}
	flatten("", generic, leaves)
	fillAbsent(generic, reflect.TypeFor[analysis.Debrief]())
	full, err := json.Marshal(generic)
	if err != nil {
		return nil, nil, err
	}
	d := &analysis.Debrief{}
	if err := json.Unmarshal(full, d); err != nil {
		return nil, nil, fmt.Errorf("it is no debrief of this schema: %w", err)
	}
	return d, leaves, plausible(d)
}

// strict walks the text: one value, no key twice, not too deep.
func strict(text []byte) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	type level struct {
		keys  map[string]bool // nil in a list
		value bool            // the next token is a value
	}
	var stack []level
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) && len(stack) == 0 {
			return errors.New("it is empty")
		}
		if err != nil {
			return fmt.Errorf("it is no JSON, at byte %d: %w", d.InputOffset(), err)
		}
		n := len(stack)
		if s, ok := t.(string); ok && n > 0 && stack[n-1].keys != nil && !stack[n-1].value {
			if stack[n-1].keys[s] {
				return fmt.Errorf("the key %.60q is there twice, at byte %d", s, d.InputOffset())
			}
			stack[n-1].keys[s], stack[n-1].value = true, true
			continue
		}
		if n > 0 {
			stack[n-1].value = false
		}
		switch t {
		case json.Delim('{'):
			stack = append(stack, level{keys: map[string]bool{}})
		case json.Delim('['):
			stack = append(stack, level{})
		case json.Delim('}'), json.Delim(']'):
			stack = stack[:n-1]
		}
		if len(stack) > maxDepth {
			return fmt.Errorf("it is more than %d levels deep: that is no debrief", maxDepth)
		}
		if len(stack) == 0 {
			break
		}
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return fmt.Errorf("something follows the debrief, at byte %d", d.InputOffset())
	}
	return nil
}

var floatType = reflect.TypeFor[analysis.Float]()

// fillAbsent puts null where a number of type t is absent.
func fillAbsent(v any, t reflect.Type) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch x := v.(type) {
	case []any:
		if t.Kind() == reflect.Slice {
			for _, e := range x {
				fillAbsent(e, t.Elem())
			}
		}
	case map[string]any:
		if t.Kind() != reflect.Struct {
			return
		}
		for i := range t.NumField() {
			f := t.Field(i)
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.Anonymous && name == "" {
				fillAbsent(v, f.Type)
				continue
			}
			e, has := x[name]
			if !has && f.Type == floatType {
				x[name] = nil
			} else if has {
				fillAbsent(e, f.Type)
			} else if f.Type.Kind() == reflect.Struct && f.Type != floatType {
				m := map[string]any{}
				fillAbsent(m, f.Type)
				if len(m) > 0 {
					x[name] = m
				}
			}
		}
	}
}

// plausible refuses what no debrief holds.
func plausible(d *analysis.Debrief) error {
	if len(d.Sources) == 0 || len(d.Sources) > maxParts {
		return errors.New("it names no log that it was made from")
	}
	for _, s := range d.Sources {
		if !digest.MatchString(s.SHA256) {
			return errors.New("a log is named without its SHA-256: it can't be told from others")
		}
	}
	if len(d.Cells) > maxParts || d.Injection != nil && len(d.Injection.Valves) > maxParts || len(d.Findings) > maxList || len(d.Checks) > maxList {
		return errors.New("it holds more cells, valves, findings or checks than a dive can have")
	}
	kinds := map[string]bool{}
	for _, f := range d.Findings {
		if kinds[f.Kind] = true; len(kinds) > maxKinds {
			return errors.New("it holds more kinds of finding than there are")
		}
		if severityRank[f.Severity] == 0 || confidenceRank[f.Confidence] == 0 {
			return fmt.Errorf("a finding is %.20q and %.20q, which are no severity and confidence", f.Severity, f.Confidence)
		}
		if f.Kind == "" {
			return errors.New("a finding has no kind")
		}
	}
	for _, c := range d.Checks {
		switch c.Outcome {
		case analysis.Found, analysis.NotFound, analysis.Borderline, analysis.NotAssessed, analysis.DoesNotApply:
		default:
			return fmt.Errorf("check %.40q ended %.20q, which is no outcome", c.ID, c.Outcome)
		}
	}
	return nil
}
