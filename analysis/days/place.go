package days

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/exposure"
	"afterloop/analysis/wording"
)

// dive is a log on the common clock: seconds since the first row of the series.
type dive struct {
	log      Log
	zero     time.Time // the instant of time_s = 0, in the log's own offset
	from, to time.Time
	fromS    float64
	toS      float64
	// head, low and high are what the headline's source, and those with the smallest
	// and the largest dose of the dive, say was breathed; cut by what other logs cover.
	head, low, high []exposure.Stretch
	boundless       bool // an unknown gas was breathed: nothing bounds the dose
	coveredS        float64
	remarks         []string
	lowerBound      bool
}

// DiversError tells that the logs name more than one diver.
type DiversError struct{ Names []string }

func (e DiversError) Error() string {
	return fmt.Sprintf("the logs name %d divers (%s): the exposure of two people is never added up; say whose is wanted (--diver)", len(e.Names), strings.Join(e.Names, "; "))
}

// ErrNothingPlaced tells that no log could be placed in time.
var ErrNothingPlaced = errors.New("no log could be placed in time")

// diverKey is a name without its spacing and case.
func diverKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// ofOneDiver keeps the logs of one diver: those that name the one who is wanted, or
// the only one who is named, and those that name nobody.
func (r *Report) ofOneDiver(logs []Log) ([]Log, error) {
	names := map[string]string{}
	nameless := 0
	for _, l := range logs {
		name := strings.Join(strings.Fields(l.Debrief.Dive.Diver), " ")
		if k := diverKey(name); k == "" {
			nameless++
		} else if old, ok := names[k]; !ok || name < old {
			names[k] = name
		}
	}
	wanted := diverKey(r.Parameters.Diver)
	if _, ok := names[wanted]; wanted != "" && !ok {
		return nil, fmt.Errorf("no log names the diver %q", r.Parameters.Diver)
	}
	if wanted == "" && len(names) > 1 {
		var list []string
		for _, n := range names {
			list = append(list, n)
		}
		slices.Sort(list)
		return nil, DiversError{list}
	}
	if wanted == "" {
		for k := range names { // at most one
			wanted = k
		}
	}
	r.Diver = names[wanted]
	var kept []Log
	for _, l := range logs {
		if k := diverKey(l.Debrief.Dive.Diver); k != "" && k != wanted {
			r.leaveOut(l, "other-diver", "it names another diver")
			continue
		}
		kept = append(kept, l)
	}
	switch {
	case nameless == len(logs):
		r.assume("diver", "No log names its diver: all are taken for one person's.")
	case nameless > 0:
		r.assume("diver", wording.Count(nameless, "log names no diver and is", "logs name no diver and are")+" taken for the same person's as the others.")
	}
	return kept, nil
}

// once drops logs that are byte for byte the same as another. Of two the one that
// can be placed stays, then the one whose name comes first.
func (r *Report) once(logs []Log) []Log {
	logs = slices.Clone(logs)
	slices.SortStableFunc(logs, func(a, b Log) int {
		return cmp.Or(cmp.Compare(digest(a), digest(b)), -cmp.Compare(placeable(a), placeable(b)), cmp.Compare(file(a), file(b)), cmp.Compare(a.Debrief.Dive.Start, b.Debrief.Dive.Start))
	})
	var kept []Log
	for _, l := range logs {
		if n := len(kept); n > 0 && digest(l) != "" && digest(kept[n-1]) == digest(l) {
			r.leaveOut(l, "duplicate", "the same bytes as another log, by SHA-256: it counts once")
			continue
		}
		kept = append(kept, l)
	}
	return kept
}

func placeable(l Log) int {
	if l.Debrief.Dive.Start != "" {
		return 1
	}
	return 0
}

func digest(l Log) string { return l.source().SHA256 }

// file names the log, and of a file with several dives the dive.
func file(l Log) string {
	s := l.source()
	if s.Dives > 1 {
		return s.File + ", dive " + s.Dive
	}
	return s.File
}

func (l Log) source() analysis.Source {
	if len(l.Debrief.Sources) == 0 {
		return analysis.Source{}
	}
	return l.Debrief.Sources[0]
}

