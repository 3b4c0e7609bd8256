// Package course puts the logs of a course together for its instructor.
//
// The question it answers: what should the group talk about first, who has seen
// what, and what could not be assessed and for whom? It composes dives that
// package compare has reduced, and judges none anew.
//
// It ranks topics, never people: students stand in the order of their names, or
// of the digests of their logs where names are left out, and no figure is a score.
package course

import (
	"afterloop/analysis"
	"afterloop/analysis/compare"
)

// SchemaID names the version of the JSON form of a [Course].
const SchemaID = "afterloop/course/1"

// Safety is said near the top of every course page.
const Safety = "This is a record of what instruments said, read after the dives, to learn from. It clears no equipment for use and no person to dive, and it is no assessment of anybody. " +
	"A suspect cell is replaced and tested by the equipment's own procedure. Local rules and the training held come first. After an incident keep the unit and the original logs untouched."

// Course is what the logs of a group have in common. Its JSON form is a published
// contract (`afterloop schema course`): what is not known is null, slices are
// never nil, students are named by their labels.
type Course struct {
	Schema    string        `json:"schema"`
	Tool      analysis.Tool `json:"tool"`
	Anonymous bool          `json:"anonymous"`
	// Rule says how logs were told to be of one student.
	Rule     string    `json:"rule"`
	Students []Student `json:"students"`
	// Topics are what to talk about first, by TopicRule.
	Topics    []Topic `json:"topics"`
	TopicRule string  `json:"topic_rule"`
	// Kinds is who had which findings.
	Kinds       []Kind           `json:"kinds"`
	Figures     []compare.Figure `json:"figures"`
	NotAssessed []NotAssessed    `json:"not_assessed"`
	Unreadable  []Unreadable     `json:"unreadable"`
	Remarks     []string         `json:"remarks"`

	subjects [][]*compare.Subject
}

// Student is one person with the logs taken for theirs.
type Student struct {
	Label string `json:"label"`
	Name  string `json:"name"` // empty where names are left out
	Logs  []Log  `json:"logs"`
}

// Log is one log.
type Log struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"` // empty where names are left out
	Unit   string `json:"unit"`
	Start  string `json:"start"`
	// Page is the address of the log's own debrief, from this page; empty for none.
	Page      string         `json:"page"`
	DurationS analysis.Float `json:"duration_s"`
	DepthM    analysis.Float `json:"max_depth_m"`
	SampleS   analysis.Float `json:"sample_s"`
	// ChecksRun of ChecksTotal checks that apply ran.
	ChecksRun   int `json:"checks_run"`
	ChecksTotal int `json:"checks_total"`
}

// Topic is something to talk about.
type Topic struct {
	Kind     string            `json:"kind"`
	Title    string            `json:"title"`
	Severity analysis.Severity `json:"severity"` // the gravest in the group
	Students []string          `json:"students"` // who had it
	// Judged counts the students for whom the check ran.
	Judged int `json:"judged"`
	// Seen is when it could have been seen: display, check or afterwards.
	Seen       string `json:"seen"`
	SeenText   string `json:"seen_text"`
	Points     int    `json:"points"`
	Instructor string `json:"instructor"` // advice to the instructor
}

// Kind is one kind of finding over the students, in their order.
type Kind struct {
	Kind     string  `json:"kind"`
	Title    string  `json:"title"`
	Check    string  `json:"check"`
	Students []State `json:"students"`
}

// State is one kind of finding with one student.
type State struct {
	Outcome  analysis.Outcome  `json:"outcome"`
	Severity analysis.Severity `json:"severity"` // the gravest; empty where none
	Count    int               `json:"count"`
	Parts    []string          `json:"parts"`
	// Logs counts the student's logs, Ran those in which the check ran.
	Logs   int    `json:"logs"`
	Ran    int    `json:"ran"`
	Reason string `json:"reason"`
	// Page is where the finding is told; empty for none.
	Page string `json:"page"`
}

// NotAssessed is a check that did not run, with the reason and for whom.
type NotAssessed struct {
	Check    string   `json:"check"`
	Title    string   `json:"title"`
	Reason   string   `json:"reason"`
	Students []string `json:"students"`
}

// Unreadable is a log that could not be read.
type Unreadable struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// Subjects are the students' dives, for drawings.
func (c *Course) Subjects() [][]*compare.Subject { return c.subjects }
