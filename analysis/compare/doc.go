// Package compare sets two to fifty dives beside one another: one diver on
// several units, a unit before and after service, the students of a course; or
// one log as two versions of the program debriefed it.
//
// The question it answers: what differs, what of that can be compared at all,
// and what is too little to say anything by? It composes finished debriefs
// ([analysis.Debrief]) and computes nothing anew about one dive but the mean and
// the maximum of its PO2 and its thinned course ([Take]).
//
// Four rules hold:
//
//   - A figure that configuration makes meaningless is refused in its row, with
//     the reason ([Figure]); what is meaningless as a whole is refused as a whole
//     ([Compare]).
//   - What is not known stays not known and is not counted; n stands beside
//     every figure.
//   - A finding is called new or gone only where its check ran in both dives.
//   - Two dives have no spread; no probability is given, since dives are no
//     random sample of anything.
//
// Quartiles are definition 7 of R. J. Hyndman and Y. Fan, "Sample quantiles in
// statistical packages", 1996 (memory): linear between order statistics.
package compare

import "afterloop/analysis"

// SchemaID names the version of the JSON form of a [Comparison].
const SchemaID = "afterloop/compare/1"

// How many dives can be compared.
const (
	MinDives = 2
	MaxDives = 50
)

// Safety is said near the top of every comparison.
const Safety = "This is a comparison of what instruments said, read after the dives. It clears no equipment for use and no person to dive, and a unit that differs less from another is not thereby right. " +
	"A suspect cell is replaced and tested by the equipment's own procedure. Local rules and the training held come first. After an incident keep the unit and the original logs untouched."

// Modes of a comparison.
const (
	ModeDives    = "dives"
	ModeVersions = "versions"
)

// Comparison is what was compared and what came of it. Its JSON form is a
// published contract (`afterloop schema compare`): what is not known is null,
// slices are never nil, dives are named by their labels.
type Comparison struct {
	Schema string        `json:"schema"`
	Tool   analysis.Tool `json:"tool"`
	// Mode is "dives", or "versions" for one log debriefed twice.
	Mode string `json:"mode"`
	// Dives in an order that does not depend on that of the arguments: by start
	// where one is stated, then by the digest of the log.
	Dives []Dive `json:"dives"`
	// Reference is the label of the dive that the others are set against.
	Reference string `json:"reference"`
	// Remarks are what must be known to read the rest.
	Remarks   []string  `json:"remarks"`
	Alignment Alignment `json:"alignment"`
	Matching  Matching  `json:"matching"`
	Findings  Findings  `json:"findings"`
	Figures   []Figure  `json:"figures"`
	// Versions is nil unless the mode is "versions".
	Versions *Versions `json:"versions"`

	subjects []*Subject
}

// Dive is one of the dives compared.
type Dive struct {
	Label string `json:"label"`
	File  string `json:"file"`
	// From is "log" where the log itself was read, "json" where its debrief was.
	From   string         `json:"from"`
	SHA256 string         `json:"sha256"`
	Tool   string         `json:"tool_version"`
	Name   string         `json:"dive"`
	Diver  string         `json:"diver"`
	Unit   string         `json:"unit"`
	Start  string         `json:"start"`
	Cells  int            `json:"cells"`
	Valves int            `json:"valves"`
	Depth  analysis.Float `json:"max_depth_m"`
	// DurationS, SampleS and SetPoints are of the record.
	DurationS analysis.Float   `json:"duration_s"`
	SampleS   analysis.Float   `json:"sample_s"`
	SetPoints []analysis.Float `json:"set_points_bar"`
	// ChecksRun of ChecksTotal checks that apply ran.
	ChecksRun   int `json:"checks_run"`
	ChecksTotal int `json:"checks_total"`
	// Warnings, Cautions and Notes count its findings.
	Warnings int `json:"warnings"`
	Cautions int `json:"cautions"`
	Notes    int `json:"notes"`
	// LeftOut says why the dive takes no part in the figures; empty where it does.
	LeftOut string `json:"left_out"`
	// Drawn is false where there are no rows to draw.
	Drawn bool `json:"drawn"`
}

// Alignment is how the courses of the dives are laid over one another.
type Alignment struct {
	By     string `json:"by"`     // start, event or depth
	Moment string `json:"moment"` // what is zero; empty by depth
	Text   string `json:"text"`
	Zeros  []Zero `json:"zeros"`
}

// Zero is the moment of a dive that was laid on zero, on the log's own axis.
type Zero struct {
	Dive   string         `json:"dive"`
	AtS    analysis.Float `json:"at_s"`
	Reason string         `json:"reason"` // why there is none
}

// Matching says how cells were told to be the same.
type Matching struct {
	By   string `json:"by"` // serial, position or none
	Text string `json:"text"`
}

