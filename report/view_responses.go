package report

import (
	"afterloop/analysis"
)

// mostResponses bounds the rows of the table of responses on the page.
const mostResponses = 12

// responseRow is one event of the table of responses.
type responseRow struct {
	Finding, Number, Title    string
	Seen, Vote, Noted, Action string
	Zoom                      bool
	From, To                  float64
}

// ResponseRows are the first events in order of time.
func (p *page) ResponseRows() []responseRow {
	var rows []responseRow
	for _, e := range p.Responses.Events {
		if len(rows) == mostResponses {
			break
		}
		r := responseRow{Finding: e.Finding, Number: numberOf(p.Debrief, e.Finding), Title: e.Title, Seen: seenText(p.clock, e),
			Vote: recordedText(p.clock, e.Recorded), Noted: recordedText(p.clock, e.Noted), Action: recordedText(p.clock, e.Action)}
		if at := e.VisibleS; at.Known() && len(p.Charts) > 0 {
			r.Zoom, r.From, r.To = true, float64(at), float64(max(at, lastOf(e)))
		}
		rows = append(rows, r)
	}
	return rows
}

// lastOf is the last moment that is recorded of an event.
func lastOf(e analysis.Response) analysis.Float {
	last := e.VisibleS
	for _, r := range []analysis.Recorded{e.Recorded, e.Noted, e.Action} {
		if r.AtS.Known() && r.DelayS.Value.Known() && r.AtS > last {
			last = r.AtS
		}
	}
	return last
}

// ResponsesLeft says how many events the table leaves out.
func (p *page) ResponsesLeft() string { return more(mostResponses, len(p.Responses.Events)) }

// numberOf is the number of a finding on the page.
func numberOf(d *analysis.Debrief, id string) string {
	for i := range d.Findings {
		if d.Findings[i].ID == id {
			return number(i)
		}
	}
	return ""
}

// seenText says since when an event could be seen, and by what.
func seenText(c clock, e analysis.Response) string {
	if !e.VisibleS.Known() {
		return e.VisibleBy
	}
	return say("responses.seen", c.since(e.VisibleS), e.VisibleBy)
}

// recordedText is a record with the time since the event could be seen.
func recordedText(c clock, r analysis.Recorded) string {
	if !r.AtS.Known() {
		return r.What
	}
	if !r.DelayS.Value.Known() {
		return say("responses.at", r.What, c.since(r.AtS))
	}
	return say("responses.after", r.What, c.since(r.AtS), duration(r.DelayS.Value), between(r.DelayS.Low, r.DelayS.High, seconds))
}
