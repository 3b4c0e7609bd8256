package analysis

import "afterloop/analysis/exposure"

// Inhaled is what may have been breathed, row by row, for those who put several
// dives together. It is not in the JSON form.
type Inhaled struct {
	TimeS []float64
	// GapAfter are the gaps of the record and all time on an unknown gas.
	GapAfter []bool
	// Options are those of the doses.
	Options exposure.Options
	// Sources are those that may be the headline and are not judged false; the one
	// that is comes first. Empty where the log has no PO2 that is believed.
	Sources []InhaledSource
}

// InhaledSource is one source of PO2.
type InhaledSource struct {
	Source string
	PO2Bar []float64 // bar; NaN: not recorded, or an unknown gas
}

// keepInhaled keeps what the doses rest on.
func (b *bench) keepInhaled() {
	in := &Inhaled{TimeS: b.tS, GapAfter: b.gapsOfGas(), Options: b.doseOptions()}
	first := b.debrief.Exposure.Headline.Source
	if first != "" {
		in.Sources = append(in.Sources, InhaledSource{first, b.breathed[first]})
	}
	for _, s := range b.debrief.Exposure.BySource {
		if s.Source != first && headlineCandidate(s.Source) && !s.JudgedFalse && s.CNSPercent.Known() {
			in.Sources = append(in.Sources, InhaledSource{s.Source, b.breathed[s.Source]})
		}
	}
	b.debrief.Inhaled = in
}
