package lesson

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"afterloop/analysis/wording"
)

// sheet gathers the questions of one dive.
type sheet struct {
	*Dive
	r  *rand.Rand
	qs []Question
}

// Questions are those about this dive, with the right answers from its truth.
func (d *Dive) Questions() []Question {
	s := &sheet{Dive: d, r: rand.New(rand.NewPCG(d.Seed, 0xA5A5A5A5))}
	d.Lesson.ask(s)
	slices.SortStableFunc(s.qs, func(a, b Question) int { return a.Stage - b.Stage })
	for i := range s.qs {
		s.qs[i].ID = fmt.Sprintf("q%d", i+1)
	}
	return s.qs
}

// option is an option before it has a letter.
type option struct {
	text, feedback string
	right          bool
}

// choice asks for one of several options, in an order of the sheet's own.
func (s *sheet) choice(stage int, id, text string, points int, why string, options ...option) {
	q := Question{Topic: id, Stage: stage, Kind: Choice, Text: text, Points: points, Why: why}
	for i, k := range s.r.Perm(len(options)) {
		o := Option{Letter: string(rune('a' + i)), Text: options[k].text, Right: options[k].right, Feedback: options[k].feedback}
		if q.Options = append(q.Options, o); o.Right {
			q.Right = append(q.Right, Right{Word: o.Letter})
		}
	}
	s.qs = append(s.qs, q)
}

// seen asks which statement fits the record: the right one, the tempting ones,
// and always the two that a hurried reader forgets.
func (s *sheet) seen(right, why string, tempting ...string) {
	ids := append([]string{right}, tempting...)
	for _, always := range []string{nothingWrong, notSettled} {
		if !slices.Contains(ids, always) {
			ids = append(ids, always)
		}
	}
	var options []option
	for _, id := range ids {
		st := statements[id]
		o := option{text: st.text, right: id == right}
		if !o.right {
			o.feedback = st.tempting + " " + st.otherwise
		}
		options = append(options, o)
	}
	s.choice(1, "seen", "Which statement fits the record best?", 2, why, options...)
}

// cells asks, before and after the second look, which cells not to trust.
func (s *sheet) cells(why, tempting string, right ...string) {
	for stage, text := range []string{
		"Which cells would you not trust on this dive?",
		"Now with what you have just been shown: which cells would you not trust?"} {
		q := Question{Topic: fmt.Sprintf("cells-%d", stage+1), Stage: stage + 1, Kind: Cells, Text: text, Cells: len(s.Spec.Cells), Points: 2, Why: why, Tempting: tempting}
		for _, r := range right {
			q.Right = append(q.Right, Right{Word: r})
		}
		s.qs = append(s.qs, q)
	}
}

// when asks from when it shows.
func (s *sheet) when(why string, right ...Right) {
	s.qs = append(s.qs, Question{Topic: "when", Stage: 1, Kind: Moment, Points: 2, Why: why, Right: right,
		Text: "From when does the record show what you named? Minutes since the first row; or that it is there from the start; or that there is nothing to name."})
}

// minutes is a moment of the log as minutes since its first row.
func (s *sheet) minutes(tS, tolerance float64) Right {
	v := round((tS-s.tS[0])/60, 0.1)
	return Right{Value: &v, Tolerance: tolerance}
}

// number asks for a figure at the second look.
func (s *sheet) number(id, text, unit string, value, tolerance float64, why string) {
	s.figure(2, id, text, unit, value, tolerance, why)
}

func (s *sheet) figure(stage int, id, text, unit string, value, tolerance float64, why string) {
	s.qs = append(s.qs, Question{Topic: id, Stage: stage, Kind: Number, Text: text, Unit: unit, Points: 2, Right: []Right{{Value: &value, Tolerance: tolerance}}, Why: why})
}

// flushValue asks what a flush should have shown: at the first look, since the
// second one shows it.
func (s *sheet) flushValue(atS float64) {
	tS, bar := s.flushed(atS)
	s.figure(1, "flush", fmt.Sprintf("A diluent flush (%s) ended at %s. What PO2 does a complete flush give there?", s.Spec.Diluent, wording.Clock(tS-6-s.tS[0])), "bar", round(bar, 0.01), 0.06,
		fmt.Sprintf("Oxygen fraction of the diluent times ambient pressure: %.2f x %.2f bar = %.2f bar; with gas that is humid at the cells up to %.2f bar less. After a flush that came down the PO2 can be higher than that, and lower only by what the diver has used since, some hundredths of a bar.", s.diluentO2(), s.ambient(tS), bar, s.diluentO2()*0.0627))
}

// sure asks how far the log goes.
func (s *sheet) sure(right, why string) {
	var options []option
	for _, id := range sureIDs {
		st := sureTexts[id]
		o := option{text: st.text, right: id == right}
		if !o.right {
			o.feedback = st.tempting + " " + st.otherwise
		}
		options = append(options, o)
	}
	s.choice(2, "sure", "How far does this log go?", 2, why, options...)
}

// next asks what to do.
func (s *sheet) next(right, why string, wrong ...option) {
	s.choice(2, "next", "What would you do next?", 2, why, append([]option{{text: right, right: true}}, wrong...)...)
}

// talk is for the discussion.
func (s *sheet) talk(text, why string) {
	s.qs = append(s.qs, Question{Topic: "talk", Stage: 2, Kind: Open, Text: text, Why: why, Right: []Right{}})
}

// no is a wrong option with its feedback.
func no(text, feedback string) option { return option{text: text, feedback: feedback} }

// numbers writes cells as an answer does: ascending, "1,3".
func numbers(cells ...int) string {
	cells = slices.Clone(cells)
	slices.Sort(cells)
	var parts []string
	for _, c := range cells {
		parts = append(parts, fmt.Sprint(c))
	}
	return strings.Join(parts, ",")
}

// words writes cells as a person does: "1 and 3".
func words(cells ...int) string {
	return wording.And(strings.Split(numbers(cells...), ","))
}

// others are the cells that are not listed.
func (d *Dive) others(cells ...int) []int {
	var rest []int
	for k := range d.Spec.Cells {
		if !slices.Contains(cells, k+1) {
			rest = append(rest, k+1)
		}
	}
	return rest
}

// fromStart and never are answers to "when".
func fromStart() Right { return Right{Word: FromStart} }
func never() Right     { return Right{Word: Never} }
