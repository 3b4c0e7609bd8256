package analysis

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"afterloop/ingest"
)

// ContradictionCode is the code of a problem that names two statements of the
// headers of two logs that contradict. Its Read and its Treatment hold text of the logs.
const ContradictionCode = "halves-contradict"

// contradiction is one key with what each log states.
type contradiction struct{ key, a, b string }

// contradictions are the statements of both headers that differ, in the order of
// the format; what either leaves out contradicts nothing.
func (j *Doubled) contradictions() []contradiction {
	a, b := j.logs[0].Meta, j.logs[1].Meta
	var out []contradiction
	texts := func(key, x, y string) {
		if x != "" && y != "" && x != y {
			out = append(out, contradiction{key, x, y})
		}
	}
	numbers := func(key string, x, y float64) {
		if math.Abs(x-y) > 1e-9 { // false where either is NaN
			texts(key, plainNumber(x), plainNumber(y))
		}
	}
	texts("dive", a.Dive, b.Dive)
	texts("diver", a.Diver, b.Diver)
	texts("unit", a.Unit, b.Unit)
	if j.startsContradict() {
		out = append(out, contradiction{"start", a.Start, b.Start})
	}
	numbers("surface_pressure_bar", unless(a.SurfaceAssumed, a.SurfacePressureBar), unless(b.SurfaceAssumed, b.SurfacePressureBar))
	numbers("water_density_kg_m3", unless(a.DensityAssumed, a.WaterDensityKgM3), unless(b.DensityAssumed, b.WaterDensityKgM3))
	for _, g := range j.gasPairs() {
		if statedApart(g.a, g.b) {
			texts(g.key, gasName(g.a), gasName(g.b))
		}
	}
	numbers("loop_volume_l", a.LoopVolumeL, b.LoopVolumeL)
	numbers("oxygen_flow_l_min", a.OxygenFlowLMin, b.OxygenFlowLMin)
	numbers("oxygen_cylinder_l", a.OxygenCylinderL, b.OxygenCylinderL)
	numbers("cal_gas_o2", a.Calibration.GasO2, b.Calibration.GasO2)
	numbers("cal_pressure_bar", a.Calibration.PressureBar, b.Calibration.PressureBar)
	numbers("cal_temp_c", a.Calibration.TempC, b.Calibration.TempC)
	texts("cal_time", a.Calibration.Time, b.Calibration.Time)
	if x, y := a.Calibration.Humid, b.Calibration.Humid; x != nil && y != nil {
		texts("cal_gas_humid", strconv.FormatBool(*x), strconv.FormatBool(*y))
	}
	texts("loop_he_basis", a.LoopHeBasis, b.LoopHeBasis)
	numbers("loop_he_sigma", a.LoopHeSigma, b.LoopHeSigma)
	return out
}

func unless(assumed bool, v float64) float64 {
	if assumed {
		return math.NaN()
	}
	return v
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }

// startsContradict tells whether the stated starts lie elsewhere than depth puts the clocks.
func (j *Doubled) startsContradict() bool {
	off, ok := startsApart(j.logs[0], j.logs[1], j.Clock)
	return ok && math.Abs(off) > startAgreesS+j.Clock.HalfAt(0)
}

// contradicting turns each pair into a problem with both values and what is used.
func (j *Doubled) contradicting() []ingest.Problem {
	var out []ingest.Problem
	for _, c := range j.contradictions() {
		p := ingest.Problem{File: j.logs[1].Source.File, Column: c.key, Read: c.b, Severity: ingest.Warning, Code: ContradictionCode, Count: 1,
			Treatment: fmt.Sprintf("left out: %s states %q, which is used", j.logs[0].Source.File, c.a), Want: "the same in both logs"}
		switch c.key {
		case "diluent", "open_circuit_gas":
			p.Treatment = fmt.Sprintf("a contradiction: %s states %q, which is named; what depends on it is not assessed until a row states a change", j.logs[0].Source.File, c.a)
		case "start":
			t, _ := time.Parse(time.RFC3339, c.a)
			byDepth := t.Add(time.Duration(math.Round(j.Clock.ToA(0))) * time.Second).Format(time.RFC3339)
			p.Treatment = fmt.Sprintf("left out: %s states %q, which is used; depth puts the start of this log at %s", j.logs[0].Source.File, c.a, byDepth)
			p.Want = byDepth
		}
		out = append(out, p)
	}
	return out
}
