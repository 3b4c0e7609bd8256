package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/lesson"
	"afterloop/ingest"
	"afterloop/report"
	pages "afterloop/report/lesson"
)

// emptyFolder makes a folder, or accepts an empty one: two classes in one folder
// could not be told apart any more.
func emptyFolder(folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("%s can't be made: %w", folder, cause(err))
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return fmt.Errorf("%s can't be read: %w", folder, cause(err))
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s is not empty; give a new folder", folder)
	}
	return nil
}

// makeLesson writes the files of one lesson.
func makeLesson(s streams, o *lessonOptions, l lesson.Lesson, names []string, folder string) error {
	key, dives, err := lesson.NewKey(l, o.seed, names)
	if err != nil {
		return err
	}
	out := &outputs{stdout: s.out}
	defer out.discard()
	m := &lessonMaker{key: key, folder: folder, out: out}
	for i, d := range dives {
		if err := m.student(i, d); err != nil {
			return err
		}
	}
	if err := m.instructor(l); err != nil {
		return err
	}
	return out.commit()
}

// removeEmpty takes away what a failure left: folders without files.
func removeEmpty(folder string) {
	entries, _ := os.ReadDir(folder) // a folder that can't be read stays
	for _, e := range entries {
		if e.IsDir() {
			removeEmpty(filepath.Join(folder, e.Name()))
		}
	}
	os.Remove(folder) // only if empty
}

// lessonMaker writes a lesson's folder.
type lessonMaker struct {
	key    lesson.Key
	folder string
	out    *outputs
	lines  []pages.ClassLine
}

func (m *lessonMaker) add(render func(io.Writer) error, path ...string) error {
	target := filepath.Join(append([]string{m.folder}, path...)...)
	if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
		return fmt.Errorf("%s can't be made: %w", filepath.Dir(target), cause(err))
	}
	return m.out.add(target, render)
}

// student writes what one student gets, and the instructor's pages about it.
func (m *lessonMaker) student(i int, d *lesson.Dive) error {
	sheet := m.key.Sheets[i]
	name := folderName(i, sheet.Student)
	var log bytes.Buffer
	if err := d.Log.WriteCSV(&log); err != nil {
		return err
	}
	const file = "dive.csv"
	dive, err := ingest.Read(bytes.NewReader(log.Bytes()), file, ingest.Options{})
	if err != nil {
		return err
	}
	p := analysis.DefaultParameters()
	full := analysis.Analyze(dive, p)
	full.Tool.Version = buildVersion()
	p.SkipDiagnosis = true
	st := pages.Student{Sheet: sheet, Debrief: analysis.Analyze(dive, p), Helium: d.Helium(), Log: file, ToolVersion: buildVersion()}
	in := pages.Instructor{Key: m.key, Sheet: sheet, Dive: d, Found: foundWords(full), Debrief: name + "-debrief.html", ToolVersion: buildVersion()}
	line := pages.NewClassLine(in)
	line.Key, line.Page, line.Second = name+".html", in.Debrief, name+"-second.html"
	m.lines = append(m.lines, line)
	return errors.Join(
		m.add(func(w io.Writer) error { return pages.WriteStudent(w, st) }, "students", name, "dive.html"),
		m.add(func(w io.Writer) error { _, err := w.Write(log.Bytes()); return err }, "students", name, file),
		m.add(func(w io.Writer) error { return pages.WriteBlank(w, sheet) }, "students", name, "answers.json"),
		m.add(func(w io.Writer) error { return pages.WriteKey(w, in) }, "instructor", line.Key),
		m.add(func(w io.Writer) error { return pages.WriteSecond(w, st) }, "instructor", line.Second),
		m.add(func(w io.Writer) error { return report.WriteHTML(w, full, report.Options{}) }, "instructor", line.Page),
		m.add(d.Truth.WriteCSV, "instructor", name+"-truth.csv"),
	)
}

// foundWords are a debrief's findings in words.
func foundWords(d *analysis.Debrief) []string {
	var out []string
	for _, f := range d.Findings {
		s := f.Title + " (" + string(f.Severity) + ", " + string(f.Confidence) + ")"
		if f.Cell != nil {
			s = fmt.Sprintf("cell %d: %s", *f.Cell, s)
		}
		out = append(out, s)
	}
	return out
}

func (m *lessonMaker) instructor(l lesson.Lesson) error {
	return errors.Join(
		m.add(func(w io.Writer) error { return report.EncodeJSON(w, m.key) }, "instructor", "key.json"),
		m.add(func(w io.Writer) error { return pages.WriteGuide(w, l, buildVersion()) }, "instructor", "guide.html"),
		m.add(func(w io.Writer) error { return pages.WriteClass(w, m.key, m.lines, buildVersion()) }, "instructor", "class.html"),
		m.add(m.classCSV, "instructor", "class.csv"),
	)
}

// classCSV is the class list as a table, with room for the codes.
func (m *lessonMaker) classCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{"student", "sheet", "seed", "folder", "code_1", "code_2"}) //nolint:errcheck // kept for Error
	for i, s := range m.key.Sheets {
		c.Write([]string{report.NoFormula(s.Student), s.Sheet, fmt.Sprint(s.Seed), folderName(i, s.Student), "", ""}) //nolint:errcheck
	}
	c.Flush()
	return c.Error()
}

// folderName makes a file name of a student's: letters and digits of ASCII, with
// his number before it unless it is the whole name.
func folderName(i int, student string) string {
	name := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, student), "-")
	if plain := fmt.Sprintf("student-%02d", i+1); name == plain || name == "" {
		return plain
	}
	return fmt.Sprintf("%02d-%s", i+1, name)
}
