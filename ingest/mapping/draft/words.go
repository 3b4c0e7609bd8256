package draft

import (
	"regexp"
	"strings"
)

var mix = regexp.MustCompile(`([0-9]{1,3}) ?/ ?([0-9]{1,3})`)

// wordFor proposes our word for one of theirs, empty for none.
func wordFor(table, theirs string) string {
	n := named{words: map[string]bool{}}
	for _, w := range wordsOf(theirs) {
		n.words[w] = true
	}
	switch table {
	case "event":
		return eventFor(n)
	case "vote":
		return voteFor(n)
	case "breathing":
		switch {
		case n.any("oc", "open", "bailout"):
			return "open"
		case n.any("cc", "ccr", "closed", "loop"):
			return "loop"
		}
	case "gas":
		return gasFor(theirs, n)
	}
	return ""
}

func eventFor(n named) string {
	oxygen, diluent := n.any("o2", "oxygen"), n.any("dil", "diluent")
	byHand := n.any("manual", "hand", "man", "add", "button")
	switch {
	case n.any("flush") && diluent:
		return "diluent_flush"
	case n.any("flush") && oxygen:
		return "oxygen_flush"
	case byHand && oxygen:
		return "manual_oxygen"
	case byHand && diluent:
		return "manual_diluent"
	case n.any("bailout", "oc"):
		return "bailout"
	case n.any("loop", "cc") && n.any("on", "back", "to", "cc"):
		return "on_loop"
	case n.any("calibrate", "calibration", "calibrated", "cal"):
		return "calibration"
	}
	return ""
}

func voteFor(n named) string {
	byHand := n.any("manual", "man", "user")
	word := ""
	switch {
	case n.any("ignored", "out", "off", "excluded", "x", "bad", "fail", "failed", "rejected", "no", "disabled", "0"):
		word = "out"
	case n.any("used", "in", "on", "ok", "good", "yes", "enabled", "included", "voting", "active", "1"):
		word = "in"
	default:
		return ""
	}
	if byHand {
		return "manual_" + word
	}
	return word
}

func gasFor(theirs string, n named) string {
	if m := mix.FindStringSubmatch(theirs); m != nil {
		return m[1] + "/" + m[2]
	}
	if n.any("air") {
		return "air"
	}
	return ""
}

// own tells whether a word is one of the loop log's already.
func own(table, w string) bool {
	lists := map[string]string{"event": " diluent_flush oxygen_flush manual_oxygen manual_diluent bailout on_loop calibration ",
		"vote": " in out manual_in manual_out ", "breathing": " loop open "}
	return strings.Contains(lists[table], " "+w+" ") || table == "gas" && (w == "air" || mix.FindString(w) == w)
}

var separators = []string{"+", "|", ";", " & "}

// separatorOf is what stands between several events in one field, empty for none.
func separatorOf(distinct []string) string {
	for _, sep := range separators {
		for _, w := range distinct {
			parts := strings.Split(w, sep)
			if len(parts) > 1 && strings.TrimSpace(parts[0]) != "" && strings.TrimSpace(parts[1]) != "" {
				return sep
			}
		}
	}
	return ""
}

// splitWords are the single words of fields, each once.
func splitWords(distinct []string, sep string) []string {
	if sep == "" {
		return distinct
	}
	var out []string
	seen := map[string]bool{}
	for _, w := range distinct {
		for _, p := range strings.Split(w, sep) {
			if p = strings.TrimSpace(p); p != "" && !seen[p] {
				seen[p] = true
				out = append(out, p)
			}
		}
	}
	return out
}
