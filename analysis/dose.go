package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"afterloop/analysis/exposure"
	"afterloop/analysis/vote"
)

// runExposure computes the dose for every source of PO2 that may have been
// breathed, and picks the headline: the worst of those that are believable.
func (b *bench) runExposure() {
	x := &b.debrief.Exposure
	x.OpenCircuitAssessed = b.openCircuitKnown()
	x.Rule = "step: the next higher row of the table, as a person reads it; linear: the limit interpolated between rows"
	x.LimitUnit = "bar"
	if b.p.Exposure.StrictATA {
		x.LimitUnit = "ata"
	}
	x.BySource, x.MinutesByPO2 = []ExposureSource{}, []BandTime{}
	b.doses, b.breathed = map[string]exposure.Result{}, map[string][]float64{}
	b.judgeCells()
	sources := b.sources()
	breathed, doses := make([][]float64, len(sources)), make([]exposure.Result, len(sources))
	twin := twins(sources)
	each(len(sources), func(i int) {
		if twin[i] != i {
			return
		}
		v := b.inhaled(sources[i].po2)
		keep := keepsColumns(sources[i].name) // the others' columns would only fill the memory
		doses[i] = b.integrate(v, keep)
		b.roll24h(&doses[i], v)
		if keep {
			breathed[i] = v
		}
	})
	for i, s := range sources {
		b.addSource(s, breathed[twin[i]], doses[twin[i]])
	}
	b.headline()
}

// doseSource is one series of PO2 at the cells, and the finding that judges it false.
type doseSource struct {
	name     string
	po2      []float64
	judgedBy string
}

// sources lists the unit, each cell, and each policy; while a policy is undecided
// the highest reading counts.
func (b *bench) sources() []doseSource {
	var out []doseSource
	if b.dive.UnitPO2Bar != nil {
		out = append(out, doseSource{"unit", b.dive.UnitPO2Bar, b.falseUnit()})
	}
	for k := range b.dive.Cells {
		c := &b.dive.Cells[k]
		out = append(out, doseSource{fmt.Sprintf("cell%d", c.Number), c.PO2Bar, b.falseCells[c.Number]})
	}
	for _, r := range b.replays {
		switch r.Policy {
		case modelPolicy:
			if b.estimateFed() {
				out = append(out, doseSource{name: modelPolicy, po2: b.whereRead(r.PO2Bar)}, doseSource{name: "model-high", po2: b.whereRead(r.HighBar)})
			}
		case modelLivePolicy:
			if b.estimateFed() {
				out = append(out, doseSource{name: modelLivePolicy, po2: b.whereRead(r.PO2Bar)})
			}
		default:
			out = append(out, doseSource{r.Policy, r.HighBar, b.falseVote(r)})
		}
	}
	return out
}

// judgeCells notes, once, the kind of finding by which each cell is not believed:
// a fault, or a reading that can't be. Cells that are believed are not in the map.
func (b *bench) judgeCells() {
	b.falseCells = map[int]string{}
	l := b.p.Limits
	for k := range b.dive.Cells {
		c := &b.dive.Cells[k]
		if kind := b.judgedFalse(c.Number); kind != "" {
			b.falseCells[c.Number] = kind
			continue
		}
		if !slices.Contains(b.numbers, c.Number) {
			continue
		}
		ss := spansWhere(b.tS, b.gapAfter, func(i int) bool {
			p := b.dive.AmbientBar[i]
			return c.PO2Bar[i] > p+math.Max(l.AboveAmbientBar, l.AboveAmbientFraction*p)+tol
		})
		if len(lasting(ss, l.AboveAmbientAfterS)) > 0 {
			b.falseCells[c.Number] = impossibleReading
		}
	}
}

// falseVote names the fault for which a policy's PO2 is not believed: for at least
// half of the time on the loop, at least half of the cells that it rested on are
// judged false.
func (b *bench) falseVote(r vote.Result) string {
	kinds := make([]string, len(b.numbers))
	any := ""
	for k, n := range b.numbers {
		if kinds[k] = b.falseCells[n]; kinds[k] != "" {
			any = kinds[k]
		}
	}
	if any == "" {
		return ""
	}
	var bad, all float64
	for i, t := range b.tS {
		if !b.onLoop[i] || r.In[i] == 0 {
			continue
		}
		wrong, n := 0, 0
		for k := range b.numbers {
			if k < vote.MaxCells && r.In[i]>>k&1 == 1 {
				n++
				if kinds[k] == impossibleReading || kinds[k] != "" && b.falseAt(b.numbers[k], t) {
					wrong++
				}
			}
		}
		w := rowSeconds(b.tS, b.gapAfter, i)
		if all += w; 2*wrong >= n {
			bad += w
		}
	}
	if all > 0 && bad >= all/2 {
		return any
	}
	return ""
}

