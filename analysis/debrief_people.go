package analysis

// Responses sets beside each event when it could be seen, what the unit recorded
// and which action was recorded. It describes the record and judges nobody.
type Responses struct {
	// Note says how to read the table.
	Note   string     `json:"note"`
	Events []Response `json:"events"`
}

// Response is one event, in order of time.
type Response struct {
	Finding string `json:"finding"` // the finding's id
	Kind    string `json:"kind"`
	Title   string `json:"title"`
	FromS   Float  `json:"from_s"`
	ToS     Float  `json:"to_s"`
	// VisibleS is the first row in which a causal observer with these readings could
	// have seen it, null where none could; VisibleBy is the rule in words.
	VisibleS  Float  `json:"visible_s"`
	VisibleBy string `json:"visible_by"`
	// Recorded is what the unit's vote recorded of it, Noted the next note (which may not
	// belong), Action the first recorded action that could serve. Delays are from VisibleS;
	// a note that came long after has none.
	Recorded Recorded `json:"unit_vote"`
	Noted    Recorded `json:"note"`
	Action   Recorded `json:"action"`
}

// Recorded is something that was recorded, with the time since it could be seen.
type Recorded struct {
	AtS Float `json:"at_s"`
	// What is the record in words, or why there is none.
	What   string   `json:"what"`
	DelayS Interval `json:"delay_s"`
}
