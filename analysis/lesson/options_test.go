package lesson

import (
	"fmt"
	"testing"
	"unicode/utf8"
)

// TestLengthTellsNothing: for every question with options the right one is the
// longest, or the shortest, in no more than a third of the lessons that ask it,
// and every lesson offers the same number of options. A lesson counts as such
// where it holds on more than half of its sheets.
func TestLengthTellsNothing(t *testing.T) {
	const sheets = 3
	asked, longest, shortest := map[string]int{}, map[string][]string{}, map[string][]string{}
	count := map[string]int{}
	for _, l := range All() {
		long, short := map[string]int{}, map[string]int{}
		for _, s := range class(t, l, sheets).Sheets {
			for _, q := range s.Questions {
				if q.Kind != Choice {
					continue
				}
				if n := count[q.Topic]; n != 0 && n != len(q.Options) {
					t.Errorf("%s, %s: %d options; other sheets have %d", l.Name, q.Topic, len(q.Options), n)
				}
				count[q.Topic] = len(q.Options)
				lo, hi, right := 1<<30, 0, 0
				for _, o := range q.Options {
					n := utf8.RuneCountInString(o.Text)
					lo, hi = min(lo, n), max(hi, n)
					if o.Right {
						right = max(right, n)
					}
				}
				if right == hi {
					long[q.Topic]++
				}
				if right == lo {
					short[q.Topic]++
				}
				if _, ok := long[q.Topic]; !ok {
					long[q.Topic] = 0
				}
			}
		}
		for topic, n := range long {
			asked[topic]++
			if 2*n > sheets {
				longest[topic] = append(longest[topic], l.Name)
			}
			if 2*short[topic] > sheets {
				shortest[topic] = append(shortest[topic], l.Name)
			}
		}
	}
	for topic, n := range asked {
		if n < 3 {
			continue // asked in one lesson: no habit to learn
		}
		for what, names := range map[string][]string{"longest": longest[topic], "shortest": shortest[topic]} {
			if 3*len(names) > n {
				t.Errorf("%s: the right option is the %s in %d of %d lessons: %v", topic, what, len(names), n, names)
			}
		}
	}
	if fmt.Sprint(count["seen"]) != fmt.Sprint(seenOptions) {
		t.Errorf("%d statements to choose from; want %d", count["seen"], seenOptions)
	}
}

// TestSomeAreLikely: "likely" and "can't be known" are right somewhere, so that no
// answer to "how far does this log go?" can be ruled out beforehand.
func TestSomeAreLikely(t *testing.T) {
	in := map[string][]string{}
	for _, l := range All() {
		for _, q := range class(t, l, 1).Sheets[0].Questions {
			if q.Topic != "sure" {
				continue
			}
			for _, o := range q.Options {
				for _, id := range sureIDs {
					if o.Right && o.Text == sureTexts[id].text {
						in[id] = append(in[id], l.Name)
					}
				}
			}
		}
	}
	for _, id := range sureIDs {
		if len(in[id]) < 2 {
			t.Errorf("%q is right in %v only; want two lessons at least", id, in[id])
		}
	}
}

// TestSameNumberOfQuestions: the answer file shows how many there are and of which
// stage, and must not tell lessons apart by it.
func TestSameNumberOfQuestions(t *testing.T) {
	for _, l := range All() {
		for _, s := range class(t, l, 2).Sheets {
			n := map[int]int{}
			for _, q := range s.Questions {
				n[q.Stage]++
			}
			if n[1] != firstQuestions || n[2] != secondQuestions {
				t.Errorf("%s: %d and %d questions; want %d and %d", l.Name, n[1], n[2], firstQuestions, secondQuestions)
			}
		}
	}
}
