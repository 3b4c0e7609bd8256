package compare

import (
	_ "embed"

	"afterloop/analysis/compare"
	"afterloop/report"
)

// comments are the doc comments of the types in a comparison.
//
//go:embed schema/comments.json
var comments []byte

var document = report.Document{Value: compare.Comparison{}, ID: compare.SchemaID, Title: "afterloop comparison of dives", EmptyWords: true}

// Schema is the JSON Schema of a comparison, by the rules of [report.Document.Schema].
// Readers shall ignore keys that they do not know.
func Schema() ([]byte, error) { return document.Schema(comments) }
