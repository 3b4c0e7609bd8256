package lesson

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Marks are those of a class.
type Marks struct {
	Key      Key
	Students []Marked
	// Refused are files that could not be marked, each with the reason.
	Refused []Refusal
	// Questions are how the class did, the one that most got wrong first.
	Questions []Summary
	// Missing are the students of the key without a marked file.
	Missing []string
}

// Refusal is a file that was not marked.
type Refusal struct{ File, Reason string }

// Marked is one student's.
type Marked struct {
	File, Student, Sheet string
	Points, Of           int
	Answers              []MarkedAnswer
	// Remarks say what the marker should know: filled in by hand, a stage missing.
	Remarks []string
}

// MarkedAnswer is one question with what was answered.
type MarkedAnswer struct {
	Question Question
	Answer   string // as given, in words
	Given    bool
	Right    bool
	Points   int
	// Feedback is why a wrong answer is tempting and what shows otherwise.
	Feedback string
	// RightAnswer is in words.
	RightAnswer string
}

// Summary is one question over the class.
type Summary struct {
	Topic, Text          string
	Stage                int
	Right, Wrong, Open   int
	MostChosen           string // the wrong answer given most often, in words
	MostChosenBy         int
	Changed, ChangedGood int // cells: answers that changed at the second look, and for the better
}

// Share is how many of those who answered or left it open were right, 0 to 1.
func (s Summary) Share() float64 {
	return float64(s.Right) / math.Max(1, float64(s.Right+s.Wrong+s.Open))
}

// Handed is an answer file that was read, or what was wrong with it.
type Handed struct {
	File    string
	Answers Answers
	Err     error
}

// Noted are the codes that the instructor took down at the commitment, by sheet
// and stage; an empty one was not taken down.
type Noted map[string][2]string

// Mark marks what was handed in. A file of another lesson or class, one whose
// answers were changed after they were committed, one with other codes than were
// noted (noted may be nil), and a second one for a sheet are refused with the
// reason and never marked as wrong.
func Mark(k Key, handed []Handed, noted Noted) Marks {
	m := Marks{Key: k}
	first := map[string]string{}
	for _, h := range handed {
		mk, why := markOne(k, h, first, noted)
		if why != "" {
			m.Refused = append(m.Refused, Refusal{h.File, why})
			continue
		}
		m.Students = append(m.Students, mk)
	}
	for _, s := range k.Sheets {
		if _, ok := first[s.Sheet]; !ok {
			m.Missing = append(m.Missing, s.Student)
		}
	}
	m.summarise()
	return m
}

func markOne(k Key, h Handed, first map[string]string, noted Noted) (Marked, string) {
	if h.Err != nil {
		return Marked{}, h.Err.Error()
	}
	i := slices.IndexFunc(k.Sheets, func(s Sheet) bool { return s.Sheet == h.Answers.Sheet })
	if i < 0 {
		return Marked{}, fmt.Sprintf("its sheet %q is not in this key: another lesson, another class, or another seed", short(h.Answers.Sheet))
	}
	s := k.Sheets[i]
	if f, ok := first[s.Sheet]; ok {
		return Marked{}, "the sheet of " + s.Student + " was handed in already, as " + f
	}
	mk := Marked{File: h.File, Student: s.Student, Sheet: s.Sheet}
	if n := h.Answers.Student; n != "" && n != s.Student {
		mk.Remarks = append(mk.Remarks, fmt.Sprintf("the file says %q, the sheet was given to %q", short(n), s.Student))
	}
	if why := mk.checkStages(s, h.Answers, noted[s.Sheet]); why != "" {
		return Marked{}, why
	}
	first[s.Sheet] = h.File
	given := map[string]string{}
	for _, st := range h.Answers.Stages {
		for _, a := range st.Answers {
			given[a.ID] = strings.TrimSpace(a.Answer)
		}
	}
	for _, q := range s.Questions {
		a := q.mark(q.normal(given[q.ID]))
		mk.Points, mk.Of = mk.Points+a.Points, mk.Of+q.Points
		mk.Answers = append(mk.Answers, a)
	}
	return mk, ""
}

