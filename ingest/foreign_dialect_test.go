package ingest

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"afterloop/analysis/gas"
	"afterloop/ingest/mapping"
)

// dialect is a way of writing a log that is not the loop log's. It writes a
// dive, and the mapping that reads it: what reading gives must be the dive.
type dialect struct {
	encoding                      string // as in the mapping
	mark                          bool   // a byte-order mark
	delimiter, decimal, thousands string
	missing                       string
	lead                          []string // lines above the first header; %N is the dive's number
	skipUntil                     string
	unitsRow, unitsInCells        bool
	timeName, timeFormat          string
	dateName, dateFormat          string
	zone                          string
	split                         string // dives.split
	diveName                      string // column, for split = column
	names                         []string
	gap                           string // between dives
	headerEvery                   int    // rows after which the header comes again
	eventRows                     bool   // events stand on rows of their own
	lineEnd                       string
	columns                       []theirColumn
	words                         map[string]map[string]string // table, ours -> theirs
	metadata                      string                       // TOML
	events                        string                       // TOML
}

// theirColumn is one column of a dialect.
type theirColumn struct {
	ours, name, unit string
	unitShown        string // in the row of units, if it is spelt otherwise
	decimals         int
	scale, offset    float64
	value            func(d *Dive, row int) float64 // a number
	text             func(d *Dive, row int) string  // or a word
}

func (c theirColumn) shown() string {
	if c.unitShown != "" {
		return c.unitShown
	}
	return c.unit
}

// field is a field of the dialect.
func (w *dialect) field(c theirColumn, d *Dive, row int) string {
	if c.text != nil {
		return w.word(c, c.text(d, row))
	}
	v := c.value(d, row)
	if IsMissing(v) {
		return w.missing
	}
	def, _, _ := match(c.ours)
	unit := c.unit
	if unit == "" {
		unit = def.unit
	}
	mul, div, add, ok := mapping.Convert(unit, def.unit)
	if !ok {
		panic("test: unit " + unit + " of " + c.ours)
	}
	v = (v - add) * div / mul
	if c.scale != 0 {
		v = (v - c.offset) / c.scale
	}
	s := w.number(v, c.decimals)
	if w.unitsInCells && c.unit != "" {
		s += " " + c.shown()
	}
	return s
}

func (w *dialect) number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	whole, part, _ := strings.Cut(s, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	if w.thousands != "" {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + w.thousands + whole[i:]
		}
	}
	if part != "" {
		part = w.decimal + part
	}
	return sign + whole + part
}

