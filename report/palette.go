package report

// ink is one drawn colour in its two forms. Each form has a contrast of at
// least 3:1 with the ground of its theme (checked by a test).
type ink struct{ light, dark string }

// The hues are those of M. Okabe and K. Ito, "Color Universal Design (CUD): how
// to make figures and presentations that are friendly to colorblind people",
// 2008, which stay apart under the common forms of colour blindness. On white
// only four of them are dark enough for a line, on the dark ground six; each of
// our inks pairs one of either. Lines never differ by hue alone: see dashes.
var (
	inkBlue   = ink{"#0072b2", "#56b4e9"} // blue, sky blue
	inkOrange = ink{"#d55e00", "#e69f00"} // vermillion, orange
	inkGreen  = ink{"#009e73", "#00b985"} // bluish green, lighter on dark
	inkPurple = ink{"#cc79a7", "#cc79a8"} // reddish purple
	inkBlack  = ink{"#000000", "#f0e442"} // black, yellow
	// Greys for what is no measured quantity of its own.
	inkStrong = ink{"#1d2329", "#e8ebee"}
	inkGrey   = ink{"#6b7580", "#98a2ac"}
)

// inks are the colours of numbered lines (cells, policies), in order of use.
var inks = [...]ink{inkBlue, inkOrange, inkGreen, inkBlack, inkPurple}

// dashes are the line patterns of numbered lines: drawn and empty lengths in
// pixels, or a word that the drawing library knows. Five inks and four dashes
// share no factor, so twenty lines differ in their pair.
var dashes = [...]string{"solid", "9,4", "2,3", "10,3,2,3"}

// Grounds and soft tones: not lines, so not under the 3:1 rule, except that
// text on them must keep 4.5:1.
var (
	ground     = ink{"#ffffff", "#171b20"}
	inkGrid    = ink{"#e3e7ea", "#2a3138"}
	inkAxis    = ink{"#8a949d", "#7d8791"}
	inkLabel   = ink{"#4a545e", "#b4bdc6"}
	tonePhaseA = ink{"#f2f5f8", "#1f252c"}
	tonePhaseB = ink{"#e6ecf1", "#262e36"}
	toneGap    = ink{"#d3d7db", "#3a424b"}
	toneOpen   = ink{"#f7e9d7", "#3d3220"}
)

// allInks are all colours that may stand in a chart's options.
func allInks() []ink {
	return []ink{inkBlue, inkOrange, inkGreen, inkPurple, inkBlack, inkStrong, inkGrey,
		ground, inkGrid, inkAxis, inkLabel, tonePhaseA, tonePhaseB, toneGap, toneOpen}
}

// darkOf maps each light colour to its dark form. The options of the charts are
// written in light colours; the page's script exchanges them on a dark screen.
func darkOf() map[string]string {
	m := map[string]string{}
	for _, c := range allInks() {
		m[c.light] = c.dark
	}
	return m
}

// stroke is how a line is drawn.
type stroke struct {
	ink   ink
	dash  string
	width float32
}

// numbered is the stroke of the k-th of several like lines.
func numbered(k int) stroke {
	return stroke{inks[k%len(inks)], dashes[k%len(dashes)], 1.6}
}

var (
	strokeUnit     = stroke{inkGrey, "solid", 3}
	strokeSetPoint = stroke{inkStrong, "12,4", 1.6}
	strokeDepth    = stroke{inkBlue, "solid", 2}
	strokeEstimate = stroke{inkStrong, "6,2", 2}
	strokeBand     = stroke{inkStrong, "1,3", 1}
	strokeHelium   = stroke{inkPurple, "14,3,2,3,2,3", 1.6}
)

// class is the style class that gives an element of the key this colour.
func (c ink) class() string { return "k" + c.light[1:] }

// Class, IsDot, Width and DashArray describe the stroke to the key's template.
func (s stroke) Class() string { return s.ink.class() }

// IsDot tells that samples are marked and not joined.
func (s stroke) IsDot() bool { return s.width == 0 }

// Width is the stroke's width in pixels, at least that of a readable sample.
func (s stroke) Width() float32 { return max(s.width, 1.6) }

// DashArray is the pattern in the form of SVG; empty for a full line.
func (s stroke) DashArray() string {
	if s.dash == "solid" {
		return ""
	}
	return s.dash
}
