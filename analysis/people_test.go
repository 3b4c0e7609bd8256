package analysis

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"testing"

	"afterloop/analysis/scenario"
	"afterloop/analysis/timeline"
)

// judging are words that judge a person, or sound like it. The table of responses
// describes what could be seen and what was recorded, and never uses them.
var judging = regexp.MustCompile(`(?i)\b(fail(s|ed|ure|ures)?|errors?|erroneous(ly)?|late|belated(ly)?|too (slow|long)|should(n't)? have|ought|mistakes?|blam(e|ed)|fault|guilty?|careless(ly|ness)?|negligen(t|ce)|neglect(ed)?|ignor(ed|ing)|overlooked|missed|forgot(ten)?|inattentive|incompeten(t|ce)|violat(ed|ion)|poor(ly)?|bad(ly)?|unfortunately)\b`)

func TestJudgingWordsAreKnown(t *testing.T) {
	for _, s := range []string{"He failed to act", "an error", "acted late", "Should have bailed out", "missed the alarm"} {
		if !judging.MatchString(s) {
			t.Errorf("%q passes", s)
		}
	}
	for _, s := range []string{"later", "calculated", "a plateau", "terrors of the deep", "isolated"} {
		if judging.MatchString(s) {
			t.Errorf("%q does not pass", s)
		}
	}
}

// Over simulated dives of every kind no text of the table judges.
func TestResponsesJudgeNobody(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates many dives")
	}
	events := 0
	for _, family := range []string{"plain", "difficult", "wide"} {
		for seed := uint64(0); seed < 18; seed++ {
			d := simulate(t, family, seed, func(s *scenario.Spec) {
				s.Supply, s.Recording.Votes = nil, seed%2 == 0
				s.Events = append(s.Events, scenario.Event{Kind: "diluent_flush", AtS: 1500}, scenario.Event{Kind: "manual_oxygen", AtS: 1900})
				s.Recording.Notes = []scenario.Note{{TimeS: 1600, Text: "turned around"}}
			}, nil)
			events += len(d.Responses.Events)
			text, err := json.Marshal(d.Responses)
			if err != nil {
				t.Fatal(err)
			}
			if w := judging.FindString(string(text)); w != "" {
				t.Errorf("%s %d: %q in %s", family, seed, w, text)
			}
			for _, e := range d.Responses.Events {
				checkResponse(t, d, e)
			}
		}
	}
	if events < 60 {
		t.Errorf("only %d events were looked at", events)
	}
	for _, def := range Definitions() {
		if def.ID == "visible" || def.ID == "response" {
			if w := judging.FindString(def.Text + def.Name); w != "" {
				t.Errorf("definition %s holds %q", def.ID, w)
			}
		}
	}
}

// checkResponse: nothing is set beside an event before it could be seen; bounds hold
// the delay; what is not known is null and says why.
func checkResponse(t *testing.T, d *Debrief, e Response) {
	t.Helper()
	if e.VisibleS.Known() && (e.VisibleS < e.FromS || e.VisibleS > e.ToS) || e.VisibleBy == "" {
		t.Errorf("%s: seen at %v, from %v to %v, %q", e.Finding, e.VisibleS, e.FromS, e.ToS, e.VisibleBy)
	}
	for k, r := range []Recorded{e.Recorded, e.Noted, e.Action} {
		switch v := r.DelayS; {
		case r.What == "":
			t.Errorf("%s: nothing said", e.Finding)
		case !r.AtS.Known():
			if v.Value.Known() || v.Reason == "" {
				t.Errorf("%s: a delay without a moment: %+v", e.Finding, r)
			}
		case !r.DelayS.Value.Known() && e.VisibleS.Known() && r.AtS-e.VisibleS > 120 && k == 1: // a note long after
			if v.Reason == "" {
				t.Errorf("%s: no delay and no reason: %+v", e.Finding, r)
			}
		case !e.VisibleS.Known() || r.AtS < e.VisibleS || !(v.Low <= v.Value && v.Value <= v.High) || v.Low < 0:
			t.Errorf("%s: %+v", e.Finding, r)
		}
	}
}

