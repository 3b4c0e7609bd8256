package report

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"afterloop/analysis"
)

// deepestText is the greatest depth with its unit and what speaks against it.
func deepestText(d *analysis.Debrief) string {
	return atLeast(d) + fixed(d.Dive.MaxDepthM, 1) + " m" + inBrackets(depthRemark(d))
}

func depthDoubt(d *analysis.Debrief) *analysis.DepthDoubt {
	if d.DepthPressure == nil {
		return nil
	}
	return d.DepthPressure.DepthDoubt
}

// atLeast stands before a depth that is a lower bound.
func atLeast(d *analysis.Debrief) string {
	if x := depthDoubt(d); x != nil && x.AtLeast {
		return say("depth.at-least")
	}
	return ""
}

// depthRemark says why the greatest depth is in doubt; empty where it is not.
func depthRemark(d *analysis.Debrief) string {
	x := depthDoubt(d)
	if x == nil {
		return ""
	}
	var w []string
	if x.AtLeast && x.OtherSensor != nil {
		w = append(w, say("depth.ended", sensorName(*x.OtherSensor), fixed(x.OtherDepthM, 1)))
	}
	return join(append(w, surfaceRemark(d, x, x.MaxDepthM)...))
}

func meanDepthRemark(d *analysis.Debrief) string {
	x := depthDoubt(d)
	if x == nil {
		return ""
	}
	return join(surfaceRemark(d, x, x.MeanDepthM))
}

// surfaceRemark says what a depth would be with the pressure measured at the surface.
func surfaceRemark(d *analysis.Debrief, x *analysis.DepthDoubt, depthM analysis.Float) []string {
	if !depthM.Known() {
		return nil
	}
	how, presumed := say("depth.surface-stated"), ""
	if d.DepthPressure.Surface.Assumed {
		how = say("depth.surface-assumed")
	}
	if x.Presumed {
		presumed = say("depth.surface-presumed")
	}
	return []string{say("depth.surface", fixed(d.DepthPressure.Surface.InUseBar, 3), how, presumed, fixed(x.SurfaceBar, 2), fixed(depthM, 1))}
}

// endedFacts are the sensors not in use that stood still while another went on.
func endedFacts(d *analysis.DepthPressure) []fact {
	var out []fact
	for _, s := range d.Sensors {
		if !s.InUse && s.SaturatesBar.Known() {
			out = append(out, fact{"pressure-sensors", upperFirst(say("pressure.other-ended", sensorName(s.Number))), say("pressure.stood", fixed(s.SaturatesBar, 3), duration(s.SaturatedS)), say("pressure.went-on")})
		}
	}
	return out
}

// pairFacts compare each sensor with the one in use, where the page has a table.
func pairFacts(d *analysis.DepthPressure, c clock) []fact {
	var out []fact
	for _, p := range d.Pairs {
		if !p.MedianBar.Known() {
			continue
		}
		out = append(out, fact{"pressure-sensors", upperFirst(say("pressure.against", sensorName(p.B), say("pressure.in-use-name", sensorName(p.A)))), say("pressure.median", signedUnit(p.MedianBar, 3, "bar")),
			"; " + say("pressure.against-note", signedUnit(p.Worst.Value, 3, "bar")+say("pressure.at", c.since(p.Worst.AtS)), duration(p.DisagreeS))})
	}
	return out
}

// faultFacts are what an error of pressure would change, a line for each error, where
// the page has a table.
func faultFacts(d *analysis.DepthPressure) []fact {
	names := map[string]string{"scale": say("fault.line-scale"), "offset": say("fault.line-offset")}
	var out []fact
	for k, f := range d.Sensitivity {
		var w []string
		for _, r := range faultRows(d) {
			if r.Changes[k] != say("fault.none") {
				w = append(w, say("fault.line-change", r.What, r.Changes[k]))
			}
		}
		if names[f.Kind] != "" && len(w) > 0 {
			out = append(out, fact{"pressure-sensitivity", names[f.Kind], strings.Join(w, "; "), ""})
		}
	}
	return out
}

// upperFirst begins a text with a capital letter.
func upperFirst(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[size:]
}
