package days

import (
	"cmp"
	"math"
	"slices"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/exposure"
)

// Compose puts debriefs together into one exposure record. The order of logs makes
// no difference to the result. Unread are logs that were given and could not be
// read: their exposure is missing. It fails where the logs name several divers and
// none was chosen ([DiversError]), and where nothing could be placed in time
// ([ErrNothingPlaced]).
func Compose(logs []Log, unread []LeftOut, p Params) (*Report, error) {
	r := &Report{Schema: Schema, Tool: analysis.Tool{Name: "afterloop"}, Parameters: p, Answer: []string{}, Findings: []analysis.Finding{}, Checks: []analysis.Check{},
		Dives: []Dive{}, Days: []Day{}, LeftOut: append([]LeftOut{}, unread...), Assumptions: []analysis.Assumption{}, Definitions: definitionsFor(p)}
	logs, err := r.ofOneDiver(r.once(logs))
	if err != nil {
		return nil, err
	}
	dives := r.place(logs)
	if len(dives) == 0 {
		return nil, ErrNothingPlaced
	}
	s := &series{r: r, p: p, dives: dives, overlaps: separate(dives, p)}
	s.rolling()
	s.describeDives()
	s.describeDays()
	s.assumptions()
	slices.SortFunc(r.LeftOut, func(a, b LeftOut) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.SHA256, b.SHA256), cmp.Compare(a.File, b.File))
	})
	s.runChecks(logs)
	s.answer()
	s.draw()
	return r, nil
}

// series is the state while a report is made.
type series struct {
	r        *Report
	p        Params
	dives    []*dive
	overlaps []overlap
	// parts are the headline's stretches cut at local midnights.
	parts   []part
	peak    exposure.Window
	carried []exposure.Carried
}

// part is one stretch of one dive on one local day.
type part struct {
	dive    int // index
	date    string
	stretch exposure.Stretch
	low     []exposure.Stretch // the same time, by the other sources
	high    []exposure.Stretch
	worst   exposure.Window
}

// cutDays cuts every dive at the midnights of its own offset.
func (s *series) cutDays() {
	ref := s.dives[0].from
	for k, d := range s.dives {
		for day := midnight(d.from); day.Before(d.to) || day.Equal(midnight(d.from)); day = next(day) {
			fromS, toS := day.Sub(ref).Seconds(), next(day).Sub(ref).Seconds()
			within := func(ss []exposure.Stretch) (out []exposure.Stretch) {
				for _, x := range ss {
					if x = x.Within(fromS, toS, s.p.Exposure); len(x.TimeS) > 1 {
						out = append(out, x)
					}
				}
				return out
			}
			low, high := within(d.low), within(d.high)
			for n, x := range within(d.head) {
				p := part{dive: k, date: day.Format(time.DateOnly), stretch: x}
				if n == 0 { // the others' are of the whole day
					p.low, p.high = low, high
				}
				s.parts = append(s.parts, p)
			}
		}
	}
}

// midnight is the start of the local day of an instant.
func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, t.Location())
}

func next(day time.Time) time.Time { return day.AddDate(0, 0, 1) }

// rolling finds the worst 24 hours.
func (s *series) rolling() {
	s.cutDays()
	var head []exposure.Stretch
	for _, p := range s.parts {
		head = append(head, p.stretch)
	}
	x := exposure.Rolling24h(head, s.p.Exposure)
	for i := range s.parts {
		s.parts[i].worst = x.ByStretch[i]
	}
	s.peak = x.Peak
	low := exposure.Rolling24h(s.all(func(d *dive) []exposure.Stretch { return d.low }), s.p.Exposure).Peak.Fraction
	high := exposure.Rolling24h(s.all(func(d *dive) []exposure.Stretch { return d.high }), s.p.Exposure).PeakHigh.Fraction
	w := &s.r.Worst24h
	w.Percent = figure(100*x.Peak.Fraction, 100*low, 100*high)
	w.Percent.IsLowerBound = x.Peak.LowerBound() || s.incomplete()
	if s.boundless() {
		w.Percent.High = unknown
	}
	w.Shares = []Share{}
	if x.Peak.Fraction == 0 {
		return
	}
	w.From, w.To = stamp(s.instant(x.Peak.FromS)), stamp(s.instant(x.Peak.ToS))
	for k, d := range s.dives {
		sum := 0.0
		for _, h := range d.head {
			sum += h.Within(x.Peak.FromS, x.Peak.ToS, s.p.Exposure).Dose(s.p.Exposure).Total.CNS24h
		}
		if sum > 0 {
			w.Shares = append(w.Shares, Share{k + 1, f(100 * sum)})
		}
	}
}

func (s *series) all(of func(*dive) []exposure.Stretch) (out []exposure.Stretch) {
	for _, d := range s.dives {
		out = append(out, of(d)...)
	}
	return out
}

// instant is a moment of the common clock, in the offset of the dive that was
// going on or had ended last; before the first dive in that one's.
func (s *series) instant(atS float64) time.Time {
	loc := s.dives[0].from.Location()
	for _, d := range s.dives {
		if d.fromS <= atS {
			loc = d.from.Location()
		}
	}
	return s.dives[0].from.Add(seconds(atS)).In(loc)
}

// incomplete tells whether exposure is known to be missing from the sums.
func (s *series) incomplete() bool {
	return s.lost() || slices.ContainsFunc(s.dives, func(d *dive) bool { return d.lowerBound })
}

