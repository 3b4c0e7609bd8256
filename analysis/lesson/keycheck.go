package lesson

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// check makes sure that every marked question can be marked: a key that lost a
// part would call right answers wrong without a word.
func (k Key) check() error {
	sheets := map[string]bool{}
	for _, s := range k.Sheets {
		if s.Sheet == "" || sheets[s.Sheet] {
			return fmt.Errorf("sheet %q stands twice or has no name", short(s.Sheet))
		}
		sheets[s.Sheet] = true
		if err := s.check(); err != nil {
			return fmt.Errorf("sheet %s: %w", short(s.Sheet), err)
		}
	}
	return nil
}

func (s Sheet) check() error {
	ids, stages := map[string]bool{}, map[int]bool{}
	for _, q := range s.Questions {
		if q.ID == "" || ids[q.ID] {
			return fmt.Errorf("question %q stands twice or has no id", short(q.ID))
		}
		ids[q.ID], stages[q.Stage] = true, true
		if err := q.check(); err != nil {
			return fmt.Errorf("question %s: %w", short(q.ID), err)
		}
	}
	if len(stages) != 2 || !stages[1] || !stages[2] {
		return errors.New("there are not questions of both stages")
	}
	return nil
}

func (q Question) check() error {
	switch {
	case !slices.Contains([]string{Choice, Cells, Moment, Number, Open}, q.Kind):
		return fmt.Errorf("there is no kind %q", short(q.Kind))
	case q.Kind == Open:
		return nil
	case q.Points <= 0:
		return errors.New("it gives no points")
	case len(q.Right) == 0:
		return errors.New("it has no right answer")
	case q.Kind == Choice && len(q.Options) < 2:
		return errors.New("it has no options")
	case q.Kind == Cells && q.Cells <= 0:
		return errors.New("it has no cells")
	}
	for _, r := range q.Right {
		if err := q.checkRight(r); err != nil {
			return err
		}
	}
	return q.checkOptions()
}

// checkRight wants a word or a figure with a tolerance, as the kind allows.
func (q Question) checkRight(r Right) error {
	figure := q.Kind == Number || q.Kind == Moment
	switch {
	case (r.Word == "") == (r.Value == nil):
		return errors.New("a right answer is neither a word nor a figure, or both")
	case r.Value != nil && !figure, r.Value == nil && q.Kind == Number:
		return fmt.Errorf("a right answer does not fit its kind, %s", q.Kind)
	case r.Value != nil && (!(r.Tolerance > 0) || math.IsInf(r.Tolerance, 0)):
		return errors.New("a figure has no tolerance")
	case q.Kind == Choice && !slices.ContainsFunc(q.Options, func(o Option) bool { return o.Letter == r.Word && o.Right }):
		return fmt.Errorf("its right answer %q is not among the right options", short(r.Word))
	}
	return nil
}

// checkOptions wants the marks on the options to be the right answers.
func (q Question) checkOptions() error {
	letters := map[string]bool{}
	for _, o := range q.Options {
		if o.Letter == "" || letters[o.Letter] {
			return fmt.Errorf("option %q stands twice or has no letter", short(o.Letter))
		}
		letters[o.Letter] = true
		if o.Right && !slices.ContainsFunc(q.Right, func(r Right) bool { return r.Word == o.Letter }) {
			return fmt.Errorf("option %s is marked right, but is no right answer", o.Letter)
		}
	}
	return nil
}
