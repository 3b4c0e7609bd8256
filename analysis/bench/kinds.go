package bench

import "afterloop/analysis"

// kind is what all findings of one kind share.
type kind struct {
	title, wouldChange string
	alternatives       []string
	advice             analysis.Advice
}

var kinds = map[string]kind{
	"bench-departs": {"Departs from the straight line", "a departure within the limit at every level",
		[]string{"the pot's oxygen fraction is not what was stated", "the pressure reading is off, or gauge was taken for absolute", "the gas at the cell was not mixed, or the level was too short"},
		analysis.Advice{
			Diver:      "Do not dive this cell on the strength of an air calibration.",
			Technician: "Repeat the test with a fresh purge and longer levels beside a cell that is known to be good; replace the cell by the equipment's own procedure if it departs again.",
			Instructor: "A calibration in air is one point: show what the cell does where it is used."}},
	"bench-ceiling": {"Reads low above a ceiling (current-limited)", "a reading that goes on rising with PO2",
		[]string{"the pot's pressure did not rise as recorded", "the electronics that read the cell end there"},
		analysis.Advice{
			Diver:      "Above this value the cell reads low and a controller that believes it adds oxygen. Do not dive it.",
			Technician: "Replace the cell by the equipment's own procedure; test the others of its age, which fail alike.",
			Instructor: "The cell calibrates well in air and in oxygen at the surface, and fails where it counts."}},
	"bench-offset": {"Offset", "a line through zero within the limit",
		[]string{"the meter's own zero", "a level below the line that was not settled"},
		analysis.Advice{
			Diver:      "Have the cell tested again before it is used.",
			Technician: "Check the meter's zero with its inputs shorted, then the cell in a gas without oxygen.",
			Instructor: "A one-point calibration assumes a line through zero."}},
	"bench-hysteresis": {"Reads differently on the way down", "the same reading at the same PO2 on both ways",
		[]string{"levels that were too short for the cell", "temperature that changed with the pressure", "gas that was not mixed"},
		analysis.Advice{
			Diver:      "Have the cell tested again before it is used.",
			Technician: "Repeat with longer levels; moisture behind the membrane and a slow cell look like this.",
			Instructor: "Talk about what else changes when a pot is filled and emptied."}},
	"bench-slow": {"Slow", "a T90 with its interval below the limit",
		[]string{"the pot mixes slowly", "water on the membrane"},
		analysis.Advice{
			Diver:      "A slow cell shows what was, not what is. Do not dive it.",
			Technician: "Dry the cell and repeat beside a good one; replace it by the equipment's own procedure if it stays slow.",
			Instructor: "Lag matters most when PO2 changes fastest: on the ascent."}},
	"bench-short": {"Not shown to follow up to the goal", "levels up to the goal",
		[]string{"the test did not go far enough, and the cell is sound"},
		analysis.Advice{
			Diver:      "What was not tested is not known: this is no pass.",
			Technician: "Repeat with levels up to the goal, by the equipment's own procedure.",
			Instructor: "Not tested and tested well are two things."}},
	"bench-temperature": {"The temperature moved during the test", "a steady temperature",
		[]string{"the sensor was warmed by hand"},
		analysis.Advice{
			Diver:      "Nothing to do.",
			Technician: "A cell's raw output rises by 2 to 3 % per kelvin where it is not compensated: let the pot rest between levels.",
			Instructor: "Name the second quantity that moves along."}},
	"loop-leak": {"The loop loses pressure", "a rate with its whole interval below the limit",
		[]string{"a temperature that fell (positive test) or rose (negative test) more than was recorded", "the test rig leaks, not the loop", "creep of the bags that had not ended"},
		analysis.Advice{
			Diver:      "Do not dive the loop. Water comes in where gas goes out.",
			Technician: "Find the leak by the equipment's own procedure (joints, O-rings, mouthpiece, valves, hoses), then repeat both tests.",
			Instructor: "Show what a leak of this size costs in gas, and where water would gather."}},
	"loop-inflow": {"The pressure moves away from ambient", "a rate at or above zero",
		[]string{"a temperature that rose (positive test) or fell (negative test) more than was recorded"},
		analysis.Advice{
			Diver:      "Do not dive the loop until the cause is known.",
			Technician: "Look for gas that comes in by itself: an oxygen or diluent valve that does not close. A relief valve that holds the pressure can hide it.",
			Instructor: "A leaking injection valve passes every tightness test, and is no less dangerous."}},
	"loop-borderline": {"The loop's rate can't be told from the limit", "a longer test, or a finer pressure reading",
		[]string{"the loop is tight", "the loop leaks"},
		analysis.Advice{
			Diver:      "This is no pass: repeat the test for longer.",
			Technician: "Repeat for longer with the temperature recorded.",
			Instructor: "Show how the interval narrows with time."}},
	"test-disturbed": {"The test was disturbed", "an undisturbed record",
		[]string{"a valve that moved by itself"},
		analysis.Advice{
			Diver:      "Repeat the test and leave the loop alone meanwhile.",
			Technician: "Repeat the test and leave the loop alone meanwhile.",
			Instructor: "Say what was left out before the rest is discussed."}},
	"relief-held": {"A relief valve may have held the pressure", "a start pressure below that of the relief valve",
		[]string{"the loop was filled to this pressure by chance"},
		analysis.Advice{
			Diver:      "Repeat the test at a lower pressure.",
			Technician: "Start the test below the opening pressure of the relief valve: at it, an inflow stays unseen.",
			Instructor: "A flat line is not always a tight loop."}},
}
