package days

import "afterloop/analysis"

// Definitions says what the figures of a series mean and by which rules they are
// counted. Those that a debrief has too stand there.
func Definitions() []analysis.Definition {
	return []analysis.Definition{
		{ID: "rolling-24h", Name: "Rolling 24 hours", Unit: "%", Text: "Largest share of the 24-hour limit taken in any 24 hours, whichever clock time they begin at. A dive more than 24 hours ago does not count; nothing decays. Between the rows of the table the next higher row counts.",
			Equation: "max over t of int from t-24h to t of dt / limit24(PO2)", Source: "NOAA Diving Manual, 24-hour limits; three dives of 45 min at 1.6 are allowed in 24 h (4th edition, p. 3-22, as quoted)"},
		{ID: "surface-decay", Name: "CNS at the start and the end of a dive", Unit: "%", Text: "What is left of the single-exposure figure of earlier dives, halved every 90 minutes at the surface, and never within a dive. A convention: no published measurement of the 90 minutes is known, and it is never applied to the 24-hour limit or to OTU.",
			Equation: "CNS 2^(-t / 90 min)", Source: "convention (common practice); 100 % after 5 min is 96.2223836894 % (printed in 1996)"},
		{ID: "local-day", Name: "Local day", Unit: "", Text: "Calendar day by the offset from UTC of the log's own start. A dive over midnight is cut there and counts on both days. Instants are compared in UTC, so that a journey between time zones neither doubles nor loses hours.", Source: "ours"},
		{ID: "otu-limit", Name: "OTU by day", Unit: "OTU", Text: "Pulmonary dose of each local day against the limit for the n-th day of a run, and of the run so far against n times that. 850 on day 1 and 300 from day 11 were seen quoted; days 2 to 10 are from memory and unverified. No recovery of OTU is counted.",
			Source: "Hamilton, Kenyon and Peterson, REPEX, NOAA TR 88-1B, 1988"},
		{ID: "day-of-run", Name: "Day n of a run", Unit: "", Text: "Day 1 is the first local day with a pulmonary dose. Every calendar day after it is the next, dived or not. A run ends, and the next dose begins a new one at day 1, after 2 whole local days in a row without a dose (--rest-days).",
			Source: "ours; the 2 days after the two days off of DMAC 35 (memory)"},
		{ID: "counts-once", Name: "What counts once", Unit: "", Text: "The same bytes (SHA-256) count once. Where two logs of the diver cover the same time, that time counts once, by the log with the larger dose there; it is said. Logs that name different divers are never added up.", Source: "ours"},
		{ID: "only-given", Name: "Only what was given", Unit: "", Text: "A dive that was not given can't be known. Logs without a start, without a PO2 that is believed, or that could not be read are named and make every sum a lower bound.", Source: "ours"},
	}
}

// definitionsFor are those that a report shows.
func definitionsFor(p Params) []analysis.Definition {
	out := Definitions()
	want := map[string]bool{"headline": true, "cns-step": true, "otu": true, "dose-interval": true}
	for _, d := range analysis.Definitions() {
		if want[d.ID] {
			out = append(out, d)
		}
	}
	for _, d := range analysis.ModelDefinitions() {
		if p.ESOT && d.ID == "esot" {
			d.Text += " Limits by day of a run: 660 on day 1, 500 on days 2 to 5, 420 on days 6 to 10, then 2 days off (DMAC 35, memory)."
			out = append(out, d)
		}
	}
	return out
}
