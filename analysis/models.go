package analysis

import (
	"fmt"
	"strings"

	"afterloop/analysis/exposure"
)

// ExposureModel is what one newer model of oxygen toxicity makes of the dive, by
// the headline's source of PO2. It stands beside the NOAA limits and OTU and
// raises no finding.
type ExposureModel struct {
	Model string `json:"model"`
	Title string `json:"title"`
	// Value is null where the dive lies outside of the published range, or has no PO2.
	Value   Float         `json:"value"`
	Unit    string        `json:"unit"`
	Figures []ModelFigure `json:"figures"`
	// Standing is inside (at least 90 % of the exposed time is in the published
	// range), partly (a figure, with that remark), outside, unexposed or no_reading (no figure).
	Standing       string  `json:"standing"`
	InsideFraction Float   `json:"inside_fraction"`
	ExposedS       Float   `json:"exposed_s"` // above 0.5 bar
	Range          string  `json:"range"`
	FromBar        float64 `json:"from_bar"`
	ToBar          float64 `json:"to_bar"`
	// IsLowerBound tells that time is missing: gaps, or an unknown gas.
	IsLowerBound bool     `json:"is_lower_bound"`
	Verified     bool     `json:"verified"` // false: the equation or a limit is from memory
	Notes        []string `json:"notes"`
	Reason       string   `json:"reason"` // why there is no figure, or empty
}

// ModelFigure is a number that belongs to a model's own.
type ModelFigure struct {
	Name  string `json:"name"`
	Value Float  `json:"value"`
	Unit  string `json:"unit"`
}

// ModelNames are the names of the models of oxygen toxicity.
func ModelNames() []string {
	var out []string
	for _, m := range exposure.Models() {
		out = append(out, m.Name)
	}
	return out
}

// ChooseModels reads a list of names, as in "esot,cns-index", or "all"; the order
// is the house's. An unknown name is an error that lists those that are known.
func ChooseModels(list string) ([]string, error) {
	want := map[string]bool{}
	for _, name := range strings.Split(list, ",") {
		name = strings.TrimSpace(name)
		if _, ok := exposure.ModelByName(name); !ok && name != "all" && name != "" {
			return nil, fmt.Errorf("no model is called %q; give all, or some of %s", name, strings.Join(ModelNames(), ", "))
		}
		want[name] = true
	}
	out := []string{}
	for _, name := range ModelNames() {
		if want[name] || want["all"] {
			out = append(out, name)
		}
	}
	return out, nil
}

// runModels computes the models that were asked for.
func (b *bench) runModels() {
	x := &b.debrief.Exposure
	x.Models = []ExposureModel{}
	for _, name := range b.p.Models {
		if m, ok := exposure.ModelByName(name); ok {
			x.Models = append(x.Models, b.runModel(m))
		}
	}
}

func (b *bench) runModel(m exposure.Model) ExposureModel {
	x := b.debrief.Exposure
	v := b.breathed[x.Headline.Source]
	if v == nil {
		v = make([]float64, len(b.tS))
		for i := range v {
			v[i] = float64(unknown)
		}
	}
	d := m.Dose(b.tS, v, b.gapsOfGas(), b.doseOptions())
	out := ExposureModel{Model: m.Name, Title: m.Title, Value: Float(d.Value), Unit: m.Unit, Figures: []ModelFigure{}, Standing: string(d.Standing),
		InsideFraction: Float(d.InsideFraction()), ExposedS: Float(d.ExposedS), Range: m.Range, FromBar: m.FromBar, ToBar: m.ToBar,
		IsLowerBound: d.LowerBound() || !x.OpenCircuitAssessed, Verified: m.Verified, Notes: append([]string{}, d.Notes...)}
	for _, f := range d.Figures {
		out.Figures = append(out.Figures, ModelFigure{f.Name, Float(f.Value), f.Unit})
	}
	switch d.Standing {
	case exposure.NoReading:
		out.Reason = noBelievedPO2
	case exposure.Unexposed:
		out.Reason = "no time above 0.5 bar"
	case exposure.OutOfRange:
		out.Reason = fmt.Sprintf("outside the published range: %.0f %% of the time above 0.5 bar lay between %g and %g bar", 100*d.InsideFraction(), m.FromBar, m.ToBar)
	}
	return out
}

// gapsOfGas are the gaps of the record, and every row of an unknown open-circuit
// gas: such time is never drawn across.
func (b *bench) gapsOfGas() []bool {
	if b.debrief.Exposure.OpenCircuitAssessed {
		return b.gapAfter
	}
	out := make([]bool, len(b.tS))
	for i := range out {
		unknownGas := func(k int) bool { return k < len(b.tS) && !b.onLoop[k] && !b.dive.OpenGas[k].Known }
		out[i] = b.gapAfter[i] || unknownGas(i) || unknownGas(i+1)
	}
	return out
}

// ModelDefinitions says what each of the newer models is.
func ModelDefinitions() []Definition {
	var out []Definition
	for _, m := range exposure.Models() {
		text := m.Says + " Published range: " + m.Range + "."
		if !m.Verified {
			text += " Not verified in print."
		}
		out = append(out, Definition{m.Name, m.Title, m.Unit, text, m.Equation, m.Source})
	}
	return out
}

// definitions are those that the debrief uses.
func (b *bench) definitions() []Definition {
	out := Definitions()
	for _, d := range ModelDefinitions() {
		for _, name := range b.p.Models {
			if name == d.ID {
				out = append(out, d)
			}
		}
	}
	return out
}
