package reporttest

import (
	"strings"
	"testing"
)

// heard takes what a check says in place of failing.
type heard struct {
	testing.TB
	said []string
}

func (h *heard) Helper()                   {}
func (h *heard) Failed() bool              { return len(h.said) > 0 }
func (h *heard) Log(...any)                {}
func (h *heard) Logf(string, ...any)       {}
func (h *heard) Error(...any)              { h.said = append(h.said, "error") }
func (h *heard) Errorf(f string, _ ...any) { h.said = append(h.said, f) }

const sound = `<!doctype html><html lang="en"><head><title>x</title><meta http-equiv="Content-Security-Policy" content="default-src 'none'"></head>
<body><h1>x</h1><h2>y</h2><table><tr><th scope="col">z</th></tr></table><p>It clears no equipment for use; call emergency medical services.</p></body></html>`

// TestBare: a sound page passes, and each thing that spoils it is told.
func TestBare(t *testing.T) {
	h := &heard{TB: t}
	Bare(h, "sound", []byte(sound))
	if len(h.said) > 0 {
		t.Errorf("a sound page: %v", h.said)
	}
	for _, c := range [][2]string{{"default-src 'none'", ""}, {"</body>", "<script>1</script></body>"}, {"</body>", "<script></script></body>"}, {"</body>", "<img>" + "</body>"},
		{"<p>", `<p onclick="1">`}, {"<p>", `<p style="color:red">`}, {"<p>", `<p><a href="http://example.invalid/">a</a>`}, {"<h2>", "<h3>"}, {` scope="col"`, ""},
		{"clears no", "clears"}, {"call emergency", "call"}, {"<p>", "<p>NaN "}, {"</head>", "<style>p{}</style></head>"}} {
		h := &heard{TB: t}
		Bare(h, "spoiled", []byte(strings.Replace(sound, c[0], c[1], 1)))
		if len(h.said) == 0 {
			t.Errorf("%q in place of %q passes", c[1], c[0])
		}
	}
}

// TestTexts: controls, slips and formulas are told.
func TestTexts(t *testing.T) {
	h := &heard{TB: t}
	Terminal(h, "text", []byte("plain\n"))
	Table(h, "table", []byte("a,b\n'=1,2\n"))
	if len(h.said) > 0 {
		t.Errorf("harmless: %v", h.said)
	}
	Terminal(h, "text", []byte(Hostile))
	Terminal(h, "text", []byte("NaN"))
	Table(h, "table", []byte("a,b\n=1,2\n"))
	if len(h.said) != 3 {
		t.Errorf("told %v", h.said)
	}
}
