package mapping

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"
)

const small = `mapping = 1
[time]
column = "Time"
[columns.depth_m]
name = "Depth"
[columns.cell1_po2_bar]
name = "C1"
`

func TestErrorsNameTheLineAndTheKey(t *testing.T) {
	for _, c := range []struct {
		text, key string
		line      int
	}{
		{"mapping = 2\n", "mapping", 1},
		{"", "mapping", 0},
		{"mapping = 1\n[file]\n\nencodng = \"utf-8\"\n", "file.encodng", 4},
		{"mapping = 1\n[file]\nencoding = \"ascii\"\n", "file.encoding", 3},
		{"mapping = 1\n[file]\ndelimiter = \"--\"\n", "file.delimiter", 3},
		{"mapping = 1\n[file]\ndecimal = \",\"\nthousands = \",\"\n", "file.thousands", 4},
		{"mapping = 1\n", "time.column", 0},
		{"mapping = 1\n[time]\ncolumn = \"t\"\nformat = \"YYYY hh:mm\"\n", "time.format", 4},
		{"mapping = 1\n[time]\ncolumn = \"t\"\nnumber = 2\n", "time.column", 3},
		{"mapping = 1\n[time]\ncolumn = \"t\"\nzone = \"CET\"\n", "time.zone", 4},
		{"mapping = 1\n[time]\ncolumn = \"t\"\n[dives]\nsplit = \"gap\"\n", "dives.gap_min", 4},
		{"mapping = 1\n[time]\ncolumn = \"t\"\n[columns]\ndepth_m = { name = \"d\", scale = 0.0 }\n", "columns.depth_m.scale", 5},
		{"mapping = 1\n[time]\ncolumn = \"t\"\n[columns.depth_m]\nunit = \"m\"\n", "columns.depth_m", 4},
		{"mapping = 1\n[time]\ncolumn = \"t\"\n[metadata]\ndive = { pattern = \"(\" }\n", "metadata.dive.pattern", 5},
		{"mapping = 1\n[time]\ncolumn = \"t\"\n[metadata]\ndive = { label = \"x\", constant = \"y\" }\n", "metadata.dive", 5},
		{"mapping = 1\n[header]\nabsent = true\n[time]\ncolumn = \"t\"\n", "time.column", 5},
	} {
		_, err := Parse([]byte(c.text), "m.toml")
		var e Error
		if !errors.As(err, &e) {
			t.Errorf("%q: error %v", c.text, err)
			continue
		}
		if e.Key != c.key || e.Line != c.line || e.File != "m.toml" {
			t.Errorf("%q: %s line %d key %q, want line %d key %q", c.text, e, e.Line, e.Key, c.line, c.key)
		}
	}
}

func TestErrorsAreSafeOnATerminal(t *testing.T) {
	for _, text := range []string{"mapping = 1\n\"\x1b[31m\" = 2\n", "mapping = \x1b\n", "mapping = 1\n[file]\nencoding = \"\\u001b[31m\"\n", "mapping = 1\n\"\\u001b\" = 1\n"} {
		_, err := Parse([]byte(text), "m\x1b.toml")
		if err == nil || strings.ContainsRune(err.Error(), 0x1b) {
			t.Errorf("%q: %q", text, err)
		}
	}
}

func TestConvert(t *testing.T) {
	// Sources: 1 ft = 0.3048 m and 1 atm = 101325 Pa are exact (NIST SP 811,
	// appendix B); 1 psi = 6894.757 Pa (same table, seven digits) (memory);
	// -40 F = -40 C by definition; 0 C = 273.15 K.
	for _, c := range []struct {
		v        float64
		from, to string
		want     float64
	}{
		{100, "ft", "m", 30.48}, {1, "ata", "bar", 1.01325}, {1000, "psi", "bar", 68.94757}, {-40, "°F", "C", -40}, {212, "F", "C", 100},
		{273.15, "K", "C", 0}, {1250, "ms", "s", 1.25}, {3.7, "V", "mV", 3700}, {21, "%", "1", 0.21}, {1013, "mbar", "bar", 1.013},
		{130, "cbar", "bar", 1.3}, {33, "fsw", "bar", 1.0112322}, {10, "msw", "bar", 1}, {760, "torr", "ata", 1}, {0.4, "bar", "mbar", 400}, {101.325, "kPa", "ata", 1},
	} {
		mul, div, add, ok := Convert(c.from, c.to)
		if got := c.v*mul/div + add; !ok || math.Abs(got-c.want) > 1e-6*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%g %s = %g %s, want %g", c.v, c.from, got, c.to, c.want)
		}
	}
	for _, c := range [][2]string{{"m", "bar"}, {"?", "m"}, {"mV", "MV"}, {"", "m"}} {
		if _, _, _, ok := Convert(c[0], c[1]); ok && c[0] != "mV" {
			t.Errorf("%q converts to %q", c[0], c[1])
		}
	}
}

