// Package days answers how much oxygen one diver took over several dives: the
// share of the 24-hour limit in any 24 hours, the pulmonary dose of each local day
// against the limit for that day of a run of diving days, and what was left of the
// single-exposure figure at the start of each dive.
//
// It puts debriefs together and measures nothing again: what was breathed comes
// from each debrief's headline source, with the range of the other sources that
// are believed. Instants are compared in UTC, days are local calendar days by the
// offset of each log's own start, and no time of the diver counts twice. A dive
// that was not given can't be known: every figure says only what was given.
//
// Its rules stand in [Definitions], its thresholds in [Params]. The sources of the
// limits are those of package exposure. The JSON form of [Report] is a published
// contract (`afterloop schema days`).
package days

import (
	"fmt"
	"math"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/exposure"
	"afterloop/analysis/halves"
)

// Schema names the version of the JSON form of a [Report].
const Schema = "afterloop/days/1"

// Safety is said near the top of every report of a series.
const Safety = "This is a record of what instruments said, read after the dives, and only of the logs that were given. It clears no equipment for use and no person to dive: " +
	"a figure below a limit is no permission for a next dive, and convulsions have occurred within these limits. Local rules and the training held come first. After an incident keep the unit and the original logs untouched."

// Params are the figures that a series can be tuned by.
type Params struct {
	// CautionFraction and WarningFraction are shares of a limit: those of a debrief.
	// 80 % is common practice.
	CautionFraction float64 `json:"caution_fraction"`
	WarningFraction float64 `json:"warning_fraction"`
	// RestDays is how many whole local days without a pulmonary dose end a run of
	// diving days. Default 2: ours, after the two days off of DMAC 35 (memory).
	RestDays int `json:"rest_days"`
	// OverlapS is how long two logs must share before they are said to overlap, s.
	// Default 1: ours, the rounding of two clocks.
	OverlapS float64 `json:"overlap_s"`
	// Exposure are the options of the doses.
	Exposure exposure.Options `json:"exposure"`
	// ESOT adds the equivalent surface oxygen time of each day. Default off.
	ESOT bool `json:"esot"`
	// Diver restricts the series to one diver; empty means that all logs are of one.
	Diver string `json:"diver"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params {
	l := analysis.DefaultParameters().Limits
	return Params{CautionFraction: l.ExposureCautionFraction, WarningFraction: l.ExposureWarningFraction, RestDays: 2, OverlapS: 1, Exposure: exposure.DefaultOptions()}
}

// Log is one debrief that is to become part of a series.
type Log struct {
	Debrief *analysis.Debrief // as [analysis.Analyze] returns it
	// StartSupplied tells that Debrief.Dive.Start did not come from the log but from
	// the user; StartInLog is then what the log itself states, or empty.
	StartSupplied bool
	StartInLog    string
	// Profile is the log's depth on its own clock, by which two records of one dive are told;
	// empty where it is not at hand.
	Profile halves.Series
}

// f makes a figure of a number.
func f(v float64) analysis.Float { return analysis.Float(v) }

var unknown = f(math.NaN())

// moment writes an instant for people, with its offset.
func moment(t time.Time) string { return t.Format("2006-01-02 15:04 -07:00") }

// stamp writes an instant for programs.
func stamp(t time.Time) string { return t.Round(time.Second).Format(time.RFC3339) }

// length writes a time for people.
func length(s float64) string {
	m := int(math.Round(s / 60))
	switch {
	case s < 120:
		return fmt.Sprintf("%.0f s", s)
	case m < 120:
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

// percent writes a share; close below the whole it keeps a decimal, so that 99.9 %
// does not read as the limit.
func percent(share float64) string {
	switch {
	case math.IsNaN(share):
		return "not known"
	case share < 1 && share > 0.994:
		return fmt.Sprintf("%.1f %%", math.Floor(1000*share)/10)
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}
