package compare

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
)

// Moments that courses can be laid on, in the order in which help lists them.
func Moments() []string {
	return []string{"first-row", "leaving-surface", "end-of-descent", "first-stop", "first-ascent", "first-diluent-flush", "first-oxygen-flush",
		"first-manual-oxygen", "first-manual-diluent", "bailout", "calibration"}
}

// ParseAlign reads start, depth, or event=NAME, where a fixed word of the log
// format stands for its first occurrence.
func ParseAlign(s string) (by, moment string, err error) {
	if s == "" || s == "start" {
		return "start", "", nil
	}
	if s == "depth" {
		return "depth", "", nil
	}
	name, ok := strings.CutPrefix(s, "event=")
	name = strings.ReplaceAll(strings.ToLower(name), "_", "-")
	for _, m := range Moments() {
		if ok && (name == m || "first-"+name == m) {
			return "event", m, nil
		}
	}
	return "", "", fmt.Errorf("--align %s: give start, depth, or event= one of %s", s, strings.Join(Moments(), ", "))
}

// momentText says what a moment is.
func momentText(m string) string {
	switch m {
	case "first-row":
		return "the first row of the record"
	case "leaving-surface":
		return "leaving the surface"
	case "end-of-descent":
		return "the first row at 95 % of the greatest depth"
	case "first-stop":
		return "the first stop"
	case "first-ascent":
		return "the first ascent"
	case "bailout":
		return "bailout"
	case "calibration":
		return "the recorded calibration"
	}
	return "the " + strings.ReplaceAll(m, "-", " ")
}

// moments finds all moments of a dive.
func moments(d *analysis.Debrief) map[string]Zero {
	out := map[string]Zero{}
	for _, m := range Moments() {
		out[m] = Zero{AtS: unknown, Reason: "not recorded: " + momentText(m)}
	}
	put := func(m string, at analysis.Float) {
		if at.Known() && !out[m].AtS.Known() {
			out[m] = Zero{AtS: at}
		}
	}
	put("first-row", d.Dive.FirstS)
	for i, p := range d.Dive.Phases {
		switch {
		case i == 0 && p.Kind != "surface":
			out["leaving-surface"] = Zero{AtS: unknown, Reason: "the record begins under water"}
		case i > 0 && d.Dive.Phases[0].Kind == "surface" && p.Kind != "surface":
			put("leaving-surface", p.FromS)
		}
		if p.Kind == "stop" || p.Kind == "ascent" {
			put("first-"+p.Kind, p.FromS)
		}
	}
	for _, e := range d.Recording.Events {
		switch name := strings.ReplaceAll(e.Kind, "_", "-"); name {
		case "bailout", "calibration":
			put(name, e.AtS)
		default:
			if m := "first-" + name; out[m].Reason != "" {
				put(m, e.AtS)
			}
		}
	}
	if s := d.Series; s != nil {
		put("end-of-descent", endOfDescent(s, depthOf(d)))
		for i, on := range s.OnLoop {
			if !on {
				put("bailout", analysis.Float(s.TimeS[i]))
				break
			}
		}
	}
	return out
}

func endOfDescent(s *analysis.Series, depth []float64) analysis.Float {
	deepest := math.NaN()
	for _, z := range depth {
		if !(z <= deepest) && !math.IsNaN(z) {
			deepest = z
		}
	}
	for i, z := range depth {
		if deepest >= underM && z >= 0.95*deepest {
			return analysis.Float(s.TimeS[i])
		}
	}
	return unknown
}

// align lays the dives over one another.
func align(ss []*Subject, by, moment string) Alignment {
	a := Alignment{By: by, Moment: moment, Zeros: []Zero{}}
	switch by {
	case "depth":
		a.Text = "By depth: PO2 over depth, descents and ascents (with their stops) apart; time plays no part."
		return a
	case "start":
		a.Moment = "leaving-surface"
		a.Text = "By start: zero is the moment of leaving the surface."
		for _, s := range ss {
			if z := s.moments["leaving-surface"]; !z.AtS.Known() {
				a.Moment = "first-row"
				a.Text = fmt.Sprintf("By start: zero is the first row of each record, because leaving the surface is not in %s (%s).", s.Label, z.Reason)
				break
			}
		}
	default:
		a.Text = "By event: zero is " + momentText(moment) + "."
	}
	var missing []string
	for _, s := range ss {
		z := s.moments[a.Moment]
		z.Dive = s.Label
		a.Zeros = append(a.Zeros, z)
		if !z.AtS.Known() {
			missing = append(missing, s.Label)
		}
	}
	if len(missing) > 0 {
		a.Text += " It is not recorded in " + labels(missing) + ", which the drawings leave out."
	}
	return a
}
