package days

import (
	"math"
	"slices"
	"time"

	"afterloop/analysis/exposure"
)

const (
	drawEveryS = 120 // within a dive
	drawRestS  = 600 // between dives
)

// draw gathers what the page draws: the load of the last 24 hours and the CNS
// figure over time. Nothing is drawn past the last row: what comes then is no record.
func (s *series) draw() {
	x := &Series{}
	last := 0.0
	for _, d := range s.dives {
		last = math.Max(last, d.toS)
	}
	var at []float64
	for k, d := range s.dives {
		at = append(at, steps(d.fromS, d.toS, drawEveryS)...)
		if k+1 < len(s.dives) {
			at = append(at, steps(d.toS, s.dives[k+1].fromS, drawRestS)...)
		}
		x.Dives = append(x.Dives, Span{k + 1, d.fromS / 3600, d.toS / 3600, 100 * s.carried[k].After})
	}
	slices.Sort(at)
	at = slices.Compact(at)
	for i, v := range exposure.Rolling24hAt(s.all(func(d *dive) []exposure.Stretch { return d.head }), at, s.p.Exposure) {
		x.AtH, x.Worst24h = append(x.AtH, at[i]/3600), append(x.Worst24h, 100*v)
	}
	for k, d := range s.dives {
		s.drawDive(x, k, d)
	}
	x.Hours = s.hours(last)
	x.LastH = last / 3600
	s.r.Series = x
}

// fewDays is up to how many hours of series the hours of the day are marked.
const fewDays = 80

// hours marks the local midnights, and in a short series every six hours: from the
// start of each dive to that of the next by the clock of its log.
func (s *series) hours(lastS float64) []Hour {
	every := 24
	if lastS < fewDays*3600 {
		every = 6
	}
	ref := s.dives[0].from
	var out []Hour
	for k, d := range s.dives {
		untilS := lastS
		if k+1 < len(s.dives) {
			untilS = s.dives[k+1].fromS
		}
		for at := midnight(d.from); ; at = at.Add(time.Duration(every) * time.Hour) {
			atS := at.Sub(ref).Seconds()
			if atS >= untilS {
				break
			}
			if atS < d.fromS {
				continue
			}
			h := Hour{AtH: atS / 3600, Label: at.Format("15:04")}
			if at.Hour() == 0 {
				h.Label, h.Midnight = at.Format(time.DateOnly), true
			}
			out = append(out, h)
		}
	}
	return out
}

// drawDive adds the course of CNS over a dive, and its decay until the next.
func (s *series) drawDive(x *Series, k int, d *dive) {
	put := func(atS, fraction float64) {
		x.CNSH, x.CNS = append(x.CNSH, atS/3600), append(x.CNS, 100*fraction)
	}
	taken := s.carried[k].Before
	put(d.fromS, taken)
	for _, h := range d.head {
		run, next := h.Dose(s.p.Exposure).RunningCNSStep, math.Inf(-1)
		for i, t := range h.TimeS {
			if atS := h.StartS + t; atS >= next {
				put(atS, taken+run[i])
				next = atS + drawEveryS
			}
		}
		if n := len(run); n > 0 {
			taken += run[n-1]
		}
	}
	put(d.toS, s.carried[k].After)
	if k+1 == len(s.dives) {
		return
	}
	for _, atS := range steps(d.toS, s.dives[k+1].fromS, drawRestS) {
		put(atS, exposure.SurfaceDecay(s.carried[k].After, atS-d.toS, s.p.Exposure))
	}
}

// steps are moments from a to b, both included; none where b is not after a. At
// most some thousand, however long.
func steps(a, b, every float64) []float64 {
	if b <= a {
		return nil
	}
	n := int(math.Min(2000, math.Max(1, math.Ceil((b-a)/every))))
	out := make([]float64, n+1)
	for i := range out {
		out[i] = a + (b-a)*float64(i)/float64(n)
	}
	return out
}
