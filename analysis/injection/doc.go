// Package injection looks at the oxygen side of a loop: when the valves opened,
// what the cells then saw, how much oxygen that was, and how much the diver used.
//
// The question it answers: is oxygen injection healthy, and what is the diver's
// oxygen consumption, as far as this log can tell?
//
// It rests on the mass balance of one well-mixed volume V with the oxygen
// fraction x = p/Pd of its dry gas. Where nothing is made up with diluent, at
// level or on an ascent, the balance is
//
//	dp/dt = x dPd/dt + (1-x) (Q - VO2)/V      or, the same,
//	Pd dx/(1-x) = (Q - VO2)/V dt
//
// with Q and VO2 in bar L/s at loop temperature. The left side of the second
// form can be summed along the log whatever the depth does; its sum between two
// moments is called the uptake here, in bar. One second of an open valve adds
// flow/V to it. Most logs state neither V nor the flow; flow/V can often be
// found, and VO2/V with it.
//
//   - [Openings] are the commanded openings; [Analyse] adds what followed them.
//   - A response is measured only where an opening stands alone: where openings
//     follow one another within the lag of the cells their responses can't be
//     told apart, and the package says so rather than guess.
//   - [Oxygen] holds flow/V and VO2/V; [MinutesToHypoxia] what is left if the
//     oxygen stopped; [Infer] reads openings off the saw-tooth of a log that has
//     no valve columns.
//
// All functions are pure, linear in the number of rows, and treat NaN as "not
// recorded".
//
// Sources: the loop model is that of METHODS, the project's page of equations,
// and of the published single-compartment models it cites; oxygen consumption
// from Knafelc, NEDU report 1-89. Regressing the rate of PO2 on the valve over
// short times is not done: the controller closes the loop, opens when PO2 falls,
// and so hides the valve's effect (the bias of direct identification in closed
// loop; see Ljung, System Identification, ch. 13 (memory)).
package injection
