package ingest

import (
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"
)

// problemList gathers the problems of one file: the same problem on rows one
// after the other becomes one record, and memory is bounded.
type problemList struct {
	file    string
	list    []Problem
	last    map[problemKind]problemAt
	dropped int
	// worst is the first of the gravest problems that found no room.
	worst Problem
}

type problemKind struct {
	column int // index in the header, -1 for the file
	code   string
}

type problemAt struct{ index, row int }

// wholeFile stands for the column or the row of a problem that has none.
const wholeFile = -1

// add notes a problem of column index col on a row, counted in any steady way.
func (l *problemList) add(col, row int, p Problem) {
	kind := problemKind{col, p.Code}
	if at, ok := l.last[kind]; ok && row != wholeFile && l.fold(at, row, p) {
		l.last[kind] = problemAt{at.index, row}
		return
	}
	p.File, p.Count = l.file, 1
	p.Read = shorten(p.Read)
	if len(l.list) >= MaxProblems {
		l.drop(p)
		return
	}
	if l.last == nil {
		l.last = map[problemKind]problemAt{}
	}
	l.last[kind] = problemAt{len(l.list), row}
	l.list = append(l.list, p)
}

// addMany notes a problem that n rows one after the other have.
func (l *problemList) addMany(n, col int, p Problem) {
	before := len(l.list)
	l.add(col, wholeFile, p)
	if len(l.list) > before {
		l.list[before].Count = n
	}
}

// fold joins p to the problem at, if it is the same one on the row before. What was
// left out or repaired is folded only where the text is the same, so that none vanishes.
func (l *problemList) fold(at problemAt, row int, p Problem) bool {
	q := &l.list[at.index]
	if row != at.row+1 || q.Treatment != p.Treatment || q.Severity != p.Severity || q.Want != p.Want {
		return false
	}
	if p.Severity != Info && shorten(p.Read) != q.Read { // another value that was left out: it has to be said
		return false
	}
	q.Count++
	if text := shorten(p.Read); text != q.Read || q.ReadTo != "" {
		q.ReadTo = text
	}
	return true
}

func (l *problemList) drop(p Problem) {
	l.dropped++
	if l.dropped == 1 || p.Severity.rank() > l.worst.Severity.rank() {
		l.worst = p
	}
}

// sorted is the problems in the order of their lines; the last tells of those
// that found no room.
func (l *problemList) sorted() []Problem {
	sort.SliceStable(l.list, func(i, j int) bool { return l.list[i].Line < l.list[j].Line })
	l.last = nil // its indices no longer hold
	if l.dropped == 0 {
		return l.list
	}
	more := l.worst
	more.Code = "more"
	more.Treatment = fmt.Sprintf("%s; and %d more problems are not listed, none graver", more.Treatment, l.dropped-1)
	return append(l.list, more)
}

// rank orders severities.
func (s Severity) rank() int {
	switch s {
	case Error:
		return 2
	case Warning:
		return 1
	}
	return 0
}

// fatal makes a problem that ends the reading.
func (l *problemList) fatal(line int, code, read, treatment, want string) error {
	return Problem{File: l.file, Line: line, Code: code, Read: shorten(read), Treatment: treatment,
		Want: want, Severity: Error, Count: 1}
}

// shownRunes is how much of an offending text a problem repeats.
const shownRunes = 80

// shorten copies at most shownRunes runes of s, as valid UTF-8, so that a
// problem neither floods a screen nor keeps the file's bytes alive.
func shorten(s string) string {
	if len(s) > 4*shownRunes+4 {
		s = s[:4*shownRunes+4]
	}
	s = strings.ToValidUTF8(s, string(utf8.RuneError))
	if utf8.RuneCountInString(s) <= shownRunes {
		return strings.Clone(s)
	}
	return string([]rune(s)[:shownRunes]) + "…"
}
