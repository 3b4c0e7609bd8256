package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// luminance is the relative luminance of an sRGB colour, as W3C's Web Content
// Accessibility Guidelines 2.1 define it.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil || len(hex) != 7 {
		t.Fatalf("colour %q", hex)
	}
	lin := func(c uint64) float64 {
		v := float64(c&255) / 255
		if v <= 0.03928 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(n>>16) + 0.7152*lin(n>>8) + 0.0722*lin(n)
}

// contrast is the contrast ratio of the same guidelines.
func contrast(t *testing.T, a, b string) float64 {
	la, lb := luminance(t, a), luminance(t, b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// The guidelines' own extreme: black on white is 21:1.
func TestContrastOfBlackOnWhite(t *testing.T) {
	if got := contrast(t, "#000000", "#ffffff"); math.Abs(got-21) > 1e-9 {
		t.Errorf("got %v", got)
	}
}

func TestLinesStandOut(t *testing.T) {
	for _, c := range append(inks[:], inkStrong, inkGrey, inkAxis) {
		if r := contrast(t, c.light, ground.light); r < 3 {
			t.Errorf("%s on the light ground: %.2f:1", c.light, r)
		}
		if r := contrast(t, c.dark, ground.dark); r < 3 {
			t.Errorf("%s on the dark ground: %.2f:1", c.dark, r)
		}
	}
}

func TestLabelsOnBandsAreReadable(t *testing.T) {
	for _, tone := range []ink{ground, tonePhaseA, tonePhaseB, toneGap, toneOpen} {
		if r := contrast(t, inkLabel.light, tone.light); r < 4.5 {
			t.Errorf("label on %s: %.2f:1", tone.light, r)
		}
		if r := contrast(t, inkLabel.dark, tone.dark); r < 4.5 {
			t.Errorf("label on %s: %.2f:1", tone.dark, r)
		}
	}
}

// Each theme's colours are told apart by the script by their light form.
func TestLightFormsAreUnique(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range allInks() {
		if seen[c.light] {
			t.Errorf("%s is the light form of two inks", c.light)
		}
		seen[c.light] = true
	}
}

// Twenty numbered lines differ in the pair of ink and dash.
func TestNumberedLinesDiffer(t *testing.T) {
	seen := map[stroke]int{}
	for k := 0; k < len(inks)*len(dashes); k++ {
		if other, ok := seen[numbered(k)]; ok {
			t.Errorf("lines %d and %d look alike", other, k)
		}
		seen[numbered(k)] = k
	}
}

// themes reads the custom properties of the style sheet: screen light, screen
// dark, paper. High contrast takes ink and paper of either for everything.
func themes(t *testing.T) map[string]map[string]string {
	t.Helper()
	css := asset("page.css")
	blocks := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(css, -1)
	if len(blocks) != 4 {
		t.Fatalf("%d themes in page.css", len(blocks))
	}
	out := map[string]map[string]string{}
	for i, name := range []string{"light", "dark", "contrast", "paper"} { // contrast only refers to the others' colours
		if name == "contrast" {
			continue
		}
		out[name] = map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(blocks[i][1], -1) {
			out[name][m[1]] = m[2]
		}
	}
	return out
}

func TestTextContrast(t *testing.T) {
	for name, v := range themes(t) {
		for _, fore := range []string{"ink", "muted", "link", "warning", "caution", "note"} {
			for _, back := range []string{"paper", "soft", "warning-soft", "caution-soft", "na-soft"} {
				if v[fore] == "" || v[back] == "" {
					t.Fatalf("%s: no --%s or --%s", name, fore, back)
				}
				if r := contrast(t, v[fore], v[back]); r < 4.5 {
					t.Errorf("%s: --%s on --%s is %.2f:1", name, fore, back, r)
				}
			}
		}
		for _, back := range []string{"warning", "caution", "note"} { // the findings' lane
			if r := contrast(t, v["paper"], v[back]); r < 4.5 {
				t.Errorf("%s: --paper on --%s is %.2f:1", name, back, r)
			}
		}
	}
}

// The ground that the charts' colours are measured on is the page's.
func TestGroundIsThePages(t *testing.T) {
	v := themes(t)
	if v["light"]["paper"] != ground.light || v["dark"]["paper"] != ground.dark || v["paper"]["paper"] != ground.light {
		t.Error("ground and --paper differ")
	}
}
