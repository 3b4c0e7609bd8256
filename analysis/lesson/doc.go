// Package lesson turns simulated dives into lessons: one fault, or none, on a
// dive whose truth is known, with questions, the right answers, and what the
// log of it can't tell.
//
// The question it answers: what should a student who reads this record conclude,
// and what should they leave open? The key comes from the truth of the scenario
// and never from afterloop's own verdict. Where the truth says one thing and the
// record can't show it, the right answer is "can't be known from this log".
//
// # Parts
//
// A [Lesson] is data: goals, physics with their sources, what to look at, common
// wrong conclusions, a way to draw a dive and to ask about it. [Make] draws the
// dive of one seed and refuses one that does not show what the lesson claims.
// [NewKey] makes the sheets of a class; [ReadAnswers] and [Mark] take in what
// students committed to.
//
// A new lesson is one file and one line in [All].
//
// # Sources
//
// Equations are those of METHODS.md, named by their section. What is common
// practice is called so. A lesson replaces no training: the rules of the agency
// that the instructor teaches for come first.
package lesson
