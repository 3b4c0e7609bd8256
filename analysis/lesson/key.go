package lesson

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"

	"afterloop/analysis/scenario"
)

// KeySchema names the version of the JSON form of a [Key].
const KeySchema = "afterloop/key/1"

// Key is the instructor's: the sheets of a class with their right answers.
type Key struct {
	Schema string `json:"schema"`
	// Lesson is the lesson's name, Title its heading.
	Lesson string `json:"lesson"`
	Title  string `json:"title"`
	// Seed makes the same class again.
	Seed   uint64  `json:"seed"`
	Sheets []Sheet `json:"sheets"`
}

// Sheet is one student's dive and questions.
type Sheet struct {
	// Sheet identifies it; it stands in the student's page and answers.
	Sheet   string `json:"sheet"`
	Student string `json:"student"`
	// Seed is that of the dive.
	Seed      uint64     `json:"seed"`
	Questions []Question `json:"questions"`
	// Faults are what was wrong in truth; Latent what the dive never brought out.
	Faults []scenario.TrueFault `json:"faults"`
	Latent []scenario.TrueFault `json:"latent,omitempty"`
}

// The kinds of question.
const (
	Choice = "choice" // one option
	Cells  = "cells"  // cells by number, or none, or unknown
	Moment = "moment" // minutes since the first row, or start, or never
	Number = "number"
	Open   = "open" // free text, for the discussion: not marked
)

// Words that an answer may be in place of a figure.
const (
	None      = "none"    // no cell
	CantKnow  = "unknown" // can't be known from this log
	FromStart = "start"
	Never     = "never"
)

// Question is one question with its right answers.
type Question struct {
	// ID counts the questions of a sheet: it stands in the student's files and must
	// not say what the lesson is about. Topic does, for the instructor.
	ID    string `json:"id"`
	Topic string `json:"topic"`
	Stage int    `json:"stage"` // 1 or 2
	Kind  string `json:"kind"`
	Text  string `json:"text"`
	Unit  string `json:"unit,omitempty"`
	// Cells is how many cells there are to choose from.
	Cells   int      `json:"cells,omitempty"`
	Options []Option `json:"options,omitempty"`
	Points  int      `json:"points"`
	// Right are the answers that count, any of them.
	Right []Right `json:"right"`
	// Why says what in the record shows it, or why it can't be known.
	Why string `json:"why"`
	// Tempting says of a wrong answer what it may rest on.
	Tempting string `json:"tempting,omitempty"`
}

// Option is one option of a choice.
type Option struct {
	Letter string `json:"letter"`
	Text   string `json:"text"`
	Right  bool   `json:"right"`
	// Feedback says why a wrong one is tempting and what shows otherwise.
	Feedback string `json:"feedback,omitempty"`
}

// Right is one answer that counts: a word (a letter, cells as "1,3", none,
// unknown, start, never), or a figure with what it may be off.
type Right struct {
	Word      string   `json:"word,omitempty"`
	Value     *float64 `json:"value,omitempty"`
	Tolerance float64  `json:"tolerance,omitempty"`
}

// digest is a number made of words, the same everywhere.
func digest(format string, args ...any) [32]byte {
	return sha256.Sum256(fmt.Appendf(nil, format, args...))
}

// StudentSeed is the seed of the i-th student's dive, from 0. It can't be told
// from the class's seed of another lesson, nor guessed from a neighbour's.
func StudentSeed(lesson string, seed uint64, i int) uint64 {
	sum := digest("afterloop lesson dive\n%s\n%d\n%d", lesson, seed, i)
	return binary.BigEndian.Uint64(sum[:]) >> 11 // whole in a JSON number
}

// sheetID identifies a sheet without saying what it is about.
func sheetID(lesson string, seed uint64, i int) string {
	sum := digest("afterloop lesson sheet\n%s\n%d\n%d", lesson, seed, i)
	return hex.EncodeToString(sum[:5])
}

// NewKey makes the key of a class and the dives that belong to its sheets. The
// error is that of [Make].
func NewKey(l Lesson, seed uint64, students []string) (Key, []*Dive, error) {
	k := Key{Schema: KeySchema, Lesson: l.Name, Title: l.Title, Seed: seed}
	var dives []*Dive
	for i, name := range students {
		d, err := Make(l, StudentSeed(l.Name, seed, i))
		if err != nil {
			return Key{}, nil, err
		}
		facts := d.Truth.Facts
		k.Sheets = append(k.Sheets, Sheet{Sheet: sheetID(l.Name, seed, i), Student: name, Seed: d.Seed, Questions: d.Questions(), Faults: facts.Faults, Latent: facts.Latent})
		dives = append(dives, d)
	}
	return k, dives, nil
}
