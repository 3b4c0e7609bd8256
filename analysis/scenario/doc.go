// Package scenario simulates the dive of a closed-circuit rebreather and writes
// what its recorder would have kept, together with the truth.
//
// The question it answers: if the loop, the cells and the valves had behaved
// just so, what would the log look like? A diagnosis can then be held to a
// truth that no real dive offers, and an instructor can show one fault at a
// time.
//
// # The model
//
// The loop holds three dry gases (oxygen, helium, the rest) in two compartments:
// the head with the cells and the oxygen inlet, of fixed volume, and the
// breathing side (counterlungs and lungs), whose volume follows from the amount
// of gas and the ambient pressure. Breathing carries gas between the two.
// Oxygen reaches the head through a short line that smears it. A diluent valve
// opens when the breathing side has collapsed to its lower bound and a relief
// valve vents it above its upper bound, so that descent is made up with diluent
// and ascent vents. The diver takes VO2 out of the breathing side. Amounts are
// kept, not pressures: the oxygen balance closes to rounding and the PO2 cannot
// exceed the dry pressure.
//
// That is the balance of METHODS.md, "The loop", with a second compartment, a
// volume that moves and a time step of 0.1 s; flows in L/min STPD enter as
//
//	bar L/s = (1.01325/60) (T/273.15)        T in kelvin
//
// A cell is first order in the partial pressure that it sees (the oxygen of the
// wet gas), times a gain, bent at a ceiling, plus noise, then rounded:
//
//	dL/dt = (p - L)/tau,  T90 = tau ln 10,  y = bend(g L) + noise
//
// The unit votes on the unrounded readings and commands its valves; a valve
// that is dead is commanded all the same.
//
// # Where it stops
//
// It knows no carbon dioxide, no temperature change inside the loop, no water
// on a cell's face and no diver who acts on what the display says, apart from
// the events that a [Spec] lists. Its defaults are ours or common practice, as
// the comments say; none describes a particular unit.
//
// A [Spec] and a seed give the same bytes always. Each part draws from its own
// stream of random numbers, so that a change to one cell leaves the noise of
// the others, the depth and the helium sensor as they were.
package scenario
