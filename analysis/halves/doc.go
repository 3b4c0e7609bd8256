// Package halves brings two recorders of one dive onto one clock, and compares
// what they recorded.
//
// The question it answers: two halves of doubled electronics each kept a log of
// the same dive, each by its own clock; how far apart are the clocks, how sure is
// that, and how do the two series of one quantity differ? Both felt the same
// water, so depth tells. [Align] looks for the clock
//
//	t_A = t_B + offset + drift (t_B - reference)
//
// with which the depths fall on one another,
//
//	z_B(t_B) = z_0 + k z_A(t_A)
//
// so that a depth sensor that is off by an amount or a factor moves no clock. A
// coarse search tries every shift; robust least squares (Gauss-Newton, weights of
// Huber 1964 (memory)) fit offset, drift, z_0 and k from the best of them; the
// intervals come from sums over stretches of time (a sandwich over clusters,
// Liang and Zeger 1986 (memory)), since neighbouring rows share their errors.
//
// It refuses, with the reason, where depth can't tell: too little change of
// depth, too short a common stretch, several shifts that fit alike, or two
// records that do not agree wherever they are put. Two divers who stayed together
// have like profiles: that two logs can be aligned does not prove that they
// belong to one unit.
//
// Depths are metres, times seconds as recorded, NaN is "not recorded".
package halves
