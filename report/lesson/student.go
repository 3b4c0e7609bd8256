package lesson

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io"

	"afterloop/analysis"
	"afterloop/analysis/lesson"
	"afterloop/report"
)

// Student is what a student's pages are made of.
type Student struct {
	Sheet lesson.Sheet
	// Debrief of the log without a diagnosis: only what was recorded of it is shown
	// at first, and arithmetic on known gas, votes and openings at the second look.
	Debrief *analysis.Debrief
	// Helium as recorded, or nil.
	Helium []float64
	// Log is the name of the log's file beside the page.
	Log string
	// Word opens the second look (lesson.Key.SecondWord); empty leaves it open to
	// whoever commits.
	Word string
	// Tool wrote the page.
	ToolVersion string
}

// asked is a question as a student may see it. It is a type of its own, so that a
// field that is added to the key's question does not reach a student by itself.
type asked struct {
	ID      string        `json:"id"`
	Kind    string        `json:"kind"`
	Text    string        `json:"text"`
	Unit    string        `json:"unit,omitempty"`
	Cells   int           `json:"cells,omitempty"`
	Points  int           `json:"points"`
	Options []askedOption `json:"options,omitempty"`
	Number  int           `json:"number"`
}

type askedOption struct {
	Letter string `json:"letter"`
	Text   string `json:"text"`
}

// asked are the questions of a stage.
func (s Student) asked(stage int) []asked {
	out := []asked{}
	for i, q := range s.Sheet.Questions {
		if q.Stage != stage {
			continue
		}
		a := asked{ID: q.ID, Kind: q.Kind, Text: q.Text, Unit: q.Unit, Cells: q.Cells, Points: q.Points, Number: i + 1}
		for _, o := range q.Options {
			a.Options = append(a.Options, askedOption{o.Letter, o.Text})
		}
		out = append(out, a)
	}
	return out
}

// sheetData is what the page's script reads.
type sheetData struct {
	Schema  string     `json:"schema"`
	Sheet   string     `json:"sheet"`
	Student string     `json:"student"`
	First   []askedRef `json:"first"`
	// Second is the second look, JSON, deflated, veiled where it is locked, in base64.
	Second string `json:"second"`
	Locked bool   `json:"locked"`
}

type askedRef struct {
	ID   string `json:"id"`
	Kind string `json:"kind"`
}

// second is the second look: tables, then questions.
type second struct {
	Tables    []table `json:"tables"`
	Questions []asked `json:"questions"`
}

// formView is what the template of the first stage sees.
type formView struct {
	Sheet, Student, Log string
	Questions           []asked
	Data                json.RawMessage
	Safety              string
}

// WriteStudent writes the page of a student: the record and the questions.
func WriteStudent(w io.Writer, s Student) error {
	packed, err := s.fold(second{s.tables(), s.asked(2)})
	if err != nil {
		return err
	}
	data := sheetData{Schema: lesson.AnswersSchema, Sheet: s.Sheet.Sheet, Student: s.Sheet.Student, Second: packed, Locked: s.Word != "", First: []askedRef{}}
	view := formView{Sheet: s.Sheet.Sheet, Student: s.Sheet.Student, Log: s.Log, Questions: s.asked(1), Safety: lesson.Safety}
	for _, q := range view.Questions {
		data.First = append(data.First, askedRef{q.ID, q.Kind})
	}
	if view.Data, err = json.Marshal(data); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	before, err := part("student-before", view)
	if err != nil {
		return err
	}
	after, err := part("student-after", view)
	if err != nil {
		return err
	}
	a := report.Around{Title: "Exercise dive, sheet " + s.Sheet.Sheet, Kind: "Record without conclusions, for " + s.Sheet.Student, Before: before, After: after, CSS: styles(), Script: script()}
	if s.Helium != nil {
		a.Extra = append(a.Extra, report.ExtraColumn{ID: "helium-fraction", Name: "helium fraction", Short: "He", Decimals: 3, Values: s.Helium})
	}
	d := *s.Debrief
	d.Tool.Version = s.ToolVersion
	return report.WriteRecord(w, &d, a)
}

func part(name string, view any) (template.HTML, error) {
	var b bytes.Buffer
	if err := templates().ExecuteTemplate(&b, name, view); err != nil {
		return "", fmt.Errorf("report: %w", err)
	}
	return template.HTML(b.String()), nil
}

// fold packs the second look and veils it with the word. It holds no answer, but
// its questions would say something of the first ones.
func (s Student) fold(v any) (string, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("report: %w", err)
	}
	var b bytes.Buffer
	z, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		return "", fmt.Errorf("report: %w", err)
	}
	if _, err := z.Write(text); err != nil {
		return "", fmt.Errorf("report: %w", err)
	}
	if err := z.Close(); err != nil {
		return "", fmt.Errorf("report: %w", err)
	}
	packed := b.Bytes()
	if s.Word != "" {
		packed = lesson.Veil(s.Sheet.Sheet, s.Word, packed)
	}
	return base64.StdEncoding.EncodeToString(packed), nil
}

// WriteBlank writes an answer file to be filled in by hand, where scripts do not run.
func WriteBlank(w io.Writer, s lesson.Sheet) error {
	a := lesson.Answers{Schema: lesson.AnswersSchema, Sheet: s.Sheet, Student: s.Student}
	for stage := 1; stage <= 2; stage++ {
		c := lesson.Committed{Stage: stage, Answers: []lesson.Answer{}}
		for _, q := range s.Questions {
			if q.Stage == stage {
				c.Answers = append(c.Answers, lesson.Answer{ID: q.ID})
			}
		}
		a.Stages = append(a.Stages, c)
	}
	return report.EncodeJSON(w, a)
}
