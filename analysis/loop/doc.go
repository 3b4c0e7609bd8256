// Package loop holds the physical model of a closed-circuit breathing loop and
// what follows from it: the estimate of PO2 at the cells with an honest band,
// the helium witness, and a judgement of oxygen valves and supply.
//
// The question it answers: what PO2 did the cells really sit in, given what
// they read, how deep the diver was and when the valves opened; and did the
// valves do what they were told?
//
// The model is one well-mixed volume (see [Flow]), after the mass balance that
// METHODS.md states; published single-compartment models of that kind agree with
// measurements within 1 % O2 (Franberg et al., Undersea Hyperb Med 2015). What
// an opening gives reaches the cells ahead of the mixed loop, so the filter has
// a second, short-lived part for it.
//
// Everything is a pure function over slices: [Smooth] for the estimate, [Helium]
// for the witness, [Valves] for the valves. [Record] is what they read. Filters
// on uneven steps ([LowPass], [Slope]) are shared with package cell.
package loop
