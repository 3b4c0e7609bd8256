package lesson

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// mark marks one answer.
func (q Question) mark(answer string) MarkedAnswer {
	m := MarkedAnswer{Question: q, Answer: q.Words(answer), Given: answer != "", RightAnswer: q.RightWords()}
	if q.Kind == Open {
		m.Feedback = q.Why
		return m
	}
	if m.Right = q.IsRight(answer); m.Right {
		m.Points = q.Points
		return m
	}
	m.Feedback = q.Tempting
	for _, o := range q.Options {
		if o.Letter == answer {
			m.Feedback = o.Feedback
		}
	}
	if q.Kind == Cells && (answer == None || answer == "") {
		m.Feedback = ""
	}
	return m
}

// normal writes an answer as the page would have: one that was filled in by hand
// may have capitals, a unit, a decimal comma, cells in another order.
func (q Question) normal(answer string) string {
	answer = strings.TrimSpace(answer)
	if q.Kind == Open {
		return answer
	}
	answer = strings.ToLower(answer)
	switch q.Kind {
	case Number, Moment:
		answer = strings.TrimSpace(strings.TrimSuffix(answer, strings.ToLower(cmp.Or(q.Unit, "min"))))
		answer = strings.Replace(answer, ",", ".", 1)
	case Cells:
		parts := strings.FieldsFunc(answer, func(r rune) bool { return r == ',' || r == ' ' || r == '+' })
		slices.Sort(parts)
		answer = strings.Join(slices.Compact(parts), ",")
	}
	return answer
}

// IsRight tells whether an answer, as normal writes it, counts. Words beat figures.
func (q Question) IsRight(answer string) bool {
	v, err := strconv.ParseFloat(answer, 64)
	isNumber := err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) && (q.Kind == Number || q.Kind == Moment)
	for _, r := range q.Right {
		switch {
		case r.Word != "" && answer == r.Word:
			return true
		case r.Value != nil && isNumber && math.Abs(v-*r.Value) <= r.Tolerance+1e-9:
			return true
		}
	}
	return false
}

// Words is an answer as a person would say it.
func (q Question) Words(answer string) string {
	switch answer {
	case "":
		return "left open"
	case CantKnow:
		return "can't be known from this log"
	case None:
		return "none"
	case FromStart:
		return "from the start"
	case Never:
		return "nothing to name"
	}
	switch q.Kind {
	case Choice:
		for _, o := range q.Options {
			if o.Letter == answer {
				return o.Text
			}
		}
	case Cells:
		if strings.Contains(answer, ",") {
			return "cells " + strings.ReplaceAll(answer, ",", ", ")
		}
		return "cell " + answer
	case Moment:
		return answer + " min"
	case Number:
		return answer + " " + q.Unit
	}
	return answer
}

// RightWords is what counts, in words.
func (q Question) RightWords() string {
	var parts []string
	for _, r := range q.Right {
		if r.Value == nil {
			parts = append(parts, q.Words(r.Word))
			continue
		}
		unit := q.Unit
		if q.Kind == Moment {
			unit = "min"
			if r.Tolerance >= *r.Value {
				parts = append(parts, "up to minute "+plain(math.Round(10*(*r.Value+r.Tolerance))/10))
				continue
			}
		}
		parts = append(parts, fmt.Sprintf("%s ± %s %s", plain(*r.Value), roughly(r.Tolerance), unit))
	}
	return strings.Join(parts, ", or ")
}

// roughly writes a tolerance with two digits: more would claim too much.
func roughly(v float64) string {
	step := math.Pow(10, math.Floor(math.Log10(v))-1)
	return plain(math.Round(v/step) * step)
}

func plain(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }
