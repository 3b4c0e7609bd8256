package lesson

import (
	"strings"

	"afterloop/analysis/lesson"
	"afterloop/report"
)

// meanings describe the keys of both files, by type and field.
var meanings = map[string]string{
	"Answers.Schema": "Name and version of this form.", "Answers.Sheet": "Identifies the dive and its questions; it stands on the student's page.",
	"Answers.Student": "As on the page; for the reader, not for finding the sheet.", "Answers.Stages": "The first stage, then the second.",
	"Committed.Stage": "1 or 2.", "Committed.Code": "What the page showed when the stage was committed; empty if filled in by hand.",
	"Committed.Answers": "In the order of the questions.",
	"Answer.ID":         "The question, as q1.", "Answer.Answer": "A letter; cells as 1,3 or none or unknown; a moment as minutes, start or never; a number; free text. Empty: left open.",
	"Key.Schema": "Name and version of this form.", "Key.Lesson": "The lesson's name.", "Key.Title": "Its heading.", "Key.Seed": "Makes the same class again.", "Key.Sheets": "One for each student.",
	"Sheet.Sheet": "Identifies the sheet.", "Sheet.Student": "Who got it.", "Sheet.Seed": "Of the dive.", "Sheet.Questions": "With their right answers.", "Sheet.Faults": "What was wrong in truth.", "Sheet.Latent": "What was wrong and never showed on this dive.",
	"Question.ID": "Counts the questions of a sheet.", "Question.Topic": "What it is about.", "Question.Stage": "1 or 2.", "Question.Kind": "choice, cells, moment, number or open.", "Question.Text": "As the student reads it.", "Question.Unit": "Of a number.",
	"Question.Cells": "How many cells there are to choose from.", "Question.Options": "Of a choice.", "Question.Points": "For a right answer; 0 is not marked.", "Question.Right": "Any of these counts.", "Question.Why": "What in the record shows it, or why it can't be known.", "Question.Tempting": "What a wrong answer may rest on.",
	"Option.Letter": "As answered.", "Option.Text": "As the student reads it.", "Option.Right": "Whether it is right.", "Option.Feedback": "Why a wrong one is tempting, and what shows otherwise.",
	"Right.Word": "A letter, cells, or a word.", "Right.Value": "A figure.", "Right.Tolerance": "How far off still counts.",
}

// AnswersSchema and KeySchema are the JSON Schemas of the two files. Both files
// are read strictly: keys that are not named here are errors.
func AnswersSchema() ([]byte, error) {
	return schema(lesson.Answers{}, lesson.AnswersSchema, "afterloop answers")
}

// KeySchema is that of a key.
func KeySchema() ([]byte, error) { return schema(lesson.Key{}, lesson.KeySchema, "afterloop key") }

func schema(v any, id, title string) ([]byte, error) {
	d := report.Document{Value: v, ID: id, Title: title, Strict: true}
	return d.SchemaBy(func(key string) string { return meanings[strings.TrimPrefix(key, "afterloop/analysis/lesson.")] })
}
