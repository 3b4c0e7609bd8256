package analysis

import (
	"math"
	"time"

	"afterloop/ingest"
)

// meta is what the first log states, and the second where the first is silent.
// What refers to a clock or a sensor goes with it.
func (m *join) meta() ingest.Meta {
	a, b := m.a.Meta, m.b.Meta
	out := a
	out.Halves = nil
	out.Other = append(append([]ingest.KeyValue{}, a.Other...), b.Other...)
	for _, p := range []struct {
		to   *string
		from string
	}{{&out.Dive, b.Dive}, {&out.Diver, b.Diver}, {&out.Unit, b.Unit}, {&out.LoopHeBasis, b.LoopHeBasis}} {
		if *p.to == "" {
			*p.to = p.from
		}
	}
	if out.Start == "" {
		out.Start = m.startByFirst(b.Start)
	}
	for _, p := range []struct {
		to   *float64
		from float64
	}{{&out.LoopVolumeL, b.LoopVolumeL}, {&out.OxygenFlowLMin, b.OxygenFlowLMin}, {&out.OxygenCylinderL, b.OxygenCylinderL}, {&out.LoopHeSigma, b.LoopHeSigma}} {
		if math.IsNaN(*p.to) {
			*p.to = p.from
		}
	}
	if !out.Diluent.Known {
		out.Diluent = b.Diluent
	}
	if !out.OpenCircuitGas.Known {
		out.OpenCircuitGas = b.OpenCircuitGas
	}
	if a.SurfaceAssumed && !b.SurfaceAssumed && m.a.AmbientFrom == ingest.AmbientMeasured {
		out.SurfacePressureBar, out.SurfaceAssumed = b.SurfacePressureBar, false
	}
	if math.IsNaN(a.Calibration.GasO2) && a.Calibration.Time == "" {
		out.Calibration = b.Calibration
	}
	return out
}

// startByFirst is when the first log's clock read 0, by the second's stated start.
func (m *join) startByFirst(start string) string {
	t, err := time.Parse(time.RFC3339, start)
	if err != nil {
		return ""
	}
	return t.Add(time.Duration(math.Round(m.j.Clock.ToB(0))) * time.Second).Format(time.RFC3339)
}