// word is their word for one of ours.
func (w *dialect) word(c theirColumn, ours string) string {
	def, _, _ := match(c.ours)
	table := map[quantity]string{cellVoteQuantity: "vote", breathingQuantity: "breathing", eventQuantity: "event", diluentQuantity: "gas", openGasQuantity: "gas"}[def.quantity]
	var out []string
	parts := []string{ours}
	if table == "event" {
		parts = strings.Split(ours, ";")
	}
	for _, o := range parts {
		if theirs, ok := w.words[table][o]; ok {
			o = theirs
		}
		out = append(out, o)
	}
	text := strings.Join(out, "+")
	if strings.ContainsAny(text, w.delimiter+"\"\n") {
		text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	if text == "" && table != "event" && def.quantity != noteQuantity {
		return w.missing
	}
	return text
}

// clock writes a time of the dive, which counts from the midnight of day.
func (w *dialect) clock(format string, tS float64, day time.Time) string {
	switch format {
	case "s", "":
		return w.number(tS, 0)
	case "min":
		return w.number(tS/60, 3)
	case "mm:ss":
		return fmt.Sprintf("%d:%02.0f", int(tS)/60, math.Mod(tS, 60))
	}
	layout := strings.NewReplacer("YYYY", "2006", "MMM", "Jan", "MM", "01", "M/", "1/", "DD", "02", "D/", "2/", "hh", "15", "h:", "3:", "mm", "04", "ss", "05", "AM", "PM", "Z", "Z07:00").Replace(format)
	return day.Add(time.Duration(tS * float64(time.Second))).Format(layout)
}

// write writes dives that begin on the day of their number.
func (w *dialect) write(dives []*Dive) []byte {
	var b strings.Builder
	end := w.lineEnd
	if end == "" {
		end = "\n"
	}
	line := func(fields []string) { b.WriteString(strings.Join(fields, w.delimiter) + end) }
	header := func() {
		names, units := []string{}, []string{}
		for _, c := range w.all() {
			names, units = append(names, c.name), append(units, c.shown())
		}
		line(names)
		if w.unitsRow {
			line(units)
		}
	}
	for n, d := range dives {
		if n == 0 || w.split == "header" {
			for _, l := range w.lead {
				b.WriteString(strings.ReplaceAll(l, "%N", strconv.Itoa(n+1)) + end)
			}
			header()
		} else if w.gap != "" {
			b.WriteString(end)
		}
		for row := range d.TimeS {
			if w.headerEvery > 0 && row > 0 && row%w.headerEvery == 0 {
				header()
			}
			for _, fields := range w.rows(d, n, row) {
				line(fields)
			}
		}
	}
	return w.encode(b.String())
}

// all is every column: those of the time and the dive, then the others.
func (w *dialect) all() []theirColumn {
	var cols []theirColumn
	if w.diveName != "" {
		cols = append(cols, theirColumn{name: w.diveName})
	}
	if w.dateName != "" {
		cols = append(cols, theirColumn{name: w.dateName})
	}
	cols = append(cols, theirColumn{name: w.timeName})
	return append(cols, w.columns...)
}

// rows is a row, and those of its events.
func (w *dialect) rows(d *Dive, n, row int) [][]string {
	day := inventedDay.AddDate(0, 0, n)
	if w.zone != "" {
		zone, _ := time.Parse("-07:00", w.zone)
		day = time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone.Location())
	}
	var lead []string
	if w.diveName != "" {
		lead = append(lead, w.names[n])
	}
	if w.dateName != "" {
		lead = append(lead, w.clock(w.dateFormat, d.TimeS[row], day))
	}
	lead = append(lead, w.clock(w.timeFormat, d.TimeS[row], day))
	sample, event, events := append([]string{}, lead...), append([]string{}, lead...), false
	for _, c := range w.columns {
		f := w.field(c, d, row)
		isEvent := c.ours == "event" || c.ours == "note"
		switch {
		case w.eventRows && isEvent:
			sample, event = append(sample, ""), append(event, f)
			events = events || f != ""
		default:
			sample, event = append(sample, f), append(event, "")
		}
	}
	if events {
		return [][]string{sample, event}
	}
	return [][]string{sample}
}

var inventedDay = time.Date(2026, 5, 23, 0, 0, 0, 0, time.UTC)

func (w *dialect) encode(s string) []byte {
	switch w.encoding {
	case "utf-16le", "utf-16":
		return utf16Bytes(s, unicode.LittleEndian, w.mark)
	case "utf-16be":
		return utf16Bytes(s, unicode.BigEndian, w.mark)
	case "windows-1252":
		b, err := charmap.Windows1252.NewEncoder().Bytes([]byte(s))
		if err != nil {
			panic(err)
		}
		return b
	}
	if w.mark {
		return append(append([]byte{}, bom...), s...)
	}
	return []byte(s)
}

func utf16Bytes(s string, order unicode.Endianness, mark bool) []byte {
	policy := unicode.IgnoreBOM
	if mark {
		policy = unicode.UseBOM
	}
	b, err := unicode.UTF16(order, policy).NewEncoder().Bytes([]byte(s))
	if err != nil {
		panic(err)
	}
	return b
}

