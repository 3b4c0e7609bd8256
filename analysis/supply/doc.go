// Package supply looks at what a unit carries: the gas in its cylinders and the
// charge in its batteries.
//
// The question it answers: how much oxygen left the cylinder, does that agree
// with what the valves were commanded to give and with what a diver can have
// used, does the diluent fall where nothing should take it, and how do the
// batteries behave while a valve is open?
//
// Oxygen in a cylinder of volume V at absolute pressure p and temperature T is
//
//	L = V p / Z(T, p) / 1.01325 * 273.15 / T        litres STPD
//
// with the compressibility factor Z of [Compressibility]. What left it is the
// difference between two robust readings, with an interval for the gauge's
// steps, its noise and accuracy, the cylinder's temperature, which no log holds,
// and its volume. Three accounts of the same oxygen are then set side by side:
//
//   - cylinder: what left it
//   - valves: commanded seconds times the stated flow, and what was added by hand
//   - use: metabolism over the time on the loop, what the loop holds more at the
//     end, what ascents vented, less what came with diluent: bounds
//
// Two of them agree, lie apart, or can't be told ([Compare]): only where the
// intervals exclude each other does the package name what could be behind it,
// and then every candidate that the third account does not rule out.
//
// No limit of a battery's voltage stands here: it belongs to the equipment's own
// manual. Without one given, a battery is judged against itself alone.
//
// All functions are pure and treat NaN as "not recorded". Apart from lines
// through at most a few hundred thinned points the cost is linear in rows.
//
// Sources: Stewart, Jacobsen and Wagner, J. Phys. Chem. Ref. Data 20:917 (1991),
// for oxygen under pressure; the ideal gas law; Knafelc, NEDU report 1-89, for
// oxygen consumption; Theil (1950) and Sen (1968), by package fit, for lines.
// The widths of the intervals are ours and stand in [Params].
package supply
