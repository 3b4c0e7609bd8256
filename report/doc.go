// Package report turns a finished [analysis.Debrief] into something to read or
// to compute on: one offline HTML page, terminal text, JSON, a CSV series, and
// an index over several debriefs.
//
// The question it answers: how is the debrief told so that a diver, a
// technician and an instructor read the same facts, in order of consequence,
// and cannot take "not assessed" for "nothing found"? It computes nothing that
// a debrief depends on: every figure shown is in the Debrief, and so in the
// JSON. It only chooses words, digits and lines.
//
// Three rules hold in every output:
//
//   - What is not known is written as such ("not known", an empty field, null)
//     and never as 0.
//   - Text from a log is data. In HTML it passes html/template, in a terminal
//     [Clean], in CSV the quoting of encoding/csv.
//   - The same Debrief gives the same bytes: no clock, no random identifiers,
//     no order of a map.
//
// The charts are drawn by Apache ECharts, whose published build is kept in
// assets/echarts and carried inside each page; go-echarts builds the options.
// The page forbids itself, by a content security policy, to load anything.
package report