// mapping is the TOML that reads what the dialect writes.
func (w *dialect) mapping() string {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format, args...) }
	p("mapping = 1\n\n[file]\nencoding = %q\ndelimiter = %q\ndecimal = %q\n", w.encoding, w.delimiter, w.decimal)
	if w.thousands != "" {
		p("thousands = %q\n", w.thousands)
	}
	if w.missing != "" {
		p("missing = [%q]\n", w.missing)
	}
	if w.skipUntil != "" {
		p("skip_until = %q\n", w.skipUntil)
	}
	p("units_in_cells = %t\n\n[header]\nunits_row = %t\n\n[time]\ncolumn = %q\nformat = %q\n", w.unitsInCells, w.unitsRow, w.timeName, w.timeFormat)
	if w.dateName != "" {
		p("date_column = %q\ndate_format = %q\n", w.dateName, w.dateFormat)
	}
	if w.zone != "" {
		p("zone = %q\n", w.zone)
	}
	if w.split != "" {
		p("\n[dives]\nsplit = %q\n", w.split)
		if w.diveName != "" {
			p("column = %q\n", w.diveName)
		}
	}
	b.WriteString(w.events)
	for _, table := range sortedKeys(w.words) {
		p("\n[words.%s]\n", table)
		for _, ours := range sortedKeys(w.words[table]) {
			p("%q = %q\n", w.words[table][ours], ours)
		}
	}
	for _, c := range w.columns {
		p("\n[columns.%s]\nname = %q\n", c.ours, c.name)
		if c.unit != "" {
			p("unit = %q\n", c.unit)
		}
		if c.scale != 0 {
			p("scale = %v\noffset = %v\n", c.scale, c.offset)
		}
	}
	if w.metadata != "" {
		p("\n[metadata]\n%s", w.metadata)
	}
	return b.String()
}

// failer is a test, of rapid too.
type failer interface {
	Helper()
	Fatalf(format string, args ...any)
}

// mustMap reads a mapping.
func mustMap(t failer, text string) *mapping.Mapping {
	t.Helper()
	m, err := mapping.Parse([]byte(text), "test.toml")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return m
}

// mustParts reads every dive of a foreign file.
func mustParts(t failer, data []byte, text string) []*Dive {
	t.Helper()
	parts, err := ReadParts(bytes.NewReader(data), "test.txt", Options{Mapping: mustMap(t, text)})
	if err != nil {
		t.Fatalf("%v\n%s\n%s", err, text, shownText(data))
	}
	var dives []*Dive
	for _, p := range parts {
		if p.Err != nil {
			t.Fatalf("dive %s: %v\n%s\n%s", p.Name, p.Err, text, shownText(data))
		}
		dives = append(dives, p.Dive)
	}
	return dives
}

func shownText(data []byte) []byte { return data[:min(len(data), 2000)] }

// inventedDive is a dive in an invented lake: down, along, up; every value on
// the step to which a coarse recorder rounds.
func inventedDive(rows int, fromS, stepS, deepM float64, cells int) *Dive {
	d := &Dive{Meta: Meta{SurfacePressureBar: 0.965, WaterDensityKgM3: gas.FreshWater, LoopVolumeL: Missing(), OxygenFlowLMin: Missing(), OxygenCylinderL: Missing(),
		LoopHeSigma: Missing(), Calibration: Calibration{GasO2: Missing(), PressureBar: Missing(), TempC: Missing()}}}
	d.Cells = make([]Cell, cells)
	for k := range d.Cells {
		d.Cells[k] = Cell{Number: k + 1, CalMV: Missing(), CalPO2Bar: Missing()}
	}
	for i := range rows {
		x := float64(i) / float64(rows-1)
		z := deepM * math.Min(1, 4*math.Min(x, 1-x)) // a trapezium
		d.TimeS = append(d.TimeS, fromS+stepS*float64(i))
		d.Line = append(d.Line, i+1)
		d.DepthM = append(d.DepthM, onStep(z+0.3*math.Sin(9*x), 0.1))
		d.AmbientBar = append(d.AmbientBar, Missing())
		set := 0.7
		if z > 9 {
			set = 1.3
		}
		d.SetPointBar = append(d.SetPointBar, set)
		po2 := math.Min(set, 0.9+z/10) + 0.05*math.Sin(40*x)
		for k := range d.Cells {
			d.Cells[k].PO2Bar = append(d.Cells[k].PO2Bar, onStep(po2+0.01*float64(k)+0.01*math.Sin(70*x+float64(k)), 0.01))
		}
		d.UnitPO2Bar = append(d.UnitPO2Bar, onStep(po2+0.01, 0.01))
		d.TempC = append(d.TempC, onStep(14-8*z/30, 0.1))
		d.Breathing = append(d.Breathing, BreathingNotRecorded)
		d.OpenGas, d.Diluent = append(d.OpenGas, Gas{}), append(d.Diluent, Gas{})
	}
	d.AmbientFrom = AmbientFromDepth
	return d
}

