package exposure

// RepexDay is the pulmonary dose that REPEX allows on each day of a run of
// diving days. A day is a local calendar day.
type RepexDay struct {
	// Days is the length of the run.
	Days int `json:"days"`
	// DailyOTU is what each day of a run of this length may take, TotalOTU the whole
	// run: Days x DailyOTU.
	DailyOTU float64 `json:"daily_otu"`
	TotalOTU float64 `json:"total_otu"`
	// Verified is false where the figure is from memory and was not seen in a source;
	// it must then be shown as unverified.
	Verified bool `json:"verified"`
}

// repexDaily is by the length of the run in days from 1; from the last on it stays.
// 850 on the first day and 300 in the long run were seen quoted from REPEX; those
// between are from memory.
var repexDaily = [...]float64{850, 700, 620, 525, 460, 420, 380, 350, 330, 310, 300}

// Repex is the limit for a run of days diving days (Hamilton, Kenyon and
// Peterson, REPEX, NOAA TR 88-1B, 1988). Below 1 there is none: ok is false.
func Repex(days int) (limit RepexDay, ok bool) {
	if days < 1 {
		return RepexDay{}, false
	}
	last := len(repexDaily)
	daily := repexDaily[min(days, last)-1]
	return RepexDay{
		Days:     days,
		DailyOTU: daily,
		TotalOTU: float64(days) * daily,
		Verified: days == 1 || days >= last,
	}, true
}

// RepexTable is [Repex] for runs of 1 to 11 days; longer ones stay at 300 a day.
func RepexTable() []RepexDay {
	table := make([]RepexDay, len(repexDaily))
	for i := range table {
		table[i], _ = Repex(i + 1)
	}
	return table
}
