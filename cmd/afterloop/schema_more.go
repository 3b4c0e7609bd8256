package main

import (
	"afterloop/analysis/ageing"
	"afterloop/analysis/bench"
	"afterloop/analysis/calibration"
	"afterloop/analysis/calibration/score"
	"afterloop/analysis/scenario"
	"afterloop/ingest"
	"afterloop/report"
)

// moreDocuments are the files whose types carry no comments of their own into a schema.
func moreDocuments() []document {
	of := func(name, what, id string, v any) document {
		return document{name, what, func() ([]byte, error) {
			return report.Document{Value: v, ID: id, Title: "afterloop " + name}.SchemaBy(func(string) string { return "" })
		}}
	}
	return []document{
		of("bench-cells", "the JSON of a test of cells", bench.CellSchema, bench.CellReport{}),
		of("bench-tightness", "the JSON of a tightness test", bench.TightnessSchema, bench.TightnessReport{}),
		of("register", "the JSON of a register (list, show, export)", ageing.Schema, ageing.Report{}),
		of("inspect", "the JSON of an inspection; of several dives in a file it is a list of them", "afterloop/inspect/1", ingest.Inspection{}),
		of("remarks", "a file of remarks, which the report page writes and reads", "afterloop/remarks/1", report.RemarksFile{}),
		of("scenario", "a scenario, which scenario make reads and --spec writes; it may hold no other keys", "afterloop/scenario/1", scenario.Spec{}),
		of("truth", "the truth beside a simulated log (.truth.json)", "afterloop/truth/1", scenario.Facts{}),
		of("score", "the JSON of scenario score", score.SchemaID, score.Result{}),
		of("calibration", "the table of scenario score --table, which reports print", calibration.SchemaID, calibration.Table{}),
	}
}
