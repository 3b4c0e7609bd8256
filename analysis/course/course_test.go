package course

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"afterloop/analysis"
	"afterloop/analysis/compare"
)

// made is a log made by hand: its digest, who dived, and what was found.
func made(file, sha, diver string, minutes float64, findings ...analysis.Finding) Entry {
	checks := []analysis.Check{{ID: "known", Title: "Known", Version: 1, Outcome: analysis.NotFound}, {ID: "open", Title: "Open", Version: 1, Outcome: analysis.NotAssessed, Reason: "no such column"}}
	for _, f := range findings {
		checks = append(checks, analysis.Check{ID: f.Check, Title: f.Check, Version: 1, Outcome: analysis.Found})
	}
	d := &analysis.Debrief{Sources: []analysis.Source{{File: "/private/" + file, SHA256: strings.Repeat(sha, 64/len(sha))}}, Assessable: analysis.Assessable{TimeFraction: 1},
		Checks: checks, Findings: findings, Dive: analysis.DiveFacts{Diver: diver, Unit: "unit of " + diver, Start: "2026-05-09T09:00:00Z", DurationS: analysis.Float(minutes * 60)},
		Cells: []analysis.Cell{{Cell: 1, Serial: "SER-" + diver}}}
	return Entry{File: file, Subject: compare.Take(d, compare.Source{})}
}

func found(kind string, s analysis.Severity) analysis.Finding {
	return analysis.Finding{Kind: kind, Title: "Title of " + kind, Check: kind, CheckVersion: 1, Severity: s, Confidence: analysis.Sure}
}

func group() []Entry {
	return []Entry{
		made("z.csv", "0a", "Ann", 30, found("low-oxygen", analysis.Caution)),
		made("y.csv", "0b", "Bo", 40, found("recording-gap", analysis.Warning), found("low-oxygen", analysis.Note)),
		made("x.csv", "01", "Cy", 50, found("slow-cell", analysis.Warning)),
		made("w.csv", "02", "Ann", 60),
	}
}

