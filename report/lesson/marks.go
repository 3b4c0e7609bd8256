package lesson

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"afterloop/analysis/lesson"
	"afterloop/report"
	"afterloop/report/paper"
)

// marksPage is what the template of the marks sees.
type marksPage struct {
	paper.Frame
	lesson.Marks
	Lines []lesson.Marked
}

// WriteMarks writes the marks of a class, for the instructor.
func WriteMarks(w io.Writer, m lesson.Marks, version string) error {
	f := frame("Marks: "+m.Key.Title, "Class of seed "+fmt.Sprint(m.Key.Seed), version, lesson.KeySchema)
	f.Caution = "For the instructor: it names all students. For a student there is a page of their own (--each)."
	return paper.Write(w, templates(), "marks.html", marksPage{f, m, m.Students})
}

// feedbackPage is one student's.
type feedbackPage struct {
	paper.Frame
	Line lesson.Marked
}

// WriteFeedback writes one student's answers with the right ones; it holds
// nothing of anybody else.
func WriteFeedback(w io.Writer, m lesson.Marks, s lesson.Marked, version string) error {
	f := frame("Answers of "+s.Student, m.Key.Title+", sheet "+s.Sheet, version)
	f.Caution = ""
	return paper.Write(w, templates(), "feedback.html", feedbackPage{f, s})
}

// WriteMarksCSV writes a row a student: points in all and question by question.
func WriteMarksCSV(w io.Writer, m lesson.Marks) error {
	c := csv.NewWriter(w)
	head := []string{"student", "sheet", "points", "of"}
	ids := []string{}
	for _, q := range m.Key.Sheets[0].Questions {
		if q.Kind != lesson.Open {
			ids = append(ids, q.Topic)
		}
	}
	c.Write(append(append(head, ids...), "remarks")) //nolint:errcheck // kept for Error
	for _, s := range m.Students {
		row := []string{report.NoFormula(s.Student), s.Sheet, fmt.Sprint(s.Points), fmt.Sprint(s.Of)}
		for _, id := range ids {
			v := ""
			for _, a := range s.Answers {
				if a.Question.Topic == id {
					v = fmt.Sprint(a.Points)
				}
			}
			row = append(row, v)
		}
		c.Write(append(row, report.NoFormula(strings.Join(s.Remarks, "; "))))
	}
	for _, r := range m.Refused {
		row := make([]string, len(head)+len(ids)+1)
		row[0], row[len(row)-1] = report.NoFormula(r.File), report.NoFormula("not marked: "+r.Reason)
		c.Write(row)
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// WriteMarksText writes the marks for a terminal.
func WriteMarksText(w io.Writer, m lesson.Marks, o report.TextOptions) error {
	t := paper.NewText(w, o)
	t.Head("Marks: " + m.Key.Title)
	t.Para(lesson.Safety)
	if len(m.Students) > 0 {
		t.Title("Students")
		rows := [][]string{{"student", "points", "of"}}
		for _, s := range m.Students {
			rows = append(rows, []string{s.Student, paper.Itoa(s.Points), paper.Itoa(s.Of)})
		}
		t.Table(rows)
		for _, s := range m.Students {
			for _, r := range s.Remarks {
				t.Item("- ", s.Student+": "+r)
			}
		}
		t.Title("What to talk about: most often wrong first")
		for _, q := range m.Questions {
			s := fmt.Sprintf("%d of %d right: %s", q.Right, q.Right+q.Wrong+q.Open, q.Text)
			if q.MostChosenBy > 0 {
				s += fmt.Sprintf(" Most often instead (%d): %s.", q.MostChosenBy, strings.TrimSuffix(q.MostChosen, "."))
			}
			t.Item("- ", s)
		}
	}
	if len(m.Refused) > 0 {
		t.Title("Not marked, and not counted as wrong")
		for _, r := range m.Refused {
			t.Item("- ", r.File+": "+r.Reason)
		}
	}
	if len(m.Missing) > 0 {
		t.Title("Nothing handed in")
		t.Para(strings.Join(m.Missing, ", "))
	}
	return t.Flush()
}
