package draft

import (
	"fmt"
	"strings"
	"unicode"
)

// eventLike is what a word that is none of the known ones may be all the same: its
// letters hold those of a bailout or a flush. Empty for what looks like neither.
func eventLike(theirs string) string {
	letters := strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, theirs)
	switch {
	case strings.Contains(letters, "bail"), strings.Contains(letters, "opencircuit"):
		return "bailout"
	case strings.Contains(letters, "flush") && strings.Contains(letters, "dil"):
		return "diluent_flush"
	case strings.Contains(letters, "flush"):
		return "diluent_flush or oxygen_flush"
	}
	return ""
}

func firstWord(s string) string { return strings.Fields(s)[0] }

// mostAsked bounds the words of events that one question lists.
const mostAsked = 10

// askNotes lists the events that nobody settled: they stay notes, and are easily
// overlooked in a long file.
func (w *writer) askNotes(words []string) {
	if len(words) == 0 {
		return
	}
	quoted := make([]string, 0, mostAsked)
	for _, x := range words[:min(len(words), mostAsked)] {
		quoted = append(quoted, q(x))
	}
	more := ""
	if n := len(words) - len(quoted); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	w.ask(fmt.Sprintf("events kept as notes, since their words are not known: %s%s", strings.Join(quoted, ", "), more))
}
