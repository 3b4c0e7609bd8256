package bench

import (
	"fmt"
	"io"

	"afterloop/analysis/bench"
	"afterloop/report"
	"afterloop/report/paper"
)

// tightnessPage is what the template of a tightness test sees.
type tightnessPage struct {
	paper.Frame
	*bench.TightnessReport
	Plot *paper.Plot
}

// WriteTightness writes the page of a tightness test.
func WriteTightness(w io.Writer, r *bench.TightnessReport) error {
	title := r.Test.Name
	if title == "" {
		title = "Tightness test, " + r.Test.Kind
	}
	p := tightnessPage{Frame: paper.NewFrame(title, "Loop tightness test on the bench, "+r.Test.Kind+" pressure"), TightnessReport: r}
	p.Safety, p.Caution, p.By, p.ByVersion, p.SchemaID = bench.Safety, bench.OxygenCaution, r.Tool.Name, r.Tool.Version, r.Schema
	if r.Series != nil && len(r.Series.TimeS) > 1 {
		p.Plot = loopPlot(r)
	}
	return write(w, "tightness.html", p)
}

// RigidMicroMolS is the flow of a rigid loop in µmol/s: in mol/s it is all zeros.
func (p tightnessPage) RigidMicroMolS() string { return paper.Value(1e6*p.Result.RigidMolS, 2) }

// loopPlot is the pressure over time with what each stretch was taken for.
func loopPlot(r *bench.TightnessReport) *paper.Plot {
	s := r.Series
	low, high := paper.Extent(s.LoopMbar, []float64{0})
	p := paper.NewPlot("loop", "Pressure of the loop", "Dark shade: the time that was judged. Square: an event in the record. What each stretch was taken for is listed below.", "time, s", "mbar relative to ambient",
		[2]float64{s.TimeS[0], s.TimeS[len(s.TimeS)-1]}, paper.Around(low, high, 0.08))
	for _, st := range r.Stretches {
		class := ""
		if st.Kind == "judged" {
			class = "judged"
		}
		p.Shade(float64(st.FromS), float64(st.ToS), class, st.Kind)
	}
	p.Line("pressure", report.NumberedStroke(0), s.TimeS, s.LoopMbar)
	sign := 1.0
	if r.Test.Kind == "negative" {
		sign = -1
	}
	for _, st := range r.Stretches {
		if st.Kind == "judged" {
			mid, half := float64(st.FromS+st.ToS)/2, float64(st.ToS-st.FromS)/2
			d := float64(st.RateMbarMin) / 60 * half
			p.Line("", report.StrongStroke(), []float64{mid - half, mid + half}, []float64{sign * (float64(st.MeanMbar) + d), sign * (float64(st.MeanMbar) - d)})
		}
	}
	for _, e := range s.Events {
		p.Point(e.AtS, at(s.TimeS, s.LoopMbar, e.AtS), paper.NaN, paper.NaN, "square", report.NumberedStroke(1), fmt.Sprintf("%s at %.0f s", e.Kind, e.AtS))
	}
	return p
}

// at is the value of the row at a time, NaN without one.
func at(t, v []float64, x float64) float64 {
	for i := range t {
		if t[i] == x {
			return v[i]
		}
	}
	return paper.NaN
}
