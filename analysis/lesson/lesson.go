package lesson

import (
	"fmt"
	"strings"
)

// Safety stands on every page of a lesson.
const Safety = "This is an exercise on an invented, simulated dive. It clears no equipment for use and no person to dive, and replaces no training. The instructor's agency rules, local rules and the equipment's own procedure come first."

// Lesson is one lesson. Its texts are for the instructor: a student sees the
// record and the questions only.
type Lesson struct {
	Name  string // for commands: "lagging-cell"
	Title string
	Line  string // one sentence for a list
	// Minutes is how long it takes with a class.
	Minutes int
	Goals   []string
	Physics []Physics
	Look    []string // what to look at, in order
	Wrong   []string // common wrong conclusions
	Discuss []string
	Unknown []string // what the log can't tell
	Caution []string
	// Expect are the kinds of finding by which afterloop's own debrief should show
	// it; none for a healthy dive. The key does not depend on them.
	Expect []string

	draw  func(*draft)
	ask   func(*sheet)
	shows func(*Dive) error // what the lesson claims of its dive, nil where it holds
}

// Physics is a piece of theory with where it comes from.
type Physics struct{ Text, Equation, Source string }

// All lists the lessons in the order in which they are best taught.
func All() []Lesson {
	return []Lesson{
		healthy(), laggingCell(), stuckCell(), badContact(), driftingCell(), wrongGain(),
		outvoted(), allLag(), undecidable(), heliumWitness(), roughHealthy(), flushTest(),
		humidCalibration(), shutValve(), leakingValve(), oxygenShut(), tooMuch(), coarseAdding(), offTheLoop(),
	}
}

// Find returns the lesson of a name; the error lists the names.
func Find(name string) (Lesson, error) {
	var names []string
	for _, l := range All() {
		if l.Name == name {
			return l, nil
		}
		names = append(names, l.Name)
	}
	return Lesson{}, fmt.Errorf("no lesson %q; there are: %s", name, strings.Join(names, ", "))
}
