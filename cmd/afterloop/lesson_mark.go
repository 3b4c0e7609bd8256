package main

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"afterloop/analysis/lesson"
	pages "afterloop/report/lesson"
)

type markOptions struct {
	html, csv, each, codes string
	quiet                  bool
}

func newLessonMark(s streams) *cobra.Command {
	o := &markOptions{}
	c := &cobra.Command{
		Use:   "mark KEY ANSWERS...",
		Short: "Mark answer files",
		Long: `Marks the answer files of a class with its key (instructor/key.json). A file that can't be read, that
belongs to another lesson or class, whose answers were changed after they were committed to, or that
was handed in twice is listed with the reason and never marked as wrong. -o writes a page for the
instructor with what to talk about, --each a page for every student that holds nothing of the others.

Exit status 3: some files could not be marked; the others are.
` + exitHelp,
		Example: `  afterloop lesson mark monday/instructor/key.json answers/*.json
  afterloop lesson mark monday/instructor/key.json answers/*.json -o marks.html --csv marks.csv --each feedback`,
		Args: cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error { return markLesson(s, o, args[0], args[1:]) },
	}
	f := c.Flags()
	f.StringVarP(&o.html, "output", "o", "", `HTML page for the instructor: a file, or "-"`)
	f.StringVar(&o.csv, "csv", "", `points as CSV: a file, or "-"`)
	f.StringVar(&o.each, "each", "", "new or empty folder for a page per student")
	f.StringVar(&o.codes, "codes", "", "class.csv with the codes that were told at the commitment: a file with others is not marked")
	f.BoolVarP(&o.quiet, "quiet", "q", false, "print no summary")
	return c
}

func markLesson(s streams, o *markOptions, keyFile string, files []string) error {
	if err := apart(false, target{"--output", o.html}, target{"--csv", o.csv}); err != nil {
		return err
	}
	key, err := openKey(keyFile)
	if err != nil {
		return err
	}
	noted, err := readCodes(o.codes)
	if err != nil {
		return err
	}
	m := lesson.Mark(key, handedIn(files), noted)
	out := &outputs{stdout: s.out, inputs: append([]string{keyFile, o.codes}, files...)}
	defer out.discard()
	if o.each != "" {
		if err := emptyFolder(o.each); err != nil {
			return err
		}
		for _, st := range m.Students {
			if err := out.add(filepath.Join(o.each, "feedback-"+st.Sheet+".html"), func(w io.Writer) error { return pages.WriteFeedback(w, m, st, buildVersion()) }); err != nil {
				return err
			}
		}
	}
	err = errors.Join(
		out.add(o.html, func(w io.Writer) error { return pages.WriteMarks(w, m, buildVersion()) }),
		out.add(o.csv, func(w io.Writer) error { return pages.WriteMarksCSV(w, m) }))
	if err != nil {
		return err
	}
	if err := out.commitWith(o.quiet, func(w io.Writer) error { return pages.WriteMarksText(w, m, s.text()) }); err != nil {
		return err
	}
	if n := len(m.Refused); n == len(files) {
		return fmt.Errorf("none of %d answer files could be marked; the first: %s: %s", n, m.Refused[0].File, m.Refused[0].Reason)
	} else if n > 0 {
		return statusError{exitPartial, fmt.Errorf("%d of %d answer files could not be marked", n, len(files))}
	}
	return nil
}

func openKey(file string) (lesson.Key, error) {
	f, err := openFile(file)
	if err != nil {
		return lesson.Key{}, err
	}
	defer f.Close()
	return lesson.ReadKey(f, file)
}

// readCodes reads the codes out of a class list: the columns sheet, code_1, code_2.
func readCodes(file string) (lesson.Noted, error) {
	if file == "" {
		return nil, nil
	}
	f, err := openFile(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(io.LimitReader(f, 1<<20))
	rows, err := r.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fmt.Errorf("%s is no class list: %w", file, cmp.Or(err, errors.New("it is empty")))
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[strings.TrimPrefix(strings.TrimSpace(name), "\ufeff")] = i + 1
	}
	sheet, one, two := at["sheet"]-1, at["code_1"]-1, at["code_2"]-1
	if sheet < 0 || one < 0 || two < 0 {
		return nil, fmt.Errorf("%s is no class list: it needs the columns sheet, code_1 and code_2", file)
	}
	noted := lesson.Noted{}
	for _, row := range rows[1:] {
		noted[row[sheet]] = [2]string{strings.TrimSpace(row[one]), strings.TrimSpace(row[two])}
	}
	return noted, nil
}

// handedIn reads the answer files; what is wrong with one is kept with it.
func handedIn(files []string) []lesson.Handed {
	var hs []lesson.Handed
	for _, file := range files {
		h := lesson.Handed{File: file}
		f, err := os.Open(file)
		if err != nil {
			h.Err = fmt.Errorf("it can't be read: %w", cause(err))
		} else {
			h.Answers, h.Err = lesson.ReadAnswers(f, file)
			f.Close()
		}
		hs = append(hs, h)
	}
	return hs
}
