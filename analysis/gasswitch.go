package analysis

import (
	"math"

	"afterloop/analysis/gas"
	"afterloop/ingest"
)

// gasSwitches are the changes of what was breathed: of the diluent while on the
// loop, from the loop to open circuit and back, of the gas on open circuit.
func (b *bench) gasSwitches(r *breathedRows) []GasSwitch {
	out := []GasSwitch{}
	for i := 1; i < len(b.tS); i++ {
		if !b.under[i] {
			continue
		}
		d, o := b.dive.Diluent, b.dive.OpenGas
		switch {
		case b.onLoop[i-1] && !b.onLoop[i]:
			out = append(out, b.gasSwitch(r, i, "to_open_circuit", d[i-1], o[i]))
		case !b.onLoop[i-1] && b.onLoop[i]:
			out = append(out, b.gasSwitch(r, i, "to_loop", o[i-1], d[i]))
		case b.onLoop[i] && differs(d[i-1], d[i]):
			s := b.gasSwitch(r, i, "diluent", d[i-1], d[i])
			s.UpperBound = s.Reason == ""
			out = append(out, s)
		case !b.onLoop[i] && differs(o[i-1], o[i]):
			out = append(out, b.gasSwitch(r, i, "open_gas", o[i-1], o[i]))
		}
	}
	return out
}

func differs(a, b ingest.Gas) bool { return a.Known != b.Known || a.Mix != b.Mix }

// gasSwitch compares the inert gases before and after row i, both at its pressure:
//
//	p_N2 = F_N2 (P - pH2O), and the same for helium; F of the dry gas
func (b *bench) gasSwitch(r *breathedRows, i int, kind string, from, to ingest.Gas) GasSwitch {
	s := GasSwitch{AtS: Float(b.tS[i]), Kind: kind, From: gasName(from), To: gasName(to), DepthM: Float(b.depthAt(i)), DepthChangeM: Float(b.depthSpan(i)),
		NitrogenBeforeBar: unknown, NitrogenAfterBar: unknown, HeliumBeforeBar: unknown, HeliumAfterBar: unknown, NitrogenPerHelium: unknown}
	s.Isobaric = float64(s.DepthChangeM) <= b.p.BreathedGas.SwitchDepthM+1e-9
	dry := b.dryBar(i)
	before, after := b.sideOf(r, i-1, from, dry), b.sideOf(r, i, to, dry)
	switch {
	case !from.Known || !to.Known:
		s.Reason = "the log does not name both gases"
	case b.gapAfter[i-1]:
		s.Reason = "it lies in a gap of the record"
	case !before.Known() || !after.Known():
		s.Reason = "no PO2 or no pressure at that moment"
	}
	if s.Reason != "" {
		return s
	}
	s.NitrogenBeforeBar, s.NitrogenAfterBar = Float(before.N2()*dry), Float(after.N2()*dry)
	s.HeliumBeforeBar, s.HeliumAfterBar = Float(before.He*dry), Float(after.He*dry)
	rise, fall := s.NitrogenAfterBar-s.NitrogenBeforeBar, s.HeliumBeforeBar-s.HeliumAfterBar
	if s.Counterdiffusion = rise > tol && fall > tol; s.Counterdiffusion {
		s.NitrogenPerHelium = rise / fall
	}
	return s
}

// sideOf is the dry gas on one side of a switch: on the loop by the PO2 of that row
// and the ratio of its diluent, with both taken to the pressure of the switch.
func (b *bench) sideOf(r *breathedRows, row int, g ingest.Gas, dryBar float64) gas.Mix {
	if !b.onLoop[row] {
		return g.Mix
	}
	return gas.LoopMix(r.po2[row], dryBar, g.HeOfInert())
}

// depthSpan is how much the depth moved within the window round row i; in metres of
// water of 10 to the bar where only pressure was recorded.
func (b *bench) depthSpan(i int) float64 {
	z := b.dive.DepthM
	lo, hi := math.Inf(1), math.Inf(-1)
	w := b.p.BreathedGas.SwitchWindowS
	for k := i; k >= 0 && b.tS[i]-b.tS[k] <= w; k-- {
		lo, hi = widen(lo, hi, z, k)
	}
	for k := i; k < len(b.tS) && b.tS[k]-b.tS[i] <= w; k++ {
		lo, hi = widen(lo, hi, z, k)
	}
	if hi < lo {
		return math.NaN()
	}
	return hi - lo
}

func widen(lo, hi float64, z []float64, k int) (float64, float64) {
	if z == nil || math.IsNaN(z[k]) {
		return lo, hi
	}
	return math.Min(lo, z[k]), math.Max(hi, z[k])
}
