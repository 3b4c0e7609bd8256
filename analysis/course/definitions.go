package course

import "afterloop/analysis"

// Definitions are what only a course has: the order of its topics. Its figures are those
// of package compare.
func Definitions() []analysis.Definition {
	return []analysis.Definition{{ID: "topic-points", Name: "Order of topics", Text: TopicRule, Equation: "severity x students x when it could have been seen", Source: "ours"}}
}
