package browsertest

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/analysis/lesson"
	"afterloop/ingest"
	pages "afterloop/report/lesson"
)

// lessonPages writes a student's page and the instructor's pages of a sheet.
func lessonPages(t *testing.T, name string) (lesson.Key, map[string]string) {
	t.Helper()
	l, err := lesson.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	k, dives, err := lesson.NewKey(l, 21, []string{"student-01"})
	if err != nil {
		t.Fatal(err)
	}
	d, sheet := dives[0], k.Sheets[0]
	var log bytes.Buffer
	if err := d.Log.WriteCSV(&log); err != nil {
		t.Fatal(err)
	}
	dive, err := ingest.Read(&log, "dive.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := analysis.DefaultParameters()
	p.SkipDiagnosis = true
	st := pages.Student{Sheet: sheet, Debrief: analysis.Analyze(dive, p), Helium: d.Helium(), Log: "dive.csv", Word: k.SecondWord(), ToolVersion: "test"}
	in := pages.Instructor{Key: k, Sheet: sheet, Dive: d, Found: []string{"a finding"}, Debrief: "x.html", ToolVersion: "test"}
	folder, out := t.TempDir(), map[string]string{}
	for page, write := range map[string]func(io.Writer) error{
		"student": func(w io.Writer) error { return pages.WriteStudent(w, st) },
		"key":     func(w io.Writer) error { return pages.WriteKey(w, in) },
		"second":  func(w io.Writer) error { return pages.WriteSecond(w, st) },
		"guide":   func(w io.Writer) error { return pages.WriteGuide(w, l, "test") },
		"class": func(w io.Writer) error {
			return pages.WriteClass(w, k, []pages.ClassLine{pages.NewClassLine(in)}, "test")
		},
		"marks": func(w io.Writer) error { return pages.WriteMarks(w, lesson.Mark(k, nil, nil), "test") },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatal(err)
		}
		out[page] = filepath.Join(folder, page+".html")
		if err := os.WriteFile(out[page], b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return k, out
}

// answer fills a question in as a hand would.
func (b *tab) answer(q lesson.Question) {
	b.t.Helper()
	box := fmt.Sprintf(`document.querySelector('.q[data-id="%s"]')`, q.ID)
	set := func(selector, text string) {
		b.eval(fmt.Sprintf(`(() => { const e = %s.querySelector(%q); e.value = %q; e.dispatchEvent(new Event('input', {bubbles: true})); })()`, box, selector, text), nil)
	}
	if q.Kind == lesson.Open {
		set("textarea", "thoughts")
		return
	}
	r := q.Right[0]
	if r.Value != nil {
		set(".figure", fmt.Sprint(*r.Value))
		return
	}
	for _, v := range strings.Split(r.Word, ",") {
		b.eval(fmt.Sprintf(`%s.querySelector('input[value="%s"]').click()`, box, v), nil)
	}
}

// word gives the word for the second look.
func (b *tab) word(word string) {
	b.t.Helper()
	b.wait(`!document.getElementById('unlock').hidden`)
	b.eval(fmt.Sprintf(`document.getElementById('word').value = %q`, word), nil)
	b.click("#form-word button[type=submit]")
}

// TestLesson: a student answers both stages in the browser, saves, and the file
// scores full marks: the page's code is the marker's.
func TestLesson(t *testing.T) {
	for _, name := range []string{"outvoted", "cannot-know", "helium-witness", "shut-valve"} {
		t.Run(name, func(t *testing.T) {
			k, files := lessonPages(t, name)
			b := open(t, desktop, files["student"])
			s := k.Sheets[0]
			if !b.is(`document.getElementById('unlock').hidden`) {
				t.Error("the word is asked for at once")
			}
			if !b.is(`document.getElementById('second').hidden && document.getElementById('hand-in').hidden`) {
				t.Error("the second look is shown at once")
			}
			for stage := 1; stage <= 2; stage++ {
				for _, q := range s.Questions {
					if q.Stage == stage {
						b.answer(q)
					}
				}
				b.click(fmt.Sprintf("#form-%d button[type=submit]", stage))
				b.wait(fmt.Sprintf(`document.getElementById('said-%d').textContent.includes('Committed')`, stage))
				if stage == 1 {
					b.word("0000-0000")
					b.wait(`document.getElementById('said-word').textContent.includes('not the word')`)
					b.word(strings.ToUpper(k.SecondWord()))
				}
				b.wait(`!document.getElementById('second').hidden && document.querySelectorAll('#second-questions .q').length > 3`)
			}
			if b.is(`Array.from(document.querySelectorAll('.q')).some(q => !q.disabled)`) {
				t.Error("a committed answer can be changed")
			}
			b.click("#save")
			f, err := os.Open(b.downloaded("answers-" + s.Sheet + ".json"))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			a, err := lesson.ReadAnswers(f, "answers.json")
			m := lesson.Mark(k, []lesson.Handed{{File: "answers.json", Answers: a, Err: err}}, nil)
			if len(m.Refused) > 0 || len(m.Students) != 1 || m.Students[0].Points != m.Students[0].Of || len(m.Students[0].Remarks) > 0 {
				t.Errorf("%+v", m)
			}
			b.quiet()
		})
	}
}

// TestLessonOpen: a question that was left open asks once, and words for cells
// exclude each other.
func TestLessonOpen(t *testing.T) {
	k, files := lessonPages(t, "healthy")
	b := open(t, desktop, files["student"])
	b.click("#form-1 button[type=submit]")
	if !strings.Contains(b.text("#said-1"), "Left open: question 1, 2, 3") {
		t.Errorf("%q", b.text("#said-1"))
	}
	b.click(`.q[data-kind="cells"] input[value="1"]`)
	b.click(`.q[data-kind="cells"] input[value="none"]`)
	if b.is(`document.querySelector('.q[data-kind="cells"] input[value="1"]').checked`) {
		t.Error("a cell and none at once")
	}
	b.click("#form-1 button[type=submit]")
	b.click("#form-1 button[type=submit]")
	b.word(k.SecondWord())
	b.wait(`!document.getElementById('second').hidden`)
	b.quiet()
}

// TestLessonReach: no violation that axe-core finds, on the student's page with
// the second look open and on the instructor's.
func TestLessonReach(t *testing.T) {
	k, files := lessonPages(t, "helium-witness")
	for _, l := range []look{desktop, {width: 390, height: 800}, {width: 1280, height: 900, media: map[string]string{"prefers-color-scheme": "dark"}}} {
		for _, page := range []string{"student", "key", "second", "guide", "class", "marks"} {
			if l.media != nil && page != "student" && page != "key" {
				continue
			}
			b := blank(t, l)
			if page == "student" {
				b.visit(files[page])
				b.click("#form-1 button[type=submit]")
				b.click("#form-1 button[type=submit]")
				b.word(k.SecondWord())
				b.wait(`!document.getElementById('second').hidden`)
			} else {
				b.run(navigate(files[page]))
			}
			violations(b)
			if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s is %v px wider than the window", page, over)
			}
			b.quiet()
		}
	}
}