func onStep(v, step float64) float64 {
	n := math.Round(1 / step)
	return math.Round(v*n) / n
}

// Columns of dialects.

func depthColumn(name, unit string, decimals int) theirColumn {
	return theirColumn{ours: "depth_m", name: name, unit: unit, decimals: decimals, value: func(d *Dive, i int) float64 { return d.DepthM[i] }}
}

func cellColumn(n int, name, unit string, decimals int) theirColumn {
	return theirColumn{ours: fmt.Sprintf("cell%d_po2_bar", n), name: name, unit: unit, decimals: decimals, value: func(d *Dive, i int) float64 { return d.Cells[n-1].PO2Bar[i] }}
}

func voteColumn(n int, name string) theirColumn {
	return theirColumn{ours: fmt.Sprintf("cell%d_vote", n), name: name, text: func(d *Dive, i int) string { return d.Cells[n-1].Vote[i].String() }}
}

func seriesColumn(ours, name, unit string, decimals int, of func(*Dive) []float64) theirColumn {
	return theirColumn{ours: ours, name: name, unit: unit, decimals: decimals, value: func(d *Dive, i int) float64 { return of(d)[i] }}
}

func eventColumn(name string) theirColumn {
	return theirColumn{ours: "event", name: name, text: func(d *Dive, i int) string {
		var words []string
		for _, e := range d.Events {
			if e.Row == i {
				words = append(words, string(e.Kind))
			}
		}
		return strings.Join(words, ";")
	}}
}

// eventAndNoteColumn holds alarms and remarks among the events, as many files do.
func eventAndNoteColumn(name string) theirColumn {
	events, notes := eventColumn(name), noteColumn(name)
	events.text = func(d *Dive, i int) string {
		return strings.Trim(eventColumn(name).text(d, i)+";"+notes.text(d, i), ";")
	}
	return events
}

func noteColumn(name string) theirColumn {
	return theirColumn{ours: "note", name: name, text: func(d *Dive, i int) string {
		for _, n := range d.Notes {
			if n.Row == i {
				return n.Text
			}
		}
		return ""
	}}
}

func breathingColumn(name string) theirColumn {
	return theirColumn{ours: "breathing", name: name, text: func(d *Dive, i int) string { return [...]string{"", "loop", "open"}[d.Breathing[i]] }}
}

// equalWithin compares what reading gave with the dive that was written, each
// number within half of the last digit that the dialect writes.
func (w *dialect) equalWithin(t failer, want, got *Dive) {
	t.Helper()
	if got.Rows() != want.Rows() {
		t.Fatalf("%d rows, want %d", got.Rows(), want.Rows())
	}
	for i := range want.TimeS {
		if math.Abs(got.TimeS[i]-want.TimeS[i]) > 0.031 { // min with three decimals
			t.Fatalf("row %d at %g s, want %g", i, got.TimeS[i], want.TimeS[i])
		}
	}
	for _, c := range w.columns {
		def, key, _ := match(c.ours)
		for i := range want.TimeS {
			if c.text != nil {
				if a, b := c.text(want, i), c.text(got, i); a != b {
					t.Fatalf("%s on row %d: %q, want %q", c.ours, i, b, a)
				}
				continue
			}
			mul, div, _, _ := mapping.Convert(orElse(c.unit, def.unit), def.unit)
			if c.scale != 0 {
				mul *= math.Abs(c.scale)
			}
			slack := 0.5001*math.Pow(10, -float64(c.decimals))*mul/div + 1e-9
			a, b := c.value(want, i), c.value(got, i)
			if IsMissing(a) != IsMissing(b) || math.Abs(a-b) > slack {
				t.Fatalf("%s %v on row %d: %g, want %g within %g", c.ours, key, i, b, a, slack)
			}
		}
	}
}
