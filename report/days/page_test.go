package days

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"
	"golang.org/x/net/html"

	"afterloop/analysis"
	"afterloop/analysis/days"
	"afterloop/ingest"
	"afterloop/report"
)

var update = flag.Bool("update", false, "rewrite golden files")

const hostile = `"'><script>alert(1)</script><img src=http://example.invalid/x onerror=alert(2)>` + "\x1b[31m\u202e"

// series is that of the demo logs, changed by change before it is put together.
func series(t *testing.T, change func(i int, d *ingest.Dive)) *days.Report {
	t.Helper()
	p := analysis.DefaultParameters()
	p.SkipDiagnosis = true // the page does not depend on it
	var logs []days.Log
	for i, name := range []string{"ombrel-night", "ombrel-morning", "varr-evening"} {
		d, err := ingest.ReadFile("../../testdata/days/"+name+".csv", ingest.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if change != nil {
			change(i, d)
		}
		logs = append(logs, days.Log{Debrief: analysis.Analyze(d, p)})
	}
	params := days.DefaultParams()
	params.ESOT = true
	r, err := days.Compose(logs, []days.LeftOut{{File: hostile, Kind: "unreadable", Reason: "it could not be read"}}, params)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// spoiled is a series whose every text is hostile.
func spoiled(t *testing.T) *days.Report {
	return series(t, func(i int, d *ingest.Dive) {
		d.Meta.Dive, d.Meta.Diver, d.Meta.Unit, d.Source.File = hostile, hostile, hostile, hostile
		if i == 2 {
			d.Meta.Start = ""
		}
	})
}

func render(t *testing.T, write func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestPage: no text of a log becomes markup, nothing is loaded, nothing runs, and
// the page says that it clears nobody to dive.
func TestPage(t *testing.T) {
	r := spoiled(t)
	b := render(t, func(w io.Writer) error { return WritePage(w, r) })
	root, err := html.Parse(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	level := 0
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		switch n.Data {
		case "script", "img", "iframe", "object", "link", "form":
			t.Errorf("element %s", n.Data)
		case "h1", "h2", "h3", "h4":
			if now := int(n.Data[1] - '0'); now > level+1 {
				t.Errorf("heading %s after h%d", n.Data, level)
			}
			level = int(n.Data[1] - '0')
		case "th":
			if !slicesHas(n.Attr, "scope") {
				t.Error("a head of a table has no scope")
			}
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "style" || a.Key == "href" && !strings.HasPrefix(a.Val, "#") {
				t.Errorf("attribute %s=%q", a.Key, a.Val)
			}
		}
	}
	for _, want := range []string{"default-src &#39;none&#39;", "clears no equipment for use and no person to dive", "call emergency medical services", "can’t be known", "memory, unverified"} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("%q is missing", want)
		}
	}
	if bytes.Contains(b, []byte("NaN")) {
		t.Error("NaN is shown")
	}
	if !bytes.Equal(b, render(t, func(w io.Writer) error { return WritePage(w, spoiled(t)) })) {
		t.Error("two renders differ")
	}
}

func slicesHas(as []html.Attribute, key string) bool {
	for _, a := range as {
		if a.Key == key {
			return true
		}
	}
	return false
}

// TestText fits its width and lets no control character through.
func TestText(t *testing.T) {
	for _, width := range []int{40, 80, 120} {
		b := render(t, func(w io.Writer) error { return WriteText(w, spoiled(t), report.TextOptions{Width: width}) })
		if bytes.ContainsAny(b, "\x1b\u202e") {
			t.Error("control characters reach the terminal")
		}
		for _, l := range strings.Split(string(b), "\n") {
			if n := utf8.RuneCountInString(l); n > width && strings.Contains(l, " ") && !strings.Contains(l, "script") {
				t.Errorf("width %d: %d characters: %s", width, n, l)
			}
		}
	}
}

// TestAnonymous: no name is in any output; digests and starts are.
func TestAnonymous(t *testing.T) {
	r := WithoutNames(series(t, func(i int, d *ingest.Dive) {
		d.Meta.Dive, d.Meta.Unit, d.Source.File = fmt.Sprint("secret dive", i), "secret unit", "secret.csv"
		d.Meta.Diver = "secret diver"
		if i == 2 {
			d.Meta.Start = ""
		}
	}))
	for name, b := range map[string][]byte{
		"page": render(t, func(w io.Writer) error { return WritePage(w, r) }),
		"JSON": render(t, func(w io.Writer) error { return WriteJSON(w, r) }),
		"text": render(t, func(w io.Writer) error { return WriteText(w, r, report.TextOptions{}) }),
		"CSV":  render(t, func(w io.Writer) error { return WriteDiveTable(w, r) }),
	} {
		if bytes.Contains(b, []byte("secret")) || bytes.Contains(b, []byte("alert(1)")) {
			t.Errorf("%s holds a name", name)
		}
		if !bytes.Contains(b, []byte("2026-07-04")) {
			t.Errorf("%s holds no start", name)
		}
	}
}

// TestTables: what is not known is an empty field, and no text is a formula.
func TestTables(t *testing.T) {
	r := series(t, func(i int, d *ingest.Dive) { d.Source.File = "=1+1" })
	rows := func(write func(io.Writer) error) [][]string {
		x, err := csv.NewReader(bytes.NewReader(render(t, write))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	dives := rows(func(w io.Writer) error { return WriteDiveTable(w, r) })
	if len(dives) != 4 || dives[1][1] != "'=1+1" || dives[1][7] != "" || dives[2][7] == "" {
		t.Errorf("%v", dives)
	}
	if d := rows(func(w io.Writer) error { return WriteDayTable(w, r) }); len(d) != 3 || d[1][0] != "2026-07-03" || d[1][14] == "" {
		t.Errorf("%v", d)
	}
	r.Parameters.ESOT, r.Days[0].ESOT = false, nil
	if d := rows(func(w io.Writer) error { return WriteDayTable(w, r) }); d[1][14] != "" {
		t.Errorf("an ESOT that was not computed is %q", d[1][14])
	}
}

func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update)", err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s differs (-want +got); if it should, run with -update:\n%s", file, d)
	}
}

// TestSchema: the schema has the sources' comments, and the JSON holds to it.
func TestSchema(t *testing.T) {
	r := &jsonschema.Reflector{}
	for _, dir := range []string{"../../analysis", "../../ingest"} {
		if err := r.AddGoComments("afterloop/report/days", dir); err != nil {
			t.Fatal(err)
		}
	}
	used := map[string]string{}
	if _, err := schemaWith(func(ty reflect.Type, field string) string {
		key := commentKey(ty, field)
		if c := strings.Join(strings.Fields(r.CommentMap[key]), " "); c != "" {
			used[key] = c
		}
		return ""
	}); err != nil {
		t.Fatal(err)
	}
	b, err := json.MarshalIndent(used, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	b = append(b, '\n')
	golden(t, "schema/comments.json", b)
	if *update {
		comments = b
	}
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "schema/days.schema.json", text)
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := validator.NewCompiler()
	if err := c.AddResource("days.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("days.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	for name, x := range map[string]*days.Report{"hostile": spoiled(t), "demo": series(t, nil)} {
		v, err := validator.UnmarshalJSON(bytes.NewReader(render(t, func(w io.Writer) error { return WriteJSON(w, x) })))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	broken := series(t, nil)
	broken.Days = nil
	v, _ := validator.UnmarshalJSON(bytes.NewReader(render(t, func(w io.Writer) error { return WriteJSON(w, broken) })))
	if s.Validate(v) == nil {
		t.Error("the schema lets a nil slice pass")
	}
}
