package compare

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"math"
	"sort"
	"strings"

	"afterloop/analysis"
)

// Subject is one dive as a comparison needs it: some hundred kilobytes, however
// long the log.
type Subject struct {
	Dive
	// Course is nil where there are no rows.
	Course *Course

	findings    []analysis.Finding
	checks      map[string]analysis.Check
	checkOrder  []string
	values      map[string]Measure
	cells       []part
	valves      []part
	tracked     string // the PO2 that the tracking is of
	limitUnit   string
	moments     map[string]Zero
	parameters  map[string]string
	fingerprint string
	figures     map[string]string // by place in the JSON; nil unless kept
}

// part is a cell or a valve with its figures.
type part struct {
	number int
	serial string
	values map[string]Measure
}

// Source says where a debrief comes from.
type Source struct {
	// File is the name to show; empty for that of the debrief's source.
	File string
	// FromJSON is true where the debrief was read, not made.
	FromJSON bool
	// Leaves are those of the JSON that was read ([ReadDebrief]); nil otherwise.
	Leaves map[string]string
	// Keep holds on to all figures, as two debriefs of one log need; it costs memory.
	Keep bool
}

// Take reduces a debrief to what a comparison needs. d is not kept, unless asked.
func Take(d *analysis.Debrief, src Source) *Subject {
	s := &Subject{Dive: Dive{From: "log", File: src.File, Tool: d.Tool.Version, SHA256: identity(d.Sources), Name: d.Dive.Name, Diver: d.Dive.Diver, Unit: d.Dive.Unit,
		Start: d.Dive.Start, Cells: d.Dive.Cells, Valves: d.Dive.Valves, Depth: d.Dive.MaxDepthM, DurationS: d.Dive.DurationS, SampleS: d.Dive.SampleS,
		SetPoints: append([]analysis.Float{}, d.Dive.SetPointsBar...), ChecksRun: d.Assessable.ChecksRun, ChecksTotal: d.Assessable.ChecksTotal},
		checks: map[string]analysis.Check{}, limitUnit: d.Exposure.LimitUnit}
	if src.FromJSON {
		s.From = "json"
	}
	if s.File == "" && len(d.Sources) > 0 {
		s.File = d.Sources[0].File
	}
	for _, p := range []*string{&s.File, &s.Tool, &s.Name, &s.Diver, &s.Unit, &s.Start} {
		*p = short(*p)
	}
	if !(d.Assessable.TimeFraction > 0) {
		s.LeftOut = "no PO2 on the loop could be assessed"
	}
	if d.Tracking != nil {
		s.tracked = d.Tracking.Source
	}
	for _, f := range d.Findings {
		s.findings = append(s.findings, slim(f))
		switch f.Severity {
		case analysis.Warning:
			s.Warnings++
		case analysis.Caution:
			s.Cautions++
		case analysis.Note:
			s.Notes++
		}
	}
	for _, c := range d.Checks {
		c.Title, c.Looks, c.Reason = short(c.Title), "", short(c.Reason)
		s.checks[c.ID] = c
		s.checkOrder = append(s.checkOrder, c.ID)
	}
	s.values, s.cells, s.valves = scalars(d), cellParts(d), valveParts(d)
	s.moments = moments(d)
	if src.Leaves == nil {
		src.Leaves = leavesOf(d, src.Keep)
	}
	s.parameters = under(src.Leaves, "parameters.")
	s.Course = courseOf(d)
	s.Drawn = s.Course != nil
	s.fingerprint = fingerprint(d)
	if src.Keep {
		s.figures = figuresAmong(src.Leaves)
	}
	return s
}

// slim keeps of a finding what is compared.
func slim(f analysis.Finding) analysis.Finding {
	return analysis.Finding{Kind: short(f.Kind), Title: short(f.Title), Check: f.Check, CheckVersion: f.CheckVersion, Severity: f.Severity, Confidence: f.Confidence,
		Cell: f.Cell, Valve: f.Valve, FromS: f.FromS, ToS: f.ToS, Observed: short(f.Observed), Worst: f.Worst}
}

// maxText bounds what a file can put on a page as one text.
const maxText = 1000

// short cuts a text that nobody would read to its end.
func short(s string) string {
	if len(s) <= maxText {
		return s
	}
	return strings.ToValidUTF8(s[:maxText], "") + " …"
}

// identity is the digest of the log, or of the digests of several in order.
func identity(sources []analysis.Source) string {
	var sums []string
	for _, s := range sources {
		sums = append(sums, strings.ToLower(s.SHA256))
	}
	if len(sums) == 1 {
		return sums[0]
	}
	sort.Strings(sums)
	all := sha256.Sum256([]byte(strings.Join(sums, "\n")))
	return hex.EncodeToString(all[:])
}

// fingerprint tells one recording in two files (packed and unpacked, with other
// words above the header): a digest of times, depths and readings; empty without rows.
func fingerprint(d *analysis.Debrief) string {
	s := d.Series
	if s == nil || len(s.TimeS) < 2 {
		return ""
	}
	h := sha256.New()
	put := func(v []float64) {
		var b [8]byte
		for _, x := range v {
			binary.LittleEndian.PutUint64(b[:], math.Float64bits(x))
			h.Write(b[:])
		}
		h.Write([]byte{0})
	}
	put(s.TimeS)
	put(s.DepthM)
	for _, c := range s.Cells {
		put(c.PO2Bar)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// leavesOf are the leaves that the JSON of a debrief would have; without the
// figures those of its parameters.
func leavesOf(d *analysis.Debrief, figures bool) map[string]string {
	out := map[string]string{}
	var part any = struct {
		P analysis.Parameters `json:"parameters"`
	}{d.Parameters}
	if figures {
		part = d
	}
	if b, err := json.Marshal(part); err == nil {
		flattenJSON(b, out)
	}
	return out
}

// under are the leaves below a path.
func under(leaves map[string]string, prefix string) map[string]string {
	out := map[string]string{}
	for k, v := range leaves {
		if rest, ok := strings.CutPrefix(k, prefix); ok {
			out[rest] = v
		}
	}
	return out
}