func (r *Report) leaveOut(l Log, kind, reason string) {
	r.LeftOut = append(r.LeftOut, LeftOut{file(l), digest(l), kind, reason})
}

func (r *Report) assume(id, text string) {
	r.Assumptions = append(r.Assumptions, analysis.Assumption{ID: id, Text: text})
}

// place puts the logs on one clock, in order of time.
func (r *Report) place(logs []Log) []*dive {
	var out []*dive
	for _, l := range logs {
		zero, err := time.Parse(time.RFC3339, l.Debrief.Dive.Start)
		if err != nil {
			r.leaveOut(l, "no-start", "it states no start, so that it can't be placed in time")
			continue
		}
		if !hasDose(l.Debrief.Inhaled) {
			r.leaveOut(l, "no-po2", "it holds no PO2 that is believed, so that its dose is not known")
			continue
		}
		t := l.Debrief.Inhaled.TimeS
		out = append(out, &dive{log: l, zero: zero, from: zero.Add(seconds(t[0])), to: zero.Add(seconds(t[len(t)-1]))})
	}
	slices.SortFunc(out, func(a, b *dive) int {
		return cmp.Or(a.from.Compare(b.from), a.to.Compare(b.to), cmp.Compare(digest(a.log), digest(b.log)), cmp.Compare(file(a.log), file(b.log)))
	})
	for _, d := range out {
		ref := out[0].from
		d.fromS, d.toS = d.from.Sub(ref).Seconds(), d.to.Sub(ref).Seconds()
		d.breathed(d.zero.Sub(ref).Seconds(), r.Parameters.Exposure)
	}
	return out
}

// hasDose tells whether a log has readings from which a dose follows: two at least.
func hasDose(in *analysis.Inhaled) bool {
	if in == nil || len(in.Sources) == 0 {
		return false
	}
	s := exposure.Stretch{TimeS: in.TimeS, PO2: in.Sources[0].PO2Bar, GapAfter: in.GapAfter}
	return len(s.Compact(in.Options).TimeS) > 1
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }

// breathed chooses what each bound of the dose rests on.
func (d *dive) breathed(startS float64, o exposure.Options) {
	in := d.log.Debrief.Inhaled
	low, high := math.Inf(1), math.Inf(-1)
	for k, src := range in.Sources {
		s := exposure.Stretch{StartS: startS, TimeS: in.TimeS, PO2: src.PO2Bar, GapAfter: in.GapAfter}.Compact(in.Options)
		x := s.Dose(o)
		if k == 0 {
			d.head = []exposure.Stretch{s}
		}
		if x.Low.CNS24h < low {
			low, d.low = x.Low.CNS24h, []exposure.Stretch{s}
		}
		if x.High.CNS24h > high {
			high, d.high = x.High.CNS24h, []exposure.Stretch{s}
		}
	}
	d.describe()
}

// describe notes what bears on the dose of one log.
func (d *dive) describe() {
	x := d.log.Debrief
	rec := x.Recording
	if !x.Exposure.OpenCircuitAssessed {
		d.boundless, d.lowerBound = true, true
		d.remark("an unknown gas was breathed on open circuit: that time is in no figure")
	}
	if rec.FirstDepthM.Known() && float64(rec.FirstDepthM) >= underWaterM {
		d.lowerBound = true
		d.remark(fmt.Sprintf("the record begins under water, at %.1f m: what came before is in no figure", float64(rec.FirstDepthM)))
	}
	if rec.LastDepthM.Known() && float64(rec.LastDepthM) >= underWaterM {
		d.lowerBound = true
		d.remark(fmt.Sprintf("the record ends under water, at %.1f m: what came after is in no figure, and the surface interval is shorter than it seems", float64(rec.LastDepthM)))
	}
}

// underWaterM is the depth from which a record that begins or ends there misses
// time that matters. Ours: recorders commonly start and stop at a metre or two,
// which a diver passes in seconds.
const underWaterM = 3.0

func (d *dive) remark(s string) { d.remarks = append(d.remarks, s) }

// assessed tells whether the dive has any reading.
func (d *dive) assessed() bool {
	for _, s := range d.head {
		if len(s.TimeS) > 1 {
			return true
		}
	}
	return false
}
