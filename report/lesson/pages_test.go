package lesson

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"io"
	"regexp"
	"slices"
	"sort"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"afterloop/analysis"
	"afterloop/analysis/lesson"
	"afterloop/ingest"
	"afterloop/report"
	"afterloop/report/internal/reporttest"
)

// made is a sheet with all that its pages are made of.
type made struct {
	key           lesson.Key
	dive          *lesson.Dive
	log           []byte
	student       Student
	full          *analysis.Debrief
	page, blank   []byte
	keyPage, more []byte
}

func makeOne(t testing.TB, l lesson.Lesson, seed uint64, student string) made {
	t.Helper()
	k, dives, err := lesson.NewKey(l, seed, []string{student})
	if err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	if err := dives[0].Log.WriteCSV(&log); err != nil {
		t.Fatal(err)
	}
	m := made{key: k, dive: dives[0], log: log.Bytes()}
	dive, err := ingest.Read(bytes.NewReader(m.log), "dive.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := analysis.DefaultParameters()
	m.full = analysis.Analyze(dive, p)
	p.SkipDiagnosis = true
	m.student = Student{Sheet: k.Sheets[0], Debrief: analysis.Analyze(dive, p), Helium: dives[0].Helium(), Log: "dive.csv", ToolVersion: "test"}
	in := Instructor{Key: k, Sheet: k.Sheets[0], Dive: dives[0], Debrief: "x.html", ToolVersion: "test"}
	m.page = reporttest.Bytes(t, func(w io.Writer) error { return WriteStudent(w, m.student) })
	m.blank = reporttest.Bytes(t, func(w io.Writer) error { return WriteBlank(w, k.Sheets[0]) })
	m.keyPage = reporttest.Bytes(t, func(w io.Writer) error { return WriteKey(w, in) })
	m.more = reporttest.Bytes(t, func(w io.Writer) error { return WriteSecond(w, m.student) })
	return m
}

var script64 = regexp.MustCompile(`(?s)<script type="application/json" id="(sheet-data|chart-data)">(.*?)</script>`)

// inside are the JSON parts of a page.
func inside(t testing.TB, page []byte) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, m := range script64.FindAllSubmatch(page, -1) {
		out[string(m[1])] = m[2]
	}
	if len(out) != 2 {
		t.Fatalf("%d parts of JSON in the page", len(out))
	}
	return out
}