// falseUnit names the finding for which the unit's own PO2 is not believed: it left
// the estimate's band for long while cells were judged false, or every cell of
// the log is judged false.
func (b *bench) falseUnit() string {
	if b.followedFalse() {
		return "vote-followed-wrong-cells"
	}
	kind := ""
	for k := range b.dive.Cells {
		if kind = b.falseCells[b.dive.Cells[k].Number]; kind == "" {
			return ""
		}
	}
	return kind
}

// impossibleReading is the kind of finding by which a cell is false throughout.
const impossibleReading = "reading-above-ambient"

// openCircuitKnown is false where the diver breathed a gas that the log does not name.
func (b *bench) openCircuitKnown() bool {
	for i, on := range b.onLoop {
		if !on && !b.dive.OpenGas[i].Known {
			return false
		}
	}
	return true
}

// inhaled is what was breathed if po2 was right at the cells: on open circuit the
// open-circuit gas, F_O2 P, else po2. Rows of an unknown open-circuit gas are NaN.
func (b *bench) inhaled(po2 []float64) []float64 {
	if !slices.Contains(b.onLoop, false) {
		return po2
	}
	out := make([]float64, len(po2))
	for i := range out {
		switch {
		case b.onLoop[i]:
			out[i] = po2[i]
		case b.dive.OpenGas[i].Known:
			out[i] = b.dive.OpenGas[i].O2 * b.dive.AmbientBar[i]
		default:
			out[i] = math.NaN()
		}
	}
	return out
}

// keepsColumns tells whether a source may become the headline, whose running doses are drawn.
func keepsColumns(source string) bool {
	return headlineCandidate(source) || strings.HasPrefix(source, "cell")
}

// twins gives for each source the first that has the very same PO2 in every row,
// and whose columns are kept if its own are: while the cells agree several rules
// come to one number, and one dose does for all.
func twins(sources []doseSource) []int {
	out := make([]int, len(sources))
	for i := range sources {
		out[i] = i
		for k := 0; k < i && out[i] == i; k++ {
			if out[k] == k && keepsColumns(sources[k].name) == keepsColumns(sources[i].name) && sameColumn(sources[k].po2, sources[i].po2) {
				out[i] = k
			}
		}
	}
	return out
}

// sameColumn compares bit by bit, so that "not recorded" equals itself.
func sameColumn(a, b []float64) bool {
	for i := range a {
		if math.Float64bits(a[i]) != math.Float64bits(b[i]) {
			return false
		}
	}
	return true
}

// addSource adds the dose of one source to the debrief.
func (b *bench) addSource(s doseSource, v []float64, r exposure.Result) {
	if v != nil {
		b.doses[s.name], b.breathed[s.name] = r, v
	}
	out := ExposureSource{Source: s.name, JudgedFalse: s.judgedBy != "", JudgedBy: s.judgedBy, AssessedS: Float(r.Total.Seconds)}
	if r.Total.Seconds == 0 {
		out.CNSPercent, out.CNSLinearPercent, out.CNS24hPercent, out.OTU = unknown, unknown, unknown, unknown
		out.CNSLowPercent, out.CNSHighPercent, out.OTULow, out.OTUHigh = unknown, unknown, unknown, unknown
		out.SecondsAboveTable = unknown
	} else {
		t := r.Total
		out.CNSPercent, out.CNSLinearPercent, out.CNS24hPercent = Float(100*t.CNSStep), Float(100*t.CNSLinear), Float(100*t.CNS24h)
		out.OTU, out.SecondsAboveTable, out.CNSIsLowerBound = Float(t.OTU), Float(t.AboveTableS), t.LowerBound()
		out.CNSLowPercent, out.CNSHighPercent = Float(100*r.Low.CNSStep), Float(100*r.High.CNSStep)
		out.OTULow, out.OTUHigh = Float(r.Low.OTU), Float(r.High.OTU)
		if !b.debrief.Exposure.OpenCircuitAssessed { // nothing bounds what an unknown gas gave
			out.CNSHighPercent, out.OTUHigh = unknown, unknown
		}
	}
	b.debrief.Exposure.BySource = append(b.debrief.Exposure.BySource, out)
}

// integrate is the dose of v, with its running columns or without, over each
// stretch in which the gas breathed is known: time on an unknown open-circuit gas
// is not assessed, and no gap either.
func (b *bench) integrate(v []float64, running bool) exposure.Result {
	dose, o := exposure.IntegrateTotal, b.doseOptions()
	if running {
		dose = exposure.Integrate
	}
	if b.debrief.Exposure.OpenCircuitAssessed {
		return dose(b.tS, v, b.gapAfter, o)
	}
	var out exposure.Result
	known := func(i int) bool { return b.onLoop[i] || b.dive.OpenGas[i].Known }
	for from := 0; from < len(v); {
		to := from
		for to < len(v) && known(to) == known(from) {
			to++
		}
		r := exposure.Result{RunningCNSStep: make([]float64, to-from), RunningOTU: make([]float64, to-from)}
		if known(from) {
			r = dose(b.tS[from:to], v[from:to], b.gapAfter[from:to], o)
		}
		if running {
			out.RunningCNSStep = appendAbove(out.RunningCNSStep, out.Total.CNSStep, r.RunningCNSStep)
			out.RunningOTU = appendAbove(out.RunningOTU, out.Total.OTU, r.RunningOTU)
		}
		out.Total, out.Low, out.High, out.GapS = out.Total.Add(r.Total), out.Low.Add(r.Low), out.High.Add(r.High), out.GapS+r.GapS
		from = to
	}
	return out
}

