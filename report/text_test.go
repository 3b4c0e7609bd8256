package report

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"afterloop/analysis"
	"afterloop/internal/golden"
)

func text(t *testing.T, d dive, o TextOptions) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteText(&b, d.debrief(), o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestTextGolden(t *testing.T) {
	golden.Hold(t, "testdata/debrief.txt", []byte(text(t, small, TextOptions{})))
}

func TestTextFitsItsWidth(t *testing.T) {
	for _, w := range []int{40, 64, 100} {
		for _, l := range strings.Split(text(t, small, TextOptions{Width: w}), "\n") {
			if n := utf8.RuneCountInString(l); n > w {
				t.Errorf("width %d: %d characters: %s", w, n, l)
			}
		}
	}
}

// Colour adds escape sequences and changes nothing else.
func TestTextColourIsOnlyPaint(t *testing.T) {
	plain, painted := text(t, small, TextOptions{}), text(t, small, TextOptions{Color: true})
	if strings.Contains(plain, "\x1b") {
		t.Error("escape sequences without being asked")
	}
	if !strings.Contains(painted, "\x1b[1m") {
		t.Error("no escape sequences when asked")
	}
	if got := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(painted, ""); got != plain {
		t.Error("painted and plain text differ in more than paint")
	}
}

func TestTextSaysWhatWasNotAssessed(t *testing.T) {
	d := small.debrief()
	d.Findings = d.Findings[:0]
	d.Exposure.OpenCircuitAssessed = false
	var b bytes.Buffer
	if err := WriteText(&b, d, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"No finding was made by the checks that ran", "NOT ASSESSED", "Leaking valve: no minute", "Time in gaps", "clears no equipment", "emergency medical services"} {
		if !contains(strings.Join(strings.Fields(b.String()), " "), want) {
			t.Errorf("%q is missing", want)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		in   string
		want string
	}{{"", ""}, {"one two three", "one two|three"}, {"abcdefghijklmnop", "abcdefghij|klmnop"}, {"a abcdefghijkl", "a|abcdefghij|kl"}} {
		if got := strings.Join(wrap(c.in, 10), "|"); got != c.want {
			t.Errorf("%q: got %q, want %q", c.in, got, c.want)
		}
	}
}

// Where a finding has no limit none is printed, on the terminal or on the page.
func TestNoLimitNoWord(t *testing.T) {
	d := small.debrief()
	d.Findings[0].Limit.Value = analysis.Float(notANumber)
	d.Findings[0].Worst = analysis.Value{Value: 1.005, Unit: "bar", AtS: d.Dive.FirstS}
	var b bytes.Buffer
	if err := WriteText(&b, d, TextOptions{Width: 200}); err != nil {
		t.Fatal(err)
	}
	if s := b.String(); strings.Contains(s, "limit –") || !strings.Contains(s, "Worst 1.00") {
		t.Errorf("the terminal's text:\n%s", s)
	}
	const head = `<th scope="col">limit</th>`
	if with, without := strings.Count(string(render(t, small.debrief())), head), strings.Count(string(render(t, d)), head); without >= with {
		t.Errorf("%d findings show a limit, %d before one lost it", without, with)
	}
}
