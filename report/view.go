package report

import (
	"encoding/json"
	"strings"

	"afterloop/analysis"
)

// Title names the debrief: the dive's name, else the file's without its folder.
func (p *page) Title() string { return titleOf(p.Debrief) }

func titleOf(d *analysis.Debrief) string {
	switch {
	case d.Dive.Name != "":
		return d.Dive.Name
	case len(d.Sources) > 0 && d.Sources[0].File != "":
		file := d.Sources[0].File
		file = file[strings.LastIndexAny(file, `/\`)+1:]
		if dive := d.Sources[0].Dive; dive != "" {
			return say("view.file-and-dive", file, dive)
		}
		return file
	}
	return say("view.unnamed-dive")
}

// Recorded says in one sentence what was recorded.
func (p *page) Recorded() string { return recorded(p.Debrief) }

func recorded(d *analysis.Debrief) string {
	f := d.Dive
	s := say("view.recorded-from-and", duration(f.DurationS), plural(f.Cells, say("word.cell"), say("word.cells")), howManyValves(f.Valves))
	if f.SampleS.Known() {
		s += say("view.usually-every-s", seconds(f.SampleS))
	}
	if f.MaxDepthM.Known() {
		s += say("view.under-water-deepest-m", duration(f.SubmergedS), deepestText(d))
	}
	if f.Diluent != "" {
		s += say("recorded.diluent", f.Diluent)
	}
	return s + "."
}

func howManyValves(n int) string {
	if n == 0 {
		return say("view.no-valve")
	}
	return plural(n, say("word.valve"), say("word.valves"))
}

// At, Since and Span print moments on the log's axis.
func (p *page) At(t analysis.Float) string { return p.clock.at(t) }

// Since is h:mm:ss since the first row.
func (p *page) Since(t analysis.Float) string { return p.clock.since(t) }

// Span is a stretch of time.
func (p *page) Span(from, to analysis.Float) string { return p.clock.span(from, to) }

// Value is a figure with its unit and, where known, its moment.
func (p *page) Value(v analysis.Value) string { return p.clock.value(v) }

// Brief is Value without the moment in seconds, for narrow tables.
func (p *page) Brief(v analysis.Value) string {
	s := quantity(v.Value, v.Unit)
	switch {
	case !v.Value.Known():
		return unknown
	case v.AtS.Known():
		s = say("value.at", s, p.clock.since(v.AtS))
	}
	return s
}

func (c clock) value(v analysis.Value) string {
	if !v.Value.Known() {
		return unknown
	}
	s := quantity(v.Value, v.Unit)
	if v.AtS.Known() {
		s = say("value.at", s, c.at(v.AtS))
	}
	return s
}

// link is a text that leads to a definition, if there is one.
type link struct{ Href, Text string }

// Def links text to the definition with this id.
func (p *page) Def(id, text string) link {
	if !p.defined[id] {
		return link{"", text}
	}
	return link{"#def-" + id, text}
}

// FindingsLead counts the findings by severity.
func (p *page) FindingsLead() string {
	n := countSeverities(p.Findings)
	return say("view.in-order-of-consequence-each",
		plural(n[analysis.Warning], say("word.warning"), say("word.warnings")), plural(n[analysis.Caution], say("word.caution"), say("word.cautions")), plural(n[analysis.Note], say("word.note"), say("word.notes")))
}

func countSeverities(fs []analysis.Finding) map[analysis.Severity]int {
	n := map[analysis.Severity]int{}
	for _, f := range fs {
		n[f.Severity]++
	}
	return n
}

// findingView is one finding with its moments in words.
type findingView struct {
	Number                         string
	Finding                        analysis.Finding
	When, Onset, Worst, End, Limit string
	Zoom                           bool
	From, To                       float64
	Explanation                    *explanation // with the first finding of a kind
}

// Finding prepares finding i for its template.
func (p *page) Finding(i int, f analysis.Finding) findingView {
	v := findingView{Number: number(i), Finding: f, When: p.clock.span(f.FromS, f.ToS), Onset: p.Value(f.Onset),
		Worst: p.Value(f.Worst), End: p.Value(f.End), Limit: p.Value(f.Limit)}
	if p.Explained(i) {
		v.Explanation = p.Explain(f.Kind)
	}
	if f.FromS.Known() && f.ToS.Known() && len(p.Charts) > 0 {
		v.Zoom, v.From, v.To = true, float64(f.FromS), float64(f.ToS)
	}
	return v
}

// NotAssessed are the checks that could not be run.
func (p *page) NotAssessed() []analysis.Check { return notAssessed(p.Debrief) }

func notAssessed(d *analysis.Debrief) []analysis.Check {
	var out []analysis.Check
	for _, c := range d.Checks {
		if c.Outcome == analysis.NotAssessed {
			out = append(out, c)
		}
	}
	return out
}

// CheckCounts says how many checks ended in which outcome; all five are named.
func (p *page) CheckCounts() string {
	n := map[analysis.Outcome]int{}
	for _, c := range p.Checks {
		n[c.Outcome]++
	}
	return say("view.of-found-something-borderline-found",
		plural(len(p.Checks), say("word.check"), say("word.checks")), n[analysis.Found], n[analysis.Borderline], n[analysis.NotFound], n[analysis.NotAssessed], n[analysis.DoesNotApply])
}

// reason is something that could not be assessed.
type reason struct{ What, Why string }

// NotAssessedText lists everything that could not be assessed.
func (p *page) NotAssessedText() []reason { return unassessed(p.Debrief) }

func unassessed(d *analysis.Debrief) []reason {
	var out []reason
	for _, c := range notAssessed(d) {
		out = append(out, reason{c.Title, c.Reason})
	}
	if n := len(d.Recording.Gaps); n > 0 {
		out = append(out, reason{say("view.time-in-gaps"), say("view.in-all-nothing-was-recorded", plural(n, say("word.gap"), say("word.gaps")), duration(d.Recording.GapS))})
	}
	if !d.Exposure.OpenCircuitAssessed {
		out = append(out, reason{say("view.exposure-on-open-circuit"), say("view.the-gas-that-was-breathed")})
	}
	return out
}

// ParameterText is the debrief's parameters as JSON.
func (p *page) ParameterText() (string, error) {
	b, err := json.MarshalIndent(p.Parameters, "", "  ")
	return string(b), err
}
