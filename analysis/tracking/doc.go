// Package tracking measures how tightly a loop's PO2 followed its set point.
//
// The question it answers: did the controller (or the diver) hold what was
// asked for, by how much and for how long was it missed, and in which part of
// the dive? It reports facts: a large error on a descent, or just after a change
// of set point, is measured like any other and marked as such. What deserves a
// finding is for the caller to say.
//
//   - [Phases] splits the dive by the rate of depth change.
//   - [Track] gives the figures of control performance, overall and by phase.
//   - [Changes] looks at the response to each change of set point.
//   - [HalfWaves] and [Oscillations] look for a loop that swings about its set point.
//   - [NotHeld] lists the times when the error stayed large.
//
// All functions are pure, linear in the number of rows, and treat NaN as "not
// recorded". Nothing is interpolated across a gap.
//
// Sources: the integral of the absolute error (IAE), its mean (MAE) and the
// root mean square (RMSE) are the standard figures of control performance;
// rise time, settling time and overshoot are those of any textbook on linear
// control; the detection of oscillation by the integrated error between zero
// crossings is Hägglund's (Control Engineering Practice 3:1543, 1995, and
// 13:1383, 2005). No standard's band for the error of a rebreather's PO2 is
// used: none was readable.
package tracking
