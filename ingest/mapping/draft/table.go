package draft

import (
	"regexp"
	"strings"

	"afterloop/ingest/mapping"
)

// maxLines is how much of a file is looked at.
const maxLines = 50_000

// table is a file cut up as well as it can be without a mapping.
type table struct {
	encoding, encodingWhy string
	lines                 []string
	delimiter             string
	width                 int // fields of a row
	headerAt              int // index of the line; -1 for none
	unitsAt               int // -1 for none
	names, units          []string
	rows                  [][]string
	rowAt                 []int // index of the line of each row
	headers               []int // lines that hold the header, all of them
	decimal, thousands    string
	decimalWhy            string
	unitsInCells          bool
	missing               []string
	doubtful              []string // words for nothing that are words in other columns
	columns               []column
}

// column is what one column of theirs holds.
type column struct {
	name, unit string // unit as the file shows it: below the name, in brackets, or in the cells
	unitWhy    string
	mixed      string   // what stands behind some of the numbers, where no one unit stands behind nearly all
	values     []string // not empty
	numbers    []float64
	distinct   []string // in the order of the file, at most maxDistinct
	many       bool     // more than maxDistinct
}

const maxDistinct = 40

var delimiters = []string{";", "\t", "|", ","}

func look(data []byte) *table {
	t := &table{headerAt: -1, unitsAt: -1}
	t.encoding, t.encodingWhy = mapping.Guess(data)
	text := string(mapping.Decode(data, t.encoding).Text)
	t.lines = strings.SplitN(strings.ReplaceAll(text, "\r\n", "\n"), "\n", maxLines+1)
	t.lines = t.lines[:min(len(t.lines), maxLines)]
	t.findDelimiter()
	t.findRows()
	t.findNumbers()
	t.findColumns()
	return t
}

// cut cuts a line at a delimiter, quotes as in RFC 4180.
func cut(line, delimiter string) []string {
	var fields []string
	for {
		if strings.HasPrefix(line, `"`) {
			if end := closing(line); end > 0 {
				field := strings.ReplaceAll(line[1:end], `""`, `"`)
				rest := line[end+1:]
				if after, ok := strings.CutPrefix(rest, delimiter); ok {
					fields, line = append(fields, field), after
					continue
				}
				if rest == "" {
					return append(fields, field)
				}
			}
		}
		field, rest, more := strings.Cut(line, delimiter)
		fields = append(fields, strings.TrimSpace(field))
		if !more {
			return fields
		}
		line = rest
	}
}

// closing is the place of the quote that closes the field at the start of s, 0 for none.
func closing(s string) int {
	for i := 1; i < len(s); i++ {
		if s[i] != '"' {
			continue
		}
		if i+1 < len(s) && s[i+1] == '"' {
			i++
			continue
		}
		return i
	}
	return 0
}

// findDelimiter takes the character that cuts most lines into as many fields,
// of which most are numbers, times or words without another delimiter.
func (t *table) findDelimiter() {
	best := 0.0
	for _, d := range delimiters {
		count := map[int]int{}
		good := map[int]float64{}
		for _, l := range t.lines {
			if strings.TrimSpace(l) == "" {
				continue
			}
			fields := cut(l, d)
			count[len(fields)]++
			good[len(fields)] += goodFields(fields)
		}
		for width, lines := range count {
			if score := good[width]; width >= 3 && lines >= 2 && (score > best || score == best && width > t.width) {
				best, t.delimiter, t.width = score, d, width
			}
		}
	}
}

var oneNumber = regexp.MustCompile(`^[-+\x{2212}]?[0-9]+([.,' \x{a0}][0-9]+)*$`)
var numberAndUnit = regexp.MustCompile(`^([-+\x{2212}]?[0-9][0-9.,' \x{a0}]*) ?([^0-9 .,][^0-9]*)$`)

// goodFields counts the fields that look like one value.
func goodFields(fields []string) float64 {
	n := 0.0
	for _, f := range fields {
		switch {
		case strings.ContainsAny(f, ";\t|"):
			n--
		case oneNumber.MatchString(f) || timeLike(f):
			n++
		case numberAndUnit.MatchString(f):
			n += 0.8
		}
	}
	return n
}

// findRows finds the header, the row of units and the rows.
func (t *table) findRows() {
	if t.width == 0 {
		return
	}
	for i, l := range t.lines {
		fields := cut(l, t.delimiter)
		if len(fields) == t.width && valueShare(fields) >= 0.5 {
			t.rows, t.rowAt = append(t.rows, fields), append(t.rowAt, i)
		}
	}
	if len(t.rows) == 0 {
		return
	}
	t.findHeader(t.rowAt[0])
	if t.headerAt < 0 {
		return
	}
	for i, l := range t.lines {
		if strings.TrimSpace(l) != "" && l == t.lines[t.headerAt] {
			t.headers = append(t.headers, i)
		}
	}
	t.takeSparseRows()
}

// findHeader looks upwards from the first row.
func (t *table) findHeader(first int) {
	for at := first - 1; at >= 0 && at >= first-4; at-- {
		fields := cut(t.lines[at], t.delimiter)
		if len(fields) < t.width-1 || len(fields) > t.width+1 {
			continue
		}
		if t.unitsAt < 0 && isUnits(fields) {
			t.unitsAt, t.units = at, fields
			continue
		}
		if valueShare(fields) == 0 && filled(fields) >= 2 {
			t.headerAt, t.names = at, fields
			return
		}
	}
}

// takeSparseRows adds what stands among the rows with as many fields and a time,
// such as events.
func (t *table) takeSparseRows() {
	seen := map[int]bool{}
	for _, at := range t.rowAt {
		seen[at] = true
	}
	var rows [][]string
	var rowAt []int
	k := 0
	for i := t.headerAt + 1; i < len(t.lines); i++ {
		switch fields := cut(t.lines[i], t.delimiter); {
		case seen[i]:
			rows, rowAt = append(rows, t.rows[k]), append(rowAt, i)
			k++
		case len(fields) == t.width && hasTime(fields):
			rows, rowAt = append(rows, fields), append(rowAt, i)
		}
	}
	t.rows, t.rowAt = rows, rowAt
}

func hasTime(fields []string) bool {
	for _, f := range fields {
		if timeLike(f) {
			return true
		}
	}
	return false
}

func filled(fields []string) int {
	n := 0
	for _, f := range fields {
		if f != "" {
			n++
		}
	}
	return n
}

// valueShare is the share of filled fields that are numbers or times.
func valueShare(fields []string) float64 {
	n := 0
	for _, f := range fields {
		if oneNumber.MatchString(f) || timeLike(f) || numberAndUnit.MatchString(f) {
			n++
		}
	}
	return float64(n) / float64(max(1, filled(fields)))
}

// isUnits tells whether most filled fields are units.
func isUnits(fields []string) bool {
	n := 0
	for _, f := range fields {
		if f != "" && mapping.Unit(f) != "" {
			n++
		}
	}
	return n >= 2 && 2*n >= filled(fields)
}
