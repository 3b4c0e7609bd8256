// Package cell judges each oxygen cell of a recorded dive: which is slow,
// current-limited, miscalibrated, drifting, frozen or erratic, how sure that is, and
// what the log can't tell. A majority is no proof: cells of one age fail alike.
//
// All cells see one PO2, p(t). A sound cell is first order in a gain times it,
// dy/dt = (g p - y)/tau, T90 = tau ln 10; a limited one hardly rises above its
// ceiling (METHODS, "The loop" and "Faults"). So the cells are judged in this order:
//
//  1. Readings that say nothing are set aside: rows near flushes, manual
//     additions and bailout (the record's mask), then erratic and frozen stretches,
//     and those after a jump that no PO2 can make ([dive.findStray]): they tell of
//     the cell that jumped, and nothing of those that did not come along.
//  2. Each cell in turn is taken for the truth and the others are fitted to it:
//     steady, slower from an onset on, limited, drifting ([fit]). A cell can lag
//     but not lead, and can't look expansive; so the cheapest reference is the
//     truthful one in its dynamics. Then each is fitted to the mean of the sound ones
//     but itself.
//  3. Whether the reference is slow itself, the ascents tell: there p follows
//     the ambient pressure at once ([basis]).
//  4. Constant gains are compared last, with the witnesses there are: helium, known
//     gas, the bound p <= Pd. Without one the odd cell is possible at most.
//
// Costs are negative log-likelihoods in nats, with Student's distribution for the
// residuals and one effective sample per 25 s, since residuals are correlated in
// time. Confidence follows the rule in [Confidences].
package cell