// lost tells whether a whole log is missing, which may belong to any day.
func (s *series) lost() bool { return slices.ContainsFunc(s.r.LeftOut, LeftOut.loses) }

func (s *series) boundless() bool {
	return slices.ContainsFunc(s.dives, func(d *dive) bool { return d.boundless })
}

// figure is a value with its range, which always holds it.
func figure(value, low, high float64) Figure {
	return Figure{Value: f(value), Low: f(math.Min(low, value)), High: f(math.Max(high, value))}
}

// sum adds doses of stretches.
func sum(ss []exposure.Stretch, o exposure.Options) (total, high exposure.Dose, gapS float64) {
	for _, x := range ss {
		r := x.Dose(o)
		total, high, gapS = total.Add(r.Total), high.Add(r.High), gapS+r.GapS
	}
	return total, high, gapS
}

// describeDives fills the table of dives, and what is carried from one to the next.
func (s *series) describeDives() {
	var value, low, high []exposure.Taken
	for k, d := range s.dives {
		v := s.describeDive(k, d)
		covered := !d.assessed() // its whole time counts in other logs
		taken := func(percent analysis.Float) exposure.Taken {
			t := exposure.Taken{FromS: d.fromS, ToS: d.toS, LowerBound: v.CNSPercent.IsLowerBound}
			if !covered {
				t.Fraction = float64(percent) / 100
			}
			return t
		}
		value, low, high = append(value, taken(v.CNSPercent.Value)), append(low, taken(v.CNSPercent.Low)), append(high, taken(v.CNSPercent.High))
		s.r.Dives = append(s.r.Dives, v)
	}
	o := s.p.Exposure
	s.carried = exposure.CarryTaken(value, o)
	lows, highs := exposure.CarryTaken(low, o), exposure.CarryTaken(high, o)
	for k := range s.r.Dives {
		v, c, a, b := &s.r.Dives[k], s.carried[k], lows[k], highs[k]
		before := k > 0 && s.carried[k-1].LowerBound
		v.CNSBeforePercent = Figure{f(100 * c.Before), f(100 * a.Before), f(100 * b.Before), before || s.lost()}
		v.CNSAfterPercent = Figure{f(100 * c.After), f(100 * a.After), f(100 * b.After), c.LowerBound || s.lost()}
		if s.dives[k].fromS < s.endBefore(k) { // another log was still going on
			v.CNSBeforePercent = noFigure()
		}
		if !s.dives[k].assessed() { // its whole time counts in others
			v.CNSBeforePercent, v.CNSAfterPercent = noFigure(), noFigure()
		}
	}
}

// endBefore is the latest end of the dives before the k-th.
func (s *series) endBefore(k int) float64 {
	endS := math.Inf(-1)
	for _, e := range s.dives[:k] {
		endS = math.Max(endS, e.toS)
	}
	return endS
}

func noFigure() Figure { return Figure{Value: unknown, Low: unknown, High: unknown} }

func (s *series) describeDive(k int, d *dive) Dive {
	x, o := d.log.Debrief, s.p.Exposure
	v := Dive{Number: k + 1, File: file(d.log), SHA256: digest(d.log), Name: x.Dive.Name, Unit: x.Dive.Unit, From: stamp(d.from), To: stamp(d.to),
		StartSupplied: d.log.StartSupplied, DurationS: f(d.toS - d.fromS), SurfaceIntervalS: unknown, MaxDepthM: x.Dive.MaxDepthM, Source: x.Exposure.Headline.Source,
		Worst24hPercent: unknown, CoveredS: f(d.coveredS), Days: []string{}, Remarks: append([]string{}, d.remarks...)}
	if k > 0 {
		v.SurfaceIntervalS = f(math.Max(0, d.fromS-s.endBefore(k)))
	}
	if !d.assessed() {
		v.CNSPercent, v.OTU, v.AboveTableS, v.GapS = noFigure(), noFigure(), unknown, unknown
		return v
	}
	head, _, gapS := sum(d.head, o)
	low, _, _ := sum(d.low, o)
	_, high, _ := sum(d.high, o)
	v.CNSPercent, v.OTU = figure(100*head.CNSStep, 100*low.CNSStep, 100*high.CNSStep), figure(head.OTU, low.OTU, high.OTU)
	if d.boundless {
		v.CNSPercent.High, v.OTU.High = unknown, unknown
	}
	v.CNSPercent.IsLowerBound, v.OTU.IsLowerBound = d.lowerBound || head.LowerBound(), d.lowerBound
	v.AboveTableS, v.GapS = f(head.AboveTableS), f(gapS)
	if gapS > 0 {
		v.Remarks = append(v.Remarks, "gaps of "+length(gapS)+" in the readings: the low end counts nothing in them, the high end the higher PO2 of their two ends")
	}
	for _, p := range s.parts {
		if p.dive == k {
			if !slices.Contains(v.Days, p.date) {
				v.Days = append(v.Days, p.date)
			}
			v.Worst24hPercent = larger(v.Worst24hPercent, 100*p.worst.Fraction)
		}
	}
	return v
}

// larger is the larger of two, or the one that is known.
func larger(a analysis.Float, b float64) analysis.Float {
	if float64(a) >= b {
		return a
	}
	return f(b)
}
