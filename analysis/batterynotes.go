package analysis

import (
	"fmt"

	"afterloop/analysis/supply"
)

// besideBattery says what a battery's figures leave out and what fell while no
// reading was there.
func (b *bench) besideBattery(x supply.Battery) []string {
	notes := []string{}
	if n := len(x.Lone); n > 0 {
		rows, lowest := 0, x.Lone[0]
		for _, l := range x.Lone {
			if rows += l.Rows; l.V < lowest.V {
				lowest = l
			}
		}
		what := fmt.Sprintf("one row of %.2f V at %s", lowest.V, b.clock(lowest.AtS))
		if rows > 1 {
			what = fmt.Sprintf("%d rows in %d %s, lowest %.2f V at %s", rows, n, plural(n, "place", "places"), lowest.V, b.clock(lowest.AtS))
		}
		notes = append(notes, what+", left out: contact or recorder, the log can't tell which")
	}
	for _, d := range x.Unseen {
		notes = append(notes, fmt.Sprintf("it fell from %.2f to %.2f V at some time between %s and %s, with no reading without load between: in a step or slowly, the log can't tell", d.FromV, d.ToV, b.clock(d.SinceS), b.clock(d.AtS)))
	}
	return notes
}
