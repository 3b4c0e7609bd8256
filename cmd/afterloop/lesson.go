package main

import (
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"afterloop/analysis/lesson"
	"afterloop/report"
)

func newLesson(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "lesson",
		Short: "Make lessons out of simulated dives, and mark what students answered",
		Long: `Makes lessons for a class: every student gets a simulated dive of his own with the same thing wrong,
or nothing, its log, and questions to commit to before more is shown; the instructor gets the key,
computed from the truth of the simulation, a full debrief of each dive and a guide.

` + lesson.Safety + "\n" + exitHelp,
		Example: `  afterloop lesson list
  afterloop lesson make outvoted -o monday --class 12
  afterloop lesson mark monday/instructor/key.json answers-*.json -o marks.html`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newLessonList(s), newLessonMake(s), newLessonMark(s))
	return c
}

func newLessonList(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "List the lessons",
		Long:    "Lists the lessons in the order in which they are best taught, with the minutes they take.\n" + exitHelp,
		Example: "  afterloop lesson list",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			for _, l := range lesson.All() {
				if _, err := fmt.Fprintf(s.out, "%-18s %2d min  %s\n", l.Name, l.Minutes, l.Line); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

type lessonOptions struct {
	folder, students string
	class            int
	seed             uint64
	quiet            bool
}

func newLessonMake(s streams) *cobra.Command {
	o := &lessonOptions{}
	c := &cobra.Command{
		Use:   "make NAME|all -o FOLDER",
		Short: "Make a lesson for a class",
		Long: `Makes a lesson into a new or empty folder. students/ holds a folder for each student: his page (record
and questions), the log and an empty answer file; nothing in it says what is wrong. instructor/ holds
the guide, the class list, the key, and for each student a key page, the full debrief and the second
look on paper. With "all" each lesson gets a folder of its name.

The same --seed makes the same class again. Without one a seed is drawn and printed. Whoever knows or
guesses it can make the key: a small number is easily guessed.
` + exitHelp,
		Example: `  afterloop lesson make outvoted -o monday --class 12
  afterloop lesson make all -o course --students names.txt --seed 20260502`,
		Args: cobra.ExactArgs(1),
	}
	f := c.Flags()
	f.StringVarP(&o.folder, "output", "o", "", "folder to make")
	f.IntVar(&o.class, "class", 1, "how many students")
	f.StringVar(&o.students, "students", "", "file with the students' names, one a line")
	f.Uint64Var(&o.seed, "seed", 0, "which class; drawn if not given")
	f.BoolVarP(&o.quiet, "quiet", "q", false, "print nothing")
	c.RunE = func(_ *cobra.Command, args []string) error {
		if o.students != "" && f.Changed("class") {
			return errors.New("give --class or --students")
		}
		if !f.Changed("seed") {
			var err error
			if o.seed, err = drawSeed(); err != nil {
				return err
			}
		}
		return makeLessons(s, o, args[0])
	}
	return c
}

// drawSeed draws a class's seed. It is printed and stands in the key, so that the
// class can be made again.
func drawSeed() (uint64, error) {
	var b [8]byte
	if _, err := rand.Read(b[:]); err != nil {
		return 0, fmt.Errorf("no seed could be drawn (give --seed): %w", err)
	}
	return binary.BigEndian.Uint64(b[:]) >> 20, nil
}

// mostStudents bounds a class.
const mostStudents = 200

func makeLessons(s streams, o *lessonOptions, name string) error {
	if o.folder == "" || o.folder == "-" {
		return errors.New("give a folder: -o FOLDER")
	}
	if o.seed >= 1<<53 {
		return errors.New("--seed must be below 2^53")
	}
	names, err := studentNames(o)
	if err != nil {
		return err
	}
	lessons := lesson.All()
	if name != "all" {
		l, err := lesson.Find(name)
		if err != nil {
			return err
		}
		lessons = []lesson.Lesson{l}
	}
	if err := emptyFolder(o.folder); err != nil {
		return err
	}
	for _, l := range lessons {
		folder := o.folder
		if name == "all" {
			folder = filepath.Join(folder, l.Name)
		}
		if err := makeLesson(s, o, l, names, folder); err != nil {
			removeEmpty(o.folder)
			return err
		}
	}
	if o.quiet {
		return nil
	}
	_, err = fmt.Fprintf(s.out, "%s: made for %d of each lesson, seed %d. Hand out the folders under students; keep instructor.\n", report.Clean(o.folder), len(names), o.seed)
	return err
}

// studentNames are those of the file, or student-01 and so on.
func studentNames(o *lessonOptions) ([]string, error) {
	if o.students == "" {
		if o.class < 1 || o.class > mostStudents {
			return nil, fmt.Errorf("--class must be 1 to %d", mostStudents)
		}
		var names []string
		for i := range o.class {
			names = append(names, fmt.Sprintf("student-%02d", i+1))
		}
		return names, nil
	}
	f, err := openFile(o.students)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, 1<<16+1))
	if err != nil {
		return nil, fmt.Errorf("%s can't be read: %w", o.students, cause(err))
	}
	return namesIn(o.students, b)
}

func namesIn(file string, b []byte) ([]string, error) {
	var names []string
	seen := map[string]bool{}
	for i, line := range strings.Split(strings.TrimPrefix(string(b), "\ufeff"), "\n") {
		n := strings.TrimSpace(line)
		switch {
		case n == "":
			continue
		case len(n) > 100 || strings.ContainsFunc(n, func(r rune) bool { return !unicode.IsGraphic(r) }):
			return nil, fmt.Errorf("%s:%d: no name of a student: at most 100 bytes, no control characters", file, i+1)
		case seen[n]:
			return nil, fmt.Errorf("%s:%d: %q stands twice", file, i+1, n)
		}
		seen[n] = true
		names = append(names, n)
	}
	if len(names) == 0 || len(names) > mostStudents || len(b) > 1<<16 {
		return nil, fmt.Errorf("%s: %d names; give 1 to %d", file, len(names), mostStudents)
	}
	return names, nil
}
