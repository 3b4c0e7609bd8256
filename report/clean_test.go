package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func contains(s, sub string) bool { return strings.Contains(s, sub) }

func TestClean(t *testing.T) {
	for in, want := range map[string]string{
		"plain text, µ ä 漢":  "plain text, µ ä 漢",
		"\x1b[2Jgone":        `\u001b[2Jgone`,
		"a\nb\tc":            `a\u000ab\u0009c`,
		"c1 \u009b31m":       `c1 \u009b31m`,
		"bidi \u202eevil":    `bidi \u202eevil`,
		"sep\u2028arator":    `sep\u2028arator`,
		"bad \xff byte":      `bad \xff byte`,
		"tag \U000e0041 end": `tag \U000e0041 end`,
	} {
		if got := Clean(in); got != want {
			t.Errorf("%q: got %q, want %q", in, got, want)
		}
	}
}

func TestCleanLeavesNothingHarmful(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))
		if out := Clean(in); !printable(out) {
			t.Fatalf("%q became %q", in, out)
		}
	})
}