// Figure is one quantity over all dives.
type Figure struct {
	ID      string `json:"id"`
	Group   string `json:"group"`
	Name    string `json:"name"`
	Part    string `json:"part"` // "cell 2" by position, "cell K-17" by serial, "valve 1", or empty
	Unit    string `json:"unit"`
	Digits  int    `json:"digits"`
	Meaning string `json:"meaning"`
	// Comparable is false where the figure can't be compared; Reason says why.
	Comparable bool   `json:"comparable"`
	Reason     string `json:"reason"`
	// Values has one element a dive, in the order of the dives.
	Values []Measure `json:"values"`
	Spread
	// Reading says in words what the figure tells, and what it does not.
	Reading string   `json:"reading"`
	Remarks []string `json:"remarks"`
}

// Measure is a figure of one dive; all null with a Reason where it is not known.
type Measure struct {
	Value analysis.Float `json:"value"`
	// Low and High are the 95 % interval where the debrief gives one.
	Low          analysis.Float `json:"low"`
	High         analysis.Float `json:"high"`
	IsLowerBound bool           `json:"is_lower_bound"`
	Reason       string         `json:"reason"`
}

// Spread sums a figure up over the N dives for which it is known. Median, Min
// and Max are null under 3 values, the quartiles under 5.
type Spread struct {
	N        int            `json:"n"`
	Median   analysis.Float `json:"median"`
	Quartile analysis.Float `json:"quartile_1"`
	Upper    analysis.Float `json:"quartile_3"`
	Min      analysis.Float `json:"min"`
	Max      analysis.Float `json:"max"`
}

// Findings are those of all dives, and each dive's against the reference's.
type Findings struct {
	Rows    []FindingRow `json:"rows"`
	Against []Against    `json:"against"`
}

// FindingRow is one kind of finding of one part, over all dives.
type FindingRow struct {
	Kind  string `json:"kind"`
	Title string `json:"title"`
	Part  string `json:"part"`
	Check string `json:"check"`
	// Dives has one element a dive, in the order of the dives.
	Dives []FindingState `json:"dives"`
}

// FindingState is one kind of finding in one dive.
type FindingState struct {
	// Outcome is found where Count > 0, else that of the check; empty where the
	// debrief has no such check.
	Outcome    analysis.Outcome    `json:"outcome"`
	Reason     string              `json:"reason"`
	Count      int                 `json:"count"`
	Severity   analysis.Severity   `json:"severity"` // the gravest; empty where none
	Confidence analysis.Confidence `json:"confidence"`
	Worst      analysis.Float      `json:"worst"`
	Unit       string              `json:"unit"`
	// worstAt is when the worst was, h:mm:ss since the first row; empty: not known.
	worstAt  string
	FromS    analysis.Float `json:"from_s"` // of the first
	ToS      analysis.Float `json:"to_s"`   // of the last
	Version  int            `json:"check_version"`
	Observed string         `json:"observed"`
	// Parts are the cells and valves named, as each dive numbers them.
	Parts []string `json:"parts"`
}

// Against is one dive's findings set against the reference's.
type Against struct {
	Dive      string   `json:"dive"`
	New       []Change `json:"new"`
	Gone      []Change `json:"gone"`
	Changed   []Change `json:"changed"`
	Unsettled []Change `json:"unsettled"` // found in one, not assessed in the other
	Same      []Change `json:"same"`
}

// Change is one kind of finding that is, or is not, in both.
type Change struct {
	Kind  string       `json:"kind"`
	Title string       `json:"title"`
	Part  string       `json:"part"`
	Here  FindingState `json:"here"`
	There FindingState `json:"reference"`
	Text  string       `json:"text"`
}

// Versions is what two debriefs of one log have in common and what not.
type Versions struct {
	Old string `json:"old_tool_version"`
	New string `json:"new_tool_version"`
	// OldDive and NewDive are the labels.
	OldDive    string        `json:"old"`
	NewDive    string        `json:"new"`
	Checks     []CheckChange `json:"checks"`
	Parameters []ValueChange `json:"parameters"`
	Figures    []ValueChange `json:"figures"`
	// FiguresCompared counts the numbers that were looked at.
	FiguresCompared int `json:"figures_compared"`
}

// CheckChange is a check that was added, taken away, changed or ended otherwise.
type CheckChange struct {
	ID         string           `json:"id"`
	Title      string           `json:"title"`
	OldVersion int              `json:"old_version"` // 0: not there
	NewVersion int              `json:"new_version"`
	OldOutcome analysis.Outcome `json:"old_outcome"`
	NewOutcome analysis.Outcome `json:"new_outcome"`
	Text       string           `json:"text"`
}

// ValueChange is a value that differs, by its place in the debrief's JSON. What
// is not there is written as "absent", null as "not known".
type ValueChange struct {
	Path string `json:"path"`
	Old  string `json:"old"`
	New  string `json:"new"`
}

// Subjects are the dives with what is not in the JSON, in the order of Dives.
func (c *Comparison) Subjects() []*Subject { return c.subjects }

// ReferenceIndex is the place of the reference among the dives.
func (c *Comparison) ReferenceIndex() int {
	for i := range c.Dives {
		if c.Dives[i].Label == c.Reference {
			return i
		}
	}
	return 0
}
