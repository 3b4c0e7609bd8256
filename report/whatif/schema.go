package whatif

import (
	_ "embed"

	"afterloop/analysis/whatif"
	"afterloop/report"
)

// comments are the doc comments of the types in a result of whatif.
//
//go:embed schema/comments.json
var comments []byte

var document = report.Document{Value: whatif.Report{}, ID: whatif.SchemaID, Title: "afterloop whatif"}

// Schema is the JSON Schema of a result of whatif, by the rules of [report.Document.Schema].
// Readers shall ignore keys that they do not know.
func Schema() ([]byte, error) { return document.Schema(comments) }
