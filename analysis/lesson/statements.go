package lesson

// statement is something that may be said of a record: why it is tempting to say
// it where it is wrong, and what a record of it would look like.
type statement struct{ text, tempting, otherwise string }

// The statements of the question "seen". All lessons draw on them, so that the
// options give nothing away.
const (
	oneLate      = "one-late"
	allLate      = "all-late"
	oneCeiling   = "one-ceiling"
	pairCeiling  = "pair-ceiling"
	oneGain      = "one-gain"
	pairGain     = "pair-gain"
	oneDrift     = "one-drift"
	oneStuck     = "one-stuck"
	oneJumps     = "one-jumps"
	valveShut    = "valve-shut"
	valveLeaks   = "valve-leaks"
	oxygenLost   = "oxygen-lost"
	overshoots   = "overshoots"
	sawTooth     = "saw-tooth"
	nothingWrong = "nothing"
	notSettled   = "not-settled"
)

var statements = map[string]statement{
	oneLate: {"One cell shows every change, but later than the others; at rest it reads as they do.",
		"Tempting, since cells do part while PO2 moves.",
		"A cell that lags trails in both directions and meets the others again once PO2 rests. Look at an ascent or a flush, and then at the minute after it."},
	allLate: {"All cells follow changes of pressure and additions of oxygen late, and alike.",
		"Tempting, since readings follow additions with a delay; mixing alone takes some 15 s.",
		"Where all lag, the cells agree and only the clock of the physics tells: on an ascent PO2 falls with pressure at once. Measure how long the readings take to follow depth."},
	oneCeiling: {"One cell follows up to some PO2 and hardly rises above it.",
		"Tempting, since one cell reads lower than the others at the high set point.",
		"A ceiling shows only above it: below, the cell follows the others both ways, and above it they part. Look whether the cell ever read higher."},
	pairCeiling: {"Two cells follow up to some PO2 and hardly rise above it; what they agree on is not the PO2.",
		"Tempting once one has learnt to distrust a pair.",
		"Two cells that stop at nearly one level while the third moves on above it would show this. Cells that part below that level too have another fault."},
	oneGain: {"One cell is off by the same share of the PO2 at every PO2.",
		"Tempting, since one cell lies apart wherever one looks first.",
		"A wrong gain scales with PO2: at 0.7 bar it is about half of what it is at 1.3. Compare the difference at both set points."},
	pairGain: {"Two cells are off by the same share of the PO2, and agree with each other.",
		"Tempting once one has learnt to distrust a pair.",
		"It takes a witness other than the cells to say so: a known gas, helium, or the bound by ambient pressure."},
	oneDrift: {"One cell's share of the true PO2 changes in the course of the dive.",
		"Tempting, since the cells are farther apart late in the dive than early.",
		"A drift is not there at first and grows. Compare the difference early and late at one PO2."},
	oneStuck: {"One cell stands still while the PO2 moves.",
		"Tempting, since a steady line looks dead.",
		"A cell that is stuck repeats one figure while the others move both ways. A ceiling, by contrast, lets go as soon as PO2 falls below it."},
	oneJumps: {"One cell jumps about, and the others do not share it.",
		"Tempting, since one trace looks rougher than the rest.",
		"Jumps of one cell within seconds, back and forth, would show this. Noise of the size of the rounding step is healthy."},
	valveShut: {"One oxygen valve gives nothing when it is commanded open, and another one does.",
		"Tempting, since PO2 falls although valves are commanded.",
		"Take the openings one by one: after those of a valve that gives nothing PO2 does not rise, after those of another one it does. With none that answers, the supply is lost, or the only valve."},
	valveLeaks: {"Oxygen comes in while the valves are shut.",
		"Tempting, since PO2 is above the set point with nothing commanded.",
		"On a level stretch with the valves shut PO2 must fall by what the diver uses. It would rise, or fall more slowly than before."},
	oxygenLost: {"No oxygen comes in at all for some time, although valves are commanded open.",
		"Tempting, since PO2 lies below the set point while oxygen is asked for.",
		"Openings in a row without any answer, longer and longer ones, and a PO2 that falls by what the diver uses would show this."},
	overshoots: {"After a change of set point the controller adds more oxygen than it needs.",
		"Tempting, since PO2 passes the set point for a while.",
		"Look at the highest PO2 after a change of set point on a level stretch. On a descent pressure itself raises PO2."},
	sawTooth: {"Each addition of oxygen is large: PO2 swings around the set point in a saw-tooth.",
		"Tempting, since PO2 goes up and down about the set point.",
		"Look at how far PO2 moves between one opening and the next on a level stretch."},
	nothingWrong: {"Cells, valves and control behave as sound ones do. An error that all cells share would not show.",
		"Tempting, since the unit raised no doubt, or since cells agree.",
		"Something in this record can't be explained by depth, work, additions and rounding alone. Look again at where readings part from each other, or from what the valves were told."},
	notSettled: {"Cells disagree, and this record can't settle which of them are right.",
		"Tempting, since cells can't judge each other by counting.",
		"It is right to be slow to name a cell. But here the record holds more than the company that cells keep: something moved, or a gas was known, or the cells do not disagree."},
}

// fillers may stand beside any right statement without being right as well.
var fillers = []string{oneStuck, oneJumps, valveShut, valveLeaks, oxygenLost, oneCeiling, pairCeiling, oneDrift}

// The answers to "how far does this log go?".
const (
	named   = "named"
	likely  = "likely"
	unknown = "cant-know"
	silent  = "silent"
)

var sureIDs = []string{named, likely, unknown, silent}

var sureTexts = map[string]statement{
	named:   {"It names what is wrong: separate lines of evidence say the same.", "Tempting, since the picture is plain.", "That claims more than the record holds. Ask which second line of evidence, other than what the cells say of one another, you could show to a stranger."},
	likely:  {"It makes one explanation likely; another one stays open that no line of evidence excludes.", "Tempting as the middle way.", "Try to write the other explanation down, and then look for what in the record excludes it, or for what is missing."},
	unknown: {"It can't be known from this log: two explanations fit equally well.", "Tempting as the safe answer.", "Caution is good, but here the record does tell them apart, or there is no disagreement to settle. Look for what moved, and for known gas."},
	silent:  {"It shows nothing wrong; what all cells share would not show.", "Tempting where the unit went on as usual.", "Something is there that sound cells, valves and controllers do not do."},
}
