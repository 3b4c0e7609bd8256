// Package mapping holds the description that a user writes of a family of
// foreign log files, and the parts of reading that need nothing but that
// description: encodings, units, numbers and clocks.
//
// The question it answers: what do the characters of such a file stand for? It
// knows the columns of a loop log by name only; package ingest gives them their
// meaning, and reads a file with a mapping through the same checks as a loop log.
//
// A field is read in one fixed order, so that a mapping means one thing:
//
//  1. the file's bytes become text (file.encoding)
//  2. lines up to file.skip_lines and file.skip_until are the preamble
//  3. the header, and the row of units below it where there is one
//  4. a record is cut at file.delimiter; quotes as in RFC 4180
//  5. the record is given its dive (dives)
//  6. the words for "nothing" (file.missing, columns.X.missing)
//  7. the words that stand for others (columns.X.words, words)
//  8. thousands mark, decimal mark, unit behind the number
//  9. the numbers that mean "not recorded" to a loop log (-1, 65535)
//  10. scale and offset, as field*scale + offset, in the unit of theirs
//  11. that unit into ours
//  12. time from date and clock, over midnight
//  13. rows of one time become one, events among them
package mapping

// Version is the version of the mapping language that this package reads.
const Version = 1

// Mapping describes a family of foreign files.
type Mapping struct {
	Version  int                 `toml:"mapping" jsonschema:"required" jsonschema_description:"version of the mapping language: 1"`
	Title    string              `toml:"title" jsonschema_description:"what files it is for, in your words"`
	File     File                `toml:"file" jsonschema_description:"how the file is written"`
	Header   Header              `toml:"header" jsonschema_description:"the row of names and the row of units"`
	Time     Time                `toml:"time" jsonschema:"required" jsonschema_description:"where the time of a row stands, and how"`
	Dives    Dives               `toml:"dives" jsonschema_description:"what tells several dives in one file apart"`
	Events   Events              `toml:"events" jsonschema_description:"how events are written"`
	Words    Words               `toml:"words" jsonschema_description:"their words and those of the loop log"`
	Columns  map[string]Column   `toml:"columns" jsonschema:"required" jsonschema_description:"by the name of the loop log's column (depth_m, ambient_bar, depth_msw, cell1_po2_bar, cell1_mv, cell1_vote, po2_bar, setpoint_bar, valve1_open_s, ...): which of theirs it is"`
	Metadata map[string]Metadata `toml:"metadata" jsonschema_description:"by the loop log's key (dive, start, water, diluent, cell1_serial, ...): what it is, or where it stands"`

	source source
}

// File is how the file is written.
type File struct {
	Encoding     string   `toml:"encoding" jsonschema:"enum=utf-8,enum=utf-16,enum=utf-16le,enum=utf-16be,enum=windows-1252" jsonschema_description:"utf-8 (the default), utf-16 (byte order from its mark, else little-endian), utf-16le, utf-16be or windows-1252"`
	Delimiter    string   `toml:"delimiter" jsonschema_description:"one ASCII character between fields, such as \";\" or \"\\t\"; the default is a comma"`
	Decimal      string   `toml:"decimal" jsonschema:"enum=.,enum=\\," jsonschema_description:"decimal mark: a point (the default) or a comma"`
	Thousands    string   `toml:"thousands" jsonschema_description:"mark between groups of three digits: point, comma, apostrophe, underscore or space (a no-break space counts as one); none by default, and then it makes a field no number"`
	Missing      []string `toml:"missing" jsonschema_description:"whole fields that mean \"not recorded\", such as \"--\"; tested before units are converted; an empty field always does"`
	UnitsInCells bool     `toml:"units_in_cells" jsonschema_description:"true where a unit stands behind the number in its field (12.4 m); it is compared with the unit that the mapping says"`
	SkipLines    int      `toml:"skip_lines" jsonschema:"minimum=0" jsonschema_description:"lines above everything else that are preamble"`
	SkipUntil    string   `toml:"skip_until" jsonschema_description:"text: everything up to and including the first line that contains it is preamble, and the next line that is not blank is the header; of several, the first. Without it the header is the first line that has the time's name and half of the others"`
	EndAt        string   `toml:"end_at" jsonschema_description:"text: the rows end above the first line that begins with it, until another header comes"`
	Comment      string   `toml:"comment" jsonschema_description:"lines among the rows that begin with this text are left out"`
}

// Header is the row of names.
type Header struct {
	Absent   bool `toml:"absent" jsonschema_description:"true where there is no row of names; columns are then given by number"`
	UnitsRow bool `toml:"units_row" jsonschema_description:"true where a row of units stands below the names; it is compared with the units that the mapping says"`
}

// Time is where the time of a row stands. A clock becomes seconds since the
// midnight before the dive's first row; a number becomes seconds as it stands.
type Time struct {
	Column     string `toml:"column" jsonschema_description:"their name of the column"`
	Number     int    `toml:"number" jsonschema:"minimum=1" jsonschema_description:"its place from 1, instead of a name"`
	Format     string `toml:"format" jsonschema_description:"s, ms, min or h for a number; or letters: YYYY YY MM M MMM DD D hh h mm ss AM Z, as in \"DD.MM.YYYY hh:mm:ss\" or \"h:mm:ss AM\"; seconds may have decimals; mm:ss and h:mm:ss may be elapsed time; s is the default"`
	DateColumn string `toml:"date_column" jsonschema_description:"their name of a column with the date, where it is not in the column of the time"`
	DateNumber int    `toml:"date_number" jsonschema:"minimum=1" jsonschema_description:"its place from 1, instead of a name"`
	DateFormat string `toml:"date_format" jsonschema_description:"letters: YYYY YY MM M MMM DD D"`
	Zone       string `toml:"zone" jsonschema_description:"offset of the clock from UTC, as in \"+02:00\"; with it and a date the start of the dive is known"`
	CheckUnit  *bool  `toml:"check_unit" jsonschema_description:"false where the file names a wrong unit for a time that is a number"`
	Zero       string `toml:"zero" jsonschema:"enum=as-written,enum=first-row" jsonschema_description:"as-written (the default), or first-row: the dive's first row is at 0 s"`
}

