package ingest

import "strings"

// wordList finds our word for one of theirs: as it is spelt, else without regard to case.
type wordList struct{ spelt, folded map[string]string }

// add adds words; of two that differ in case alone, the first in order counts for others.
func (l *wordList) add(words map[string]string) {
	if len(words) > 0 && l.spelt == nil {
		l.spelt, l.folded = map[string]string{}, map[string]string{}
	}
	for _, theirs := range sortedKeys(words) {
		for _, t := range []struct {
			table map[string]string
			key   string
		}{{l.spelt, theirs}, {l.folded, strings.ToLower(theirs)}} {
			if _, taken := t.table[t.key]; !taken {
				t.table[t.key] = words[theirs]
			}
		}
	}
}

func (l *wordList) ours(theirs []byte) (word []byte, ok bool) {
	if l.spelt == nil {
		return nil, false
	}
	w, ok := l.spelt[string(theirs)]
	if !ok {
		w, ok = l.folded[strings.ToLower(string(theirs))]
	}
	return []byte(w), ok
}

func (c *translation) wordsOf(q quantity) map[string]string {
	switch q {
	case cellVoteQuantity:
		return c.m.Words.Vote
	case breathingQuantity:
		return c.m.Words.Breathing
	case openGasQuantity, diluentQuantity:
		return c.m.Words.Gas
	case noteQuantity:
		return nil
	}
	return c.m.Words.Event
}

// checkWords makes sure that every word of theirs becomes one of ours.
func (c *translation) checkWords() error {
	for _, t := range []struct {
		key   string
		words map[string]string
		valid func(string) bool
		want  string
	}{
		{"words.vote", c.m.Words.Vote, isWord("in", "out", "manual_in", "manual_out", ""), "in, out, manual_in, manual_out"},
		{"words.breathing", c.m.Words.Breathing, isWord("loop", "open", ""), "loop, open"},
		{"words.event", c.m.Words.Event, func(s string) bool { _, exact, ok := eventOf(s); return s == "" || ok && exact }, eventWords()},
	} {
		for _, word := range sortedKeys(t.words) {
			if ours := t.words[word]; !t.valid(ours) {
				return c.m.Fail(t.key+"."+word, "%q is no word of a loop log; give one of %s", ours, t.want)
			}
		}
	}
	return nil
}

func isWord(words ...string) func(string) bool {
	return func(s string) bool {
		for _, w := range words {
			if s == w {
				return true
			}
		}
		return false
	}
}
