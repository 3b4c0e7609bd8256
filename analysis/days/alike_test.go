package days

import (
	"math"
	"strings"
	"testing"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/halves"
)

// profile is a dive of 40 min with a course of its own, its clock begun lateS later.
func profile(lateS float64, deepM float64) halves.Series {
	var s halves.Series
	for t := 0.0; t <= 2400; t += 2 {
		z := deepM*math.Min(1, math.Min(t/300, (2400-t)/600)) + 3*math.Sin(t/170)*math.Min(1, math.Min(t/300, (2400-t)/600))
		s.TimeS, s.DepthM = append(s.TimeS, t+lateS), append(s.DepthM, math.Max(0, z))
	}
	return s
}

func alikeSeries(startsS []float64, ps ...halves.Series) *series {
	s := &series{r: &Report{}}
	for i, p := range ps {
		zero := time.Date(2026, 7, 4, 9, 0, 0, 0, time.UTC).Add(seconds(startsS[i]))
		d := &dive{log: Log{Debrief: &analysis.Debrief{}, Profile: p}, zero: zero}
		if n := len(p.TimeS); n > 0 {
			d.fromS, d.toS = startsS[i]+p.TimeS[0], startsS[i]+p.TimeS[n-1]
		}
		s.dives = append(s.dives, d)
	}
	return s
}

// Two records of one dive are told by depth, and what of them counts twice is said.
func TestAlike(t *testing.T) {
	a := profile(0, 30)
	for _, c := range []struct {
		name     string
		starts   []float64
		other    halves.Series
		outcome  analysis.Outcome
		severity analysis.Severity
		says     string
	}{
		{"one clock", []float64{0, 0}, profile(0, 30), analysis.Found, analysis.Note, "all of that time counts once"},
		{"a second clock that began later", []float64{0, -90}, profile(90, 30), analysis.Found, analysis.Note, "all of that time counts once"},
		{"an hour off", []float64{0, 3600}, profile(0, 30), analysis.Found, analysis.Caution, "it counts TWICE here"},
		{"ten minutes off", []float64{0, 600}, profile(0, 30), analysis.Found, analysis.Caution, "about 10 min count TWICE"},
		{"half a minute off", []float64{0, 30}, profile(0, 30), analysis.Found, analysis.Note, "about 30 s count TWICE"},
		{"days apart", []float64{0, 2 * 86400}, profile(0, 30), analysis.NotFound, "", ""},
		{"another dive", []float64{0, 7200}, profile(0, 18), analysis.NotFound, "", ""},
		{"no depth", []float64{0, 0}, halves.Series{}, analysis.NotAssessed, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := checkAlike(alikeSeries(c.starts, a, c.other))
			if v.outcome != c.outcome || (v.finding != nil) != (c.severity != "") {
				t.Fatalf("outcome %s (%s), finding %v", v.outcome, v.reason, v.finding)
			}
			if v.finding != nil && kinds()[v.finding.Kind].advice.Diver == "" {
				t.Fatalf("%s has no words", v.finding.Kind)
			}
			if v.finding != nil && (v.finding.Severity != c.severity || !strings.Contains(strings.Join(v.finding.Evidence, "\n"), c.says)) {
				t.Fatalf("%s: %q", v.finding.Severity, v.finding.Evidence)
			}
		})
	}
}
