package lesson

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

// TestDamagedKey: a key that lost a part is refused, and said to be damaged; keys
// of every lesson are read.
func TestDamagedKey(t *testing.T) {
	read := func(k Key) error {
		b, err := json.Marshal(k)
		if err != nil {
			t.Fatal(err)
		}
		_, err = ReadKey(bytes.NewReader(b), "key.json")
		return err
	}
	for _, l := range All() {
		if err := read(class(t, l, 1)); err != nil {
			t.Errorf("%s: %v", l.Name, err)
		}
	}
	l, _ := Find("wrong-gain")
	for name, c := range map[string]struct {
		damage func(q []Question) []Question
		want   string
	}{
		"no questions": {func([]Question) []Question { return []Question{} }, "both stages"},
		"one stage":    {func(q []Question) []Question { return q[:firstQuestions] }, "both stages"},
		"no right":     {func(q []Question) []Question { q[1].Right = []Right{}; return q }, "question q2: it has no right answer"},
		"empty right":  {func(q []Question) []Question { q[1].Right[0].Word = ""; return q }, "neither a word nor a figure"},
		"no tolerance": {func(q []Question) []Question { q[3].Right[0].Tolerance = 0; return q }, "question q4: a figure has no tolerance"},
		"no points":    {func(q []Question) []Question { q[0].Points = 0; return q }, "no points"},
		"no options":   {func(q []Question) []Question { q[0].Options = nil; return q }, "no options"},
		"other letter": {func(q []Question) []Question { q[0].Right[0].Word = "z"; return q }, "not among the right options"},
		"kind":         {func(q []Question) []Question { q[0].Kind = "chooice"; return q }, "no kind"},
		"twice":        {func(q []Question) []Question { q[1].ID = q[0].ID; return q }, "stands twice"},
		"no cells":     {func(q []Question) []Question { q[1].Cells = 0; return q }, "no cells"},
		"option unmarked": {func(q []Question) []Question {
			for i := range q[0].Options {
				q[0].Options[i].Right = true
			}
			return q
		}, "marked right, but is no right answer"},
	} {
		k := class(t, l, 1)
		k.Sheets[0].Questions = c.damage(k.Sheets[0].Questions)
		if err := read(k); err == nil || !strings.Contains(err.Error(), "key.json: the key is damaged: ") || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", name, err, c.want)
		}
	}
}

// TestPlainWords: an error names no type of the program.
func TestPlainWords(t *testing.T) {
	for text, want := range map[string]string{
		`[]`:            "line 1: the whole is a list; it should be an object in braces",
		`{"stages": 1}`: "stages is a number; it should be a list",
		`{"sheet": {}}`: "sheet is an object in braces; it should be text in quotes",
	} {
		if _, err := ReadAnswers(strings.NewReader(text), ""); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %q", text, err, want)
		}
	}
}
