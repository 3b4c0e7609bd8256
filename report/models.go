package report

import (
	"strings"

	"afterloop/analysis"
)

// This file puts the newer models of oxygen toxicity into words.

// ModelDef is a model's title, linked to its definition. The name comes with the
// debrief, so only one that the house knows becomes a link.
func (p *page) ModelDef(m analysis.ExposureModel) link {
	for _, name := range analysis.ModelNames() {
		if name == m.Model {
			return p.Def(name, m.Title)
		}
	}
	return link{"", m.Title}
}

// modelValue is a model's figure, or that there is none.
func modelValue(m analysis.ExposureModel) string {
	if !m.Value.Known() {
		switch m.Standing {
		case "outside":
			return say("models.outside")
		case "unexposed":
			return say("models.unexposed")
		}
		return notKnown
	}
	s := modelFigure(m.Value, m.Unit)
	if m.IsLowerBound {
		s = say("models.at-least", s)
	}
	return s
}

// modelMore are the figures that a model's own rests on, or that follow from it.
func modelMore(m analysis.ExposureModel) string {
	var more []string
	for _, f := range m.Figures {
		more = append(more, f.Name+": "+modelFigure(f.Value, f.Unit))
	}
	return strings.Join(more, "; ")
}

// modelFigure prints three digits.
func modelFigure(v analysis.Float, unit string) string {
	return strings.TrimSpace(significant(v, 3) + " " + unit)
}

// modelRange is the published range and how the dive stands to it.
func modelRange(m analysis.ExposureModel) string {
	low, high := bar(analysis.Float(m.FromBar)), bar(analysis.Float(m.ToBar))
	if !m.InsideFraction.Known() {
		return say("models.no-exposure", low, high)
	}
	return say("models.inside", low, high, share(m.InsideFraction))
}

// modelNotes are what to keep in mind.
func modelNotes(m analysis.ExposureModel) string {
	notes := append([]string{}, m.Notes...)
	if m.Standing == "partly" {
		notes = append(notes, sentence(say("models.only", share(m.InsideFraction))))
	}
	if m.IsLowerBound && m.Value.Known() {
		notes = append(notes, sentence(say("models.gaps")))
	}
	return strings.Join(notes, " ")
}

// models sets the newer models that were asked for.
func (t *textWriter) models() {
	if len(t.d.Exposure.Models) == 0 {
		return
	}
	t.title(say("models.newer-models"))
	for _, m := range t.d.Exposure.Models {
		memory := ""
		if !m.Verified {
			memory = " " + say("models.memory")
		}
		t.bullet(m.Title + memory + ": " + modelValue(m) + inBrackets(modelMore(m)) + ". " + modelRange(m) + ". " + modelNotes(m))
	}
}

// inBrackets sets a text that is not empty apart.
func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}
