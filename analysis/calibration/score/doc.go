// Package score holds the diagnosis to the truth of simulated dives.
//
// The question it answers: on dives that nobody tuned for, how often does a
// debrief name the right part and the right kind of fault, how often does it cry
// wolf, what is each grade of confidence worth, and how near is its estimate of
// PO2? [Run] draws dives of the families of package scenario, sends each
// through the whole program (log as text, ingest, analysis) and returns a
// [Result], which can be written as text, Markdown, JSON and as the
// calibration.Table that reports print.
//
// # What counts
//
// A finding counts where it is of a kind of fault and more than a note. A part is
// a cell, a valve, the leak or the supply.
//
//	right part   a finding on the part, at the time of the fault (60 s of grace at its end)
//	right kind   of the true kind, and no more kinds on that part than are true
//	wrong part   nothing on the part, but a part without a fault is named at that
//	             time: mis-isolation, the gravest of misses
//	false alarm  a finding on a part that has no fault, mis-isolations included
//	sure, wrong  a false alarm or a wrong kind whose confidence is sure
//
// No point adjustment, no merging of alarms, no F-score: a finding is one event,
// and point-wise scores make chance look good (Kim et al., "Towards a Rigorous
// Evaluation of Time-Series Anomaly Detection", AAAI 2022). Where the log can't
// settle the truth (cells alike in gain, a leak that a lower VO2 explains as
// well) findings on those parts are neither right nor wrong; what is asked is
// that the doubt be told.
//
// The diagnosis looks back over the whole dive. Its delay is therefore how much
// later than the fault the finding starts, not how long a diver would have
// waited for an alarm. Simple rules run over the same dives, so that it can be
// seen which faults any threshold would have found.
//
// All figures are calibrated on simulation only.
package score
