package days

import (
	"fmt"
	"strings"
)

// answer says the series in sentences.
func (s *series) answer() {
	say := func(format string, a ...any) { s.r.Answer = append(s.r.Answer, fmt.Sprintf(format, a...)) }
	w := s.r.Worst24h
	if w.From == "" {
		say("No time above 0.5 bar was recorded: nothing counts by the 24-hour limits.")
	} else {
		say("Worst 24 hours: %s of the 24-hour limit, from %s to %s (step rule, no decay).", s.figureText(w.Percent), moment(s.instant(s.peak.FromS)), moment(s.instant(s.peak.ToS)))
	}
	for _, d := range s.r.Days {
		limit := "no pulmonary dose"
		if d.LimitOTU.Known() {
			limit = fmt.Sprintf("%s OTU against %.0f for day %d of a run%s", otuText(d.OTU), float64(d.LimitOTU), d.DayOfRun, memory(d.LimitVerified))
			if d.DayOfRun > 1 {
				limit += fmt.Sprintf("; %s OTU since day 1 against %.0f", otuText(d.RunOTU), float64(d.RunLimitOTU))
			}
		}
		say("%s: %s.", d.Date, limit)
	}
	say("CNS by the single-exposure limit follows, from dive to dive; what is left of it after time at the surface is a convention (half-time %.0f minutes).", s.p.Exposure.HalfTimeMin)
	for _, d := range s.r.Dives {
		if !d.CNSAfterPercent.Value.Known() {
			say("Dive %d, %s: all of its time counts in another log.", d.Number, moment(s.dives[d.Number-1].from))
			continue
		}
		say("Dive %d, %s: CNS %s at its start, %s at its end.", d.Number, moment(s.dives[d.Number-1].from),
			s.figureText(d.CNSBeforePercent), s.figureText(d.CNSAfterPercent))
	}
}

func memory(verified bool) string {
	if verified {
		return ""
	}
	return " (memory, unverified)"
}

// figureText writes a percentage with its range.
func (s *series) figureText(v Figure) string {
	if !v.Value.Known() {
		return "not known"
	}
	text := percent(float64(v.Value) / 100)
	low, high := percent(float64(v.Low)/100), percent(float64(v.High)/100)
	return boundText(text, strings.TrimSuffix(low, " %"), high, v)
}

// otuText writes a pulmonary dose with its range.
func otuText(v Figure) string {
	text := fmt.Sprintf("%.0f", float64(v.Value))
	low, high := fmt.Sprintf("%.0f", float64(v.Low)), fmt.Sprintf("%.0f", float64(v.High))
	return boundText(text, low, high, v)
}

// boundText sets a figure with its range. The figure is the headline's; where part of
// the exposure is missing or lies above the table it is the least that its source
// allows, and so is either end of the range: no "to" then, and no upper end.
func boundText(text, low, high string, v Figure) string {
	if !v.IsLowerBound {
		switch {
		case !v.High.Known():
			return text + " (nothing bounds it from above)"
		case low != strings.TrimSuffix(high, " %"):
			return text + " (" + low + " to " + high + ")"
		}
		return text
	}
	var notes []string
	if low != strings.TrimSuffix(text, " %") {
		unit := strings.TrimPrefix(text, strings.TrimSuffix(text, " %"))
		notes = append(notes, "other sources that may have been breathed: from "+low+unit)
	}
	switch {
	case !v.High.Known():
		notes = append(notes, "nothing bounds it from above")
	case high != text:
		notes = append(notes, "with its gaps up to ≥ "+high)
	}
	if len(notes) > 0 {
		return "≥ " + text + " (" + strings.Join(notes, "; ") + ")"
	}
	return "≥ " + text
}