// lowLog is a log whose PO2 falls from 60 s on, at 20 m, with an event on a row.
func lowLog(event string, atS int) *testLog {
	return newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,po2_bar,setpoint_bar,event,note").add(300, func(i int) string {
		p := 0.7
		if i > 60 {
			p = math.Max(0.12, 0.7-0.01*float64(i-60))
		}
		word, note := "", ""
		if i == atS {
			word = event
		}
		if i == 130 {
			note = "handset alarms"
		}
		return fmt.Sprintf("%d,20.0,%.2f,%.2f,%.2f,0.70,%s,%s", i, p, p, p, word, note)
	})
}

// PO2 passes 0.18 bar between 112 s (0.18) and 113 s (0.17); bailout on the row of 140 s.
func TestResponseToLowOxygen(t *testing.T) {
	d := lowLog("bailout", 140).analyze(t)
	var e Response
	for _, x := range d.Responses.Events {
		if x.Kind == "low-oxygen" {
			e = x
		}
	}
	if e.VisibleS != 113 || e.Action.AtS != 140 || e.Action.What != "bailout" || e.Action.DelayS.Value != 27 || e.Action.DelayS.Low != 26 || e.Action.DelayS.High != 28 {
		t.Errorf("%+v", e)
	}
	if e.Noted.AtS != 130 || e.Noted.What != "next note in the log: \u201chandset alarms\u201d (may not belong)" || e.Noted.DelayS.Value != 17 || e.Recorded.AtS.Known() {
		t.Errorf("%+v", e)
	}
	d = lowLog("manual_diluent", 140).analyze(t)
	for _, x := range d.Responses.Events {
		if x.Kind == "low-oxygen" && x.Action.AtS.Known() || x.Kind == "low-oxygen" && x.Action.What != "no action recorded" {
			t.Errorf("diluent by hand does not serve: %+v", x.Action)
		}
	}
}

// The unit's vote: out at 200 s, while the cells lie apart from 180 s on; by hand at 230 s.
func TestResponseByVote(t *testing.T) {
	d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,cell3_po2_bar,po2_bar,setpoint_bar,cell3_vote").add(300, func(i int) string {
		p, vote := 1.3, "in"
		if i >= 180 {
			p = 0.9
		}
		if i >= 200 {
			vote = "out"
		}
		if i >= 230 {
			vote = "manual_out"
		}
		return fmt.Sprintf("%d,20.0,1.30,1.30,%.2f,1.30,1.30,%s", i, p, vote)
	}).analyze(t)
	for _, e := range d.Responses.Events {
		if e.Kind != "cells-disagree" {
			continue
		}
		if e.VisibleS != 180 || e.Recorded.AtS != 200 || e.Recorded.DelayS.Value != 20 || e.Action.AtS != 230 || e.Action.What != "cell 3 voted out by hand" {
			t.Errorf("%+v", e)
		}
		return
	}
	t.Error("no event")
}

// Every kind that is an event is a kind of finding, and its class has actions that serve.
func TestEventKindsExist(t *testing.T) {
	for name, class := range eventClass {
		if _, ok := kinds()[name]; !ok {
			t.Errorf("%s is no kind of finding", name)
		}
		if len(timeline.Serving(class)) == 0 {
			t.Errorf("nothing serves %s", class)
		}
	}
}

// A note long after the event could be seen is the next in the log and no more: no
// time that reads as a response stands beside it; a note soon after has one.
func TestNoteLongAfterIsNoResponse(t *testing.T) {
	for _, c := range []struct {
		atS  int
		with bool
	}{{233, true}, {234, false}} { // could be seen at 113 s
		d := newLog("time_s,depth_m,cell1_po2_bar,cell2_po2_bar,po2_bar,setpoint_bar,note").add(300, func(i int) string {
			p, note := 0.7, ""
			if i > 60 {
				p = math.Max(0.12, 0.7-0.01*float64(i-60))
			}
			if i == c.atS {
				note = "one handset dark"
			}
			return fmt.Sprintf("%d,20.0,%.2f,%.2f,%.2f,0.70,%s", i, p, p, p, note)
		}).analyze(t)
		seen := 0
		for _, e := range d.Responses.Events {
			if e.Kind != "low-oxygen" {
				continue
			}
			seen++
			n := e.Noted
			if n.AtS != Float(c.atS) || n.What != "next note in the log: \u201cone handset dark\u201d (may not belong)" || n.DelayS.Value.Known() != c.with || (n.DelayS.Reason == "") != c.with {
				t.Errorf("note at %d s: %+v", c.atS, n)
			}
		}
		if seen != 1 {
			t.Errorf("%d events of low oxygen", seen)
		}
	}
}