// Dives is what tells several dives in one file apart.
type Dives struct {
	Split      string  `toml:"split" jsonschema:"enum=none,enum=column,enum=header,enum=blank-line,enum=time-restarts,enum=gap" jsonschema_description:"none (the default: one dive; a header that comes again is left out); column: rows with one value are one dive; header: each header, with the lines above it, begins one; blank-line; time-restarts: time goes back by more than a minute; gap: a pause of more than gap_min"`
	Column     string  `toml:"column" jsonschema_description:"their name of the column, for split = column"`
	Number     int     `toml:"number" jsonschema:"minimum=1" jsonschema_description:"its place from 1, instead of a name"`
	GapMinutes float64 `toml:"gap_min" jsonschema:"minimum=0" jsonschema_description:"minutes, for split = gap"`
}

// Events is how events are written; their column is columns.event, their words are words.event.
type Events struct {
	Separator string `toml:"separator" jsonschema_description:"text between several events in one field"`
	Unlisted  string `toml:"unlisted" jsonschema:"enum=note,enum=drop" jsonschema_description:"what becomes of a word that words.event does not list: note (it is kept as a note) or drop; without it, a note and a warning"`
	OwnRows   bool   `toml:"own_rows" jsonschema_description:"true where a row with an event carries nothing else that counts: its other fields are left out"`
}

// Words are their words and those of the loop log.
type Words struct {
	Vote      map[string]string `toml:"vote" jsonschema_description:"theirs to in, out, manual_in, manual_out"`
	Breathing map[string]string `toml:"breathing" jsonschema_description:"theirs to loop, open"`
	Event     map[string]string `toml:"event" jsonschema_description:"theirs to diluent_flush, oxygen_flush, manual_oxygen, manual_diluent, bailout, on_loop, calibration; to an empty text: left out"`
	Gas       map[string]string `toml:"gas" jsonschema_description:"theirs to O2/He in per cent, air, unknown"`
}

// Column is one column of the loop log and which of theirs it is.
type Column struct {
	Name      string            `toml:"name" jsonschema_description:"their name, as the header spells it"`
	Number    int               `toml:"number" jsonschema:"minimum=1" jsonschema_description:"its place from 1, instead of a name"`
	Unit      string            `toml:"unit" jsonschema_description:"their unit; the default is the one in our name"`
	Scale     *float64          `toml:"scale" jsonschema_description:"field*scale + offset is in that unit; default 1"`
	Offset    float64           `toml:"offset" jsonschema_description:"field*scale + offset is in that unit; default 0"`
	Constant  any               `toml:"constant" jsonschema:"oneof_type=string;number" jsonschema_description:"a fixed value in every row, instead of a column of theirs; in that unit"`
	Missing   []string          `toml:"missing" jsonschema_description:"more whole fields that mean \"not recorded\" in this column"`
	Words     map[string]string `toml:"words" jsonschema_description:"their words to numbers or to the loop log's words, for this column"`
	CheckUnit *bool             `toml:"check_unit" jsonschema_description:"false where the file names a wrong unit and the mapping knows better"`
	Optional  bool              `toml:"optional" jsonschema_description:"true where some of the files lack it"`
}

// Metadata is one key of the loop log's metadata: a constant, or a place in the file.
type Metadata struct {
	Constant any               `toml:"constant" jsonschema:"oneof_type=string;number" jsonschema_description:"what it is"`
	Label    string            `toml:"label" jsonschema_description:"text at the start of a line of the preamble; the value stands behind it, and behind a colon, an equals sign or the delimiter"`
	Pattern  string            `toml:"pattern" jsonschema_description:"regular expression (RE2) for a line of the preamble; its groups are the value, joined by a slash"`
	Column   string            `toml:"column" jsonschema_description:"their column whose first value in the dive it is"`
	Unit     string            `toml:"unit" jsonschema_description:"their unit, for a number"`
	Format   string            `toml:"format" jsonschema_description:"for start: date and time in letters, as in time.format; time.zone is needed with it"`
	Words    map[string]string `toml:"words" jsonschema_description:"their words to those of the loop log"`
}

// source is where a mapping came from.
type source struct {
	name, sha256 string
	lines        map[string]int
}

// Name is the name of the file that the mapping was read from.
func (m *Mapping) Name() string { return m.source.name }

// SHA256 is the hex digest of that file.
func (m *Mapping) SHA256() string { return m.source.sha256 }

// Unchecked is true where the mapping says that the unit in the file is wrong.
func (c Column) Unchecked() bool { return c.CheckUnit != nil && !*c.CheckUnit }

// Unchecked is true where the mapping says that the unit in the file is wrong.
func (t Time) Unchecked() bool { return t.CheckUnit != nil && !*t.CheckUnit }

// Multiplier is the scale, 1 where none is given.
func (c Column) Multiplier() float64 {
	if c.Scale == nil {
		return 1
	}
	return *c.Scale
}
