package supply

import (
	"math"

	"afterloop/analysis/gas"
)

// ExpectedBar is the pressure that the cylinder would show if the valves had given
// what they were commanded, row by row, from its first reading on, at the
// temperature of that reading; nil where volume or flow is not known.
func ExpectedBar(in Input, c Cylinder, p Params) []float64 {
	if c.Reason != "" || !(in.CylinderL > 0) || !(in.FlowLMin > 0) || len(in.Valves) == 0 {
		return nil
	}
	t, _ := in.tempAt(c.Start.AtS, p)
	if math.IsNaN(t) {
		t = p.AssumedTempC
	}
	full := Litres(in.CylinderL, c.Start.Bar, t)
	perBar := in.CylinderL / gas.BarPerAta * zeroC / (zeroC + t)
	out := make([]float64, len(in.TimeS))
	openS, bar := 0.0, c.Start.Bar
	for i := range out {
		if out[i] = math.NaN(); in.TimeS[i] < c.Start.AtS {
			continue
		}
		for _, v := range in.Valves {
			if s := value(v.OpenS, i); s > 0 && in.TimeS[i] > c.Start.AtS {
				openS += s
			}
		}
		// One step of p = L Z(p)/perBar from the row before: Z hardly changes between rows.
		bar = math.Max(0, (full-openS*in.FlowLMin/60)/perBar*Compressibility(t, bar))
		out[i] = bar
	}
	return out
}