// TestUnitNamesAreOneEach: no spelling stands for two units, but for case, where
// the spelling decides.
func TestUnitNamesAreOneEach(t *testing.T) {
	seen := map[string]string{}
	for _, u := range units {
		for _, name := range append([]string{u.name}, u.aliases...) {
			if other, ok := seen[name]; ok {
				t.Errorf("%q is %s and %s", name, other, u.name)
			}
			seen[name] = u.name
			for _, form := range []string{name, "[" + name + "]", " (" + name + ") "} {
				if Unit(form) != u.name {
					t.Errorf("%q is %q, want %q", form, Unit(form), u.name)
				}
			}
		}
	}
}

func TestPlainNumbers(t *testing.T) {
	german, swiss, plain := Numbers{Decimal: ',', Thousands: '.'}, Numbers{Decimal: '.', Thousands: '\''}, Numbers{Decimal: '.'}
	spaced, inCells := Numbers{Decimal: ',', Thousands: ' '}, Numbers{Decimal: ',', Units: true}
	for _, c := range []struct {
		n          Numbers
		field      string
		want, unit string
		ok         bool
	}{
		{german, "1.234,5", "1234.5", "", true}, {german, "12,4", "12.4", "", true}, {german, "1.234.567", "1234567", "", true},
		{german, "1.5", "", "", false}, {german, "1234,5", "1234.5", "", true}, {german, "12.34,5", "", "", false}, {german, "1.2345", "", "", false}, {german, ".123", "", "", false}, {german, "0.712", "", "", false}, {german, "-0.712", "", "", false},
		{swiss, "1'234.5", "1234.5", "", true}, {plain, "1,5", "", "", false}, {plain, "-0.5", "-0.5", "", true}, {plain, "\u22120.5", "-0.5", "", true},
		{plain, "1e-3", "1e-3", "", true}, {plain, "NaN", "", "", false}, {plain, "0x10", "", "", false}, {plain, "1_000", "", "", false}, {plain, "--", "", "", false},
		{plain, ".5", ".5", "", true}, {plain, "5.", "5.", "", true}, {plain, "12 m", "", "m", false},
		{spaced, "1\u00a0234,5", "1234.5", "", true}, {spaced, "1\u202f234", "1234", "", true}, {spaced, "1 23", "", "", false},
		{inCells, "12,4 m", "12.4", "m", true}, {inCells, "12,4m", "12.4", "m", true}, {inCells, "14 °C", "14", "°C", true}, {inCells, "1,2 3", "", "", false},
		{Numbers{Decimal: ',', Thousands: ' ', Units: true}, "0 m", "0", "m", true}, {Numbers{Decimal: ',', Thousands: ' ', Units: true}, "1 234,5 m", "1234.5", "m", true},
	} {
		got, unit, ok := c.n.Plain(nil, []byte(c.field))
		if ok != c.ok || ok && (string(got) != c.want || string(unit) != c.unit) {
			t.Errorf("%q: %q %q %v, want %q %q %v", c.field, got, unit, ok, c.want, c.unit, c.ok)
		}
	}
}

// TestNumbersReadBack: any number, written with any marks, reads as itself.
func TestNumbersReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := Numbers{Decimal: rapid.SampledFrom([]byte{'.', ','}).Draw(rt, "decimal"), Thousands: rapid.SampledFrom([]byte{0, '.', ',', '\'', '_', ' '}).Draw(rt, "thousands")}
		if n.Thousands == n.Decimal {
			n.Thousands = 0
		}
		v := float64(rapid.IntRange(-1e9, 1e9).Draw(rt, "v")) / 100
		whole, part, _ := strings.Cut(strconv.FormatFloat(math.Abs(v), 'f', 2, 64), ".")
		for i := len(whole) - 3; n.Thousands != 0 && i > 0; i -= 3 {
			whole = whole[:i] + string(n.Thousands) + whole[i:]
		}
		text := whole + string(n.Decimal) + part
		if v < 0 {
			text = "-" + text
		}
		plain, _, ok := n.Plain(nil, []byte(text))
		if got, err := strconv.ParseFloat(string(plain), 64); !ok || err != nil || got != v {
			rt.Fatalf("%q reads as %q, want %v", text, plain, v)
		}
	})
}

