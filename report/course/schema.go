package course

import (
	_ "embed"

	"afterloop/analysis/course"
	"afterloop/report"
)

// comments are the doc comments of the types in a course.
//
//go:embed schema/comments.json
var comments []byte

var document = report.Document{Value: course.Course{}, ID: course.SchemaID, Title: "afterloop course", EmptyWords: true}

// Schema is the JSON Schema of a course, by the rules of [report.Document.Schema].
// Readers shall ignore keys that they do not know.
func Schema() ([]byte, error) { return document.Schema(comments) }
