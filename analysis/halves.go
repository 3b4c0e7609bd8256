package analysis

import (
	"math"
	"slices"
	"strings"

	"afterloop/analysis/halves"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// halfRecord is what the record holds of one half, on the rows of the bench.
type halfRecord struct {
	letter, file             string
	cells, valves, batteries []int
	parts                    []HalfPart
	log                      *ingest.Dive // its own log; nil where one log holds both
	recorded                 []bool
	po2                      []float64 // what it controlled on; nil where not recorded
	po2From                  string
	setPoint                 []float64
	depthM, ambientBar, he   []float64
	events                   []ingest.Event
	mid                      *vote.Result // the mid-value of its own cells
}

func (h *halfRecord) add(part string, inLog, number int) {
	h.parts = append(h.parts, HalfPart{part, inLog, number})
	switch part {
	case "cell":
		h.cells = append(h.cells, number)
	case "valve":
		h.valves = append(h.valves, number)
	default:
		h.batteries = append(h.batteries, number)
	}
}

// HalvesLimits are the limits of the check `halves-disagree`.
type HalvesLimits struct {
	PO2Bar     float64 `json:"po2_bar"`     // bar; 0.20, the tolerance of the vote, common practice
	DepthM     float64 `json:"depth_m"`     // m; 1, ours: sensors of two halves lie within a few decimetres
	AmbientBar float64 `json:"ambient_bar"` // bar; 0.1, ours: a metre of water
	Helium     float64 `json:"helium"`      // fraction; 0.02, ours: 0.1 to 0.2 bar of PO2 at 5 bar
	AfterS     float64 `json:"after_s"`     // s; 30, as for cells that disagree
}

// DefaultHalvesLimits are the defaults named at each field.
func DefaultHalvesLimits() HalvesLimits {
	return HalvesLimits{PO2Bar: 0.20, DepthM: 1, AmbientBar: 0.1, Helium: 0.02, AfterS: 30}
}

// prepareHalves finds the halves: of two logs, or of one that names its own.
func (b *bench) prepareHalves() {
	switch {
	case b.doubled != nil:
		b.halves = b.doubled.half[:]
	default:
		b.halves = b.halvesOfLog()
	}
	if len(b.halves) < 2 {
		b.halves = nil
		return
	}
	p, _ := vote.ByName("mid-value")
	for k := range b.halves {
		h := &b.halves[k]
		if len(h.cells) > 0 {
			r := b.replayOver(p, h.cells)
			h.mid = &r
		}
		switch {
		case h.po2 != nil && countNaN(h.po2) < len(h.po2):
			h.po2From = "recorded"
		case h.mid != nil && countNaN(h.mid.PO2Bar) < len(b.tS):
			h.po2, h.po2From = h.mid.PO2Bar, "mid-value"
		default:
			h.po2 = nil
		}
	}
}

// halvesOfLog are the halves that one log names, by half_X lines or halfX_po2_bar columns.
func (b *bench) halvesOfLog() []halfRecord {
	d := b.dive
	var out []halfRecord
	find := func(letter string) *halfRecord {
		for k := range out {
			if strings.EqualFold(out[k].letter, letter) { // half_A may belong to halfa_po2_bar
				return &out[k]
			}
		}
		out = append(out, halfRecord{letter: letter, setPoint: d.SetPointBar})
		return &out[len(out)-1]
	}
	for _, m := range d.Meta.Halves {
		h := find(m.Letter)
		for _, n := range m.Cells {
			if b.cellAt(n) != nil {
				h.add("cell", n, n)
			}
		}
		for _, n := range m.Valves {
			h.add("valve", n, n)
		}
		for _, n := range m.Batteries {
			h.add("battery", n, n)
		}
	}
	for _, s := range d.HalfPO2Bar {
		if h := find(s.Letter); h.po2 == nil {
			h.po2 = s.Values
		}
	}
	slices.SortStableFunc(out, func(x, y halfRecord) int { return strings.Compare(x.letter, y.letter) })
	numbered := func(set []ingest.Numbered, k int) []float64 {
		if len(set) == len(out) && len(out) == 2 {
			return set[k].Values
		}
		return nil
	}
	for k := range out {
		out[k].ambientBar, out[k].he = numbered(d.AmbientByNumber, k), numbered(d.LoopHeByNumber, k)
		slices.Sort(out[k].cells)
		out[k].cells = slices.Compact(out[k].cells)
		out[k].recorded = b.recordedBy(&out[k])
	}
	return out
}

// recordedBy tells in which rows a half of a shared log recorded anything of its own.
func (b *bench) recordedBy(h *halfRecord) []bool {
	out := make([]bool, len(b.tS))
	for i := range out {
		out[i] = h.po2 != nil && !math.IsNaN(h.po2[i])
		for _, n := range h.cells {
			out[i] = out[i] || !math.IsNaN(b.cellAt(n).PO2Bar[i])
		}
	}
	return out
}

func (b *bench) cellAt(number int) *ingest.Cell {
	for k := range b.dive.Cells {
		if b.dive.Cells[k].Number == number {
			return &b.dive.Cells[k]
		}
	}
	return nil
}

// replayOver replays a policy over the cells with these numbers.
func (b *bench) replayOver(p vote.Policy, numbers []int) vote.Result {
	in := vote.Input{TimeS: b.tS, GapAfter: b.gapAfter}
	for _, n := range numbers {
		in.Cells, in.Numbers = append(in.Cells, b.cellAt(n).PO2Bar), append(in.Numbers, n)
	}
	in.Manual = b.manualVotesOf(numbers)
	return vote.Replay(p, in, b.p.Vote)
}

// compareHalves holds the first two halves against each other.
func (b *bench) compareHalves() []HalvesComparison {
	x, y, l := &b.halves[0], &b.halves[1], b.p.HalvesLimits
	hold := make([]float64, len(b.tS))
	for i := range hold {
		hold[i] = rowSeconds(b.tS, b.gapAfter, i)
	}
	var out []HalvesComparison
	for _, q := range []struct {
		name, unit string
		a, b       []float64
		limit      float64
		missing    string
	}{
		{"po2", "bar", x.po2, y.po2, l.PO2Bar, "not both halves recorded a PO2 or readings of cells of their own"},
		{"depth", "m", x.depthM, y.depthM, l.DepthM, "the log holds one depth for both halves"},
		{"ambient", "bar", x.ambientBar, y.ambientBar, l.AmbientBar, "not both halves measured a pressure of their own"},
		{"helium", "fraction", x.he, y.he, l.Helium, "not both halves measured helium"},
	} {
		c := HalvesComparison{Quantity: q.name, Unit: q.unit, Limit: Float(q.limit), ComparedS: unknown, Median: unknown, P95: unknown, OverS: unknown,
			Worst: noValue(q.unit), Reason: q.missing}
		if q.a != nil && q.b != nil {
			d := halves.Compare(q.a, q.b, hold, q.limit)
			c.Reason, c.ComparedS = "never both in one row", Float(d.ComparedS)
			if d.WorstRow >= 0 {
				c.Reason, c.Median, c.P95, c.OverS = "", Float(d.Median), Float(d.P95), Float(d.OverS)
				c.Worst = Value{Float(d.Worst), q.unit, Float(b.tS[d.WorstRow])}
			}
		}
		out = append(out, c)
	}
	return out
}

// sideBySide is the second series less the first, NaN where not both are there; nil without either.
func sideBySide(a, b []float64) []float64 {
	if a == nil || b == nil {
		return nil
	}
	out := make([]float64, len(a))
	for i := range out {
		out[i] = b[i] - a[i]
	}
	return out
}
