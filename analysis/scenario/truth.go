package scenario

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"afterloop/analysis/gas"
)

// Truth is what really happened.
type Truth struct {
	Facts Facts
	Rows  []TruthRow
	// Balance is the oxygen balance at the end, bar L at loop temperature, and
	// OxygenEnd what is then in the loop.
	Balance   OxygenBalance
	OxygenEnd float64
}

// TruthRow is the truth at one row's time.
type TruthRow struct {
	TimeS      float64
	SensedBar  float64 // PO2 at the cells
	InhaledBar float64 // PO2 on the breathing side; on open circuit, of that gas
	VO2LMin    float64 // STPD
}

// Facts is the truth of the dive as a whole, in its JSON form.
type Facts struct {
	Kind   string      `json:"kind"`  // of the profile
	Fault  string      `json:"fault"` // the scenario's name
	Hard   string      `json:"hard,omitempty"`
	Faults []TrueFault `json:"faults"`
	// Latent are faults that the dive never brought out: a ceiling not reached.
	Latent []TrueFault `json:"latent,omitempty"`
	Expect
	HumidBar    float64   `json:"humid_bar"`
	T90S        []float64 `json:"t90_s"` // per cell, as at the start
	Gain        []float64 `json:"gain"`
	Cells       int       `json:"cells"`
	Style       string    `json:"style"`
	FlowLMin    float64   `json:"flow_l_min"` // STPD, of the first valve
	FlowLS      float64   `json:"flow_l_s"`   // the same in bar L/s in the loop
	LoopL       float64   `json:"loop_l"`
	VO2LMinMean float64   `json:"vo2_l_min_mean"`
	SurfaceBar  float64   `json:"surface_bar"`
	Quantum     float64   `json:"quantum"`
	He          float64   `json:"he"`
	SampleS     float64   `json:"sample_s"`
	Seed        uint64    `json:"seed"`
}

// TrueFault is one fault as it came out.
type TrueFault struct {
	Cell       int      `json:"cell,omitempty"`
	Valve      int      `json:"valve,omitempty"`
	Kind       string   `json:"kind"`
	T90S       float64  `json:"t90_s,omitempty"`
	CeilingBar float64  `json:"ceiling_bar,omitempty"`
	Gain       float64  `json:"gain,omitempty"`
	Change     float64  `json:"change,omitempty"`
	RateLMin   float64  `json:"rate_l_min,omitempty"`
	FromS      float64  `json:"from_s"`
	ToS        *float64 `json:"to_s,omitempty"`
}

// WriteCSV writes time_s, po2_sensed_bar, po2_inhaled_bar, vo2_l_min.
func (t Truth) WriteCSV(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintln(b, "time_s,po2_sensed_bar,po2_inhaled_bar,vo2_l_min")
	for _, r := range t.Rows {
		fmt.Fprintf(b, "%.*f,%.4f,%.4f,%.3f\n", decimals(t.Facts.SampleS), r.TimeS, r.SensedBar, r.InhaledBar, r.VO2LMin)
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("scenario: writing the truth: %w", err)
	}
	return nil
}

// WriteJSON writes the facts, indented.
func (t Truth) WriteJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	if err := e.Encode(t.Facts); err != nil {
		return fmt.Errorf("scenario: writing the truth: %w", err)
	}
	return nil
}

func (d *dive) truth() Truth {
	s := d.spec
	f := Facts{
		Kind: s.Profile.Kind, Fault: s.Name, Hard: s.Hard, Faults: []TrueFault{}, Expect: s.Expect,
		HumidBar: s.Loop.HumidBar, Cells: len(s.Cells), Style: s.Controller.Style,
		FlowLMin: s.Valves[0].FlowLMin, FlowLS: gas.STPDToLoop(s.Valves[0].FlowLMin, s.Loop.TempC),
		LoopL: s.Loop.VolumeL, SurfaceBar: s.SurfacePressureBar, Quantum: s.Recording.PO2StepBar,
		He: d.diluent.He, SampleS: s.Recording.IntervalS, Seed: s.Seed,
	}
	for _, c := range d.cells {
		f.T90S, f.Gain = append(f.T90S, c.t90At(0)), append(f.Gain, c.steadyGain())
	}
	for _, r := range d.recorder.truthRow {
		f.VO2LMinMean += r.VO2LMin / float64(len(d.recorder.truthRow))
	}
	for _, fault := range s.Faults {
		if tf, seen := d.trueFault(fault); seen {
			f.Faults = append(f.Faults, tf)
		} else {
			f.Latent = append(f.Latent, tf)
		}
	}
	return Truth{Facts: f, Rows: d.recorder.truthRow, Balance: d.loop.balance, OxygenEnd: d.loop.oxygen()}
}

// steadyGain is the gain without drift.
func (c *sensor) steadyGain() float64 {
	for _, f := range c.faults {
		if f.Kind == Gain {
			return f.Gain * c.common
		}
	}
	return c.spec.Gain * c.common
}

// trueFault turns a fault of the spec into one of the truth; seen is false where
// a ceiling was never reached.
func (d *dive) trueFault(f Fault) (tf TrueFault, seen bool) {
	tf = TrueFault{Cell: f.Cell, Valve: f.Valve, Kind: f.Kind, FromS: f.FromS}
	if f.ToS != 0 && f.Kind != Drift {
		tf.ToS = &f.ToS
	}
	switch f.Kind {
	case Slow:
		tf.T90S = f.T90S
	case Limited:
		tf.CeilingBar = f.CeilingBar
		tf.FromS = d.cells[f.Cell-1].crossed
		if math.IsNaN(tf.FromS) {
			tf.FromS = f.FromS
			return tf, false
		}
	case Gain:
		tf.Gain = f.Gain
	case Drift:
		tf.Change = f.Change
	case ValveLeak:
		tf.RateLMin = f.RateLMin
	}
	return tf, true
}