// unfold reads the second look as the page's script does.
func unfold(t testing.TB, data []byte) []byte {
	t.Helper()
	var s sheetData
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	raw, err := base64.StdEncoding.DecodeString(s.Second)
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(flate.NewReader(bytes.NewReader(raw)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestNothingIsGivenAway: a student's files hold no verdict, no right answer, no
// reason, and not the lesson's name, in the page's text, its JSON, the folded
// second look or the answer file.
func TestNothingIsGivenAway(t *testing.T) {
	for _, l := range lesson.All() {
		for _, seed := range []uint64{3, 4} {
			m := makeOne(t, l, seed, "student-01")
			parts := inside(t, m.page)
			second := unfold(t, parts["sheet-data"])
			for name, text := range map[string][]byte{"page": own(t, m.page), "second look": second, "blank answers": m.blank, "log": m.log, "second on paper": own(t, m.more)} {
				for _, bad := range givenAway(l, m.key.Sheets[0]) {
					if bytes.Contains(text, []byte(bad)) || bytes.Contains(text, []byte(html.EscapeString(bad))) {
						t.Errorf("%s, seed %d: the %s holds %q", l.Name, seed, name, bad)
					}
				}
			}
		}
	}
}

var constants = regexp.MustCompile(`(?s)<style>.*?</style>|<script>.*?</script>|<script type="text/plain" id="echarts-packed">.*?</script>`)

// own is a page without what is the same in every one: style sheets, scripts, the
// drawing library, the script's words.
func own(t testing.TB, page []byte) []byte {
	t.Helper()
	page = constants.ReplaceAll(page, nil)
	return script64.ReplaceAllFunc(page, func(part []byte) []byte {
		m := script64.FindSubmatch(part)
		if string(m[1]) != "chart-data" {
			return part
		}
		var d map[string]any
		if err := json.Unmarshal(m[2], &d); err != nil {
			t.Fatal(err)
		}
		for _, k := range []string{"text", "left", "right", "dark"} {
			delete(d, k)
		}
		for _, c := range d["charts"].([]any) {
			for _, g := range c.(map[string]any)["option"].(map[string]any)["grid"].([]any) {
				delete(g.(map[string]any), "right")
			}
		}
		b, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		return b
	})
}

// givenAway is what must not stand in a student's files.
func givenAway(l lesson.Lesson, s lesson.Sheet) []string {
	bad := []string{l.Name + ".", l.Name + `"`, l.Title, `"right"`, `"feedback"`, `"why"`, `"topic"`, `"faults"`, `"tempting"`, "findings\":[{", "estimate", "verdict", "seen\"", "truth"}
	for kind := range analysis.FindingKinds() {
		if strings.Contains(kind, "-") {
			bad = append(bad, kind)
		}
	}
	for _, q := range s.Questions {
		bad = append(bad, q.Why, q.Tempting)
		for _, o := range q.Options {
			bad = append(bad, o.Feedback)
		}
	}
	sort.Strings(bad)
	return slices.DeleteFunc(slices.Compact(bad), func(x string) bool { return x == "" })
}

// TestOnlyWhatWasRecorded: the page's columns are those of the log, and a record
// page made from a debrief with verdicts has the same bytes as one without.
func TestOnlyWhatWasRecorded(t *testing.T) {
	allowed := regexp.MustCompile(`^(time|gap|loop|depth|ambient|setpoint|unit|cell\d|unitvote\d|valve\d|helium-fraction)$`)
	for _, l := range lesson.All() {
		m := makeOne(t, l, 5, "student-01")
		var d struct {
			Columns  []struct{ ID string }
			Findings []any
			Policies []any
			Vo2      *float64 `json:"vo2"`
		}
		if err := json.Unmarshal(inside(t, m.page)["chart-data"], &d); err != nil {
			t.Fatal(err)
		}
		for _, c := range d.Columns {
			if !allowed.MatchString(c.ID) {
				t.Errorf("%s: column %s is in the page", l.Name, c.ID)
			}
		}
		if len(d.Columns) < 8 || len(d.Findings)+len(d.Policies) > 0 || d.Vo2 != nil {
			t.Errorf("%s: %d columns, %d findings, %d policies, VO2 %v", l.Name, len(d.Columns), len(d.Findings), len(d.Policies), d.Vo2)
		}
		a := report.Around{Title: "x", CSS: styles(), Script: script()}
		with := reporttest.Bytes(t, func(w io.Writer) error { return report.WriteRecord(w, m.full, a) })
		without := reporttest.Bytes(t, func(w io.Writer) error { return report.WriteRecord(w, m.student.Debrief, a) })
		if !bytes.Equal(with, without) {
			t.Errorf("%s: the page depends on the diagnosis", l.Name)
		}
	}
}

// TestLogsLookAlike: metadata and columns name no lesson. Two lessons are told by
// what they are about, and by nothing else: helium is measured, a diver bails out.
func TestLogsLookAlike(t *testing.T) {
	number := regexp.MustCompile(`\d`)
	var usual []string
	for _, l := range lesson.All() {
		keys := map[string]bool{}
		for _, seed := range []uint64{1, 2, 3} {
			_, dives, err := lesson.NewKey(l, seed, []string{"a", "b"})
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range dives {
				for _, m := range d.Log.Meta {
					keys["# "+number.ReplaceAllString(m.Key, "N")] = true
				}
				for _, c := range d.Log.Columns {
					keys[number.ReplaceAllString(c.Name, "N")] = true
				}
			}
		}
		var have []string
		for k := range keys {
			if k != "event" && !strings.Contains(k, "loop_he") && k != "breathing" && k != "# open_circuit_gas" {
				have = append(have, k)
			}
		}
		sort.Strings(have)
		if usual == nil {
			usual = have
		}
		if !slices.Equal(usual, have) {
			t.Errorf("%s: %v; others have %v", l.Name, have, usual)
		}
	}
}

// TestHostileNames: a student's name becomes no markup and no formula.
func TestHostileNames(t *testing.T) {
	const hostile = reporttest.Hostile
	l, _ := lesson.Find("healthy")
	m := makeOne(t, l, 6, hostile)
	in := Instructor{Key: m.key, Sheet: m.key.Sheets[0], Dive: m.dive, Found: []string{hostile}, Debrief: "x.html"}
	marks := lesson.Mark(m.key, []lesson.Handed{{File: hostile, Answers: lesson.Answers{Schema: lesson.AnswersSchema, Sheet: m.key.Sheets[0].Sheet, Student: hostile,
		Stages: []lesson.Committed{{Stage: 1, Answers: []lesson.Answer{{ID: "q1", Answer: hostile}}}}}}, {File: hostile, Answers: lesson.Answers{Sheet: hostile}}}, nil)
	for name, page := range map[string][]byte{"student": m.page, "key": m.keyPage, "second": m.more,
		"class":    reporttest.Bytes(t, func(w io.Writer) error { return WriteClass(w, m.key, []ClassLine{NewClassLine(in)}, "v") }),
		"guide":    reporttest.Bytes(t, func(w io.Writer) error { return WriteGuide(w, l, "v") }),
		"marks":    reporttest.Bytes(t, func(w io.Writer) error { return WriteMarks(w, marks, "v") }),
		"feedback": reporttest.Bytes(t, func(w io.Writer) error { return WriteFeedback(w, marks, marks.Students[0], "v") })} {
		scripts := reporttest.Framed(t, name, page, map[string][]string{"student": {"form"}}[name]...).Count("script")
		if want := map[string]int{"student": 7}[name]; scripts != want {
			t.Errorf("%s: %d scripts, want %d", name, scripts, want)
		}
	}
	reporttest.Table(t, "the marks", reporttest.Bytes(t, func(w io.Writer) error { return WriteMarksCSV(w, marks) }))
	reporttest.Terminal(t, "the marks", reporttest.Bytes(t, func(w io.Writer) error { return WriteMarksText(w, marks, report.TextOptions{}) }))
}

// TestFeedbackIsOnesOwn: a student's page holds nothing of another.
func TestFeedbackIsOnesOwn(t *testing.T) {
	l, _ := lesson.Find("lagging-cell")
	k, _, err := lesson.NewKey(l, 9, []string{"Anna Q.", "Berit Z."})
	if err != nil {
		t.Fatal(err)
	}
	var hs []lesson.Handed
	for _, s := range k.Sheets {
		hs = append(hs, lesson.Handed{File: s.Student + ".json", Answers: lesson.Answers{Schema: lesson.AnswersSchema, Sheet: s.Sheet, Student: s.Student}})
	}
	m := lesson.Mark(k, hs, nil)
	page := string(reporttest.Bytes(t, func(w io.Writer) error { return WriteFeedback(w, m, m.Students[0], "v") }))
	if strings.Contains(page, "Berit") || strings.Contains(page, k.Sheets[1].Sheet) || !strings.Contains(page, "Anna Q.") {
		t.Error("a student's page holds another's")
	}
}

// TestSchemas: what is written holds to its schema, and what is read strictly
// does not allow more.
func TestSchemas(t *testing.T) {
	l, _ := lesson.Find("outvoted")
	m := makeOne(t, l, 2, "student-01")
	key := reporttest.Bytes(t, func(w io.Writer) error { return report.EncodeJSON(w, m.key) })
	for name, c := range map[string]struct {
		make func() ([]byte, error)
		data []byte
	}{"answers": {AnswersSchema, m.blank}, "key": {KeySchema, key}} {
		b, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		check := reporttest.Follows(t, c.make)
		if err := check(c.data); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := check(bytes.Replace(c.data, []byte("{"), []byte(`{"more": 1,`), 1)); err == nil {
			t.Errorf("%s: an unknown key is valid", name)
		}
		if bytes.Count(b, []byte(`"description"`)) < 8 {
			t.Errorf("%s: hardly any key is described", name)
		}
	}
}

// TestSameBytes: two renders are equal.
func TestSameBytes(t *testing.T) {
	l, _ := lesson.Find("helium-witness")
	a, b := makeOne(t, l, 2, "s"), makeOne(t, l, 2, "s")
	if !bytes.Equal(a.page, b.page) || !bytes.Equal(a.keyPage, b.keyPage) || !bytes.Equal(a.more, b.more) {
		t.Error("two renders differ")
	}
	if len(a.page) > 1<<20 {
		t.Errorf("a student's page is %d bytes", len(a.page))
	}
}