func TestClocks(t *testing.T) {
	for _, c := range []struct {
		format, date, dateFormat, clock string
		s                               float64
		day                             string // of the moment
		ok                              bool
	}{
		{"s", "", "", "12,5", 0, "", false}, {"s", "", "", "12.5", 12.5, "", true}, {"min", "", "", "1.5", 90, "", true}, {"ms", "", "", "1500", 1.5, "", true}, {"h", "", "", "2", 7200, "", true},
		{"hh:mm:ss", "", "", "23:59:58", 86398, "", true}, {"hh:mm:ss", "", "", "7:05:01.25", 25501.25, "", true}, {"hh:mm:ss", "", "", "07:60:00", 0, "", false}, {"hh:mm:ss", "", "", "30:00:00", 108000, "", true},
		{"mm:ss", "", "", "75:30", 4530, "", true}, {"mm:ss", "", "", "1:60", 0, "", false}, {"mm:ss", "", "", "1:2:3", 0, "", false},
		{"h:mm:ss AM", "", "", "12:00:05 AM", 5, "", true}, {"h:mm:ss AM", "", "", "12:00:05 PM", 43205, "", true}, {"h:mm:ss AM", "", "", "1:00:00pm", 46800, "", true}, {"h:mm:ss AM", "", "", "13:00:00 PM", 0, "", false}, {"h:mm:ss AM", "", "", "1:00:00 a.m.", 3600, "", true},
		{"YYYY-MM-DD hh:mm:ss", "", "", "2026-02-29 00:00:00", 0, "", false}, {"YYYY-MM-DD hh:mm:ss", "", "", "2024-02-29 01:00:00", 3600, "2024-02-29", true},
		{"DD.MM.YYYY hh:mm", "", "", "3.5.2026 10:15", 36900, "2026-05-03", true}, {"YYYYMMDDhhmmss", "", "", "20260503101500", 36900, "2026-05-03", true}, {"YYYYMMDDhhmmss", "", "", "2026053101500", 0, "", false},
		{"hh:mm:ss", "5/23/2026", "M/D/YYYY", "1:00:00", 3600, "2026-05-23", true}, {"hh:mm:ss", "23/5/2026", "M/D/YYYY", "1:00:00", 0, "", false}, {"hh:mm:ss", "23-May-26", "DD-MMM-YY", "1:00:00", 3600, "2026-05-23", true},
		{"YYYY-MM-DDThh:mm:ssZ", "", "", "2026-05-23T10:00:00+02:00", 36000, "2026-05-23", true}, {"YYYY-MM-DDThh:mm:ssZ", "", "", "2026-05-23T10:00:00", 0, "", false}, {"YYYY-MM-DDThh:mm:ssZ", "", "", "2026-05-23T24:00:00Z", 0, "", false},
	} {
		m := Mapping{Time: Time{Column: "t", Format: c.format, DateFormat: c.dateFormat}}
		k, err := m.Clock()
		if err != nil {
			t.Errorf("%s: %v", c.format, err)
			continue
		}
		got, ok := k.Parse([]byte(c.date), []byte(c.clock))
		day := ""
		if got.Dated {
			day = dayText(got.Day)
		}
		if ok != c.ok || ok && (math.Abs(got.S-c.s) > 1e-9 || day != c.day) {
			t.Errorf("%s %s%s: %v %s %v, want %v %s %v", c.format, c.date, c.clock, got.S, day, ok, c.s, c.day, c.ok)
		}
	}
}

