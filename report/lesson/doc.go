// Package lesson prints lessons: the student's page (a bare record and questions
// to commit to), and for the instructor the key of each sheet, the second look on
// paper, the guide of a lesson, the class list and the marks.
//
// What a student's page must never hold is what this package is careful about:
// it is made from a record without conclusions ([report.Bare]), and of the
// questions it carries text and options, never which of them are right. What the
// second stage shows is folded into the page, deflated, so that nobody reads it
// by accident; it holds arithmetic on the log and no answer.
package lesson

import (
	"embed"
	"html/template"
	"sync"

	"afterloop/analysis/wording"
	"afterloop/report/paper"
)

//go:embed assets/*.html assets/lesson.css assets/lesson.js
var assets embed.FS

func asset(name string) string {
	b, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic("lesson: missing asset")
	}
	return string(b)
}

var styles = sync.OnceValue(func() string { return asset("lesson.css") })
var script = sync.OnceValue(func() string { return asset("lesson.js") })

var templates = sync.OnceValue(func() *template.Template {
	return paper.Templates(assets, template.FuncMap{"clock": wording.Clock, "upTo": upTo})
})

// upTo counts from 1 to n.
func upTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i + 1
	}
	return out
}