func build(t testing.TB, es []Entry, o Options) *Course {
	t.Helper()
	c, err := Build(es, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func names(c *Course) (out []string) {
	for _, s := range c.Students {
		out = append(out, fmt.Sprintf("%s=%s:%d", s.Label, s.Name, len(s.Logs)))
	}
	return out
}

// TestStudents: the three rules, and which one holds by itself.
func TestStudents(t *testing.T) {
	in := func(es []Entry, folders ...string) []Entry {
		for i := range es {
			es[i].File = folders[i] + es[i].File
		}
		return es
	}
	nameless := group()
	nameless[1].Subject.Diver = ""
	for _, c := range []struct {
		name string
		es   []Entry
		by   By
		want string
	}{
		{"by diver", group(), ByAuto, "A=Ann:2 B=Bo:1 C=Cy:1"},
		{"by folder", in(nameless, "two/", "one/", "two/", "two/deep/"), ByAuto, "A=one:1 B=two:3"},
		{"by file, since one lies in none", in(slices.Clone(nameless), "", "", "", ""), ByFile, "A=one/y.csv:1 B=two/deep/w.csv:1 C=two/x.csv:1 D=two/z.csv:1"},
		{"by diver where one has none", func() []Entry { es := group(); es[1].Subject.Diver = " "; return es }(), ByDiver, "A=Ann:2 B=Cy:1 C=y.csv:1"},
	} {
		co := build(t, c.es, Options{By: c.by})
		if got := strings.Join(names(co), " "); got != c.want {
			t.Errorf("%s: %s, want %s (%s)", c.name, got, c.want, co.Rule)
		}
		if co.Rule == "" {
			t.Errorf("%s: the rule is not said", c.name)
		}
	}
}

// TestTopics: severity first, then students x when it could have been seen.
func TestTopics(t *testing.T) {
	c := build(t, group(), Options{By: ByAuto})
	var got []string
	for _, k := range c.Topics {
		got = append(got, fmt.Sprintf("%s %s %d/%d %s %d", k.Kind, k.Severity, len(k.Students), k.Judged, k.Seen, k.Points))
	}
	want := []string{"slow-cell warning 1/1 check 2", "recording-gap warning 1/1 afterwards 1", "low-oxygen caution 2/2 display 6"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if c.Topics[0].Instructor == "" {
		t.Error("no advice to the instructor")
	}
}

// TestSeenOnlyAfterwards: a kind that nobody placed counts as seen only afterwards, and
// a course would talk about it less than it should. Place a new one in seenWhen, or here.
func TestSeenOnlyAfterwards(t *testing.T) {
	want := []string{"battery-sag", "beyond-cns-table", "cns-daily-limit", "cns-single-limit", "depth-pressure-mismatch", "gas-dense", "isobaric-switch", "otu-daily-limit",
		"oxygen-balance", "recording-clock", "recording-coarse", "recording-gap", "recording-incomplete", "unit-po2-unexplained", "vote-order-dependent"}
	var got []string
	for k := range analysis.FindingKinds() {
		if seenWhen(k) == afterwards {
			got = append(got, k)
		}
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestOneStudentsLogs: a student counts once, with the median of their own dives,
// and is said to have been judged in part where a check ran in some logs only.
func TestOneStudentsLogs(t *testing.T) {
	c := build(t, group(), Options{By: ByAuto})
	for _, f := range c.Figures {
		if f.ID == "duration_min" && (f.N != 3 || f.Values[0].Value != 45) {
			t.Errorf("n %d, Ann's %v: want 3 and the median of 30 and 60", f.N, f.Values[0].Value)
		}
	}
	for _, k := range c.Kinds {
		if k.Kind == "low-oxygen" && (k.Students[0].Count != 1 || k.Students[0].Ran != 1 || k.Students[0].Logs != 2) {
			t.Errorf("%+v", k.Students[0])
		}
	}
	if n := c.NotAssessed; len(n) != 1 || n[0].Check != "open" || len(n[0].Students) != 3 {
		t.Errorf("%+v", n)
	}
}

// TestOrder: the order of the logs plays no part.
func TestOrder(t *testing.T) {
	for _, anonymous := range []bool{false, true} {
		want := ""
		rapid.Check(t, func(rt *rapid.T) {
			es := append(group(), Entry{File: "bad.csv", Err: errors.New("bad")}, Entry{File: "worse.csv", Err: errors.New("worse")})
			b, err := json.Marshal(build(t, rapid.Permutation(es).Draw(rt, "order"), Options{By: ByAuto, Anonymous: anonymous}))
			if err != nil {
				rt.Fatal(err)
			}
			if want == "" {
				want = string(b)
			}
			if string(b) != want {
				rt.Fatal("the order plays a part")
			}
		})
	}
}

// TestAnonymous: no name, file, unit, serial number, date or digest is left, and
// the letters follow the digests, whoever is called what.
func TestAnonymous(t *testing.T) {
	es := append(group(), Entry{File: "secret.csv", Err: errors.New("secret.csv: line 3 of Ann")})
	c := build(t, es, Options{By: ByAuto, Anonymous: true})
	b, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Ann", "Bo\"", "Cy", "csv", "unit of", "SER-", "2026", "0a0a", "private", "secret"} {
		if strings.Contains(string(b), name) {
			t.Errorf("%q is left", name)
		}
	}
	// Digests 01 (Cy), 02 (Ann, with 0a), 0b (Bo): not the order of the names.
	for i, want := range []float64{50, 45, 40} {
		for _, f := range c.Figures {
			if f.ID == "duration_min" && float64(f.Values[i].Value) != want {
				t.Errorf("%s has %v min, want %g", c.Students[i].Label, f.Values[i].Value, want)
			}
		}
	}
	if len(c.Unreadable) != 1 {
		t.Errorf("%+v", c.Unreadable)
	}
}

// TestUnreadable logs are listed; without a single readable one there is no course.
func TestUnreadable(t *testing.T) {
	c := build(t, append(group(), Entry{File: "b.csv", Err: errors.New("why")}), Options{By: ByAuto})
	if len(c.Unreadable) != 1 || c.Unreadable[0] != (Unreadable{"b.csv", "why"}) {
		t.Errorf("%+v", c.Unreadable)
	}
	if _, err := Build([]Entry{{File: "b.csv", Err: errors.New("why")}}, Options{}); err == nil {
		t.Error("a course of nothing")
	}
	twice := append(group(), group()[0])
	twice[4].File = "copy.csv"
	if c := build(t, twice, Options{By: ByAuto}); strings.Join(names(c), " ") != "A=Ann:2 B=Bo:1 C=Cy:1" || !strings.Contains(strings.Join(c.Remarks, " "), "counted once") {
		t.Errorf("%v %v", names(c), c.Remarks)
	}
}
