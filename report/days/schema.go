package days

import (
	_ "embed"

	"afterloop/analysis/days"
	"afterloop/report"
)

// comments are the doc comments of the types in a series of dives.
//
//go:embed schema/comments.json
var comments []byte

var document = report.Document{Value: days.Report{}, ID: days.Schema, Title: "afterloop series of dives"}

// Schema is the JSON Schema of a series of dives, by the rules of [report.Document.Schema].
// Readers shall ignore keys that they do not know.
func Schema() ([]byte, error) { return document.Schema(comments) }