// checkStages makes sure that the answers belong to the questions and that they
// are those that were committed to.
func (mk *Marked) checkStages(s Sheet, a Answers, noted [2]string) string {
	before := ""
	for _, st := range a.Stages {
		for _, x := range st.Answers {
			if !slices.ContainsFunc(s.Questions, func(q Question) bool { return q.ID == x.ID && q.Stage == st.Stage }) {
				return fmt.Sprintf("stage %d of this sheet has no question %q", st.Stage, short(x.ID))
			}
		}
		switch want, told := Code(a.Sheet, before, st), noted[st.Stage-1]; {
		case told != "" && !strings.EqualFold(told, st.Code):
			return fmt.Sprintf("at the commitment of stage %d the code %s was noted; the file has %q", st.Stage, short(told), short(st.Code))
		case st.Code == "":
			mk.Remarks = append(mk.Remarks, fmt.Sprintf("stage %d was filled in by hand: nothing was committed to", st.Stage))
		case st.Code != want:
			return fmt.Sprintf("the answers of stage %d are not those that were committed to (code %s; these answers give %s)", st.Stage, short(st.Code), want)
		}
		before = st.Code
	}
	for stage := len(a.Stages) + 1; stage <= 2; stage++ {
		mk.Remarks = append(mk.Remarks, fmt.Sprintf("stage %d was not handed in", stage))
	}
	return ""
}

// topicNames stand for questions whose text names a figure of the sheet's own.
var topicNames = map[string]string{
	"when": "From when does the record show it?", "flush": "What PO2 does a complete flush give?", "true": "What was the true PO2?", "t90": "T90 of the slowest cell",
	"share": "Which share of the PO2?", "minutes": "For how many minutes?", "loss": "By how much does the worst cell read too low?", "range": "How wide is the range that the cells span?",
	"helium": "What PO2 follows from the helium?", "above": "By how much do the cells read above the flush?", "percent": "By how many per cent do all read too high?", "breathed": "What PO2 is breathed on open circuit?",
	"count": "How many openings gave nothing?", "slope": "How fast did PO2 rise with the valves shut?", "flow": "How much oxygen came in?", "low": "What was the lowest PO2?", "left": "How many minutes until 0.16 bar?",
	"over": "How far past the new set point?", "swing": "How far does PO2 swing?", "one": "What should one opening add?", "descent": "What does a descent alone add?", "valve": "After whose openings does PO2 not rise?",
}

// summarise counts question by question; those asked of everybody stand once.
func (m *Marks) summarise() {
	at := map[string]int{}
	wrong := map[string]map[string]int{}
	for _, s := range m.Students {
		cells := map[string]MarkedAnswer{}
		for _, a := range s.Answers {
			q := a.Question
			if q.Kind == Open {
				continue
			}
			if _, ok := at[q.Topic]; !ok {
				at[q.Topic], wrong[q.Topic] = len(m.Questions), map[string]int{}
				m.Questions = append(m.Questions, Summary{Topic: q.Topic, Text: cmp.Or(topicNames[q.Topic], q.Text), Stage: q.Stage})
			}
			x := &m.Questions[at[q.Topic]]
			switch {
			case a.Right:
				x.Right++
			case a.Given:
				x.Wrong++
				if q.Kind == Choice || q.Kind == Cells && (a.Answer == "none" || strings.HasPrefix(a.Answer, "can't")) {
					wrong[q.Topic][a.Answer]++
				}
			default:
				x.Open++
			}
			cells[q.Topic] = a
		}
		if one, two := cells["cells-1"], cells["cells-2"]; one.Answer != two.Answer && two.Given {
			x := &m.Questions[at["cells-2"]]
			x.Changed++
			if two.Right {
				x.ChangedGood++
			}
		}
	}
	for i := range m.Questions {
		x := &m.Questions[i]
		for text, n := range wrong[x.Topic] {
			if n > x.MostChosenBy || n == x.MostChosenBy && text < x.MostChosen {
				x.MostChosen, x.MostChosenBy = text, n
			}
		}
	}
	slices.SortStableFunc(m.Questions, func(a, b Summary) int {
		switch {
		case a.Share() < b.Share():
			return -1
		case a.Share() > b.Share():
			return 1
		}
		return 0
	})
}
