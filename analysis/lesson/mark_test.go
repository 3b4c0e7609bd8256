package lesson

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// fill makes the answer file of a sheet with what each question is answered by.
func fill(s Sheet, answer func(Question) string) Answers {
	a := Answers{Schema: AnswersSchema, Sheet: s.Sheet, Student: s.Student}
	before := ""
	for stage := 1; stage <= 2; stage++ {
		c := Committed{Stage: stage, Answers: []Answer{}}
		for _, q := range s.Questions {
			if q.Stage == stage {
				c.Answers = append(c.Answers, Answer{q.ID, answer(q)})
			}
		}
		c.Code = Code(s.Sheet, before, c)
		before = c.Code
		a.Stages = append(a.Stages, c)
	}
	return a
}

func right(q Question) string {
	if len(q.Right) == 0 {
		return "free text"
	}
	if r := q.Right[0]; r.Value != nil {
		return plain(*r.Value)
	}
	return q.Right[0].Word
}

func wrong(q Question) string {
	switch q.Kind {
	case Choice:
		for _, o := range q.Options {
			if !o.Right {
				return o.Letter
			}
		}
	case Cells:
		return "1,2,3,4,5"
	case Moment:
		return "9999"
	case Number:
		return "-9999"
	}
	return ""
}

func class(t *testing.T, l Lesson, n int) Key {
	t.Helper()
	var names []string
	for i := range n {
		names = append(names, fmt.Sprintf("student-%02d", i+1))
	}
	k, _, err := NewKey(l, 11, names)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// TestFullAndNone: of every lesson and several seeds right answers score full
// marks and wrong ones none.
func TestFullAndNone(t *testing.T) {
	for _, l := range All() {
		k := class(t, l, 4)
		for _, s := range k.Sheets {
			for _, c := range []struct {
				name   string
				answer func(Question) string
			}{{"right", right}, {"wrong", wrong}} {
				m := Mark(k, []Handed{{File: "a.json", Answers: fill(s, c.answer)}}, nil)
				if len(m.Refused) > 0 || len(m.Students) != 1 || len(m.Students[0].Remarks) > 0 {
					t.Fatalf("%s: %+v %+v", l.Name, m.Refused, m.Students)
				}
				st := m.Students[0]
				if want := map[string]int{"right": st.Of, "wrong": 0}[c.name]; st.Points != want || st.Of < 10 {
					t.Errorf("%s, %s: %s answers score %d of %d", l.Name, s.Student, c.name, st.Points, st.Of)
				}
				for _, a := range st.Answers {
					if c.name == "wrong" && a.Question.Kind == Choice && a.Feedback == "" {
						t.Errorf("%s: %s: no feedback on %q", l.Name, a.Question.ID, a.Answer)
					}
				}
			}
		}
	}
}

// TestQuestionsAreSound: an answer exists, a wrong option has feedback, no two
// options are alike, figures are finite and not zero within their tolerance.
func TestQuestionsAreSound(t *testing.T) {
	for _, l := range All() {
		for _, s := range class(t, l, 3).Sheets {
			ids := map[string]bool{}
			for _, q := range s.Questions {
				where := l.Name + " " + q.ID
				if ids[q.ID] || q.Text == "" || q.Why == "" || (len(q.Right) == 0) != (q.Kind == Open) || (q.Points == 0) != (q.Kind == Open) {
					t.Errorf("%s: doubled, or without text, reason, answer or points: %+v", where, q)
				}
				ids[q.ID] = true
				texts, rights := map[string]bool{}, 0
				for _, o := range q.Options {
					if texts[o.Text] || !o.Right && o.Feedback == "" {
						t.Errorf("%s: option %q twice or without feedback", where, o.Text)
					}
					if texts[o.Text] = true; o.Right {
						rights++
					}
				}
				if q.Kind == Choice && rights != 1 && (q.Topic != "sure" || rights != 2) {
					t.Errorf("%s: %d options are right", where, rights)
				}
				for _, r := range q.Right {
					if r.Value != nil && (math.IsNaN(*r.Value) || r.Tolerance <= 0 || q.Kind == Number && math.Abs(*r.Value) <= r.Tolerance) {
						t.Errorf("%s: %v within %v", where, *r.Value, r.Tolerance)
					}
				}
			}
		}
	}
}

// TestSheetsDiffer: within a class the same letters, cells and figures are no answer.
func TestSheetsDiffer(t *testing.T) {
	for _, l := range All() {
		k := class(t, l, 6)
		seen := map[string]int{}
		for _, s := range k.Sheets {
			var b strings.Builder
			for _, q := range s.Questions {
				fmt.Fprintf(&b, "%s=%s ", q.ID, right(q))
			}
			seen[b.String()]++
		}
		if len(seen) < 6 {
			t.Errorf("%s: only %d of 6 sheets have answers of their own", l.Name, len(seen))
		}
	}
}

// TestSameSeedSameKey: the class's seed makes the same key, another one another.
func TestSameSeedSameKey(t *testing.T) {
	l, _ := Find("outvoted")
	if diff := cmp.Diff(class(t, l, 2), class(t, l, 2)); diff != "" {
		t.Error(diff)
	}
	k, _, err := NewKey(l, 12, []string{"student-01"})
	if err != nil || k.Sheets[0].Sheet == class(t, l, 1).Sheets[0].Sheet {
		t.Errorf("another seed makes the same sheet: %v", err)
	}
}

// TestRefused: what can't be marked is said, and not marked as wrong.
func TestRefused(t *testing.T) {
	l, _ := Find("lagging-cell")
	k := class(t, l, 2)
	good := fill(k.Sheets[0], right)
	edited := fill(k.Sheets[0], right)
	edited.Stages[0].Answers[0].Answer = "x"
	other := good
	other.Sheet = "0000000000"
	strange := fill(k.Sheets[1], right)
	strange.Stages[1].Answers[0].ID = "no-such"
	swapped := fill(k.Sheets[1], right)
	swapped.Stages[0] = fill(k.Sheets[1], wrong).Stages[0]
	m := Mark(k, []Handed{{File: "edited", Answers: edited}, {File: "other", Answers: other}, {File: "good", Answers: good}, {File: "again", Answers: good}, {File: "strange", Answers: strange}, {File: "swapped", Answers: swapped}}, nil)
	want := map[string]string{"edited": "not those that were committed to", "other": "not in this key", "again": "handed in already", "strange": "no question", "swapped": "not those that were committed to"}
	for _, r := range m.Refused {
		if !strings.Contains(r.Reason, want[r.File]) || want[r.File] == "" {
			t.Errorf("%s: %s", r.File, r.Reason)
		}
		delete(want, r.File)
	}
	if len(want) > 0 || len(m.Students) != 1 || len(m.Missing) != 1 {
		t.Errorf("not refused: %v; marked %d, missing %v", want, len(m.Students), m.Missing)
	}
}

// TestNoted: a file whose codes fit its answers, but not those that were told, was
// made anew after the commitment.
func TestNoted(t *testing.T) {
	l, _ := Find("healthy")
	k := class(t, l, 1)
	a := fill(k.Sheets[0], right)
	told := fill(k.Sheets[0], wrong)
	noted := Noted{a.Sheet: {strings.ToUpper(told.Stages[0].Code), ""}}
	if m := Mark(k, []Handed{{File: "told", Answers: told}}, noted); len(m.Students) != 1 {
		t.Errorf("%+v", m.Refused)
	}
	if m := Mark(k, []Handed{{File: "anew", Answers: a}}, noted); len(m.Refused) != 1 || !strings.Contains(m.Refused[0].Reason, "was noted") {
		t.Errorf("%+v", m.Refused)
	}
}

// TestByHand: without a code it is marked, and said.
func TestByHand(t *testing.T) {
	l, _ := Find("lagging-cell")
	k := class(t, l, 1)
	a := fill(k.Sheets[0], right)
	a.Stages = a.Stages[:1]
	a.Stages[0].Code = ""
	m := Mark(k, []Handed{{File: "a", Answers: a}}, nil)
	if len(m.Students) != 1 || len(m.Students[0].Remarks) != 2 || m.Students[0].Points == 0 {
		t.Errorf("%+v", m)
	}
}

const codeOfTest = "jbfx-srdb"

// TestHandwriting: an answer that was filled in by hand counts as the same one from the page.
func TestHandwriting(t *testing.T) {
	v := 1.25
	number := Question{Kind: Number, Unit: "bar", Right: []Right{{Value: &v, Tolerance: 0.05}}}
	for q, answers := range map[*Question][]string{
		&number: {"1.25", " 1,25 ", "1.2 bar", "1.30 BAR", "+1.25"},
		{Kind: Cells, Right: []Right{{Word: "1,3"}}}:                                          {"1,3", "3, 1", "1 3", "3,1,3"},
		{Kind: Cells, Right: []Right{{Word: CantKnow}}}:                                       {"unknown", "Unknown"},
		{Kind: Moment, Right: []Right{{Word: FromStart}, {Value: &v, Tolerance: 0.1}}}:        {"start", "START", "1.3 min", "1,2"},
		{Kind: Choice, Right: []Right{{Word: "b"}}, Options: []Option{{"a", "x", false, ""}}}: {"b", "B", " b"},
	} {
		for _, a := range answers {
			if !q.IsRight(q.normal(a)) {
				t.Errorf("%s: %q does not count", q.Kind, a)
			}
		}
	}
	for _, a := range []string{"", "NaN", "Inf", "1e400", "1.25x", "bar", "0x1p0", "1.31"} {
		if number.IsRight(number.normal(a)) {
			t.Errorf("%q counts", a)
		}
	}
}

// TestCode holds the code to one that was computed apart (hashlib of Python 3),
// since the student's page must give the same.
func TestCode(t *testing.T) {
	c := Committed{Stage: 1, Answers: []Answer{{"seen", "b"}, {"cells-1", "1,3"}, {"when", "12.5"}}}
	if got := Code("00ff00ff00", "", c); got != codeOfTest {
		t.Errorf("code %s, want %s", got, codeOfTest)
	}
}

// TestReadAnswers: strict, with file and line.
func TestReadAnswers(t *testing.T) {
	l, _ := Find("lagging-cell")
	b, err := json.MarshalIndent(fill(class(t, l, 1).Sheets[0], right), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	good := string(b)
	if _, err := ReadAnswers(strings.NewReader("\ufeff"+good), "a.json"); err != nil {
		t.Error(err)
	}
	for name, c := range map[string]struct{ text, want string }{
		"unknown key": {strings.Replace(good, `"stages"`, "\"extra\": 1,\n\"stages\"", 1), `a.json:5: unknown key "extra"`},
		"twice":       {strings.Replace(good, `"student"`, "\"sheet\": \"x\",\n\"student\"", 1), `a.json:4: key "sheet" stands twice`},
		"cut off":     {good[:len(good)/2], "ends too early"},
		"more":        {good + "\n{}", "after the end"},
		"type":        {strings.Replace(good, `"stage": 1`, `"stage": "one"`, 1), "is text in quotes; it should be a whole number"},
		"schema":      {strings.Replace(good, "answers/1", "answers/9", 1), "schema is"},
		"large":       {good + strings.Repeat(" ", mostAnswerBytes), "more than 64 KiB"},
		"stages":      {strings.Replace(good, `"stage": 2`, `"stage": 7`, 1), "stands in place"},
		"deep":        {strings.Repeat("[", 50) + strings.Repeat("]", 50), "too deep"},
	} {
		if _, err := ReadAnswers(strings.NewReader(c.text), "a.json"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", name, err, c.want)
		}
	}
}

// FuzzReadAnswers: no file makes the reader panic or accept what it would not write.
func FuzzReadAnswers(f *testing.F) {
	f.Add(`{"schema":"afterloop/answers/1","sheet":"ab","student":"s","stages":[{"stage":1,"answers":[{"id":"seen","answer":"a"}],"code":""}]}`)
	f.Add(`{"schema":"afterloop/answers/1"`)
	l, _ := Find("healthy")
	k, _, err := NewKey(l, 3, []string{"s"})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ReadAnswers(strings.NewReader(text), "a.json")
		if m := Mark(k, []Handed{{File: "a.json", Answers: a, Err: err}}, nil); err != nil && len(m.Students) > 0 {
			t.Error("marked although it could not be read")
		}
	})
}
