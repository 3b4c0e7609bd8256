package analysis

import (
	"fmt"
	"math"
	"strings"
	"time"

	"afterloop/analysis/halves"
	"afterloop/analysis/wording"
	"afterloop/ingest"
)

// Doubled is one dive as the two halves of doubled electronics recorded it, each
// in a log of its own, joined on the clock of the first.
type Doubled struct {
	// Dive holds the parts of both: those of the first keep their order and come
	// first. [ingest.Dive.Check] holds for it.
	Dive *ingest.Dive
	// Clock is the second log's clock by the first's.
	Clock halves.Alignment
	logs  [2]*ingest.Dive
	half  [2]halfRecord
	// startText says what the stated starts say of the offset.
	startText string
	rules     []string
	twoCells  []sameSerial
}

// JoinHalves aligns the clocks of two logs by depth and joins them on the first
// one's. The rules of joining, by which no value is invented:
//
//   - rows are those of the first log; where it recorded nothing (before its first
//     row, after its last, in its gaps), those of the second
//   - a figure of the second log on a row of the first is interpolated between the
//     two rows around it, and never across a gap; where these two differ by more
//     than the tolerance of the vote, or one is at a display's limit, the nearer
//     one stands as read. So nothing lags, and no spike is worn down
//   - words (votes, breathing, gases) and events are those of the nearest row
//   - what the second log's valves were open is put on the first row at or after
//     its own, as far as that row's time has room, else on the rows beside it
//   - depth, pressure, set point and the PO2 of the unit are the first log's; on rows
//     that only the second recorded its own, depth and pressure brought to those of
//     the first sensor
//   - a cell whose serial number stands in both logs is one cell, unless the two
//     readings differ by more than the tolerance of the vote for long
//
// The error says why the logs can't be joined.
func JoinHalves(a, b *ingest.Dive, p Parameters) (*Doubled, error) {
	for _, d := range []*ingest.Dive{a, b} {
		if len(d.Meta.Halves) > 1 || len(d.HalfPO2Bar) > 1 {
			return nil, fmt.Errorf("%s holds both halves already: debrief it alone", d.Source.File)
		}
	}
	if a.Source.SHA256 != "" && a.Source.SHA256 == b.Source.SHA256 {
		return nil, fmt.Errorf("%s and %s are the same log", a.Source.File, b.Source.File)
	}
	clock := halves.Align(depthOf(a), depthOf(b), p.Halves)
	if !clock.Aligned {
		return nil, fmt.Errorf("%s and %s can't be aligned: %s", a.Source.File, b.Source.File, clock.Reason)
	}
	j := &Doubled{Clock: clock, logs: [2]*ingest.Dive{a, b}}
	j.startText = compareStarts(a, b, clock)
	m := newJoin(j, p)
	m.join()
	if n := len(j.Dive.Cells); n > ingest.MaxCells {
		return nil, fmt.Errorf("%s and %s hold %d cells together; %d are the most", a.Source.File, b.Source.File, n, ingest.MaxCells)
	}
	if err := j.Dive.Check(); err != nil {
		return nil, fmt.Errorf("%s and %s can't be joined: %w", a.Source.File, b.Source.File, err)
	}
	return j, nil
}

// depthOf is what the alignment goes by.
func depthOf(d *ingest.Dive) halves.Series {
	return halves.Series{TimeS: d.TimeS, DepthM: d.DepthM, GapAfter: d.GapAfter()}
}

// AnalyzeDoubled is [Analyze] of the joined dive, with what the two logs tell of
// one another.
func AnalyzeDoubled(j *Doubled, p Parameters) *Debrief { return analyzed(j.Dive, j, p).debrief }

// namesDiffer says which of the names that both logs state differ.
func (j *Doubled) namesDiffer() string {
	a, b := j.logs[0].Meta, j.logs[1].Meta
	var what []string
	for _, n := range [][3]string{{a.Diver, b.Diver, "divers"}, {a.Unit, b.Unit, "units"}, {a.Dive, b.Dive, "dives"}} {
		if n[0] != "" && n[1] != "" && n[0] != n[1] {
			what = append(what, n[2])
		}
	}
	return wording.And(what)
}

// startAgreesS is how far the stated starts may lie from the offset by depth and
// still be said to agree: clocks are set by hand, to the minute.
const startAgreesS = 60

// compareStarts holds the stated starts against the offset that depth gives.
func compareStarts(a, b *ingest.Dive, c halves.Alignment) string {
	off, ok := startsApart(a, b, c)
	if !ok {
		return "not both logs state a start, so that only depth tells the offset"
	}
	if math.Abs(off) <= startAgreesS+c.HalfAt(0) {
		return fmt.Sprintf("the stated starts agree with it: they differ from it by %+.0f s", off)
	}
	text := fmt.Sprintf("the stated starts do not: by them the second log would lie %s %s; depth is believed", lapse(math.Abs(off)), map[bool]string{true: "later", false: "earlier"}[off > 0])
	if quarter := 900.0; math.Abs(off-quarter*math.Round(off/quarter)) <= startAgreesS {
		text += " (a whole number of quarter hours: a time zone or summer time, most likely)"
	}
	return text
}

// startsApart is how much later the stated starts put B than depth does, s; false
// where not both are stated.
func startsApart(a, b *ingest.Dive, c halves.Alignment) (float64, bool) {
	x, errA := time.Parse(time.RFC3339, a.Meta.Start)
	y, errB := time.Parse(time.RFC3339, b.Meta.Start)
	return y.Sub(x).Seconds() - c.ToA(0), errA == nil && errB == nil
}

// lapse writes a time that may be long.
func lapse(s float64) string {
	if s < 2*86400 {
		return duration(s)
	}
	return fmt.Sprintf("%.1f days", s/86400)
}

// letters names the halves as their logs do, where they do, else A and B.
func letters(a, b *ingest.Dive) [2]string {
	x, y := letterOf(a), letterOf(b)
	if x == "" || y == "" || strings.EqualFold(x, y) {
		return [2]string{"A", "B"}
	}
	return [2]string{x, y}
}

func letterOf(d *ingest.Dive) string {
	switch {
	case len(d.Meta.Halves) == 1:
		return d.Meta.Halves[0].Letter
	case len(d.HalfPO2Bar) == 1:
		return d.HalfPO2Bar[0].Letter
	}
	return ""
}