func TestDecode(t *testing.T) {
	for _, c := range []struct {
		enc   string
		bytes string
		want  string
		odd   bool
		bad   int
	}{
		{"", "\xef\xbb\xbfa°", "a°", false, 0}, {"windows-1252", "a\xb0\x80", "a°€", false, 0}, {"utf-16", "\xff\xfea\x00", "a", false, 0}, {"utf-16", "\xfe\xff\x00a", "a", false, 0},
		{"utf-16", "a\x00\n\x00b", "a\n", true, 0}, {"utf-16be", "\x00a\x00\n\xdc\x00", "a\n\ufffd", false, 2}, {"utf-8", "a\nb\xff", "a\nb\xff", false, 2}, {"utf-8", "a\rb\r", "a\nb\n", false, 0},
	} {
		d := Decode([]byte(c.bytes), c.enc)
		if string(d.Text) != c.want || d.Odd != c.odd || d.Bad != c.bad {
			t.Errorf("%s %q: %q %v %d, want %q %v %d", c.enc, c.bytes, d.Text, d.Odd, d.Bad, c.want, c.odd, c.bad)
		}
	}
}

func TestContradicts(t *testing.T) {
	le, be := "a\x00;\x00b\x00\n\x00", "\x00a\x00;\x00b\x00\n"
	for _, c := range []struct{ bytes, enc, better string }{
		{le, "utf-16le", ""}, {le, "utf-16", ""}, {le, "utf-16be", "utf-16le"}, {le, "", "utf-16le"}, {be, "utf-16", "utf-16be"}, {be, "utf-16be", ""}, {be, "windows-1252", "utf-16be"},
		{"\xff\xfe" + le, "utf-16", ""}, {"\xff\xfe" + le, "utf-16be", "utf-16le"}, {"\xfe\xff" + be, "utf-16", ""}, {"\xfe\xff" + be, "utf-8", "utf-16be"},
		{"a;b\n", "utf-16", "utf-8"}, {"a;b\n", "", ""}, {"a\xb0\n", "utf-8", ""}, {"a\xb0\n", "utf-16le", "windows-1252"}, {"", "utf-16", ""},
	} {
		if got, why := Contradicts([]byte(c.bytes), c.enc); got != c.better || (got == "") != (why == "") {
			t.Errorf("%q as %q: %q (%s), want %q", c.bytes, c.enc, got, why, c.better)
		}
	}
}

// TestSchemaFitsTheFixtures: every fixture's mapping holds to the schema, and the
// schema knows every key with a meaning.
func TestSchemaFitsTheFixtures(t *testing.T) {
	text, err := Schema([]Name{{"depth_m", "depth"}, {"cell#_po2_bar", "PO2"}}, []Name{{"dive", "name"}})
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	doc.(map[string]any)["properties"].(map[string]any)["columns"].(map[string]any)["propertyNames"] = true
	doc.(map[string]any)["properties"].(map[string]any)["metadata"].(map[string]any)["propertyNames"] = true
	c := jsonschema.NewCompiler()
	if err := c.AddResource("mapping.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("mapping.json")
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob("../../testdata/foreign/*.toml")
	if len(files) < 6 {
		t.Fatalf("%d fixtures", len(files))
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(asJSON(t, b)); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
	if err := schema.Validate(asJSON(t, []byte(small+"unknown = 1\n"))); err == nil {
		t.Error("the schema lets an unknown key pass")
	}
	eachField(reflect.TypeFor[Mapping](), func(f reflect.StructField) {
		if f.Tag.Get("jsonschema_description") == "" {
			t.Errorf("%s has no meaning in the schema", f.Name)
		}
	})
}

func asJSON(t *testing.T, text []byte) any {
	t.Helper()
	var v map[string]any
	if err := toml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func eachField(t reflect.Type, f func(reflect.StructField)) {
	for i := range t.NumField() {
		field := t.Field(i)
		if !field.IsExported() {
			continue
		}
		f(field)
		in := field.Type
		if in.Kind() == reflect.Map {
			in = in.Elem()
		}
		if in.Kind() == reflect.Struct {
			eachField(in, f)
		}
	}
}

// FuzzParse: no bytes make a panic of a mapping, and what is wrong is an Error.
func FuzzParse(f *testing.F) {
	f.Add([]byte(small))
	files, _ := filepath.Glob("../../testdata/foreign/*.toml")
	for _, file := range files {
		if b, err := os.ReadFile(file); err == nil {
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := Parse(b, "m.toml")
		if err != nil {
			if !errors.As(err, &Error{}) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if k, err := m.Clock(); err != nil || k == nil {
			t.Fatal(err)
		}
	})
}

func dayText(day int64) string {
	return time.Unix(day*secondsPerDay, 0).UTC().Format("2006-01-02")
}
