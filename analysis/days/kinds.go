package days

import (
	"strconv"

	"afterloop/analysis"
)

// kind is what all findings of one kind share.
type kind struct {
	title, wouldChange string
	alternatives       []string
	advice             analysis.Advice
}

var doseAdvice = analysis.Advice{
	Diver:      "Count this in before the next exposure, by the rules that you dive under. Any symptom: call emergency medical services and a diving physician.",
	Technician: "Nothing to repair from this figure alone; look at the debrief of each dive for its cells and its injection.",
	Instructor: "Show which dive brought most of it, and what the figure rests on: the source of PO2, the range, the rule between rows of the table.",
}

var recordAdvice = analysis.Advice{
	Diver:      "Export the logs again, and give all of them. What is missing counts in your body, not in these figures.",
	Technician: "Check the recorder's clock, time zone, memory and battery.",
	Instructor: "Say what can't be known because of this, before the sums are discussed.",
}

var alikeAdvice = analysis.Advice{
	Diver:      "Say which logs are of one dive: give the two as halves, or one of them. Until then take no sum for right.",
	Technician: "Set the clocks of both halves alike, and check their time zones.",
	Instructor: "Show what one dive looks like when it counts twice.",
}

// kinds are the kinds of finding of a series.
func kinds() map[string]kind {
	wrongPO2 := []string{"the PO2 that the figures rest on was wrong: see the debrief of each dive", "a log that is not of this diver"}
	return map[string]kind{
		"series-24h-limit":    {"CNS: near or past the 24-hour limit over several dives", "fewer or shorter dives in 24 hours, or a lower PO2", wrongPO2, doseAdvice},
		"series-single-limit": {"CNS: near or past the single-exposure limit at the end of a dive", "a longer time at the surface, a shorter dive or a lower PO2", append([]string{"the half-time of 90 minutes is a convention: the true recovery is not known"}, wrongPO2...), doseAdvice},
		"series-beyond-table": {"Time beyond the CNS table", "a PO2 of at most 1.6 bar", wrongPO2[:1], doseAdvice},
		"series-otu-day":      {"Pulmonary dose: near or past the limit of a day", "a lower PO2, shorter dives, or an earlier day of a run", append([]string{"days of a run counted by another rule"}, wrongPO2...), doseAdvice},
		"series-otu-run":      {"Pulmonary dose: near or past the limit of a run of days", "a lower PO2, shorter dives, or a run that ended earlier", append([]string{"days of a run counted by another rule"}, wrongPO2...), doseAdvice},
		"series-esot":         {"Equivalent surface oxygen time past a limit (memory)", "a lower PO2 or shorter dives", append([]string{"the limits are from memory"}, wrongPO2...), doseAdvice},
		"series-incomplete":   {"Logs that are in no figure", "a start and a PO2 for each of them", []string{"the log was given by mistake"}, recordAdvice},
		"series-clock":        {"A start that may be that of the first row", "a start at time 0, as the format has it", []string{"the dive did begin that late"}, recordAdvice},
		"series-record":       {"Records that are not whole", "records from before the descent until after the surfacing, without gaps", []string{"a fault of the export, not of the recorder"}, recordAdvice},
		"logs-overlap":        {"Two logs of the same time", "starts that do not overlap", []string{"two recorders on one dive", "a clock or a time zone that was set wrongly", "a log of another diver"}, recordAdvice},
		"one-dive-two-logs":   {"Two logs that look like two halves of one dive", "depths that differ", []string{"the same dive, exported twice", "two dives along one line at one pace", "a log of a companion"}, alikeAdvice},
	}
}

// complete fills what a finding of a kind shares, puts the gravest first and numbers them.
func complete(fs []analysis.Finding) []analysis.Finding {
	out, n := []analysis.Finding{}, map[string]int{}
	for _, severity := range []analysis.Severity{analysis.Warning, analysis.Caution, analysis.Note} {
		for _, x := range fs {
			if x.Severity != severity {
				continue
			}
			n[x.Kind]++
			x.ID, x.CheckVersion = x.Kind+"-"+strconv.Itoa(n[x.Kind]), 1
			k := kinds()[x.Kind]
			x.Title, x.WouldChange, x.Advice = k.title, k.wouldChange, k.advice
			x.Alternatives = append([]string{}, k.alternatives...)
			x.Cells = []int{}
			if x.Evidence == nil {
				x.Evidence = []string{}
			}
			out = append(out, x)
		}
	}
	return out
}
