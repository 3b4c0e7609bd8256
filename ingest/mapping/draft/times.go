package draft

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"afterloop/ingest/mapping"
)

var clockish = regexp.MustCompile(`^[0-9]{1,4}([:][0-9]{2}){1,2}([.,][0-9]+)?( ?[AaPp]\.?[Mm]\.?)?$`)
var dateish = regexp.MustCompile(`^[0-9]{1,4}[-./ ]([0-9]{1,2}|[A-Za-z]{3})[-./ ][0-9]{2,4}([ T][0-9]{1,2}:[0-9]{2}(:[0-9]{2})?.*)?$|^[0-9]{8}T?[0-9]{6}$`)

// timeLike tells whether a field is a clock or a date.
func timeLike(f string) bool { return clockish.MatchString(f) || dateish.MatchString(f) }

var clockFormats = []string{"hh:mm:ss", "h:mm:ss AM", "h:mm AM", "mm:ss"}
var dateFormats = []string{"YYYY-MM-DD", "YYYY/MM/DD", "YYYY.MM.DD", "DD.MM.YYYY", "DD.MM.YY", "DD-MMM-YYYY", "DD MMM YYYY", "D/M/YYYY", "M/D/YYYY", "D-M-YYYY", "M-D-YYYY", "YYYYMMDD"}

// fits tells whether a format reads every value.
func fits(format string, values []string) bool {
	m := mapping.Mapping{Time: mapping.Time{Format: format}}
	c, err := m.Clock()
	if err != nil || len(values) == 0 {
		return false
	}
	for _, v := range values {
		if _, ok := c.Parse(nil, []byte(v)); !ok {
			return false
		}
	}
	return true
}

// dateFits lists the formats of a date that read every value.
func dateFits(values []string) []string {
	var out []string
	for _, f := range dateFormats {
		all := make([]string, len(values))
		for i, v := range values {
			all[i] = v + " 00:00:00"
		}
		if fits(f+" hh:mm:ss", all) {
			out = append(out, f)
		}
	}
	return out
}

// bothFits lists the formats of a date with a clock that read every value.
func bothFits(values []string) []string {
	var out []string
	for _, d := range dateFormats {
		for _, rest := range []string{" hh:mm:ss", "Thh:mm:ss", "Thh:mm:ssZ", " hh:mm:ssZ", " h:mm:ss AM", "hhmmss", "Thhmmss"} {
			if fits(d+rest, values) {
				out = append(out, d+rest)
			}
		}
	}
	return out
}

// timing is where the time of a row stands.
type timing struct {
	at, dateAt int // -1 for none
	formats    []string
	why        string
	dates      []string // formats of the date
}

// findTime picks the column of time: a date with a clock, a clock, or a number
// that rises and whose name says time.
func (t *table) findTime() timing {
	best := timing{at: -1, dateAt: -1}
	points := 0
	for i := range t.columns {
		c := &t.columns[i]
		p, formats, why := 0, []string(nil), ""
		named := isNamed(c.name, "time", "elapsed", "clock", "timestamp", "runtime", "minutes", "seconds", "min", "sec")
		if both := bothFits(c.values); len(both) > 0 {
			p, formats, why = 40, both, "every field is a date with a clock of this form"
		} else if f, w := clockOf(c.values); len(f) > 0 {
			p, formats, why = 30, f, w
		} else if unit := t.timeUnit(c); unit != "" && named && len(c.numbers) == len(c.values) && rising(c.numbers) {
			p, formats, why = 20, []string{unit}, fmt.Sprintf("numbers that rise; the unit is from %s", orElse(c.unitWhy, "the name"))
		}
		if named {
			p += 10
		}
		if len(formats) > 0 && p > points {
			points, best = p, timing{at: i, dateAt: -1, formats: formats, why: why}
		}
	}
	if best.at < 0 {
		return best
	}
	for i := range t.columns {
		if dates := dateFits(t.columns[i].values); i != best.at && len(dates) > 0 && len(bothFits(t.columns[best.at].values)) == 0 {
			best.dateAt, best.dates = i, dates
			break
		}
	}
	return best
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// timeUnit is the unit of a column of numbers that may be time.
func (t *table) timeUnit(c *column) string {
	if mapping.Dimension(c.unit) == "time" {
		return mapping.Unit(c.unit)
	}
	switch {
	case isNamed(c.name, "seconds", "sec", "secs"):
		return "s"
	case isNamed(c.name, "minutes", "min", "mins"):
		return "min"
	}
	return ""
}

func rising(x []float64) bool {
	ups, downs := 0, 0
	for i := 1; i < len(x); i++ {
		if x[i] > x[i-1] {
			ups++
		} else if x[i] < x[i-1] {
			downs++
		}
	}
	return ups > 0 && downs*10 < ups
}

// clockOf lists the forms of a clock that fit. Two parts are minutes and seconds
// where they begin near zero or rise past 23; else they may be hours and minutes.
func clockOf(values []string) (formats []string, why string) {
	for _, f := range clockFormats {
		if !fits(f, values) {
			continue
		}
		switch f {
		case "mm:ss":
			if strings.HasPrefix(values[0], "0") || !fits("hh:mm", values) || !underDay(values) {
				return []string{f}, "two parts that begin near zero or pass 23: minutes and seconds"
			}
			return []string{f, "hh:mm"}, ""
		case "h:mm AM":
			return []string{f}, "every field is a clock of twelve hours; without seconds, rows of one minute become one"
		}
		return []string{f}, "every field is a clock of this form"
	}
	return nil, ""
}

// underDay tells whether the first parts are all hours of a day.
func underDay(values []string) bool {
	for _, v := range values {
		first, _, _ := strings.Cut(v, ":")
		if n, err := strconv.Atoi(first); err != nil || n > 23 {
			return false
		}
	}
	return true
}

// isNamed tells whether a name holds one of some words, whatever stands between words.
func isNamed(name string, words ...string) bool {
	for _, have := range wordsOf(name) {
		for _, w := range words {
			if have == w {
				return true
			}
		}
	}
	return false
}

// wordsOf are the words and numbers of a name in lower case, without what stands in brackets.
func wordsOf(name string) []string {
	name = strings.ToLower(inBrackets.ReplaceAllString(name, " "))
	var words []string
	for _, w := range strings.FieldsFunc(name, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	}) {
		words = append(words, splitDigits(w)...)
	}
	return words
}

var gasWord = regexp.MustCompile(`^(p{0,2}o2|o2|co2|n2|h2o)([0-9]*)$`)
var withDigits = regexp.MustCompile(`^([^0-9]+)([0-9]+)([^0-9]*)$`)

// splitDigits parts a word from the number at its end (cell1), but for the names of gases.
func splitDigits(w string) []string {
	if m := gasWord.FindStringSubmatch(w); m != nil {
		if m[2] == "" {
			return []string{m[1]}
		}
		return []string{m[1], m[2]}
	}
	if m := withDigits.FindStringSubmatch(w); m != nil {
		parts := []string{m[1], m[2]}
		if m[3] != "" {
			parts = append(parts, m[3])
		}
		return parts
	}
	return []string{w}
}
