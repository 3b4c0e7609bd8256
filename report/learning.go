package report

// Learning is what a student reads of a kind of finding.
type Learning struct{ Seen, Why, Healthy, Do string }

// LearningOf is the explanation of a kind of finding, for pages beside the
// debrief's; false where there is none, as for a kind of a later version.
func LearningOf(kind string) (Learning, bool) {
	key := "explain." + kind + "."
	if _, ok := catalogue()[key+"seen"]; !ok {
		return Learning{}, false
	}
	return Learning{say(key + "seen"), say(key + "why"), say(key + "healthy"), say(key + "do")}, true
}
