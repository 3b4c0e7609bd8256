package days

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"afterloop/analysis/exposure"
)

// describeDays sums the doses by local calendar day, and counts the days of each
// run of diving days.
func (s *series) describeDays() {
	byDate := map[string][]part{}
	var dates []string
	for _, p := range s.parts {
		if _, ok := byDate[p.date]; !ok {
			dates = append(dates, p.date)
		}
		byDate[p.date] = append(byDate[p.date], p)
	}
	slices.Sort(dates)
	c := counter{rest: s.p.RestDays}
	for _, date := range dates {
		d := s.day(date, byDate[date])
		c.count(&d)
		if s.p.ESOT {
			d.ESOT = s.esot(byDate[date], d.DayOfRun)
		}
		s.r.Days = append(s.r.Days, d)
	}
}

// day sums one local day.
func (s *series) day(date string, parts []part) Day {
	d := Day{Date: date, Offsets: []string{}, Dives: []int{}, LimitOTU: unknown, RunLimitOTU: unknown, RunOTU: Figure{Value: unknown, Low: unknown, High: unknown}, Worst24hPercent: unknown, LimitVerified: true}
	var head, low, high exposure.Dose
	exposedS, boundless := 0.0, false
	esot, _ := exposure.ModelByName("esot")
	for _, p := range parts {
		own := s.dives[p.dive]
		if n := p.dive + 1; !slices.Contains(d.Dives, n) {
			d.Dives = append(d.Dives, n)
			boundless = boundless || own.boundless
			d.OTU.IsLowerBound = d.OTU.IsLowerBound || own.lowerBound
		}
		if o := own.from.Format("-07:00"); !slices.Contains(d.Offsets, o) {
			d.Offsets = append(d.Offsets, o)
		}
		a, _, _ := sum([]exposure.Stretch{p.stretch}, s.p.Exposure)
		b, _, _ := sum(p.low, s.p.Exposure)
		_, c, _ := sum(p.high, s.p.Exposure)
		head, low, high = head.Add(a), low.Add(b), high.Add(c)
		exposedS += esot.Dose(p.stretch.TimeS, p.stretch.PO2, p.stretch.GapAfter, s.p.Exposure).ExposedS
		d.Worst24hPercent = larger(d.Worst24hPercent, 100*p.worst.Fraction)
	}
	bound := d.OTU.IsLowerBound || s.lost()
	d.OTU = figure(head.OTU, low.OTU, high.OTU)
	d.OTU.IsLowerBound, d.ExposedS, d.RecordedS = bound, f(exposedS), f(head.Seconds)
	if boundless {
		d.OTU.High = unknown
	}
	return d
}

// esot sums the equivalent surface oxygen time of a day's parts. It has no
// recovery, so that parts add up; whether the day lies in the published range is
// asked of all of it together.
func (s *series) esot(parts []part, dayOfRun int) *ESOT {
	m, _ := exposure.ModelByName("esot")
	need := m.MinInside
	m.MinInside = 0 // asked below, of the whole day
	out := &ESOT{Value: unknown, Limit: unknown, InsideFraction: unknown, Standing: string(exposure.NoReading)}
	var value, exposedS, insideS float64
	for _, p := range parts {
		d := m.Dose(p.stretch.TimeS, p.stretch.PO2, p.stretch.GapAfter, s.p.Exposure)
		if !math.IsNaN(d.Value) {
			value, exposedS, insideS = value+d.Value, exposedS+d.ExposedS, insideS+d.InsideS
		}
	}
	if limit, ok := exposure.ESOTDay(dayOfRun); ok {
		out.Limit = f(limit)
	}
	out.InsideFraction = f(insideS / exposedS)
	switch {
	case exposedS == 0, insideS >= exposure.MostlyInside*exposedS-1e-9:
		out.Value, out.Standing = f(value), string(exposure.Inside)
	case insideS >= need*exposedS-1e-9:
		out.Value, out.Standing = f(value), string(exposure.Partly)
	default:
		out.Standing = string(exposure.OutOfRange)
	}
	return out
}

// counter counts runs of diving days: day 1 is the first local day with a
// pulmonary dose, every calendar day after it is the next, dived or not, and a run
// ends once rest whole days in a row are without a dose.
type counter struct {
	rest        int
	run         int
	first, last time.Time
	sum         Figure
}

func (c *counter) count(d *Day) {
	date, err := time.Parse(time.DateOnly, d.Date)
	if err != nil {
		return // dates are ours
	}
	dosed := d.OTU.Value > 0 || d.OTU.High > 0 || !d.OTU.High.Known()
	on := c.run > 0 && daysBetween(c.last, date)-1 < c.rest
	switch {
	case !dosed && !on:
		return
	case !on:
		c.run, c.first, c.sum = c.run+1, date, Figure{}
	}
	if dosed {
		c.last = date
	}
	c.sum = Figure{c.sum.Value + d.OTU.Value, c.sum.Low + d.OTU.Low, c.sum.High + d.OTU.High, c.sum.IsLowerBound || d.OTU.IsLowerBound}
	d.Run, d.DayOfRun, d.RunOTU = c.run, daysBetween(c.first, date)+1, c.sum
	if limit, ok := exposure.Repex(d.DayOfRun); ok {
		d.LimitOTU, d.RunLimitOTU, d.LimitVerified = f(limit.DailyOTU), f(limit.TotalOTU), limit.Verified
	}
}

func daysBetween(a, b time.Time) int { return int(math.Round(b.Sub(a).Hours() / 24)) }

// assumptions say what the figures rest on and the logs did not say.
func (s *series) assumptions() {
	r := s.r
	r.assume("given", "Only the logs that were given count. A dive that was not given, oxygen breathed at the surface or as treatment, and anything before the first log are in no figure.")
	r.assume("first", "CNS at the start of dive 1 is taken as 0, since nothing before it was given.")
	supplied, changed := []string{}, []string{}
	for k, d := range s.dives {
		if d.log.StartSupplied {
			supplied = append(supplied, strconv.Itoa(k+1))
			if d.log.StartInLog != "" {
				changed = append(changed, strconv.Itoa(k+1))
			}
		}
	}
	if len(supplied) > 0 {
		text := "The start of " + list("dive", supplied) + " was supplied by hand."
		if len(changed) > 0 {
			text += " It replaced another that the log itself states for " + list("dive", changed) + "."
		}
		r.assume("starts", text)
	}
	offsets := []string{}
	backward := false
	for k, d := range s.dives {
		if o := d.from.Format("-07:00"); !slices.Contains(offsets, o) {
			offsets = append(offsets, o)
		}
		backward = backward || k > 0 && d.from.Format(time.DateOnly) < s.dives[k-1].from.Format(time.DateOnly)
	}
	if len(offsets) > 1 {
		text := "The logs have several offsets from UTC (" + strings.Join(offsets, ", ") + "). Instants were compared in UTC, so that a journey neither doubles nor loses hours; a local day is the calendar day of the log's own offset, and a day of travel may be longer or shorter than 24 hours."
		if backward {
			text += " Local dates run backward between two dives: days are listed by date."
		}
		r.assume("offsets", text)
	}
	r.assume("surface", "Between two logs the diver is taken to have been at the surface, breathing air.")
}
