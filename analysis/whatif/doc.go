// Package whatif runs a recorded dive again under something else: another rule of
// voting, a cell or a half that is lost, a valve that stays shut, another set point,
// another controller.
//
// It answers two different questions, and keeps them apart in every word and figure:
//
//   - Open-loop replay: the recorded readings as they are, under another vote. What would
//     the vote have been? It changes nothing in the loop: had the unit controlled on
//     another number, the gas and with it the readings would have been others.
//   - Closed-loop simulation: a model of the loop, fitted to this dive, with a simulated
//     unit. What would the loop have done? Every result of it carries [Mark].
//
// # The model
//
// The loop is that of package scenario ([scenario.Rig]: two compartments, amounts of gas,
// make-up and venting) along the recorded pressure. From the record, the estimate of PO2
// and the commanded openings follow
//
//   - flow/V, by trying values ([findFlow]), unless volume and flow are stated;
//   - VO2/V, one number for each stretch of the dive, so that the loop under the recorded
//     openings gives the estimate ([fit]);
//   - the sizes of what was added by hand;
//   - a controller, from when and how long the valves opened ([infer]);
//   - the unit's rule of voting, as that which comes nearest to its recorded PO2.
//
// The volume itself is not known from a log and not needed: PO2 depends on flow/V and
// VO2/V alone. A cell is lag, gain and ceiling as diagnosed, and what it showed beyond
// that, as recorded, on top: with the recorded PO2 it reads what was recorded.
//
// First the recorded set-up is simulated and held against the dive; if it does not
// reproduce it (published single-compartment models keep within 1 % O2; Franberg et al.,
// Undersea Hyperb Med 2015), that is said, or nothing is shown. All is run again at the
// ends of what is not known ([corner]), and figures are ranges.
//
// Nothing is random and no clock is read: the same log and changes give the same bytes.
package whatif
