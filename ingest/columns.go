package ingest

import "afterloop/analysis/gas"

// Limits of what an instrument can give, generous on purpose: a strange value is
// for the analysis to judge, an impossible one must not reach it. "ours".
const (
	maxPO2Bar    = 100  // 1000 m of pure oxygen; also catches mbar under a bar header
	maxDepthM    = 2000 // deeper than any person
	minDepthM    = -10  // the lowest pressure on a mountain, set to sea level
	maxAmbient   = 150
	maxMV        = 5000
	maxOpenS     = 14400
	maxOpenings  = 60000
	maxCylBar    = 1000
	maxBatteryV  = 1000
	maxLoopMbar  = 10000
	minHe        = -0.05 // noise round nothing
	maxHe        = 1.05
	minTempC     = -60
	maxTempC     = 150
	depthJumpM   = 2
	tempJumpC    = 3
	mbarPerBar   = 1000
	kPaPerBar    = 100
	secPerMin    = 60
	displayLimit = 9.99
)

// columnDefs is the format's table of columns. Of two columns with the same
// quantity the one further up is the more direct and is used.
var columnDefs = []columnDef{
	number("time_s", timeQuantity, "s", -maxAbsTimeS, maxAbsTimeS, noSentinel, "time").with("required; any start"),
	number("time_min", timeQuantity, "s", -maxAbsTimeS, maxAbsTimeS, noSentinel, "time").in("min", secPerMin, 1),
	clock("time", timeQuantity, "time").with("`mm:ss` or `h:mm:ss`, unwrapped at midnight"),

	number("depth_m", depthQuantity, "m", minDepthM, maxDepthM, maybeNegative, "depth").jumping(depthJumpM).
		with("required unless there is a pressure"),
	number("depth_ft", depthQuantity, "m", minDepthM, maxDepthM, maybeNegative, "depth").jumping(depthJumpM).
		in("ft", gas.MetresPerFoot, 1),
	number("depth_msw", pressureDepthQuantity, "bar", -1, 150, maybeNegative, "pressure above the surface's").
		jumping(0.2).in("msw", 1, 1/gas.BarPerMsw).with("a pressure; depth follows from it"),
	number("depth_fsw", pressureDepthQuantity, "bar", -1, 150, maybeNegative, "pressure above the surface's").
		jumping(0.2).in("fsw", gas.BarPerFsw, 1).with("a pressure; depth follows from it"),

	ambient("ambient_bar", "absolute ambient pressure").with("beats depth for pressure"),
	ambient("ambient_ata", "absolute ambient pressure").in("ata", gas.BarPerAta, 1),
	ambient("ambient_kpa", "absolute ambient pressure").in("kPa", 1, kPaPerBar),
	ambient("ambient_mbar", "absolute ambient pressure").in("mbar", 1, mbarPerBar),
	ambient("ambient#_bar", "absolute ambient pressure, sensor #"),

	pressure("cell#_po2_bar", cellPO2Quantity, maxPO2Bar, "PO2 of cell #").with("required, or `cell#_mv` with its calibration"),
	pressure("cell#_po2_ata", cellPO2Quantity, maxPO2Bar, "PO2 of cell #").in("ata", gas.BarPerAta, 1),
	pressure("cell#_po2_kpa", cellPO2Quantity, maxPO2Bar, "PO2 of cell #").in("kPa", 1, kPaPerBar),
	pressure("cell#_po2_mbar", cellPO2Quantity, maxPO2Bar, "PO2 of cell #").in("mbar", 1, mbarPerBar),
	number("cell#_mv", cellMVQuantity, "mV", -100, maxMV, neverNegative, "millivolts of cell #").
		with("gives PO2 by its calibration where there is no `cell#_po2`, else a witness"),
	word("cell#_vote", cellVoteQuantity, []string{"", "in", "out", "manual_in", "manual_out"}, "the unit's own vote on cell #"),

	pressure("po2_bar", unitPO2Quantity, maxPO2Bar, "PO2 that the unit controlled on"),
	pressure("po2_ata", unitPO2Quantity, maxPO2Bar, "PO2 that the unit controlled on").in("ata", gas.BarPerAta, 1),
	pressure("po2_kpa", unitPO2Quantity, maxPO2Bar, "PO2 that the unit controlled on").in("kPa", 1, kPaPerBar),
	pressure("po2_mbar", unitPO2Quantity, maxPO2Bar, "PO2 that the unit controlled on").in("mbar", 1, mbarPerBar),
	pressure("half@_po2_bar", halfPO2Quantity, maxPO2Bar, "PO2 of half @"),
	pressure("half@_po2_ata", halfPO2Quantity, maxPO2Bar, "PO2 of half @").in("ata", gas.BarPerAta, 1),
	pressure("half@_po2_kpa", halfPO2Quantity, maxPO2Bar, "PO2 of half @").in("kPa", 1, kPaPerBar),
	pressure("half@_po2_mbar", halfPO2Quantity, maxPO2Bar, "PO2 of half @").in("mbar", 1, mbarPerBar),
	pressure("setpoint_bar", setPointQuantity, maxPO2Bar, "set point in force"),
	pressure("setpoint_ata", setPointQuantity, maxPO2Bar, "set point in force").in("ata", gas.BarPerAta, 1),
	pressure("setpoint_kpa", setPointQuantity, maxPO2Bar, "set point in force").in("kPa", 1, kPaPerBar),
	pressure("setpoint_mbar", setPointQuantity, maxPO2Bar, "set point in force").in("mbar", 1, mbarPerBar),

	number("valve#_open_s", valveOpenQuantity, "s", 0, maxOpenS, neverNegative,
		"seconds valve # was commanded open since the row before"),
	number("valve#_openings", valveOpeningsQuantity, "1", 0, maxOpenings, neverNegative,
		"openings of valve # since the row before"),

	number("loop_he", loopHeQuantity, "1", minHe, maxHe, neverNegative, "measured helium fraction").with("a fraction, 0 to 1, and what noise adds"),
	number("loop_he#", loopHeQuantity, "1", minHe, maxHe, neverNegative, "measured helium fraction, sensor #"),
	number("loop_mbar", loopMbarQuantity, "mbar", -maxLoopMbar, maxLoopMbar, alwaysValue, "loop pressure relative to ambient"),
	number("temp_c", waterTempQuantity, "C", minTempC, maxTempC, maybeNegative, "water temperature").jumping(tempJumpC),
	number("loop_temp_c", loopTempQuantity, "C", minTempC, maxTempC, maybeNegative, "loop temperature").jumping(tempJumpC),
	pressure("o2_cyl_bar", o2CylQuantity, maxCylBar, "oxygen cylinder pressure"),
	pressure("dil_cyl_bar", dilCylQuantity, maxCylBar, "diluent cylinder pressure"),
	number("battery#_v", batteryQuantity, "V", 0, maxBatteryV, neverNegative, "voltage of battery #"),

	word("breathing", breathingQuantity, []string{"", "loop", "open"}, "what the diver breathes from").
		with("beats events; an empty field leaves the word before it in force"),
	sparse("open_gas", openGasQuantity, "bailout gas from this row on").with("`O2/He` in per cent, `air`, or `unknown`"),
	sparse("diluent", diluentQuantity, "diluent from this row on").with("`O2/He` in per cent, `air`, or `unknown`"),
	sparse("event", eventQuantity, "events").with("several in one field are parted by `;`"),
	sparse("note", noteQuantity, "free text"),
}