// roll24h makes the load by the 24-hour limit that of the worst 24 hours: of a
// record that is longer, the sum over all of it is no 24-hour figure.
func (b *bench) roll24h(r *exposure.Result, v []float64) {
	if n := len(b.tS); n == 0 || b.tS[n-1]-b.tS[0] <= 24*60*60 || r.Total.Seconds == 0 {
		return
	}
	course := exposure.Stretch{TimeS: b.tS, PO2: v, GapAfter: b.gapsOfGas()}
	r.Total.CNS24h = exposure.Rolling24h([]exposure.Stretch{course}, b.doseOptions()).Peak.Fraction
}

// appendAbove appends v, lifted by base.
func appendAbove(to []float64, base float64, v []float64) []float64 {
	for _, x := range v {
		to = append(to, base+x)
	}
	return to
}

// doseOptions are the options of exposure with the log's own rule of gaps.
func (b *bench) doseOptions() exposure.Options {
	o := b.p.Exposure
	o.MaxHoleS = math.Max(o.MaxHoleS, 2.5*b.sampleS)
	return o
}

// headlineCandidate names the sources that may have been breathed.
func headlineCandidate(source string) bool {
	return source == "unit" || source == "mid-value" || source == "model" || source == "model-high"
}

// headlineSource is the candidate with the largest step CNS that is not judged
// false; where all of them are, the largest among the cells that are not.
func (b *bench) headlineSource() (ExposureSource, bool) {
	if s, ok := b.largest(headlineCandidate); ok {
		return s, true
	}
	return b.largest(func(source string) bool { return strings.HasPrefix(source, "cell") })
}

func (b *bench) largest(may func(string) bool) (best ExposureSource, found bool) {
	for _, s := range b.debrief.Exposure.BySource {
		if may(s.Source) && !s.JudgedFalse && s.CNSPercent.Known() && (!found || s.CNSPercent > best.CNSPercent) {
			best, found = s, true
		}
	}
	return best, found
}

// headline fills the figure that stands at the top, with the range beside it.
func (b *bench) headline() {
	x := &b.debrief.Exposure
	x.Headline = ExposureHeadline{CNSPercent: unknown, Low: unknown, High: unknown, OTU: unknown}
	s, ok := b.headlineSource()
	if !ok {
		return
	}
	h := &x.Headline
	h.Source, h.CNSPercent, h.OTU = s.Source, s.CNSPercent, s.OTU
	h.IsLowerBound = s.CNSIsLowerBound || !x.OpenCircuitAssessed // time on an unknown gas is in no figure
	h.Low, h.High = s.CNSLowPercent, s.CNSHighPercent
	for _, c := range x.BySource {
		if headlineCandidate(c.Source) && !c.JudgedFalse && c.CNSPercent.Known() {
			h.Low = min(h.Low, c.CNSLowPercent)
			h.High = max(h.High, c.CNSHighPercent) // unknown stays unknown: max of NaN is NaN
		}
	}
	for _, t := range exposure.MinutesByBand(b.tS, b.breathed[s.Source], b.gapAfter, b.doseOptions()) {
		x.MinutesByPO2 = append(x.MinutesByPO2, BandTime{Float(t.FromBar), Float(t.ToBar), Float(t.Minutes), Float(t.LimitMin)})
	}
}

// linkJudgements turns the kind by which a source was judged false into the id of
// the finding: ids are given once all checks have run.
func (b *bench) linkJudgements() {
	for i := range b.debrief.Exposure.BySource {
		s := &b.debrief.Exposure.BySource[i]
		for _, f := range b.debrief.Findings {
			own := f.Cell != nil && s.Source == fmt.Sprintf("cell%d", *f.Cell) || !strings.HasPrefix(s.Source, "cell")
			if s.JudgedFalse && f.Kind == s.JudgedBy && own {
				s.JudgedBy = f.ID
				break
			}
		}
	}
}

// sourceJudgedFalse tells whether a source of PO2 is not believed.
func (b *bench) sourceJudgedFalse(name string) bool {
	for _, s := range b.debrief.Exposure.BySource {
		if s.Source == name {
			return s.JudgedFalse
		}
	}
	return false
}
