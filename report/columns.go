package report

import (
	"fmt"
	"math"

	"afterloop/analysis"
)

// Resolution of what is computed; what was recorded keeps the decimals of the
// log, up to mostDecimals. A millibar is finer than any cell.
const (
	mostDecimals = 4
	barDecimals  = 3
	doseDecimals = 2
)

// Names of the packed columns that the page's script asks for by name.
const (
	colTime     = "time"
	colDepth    = "depth"
	colAmbient  = "ambient"
	colSetPoint = "setpoint"
	colUnit     = "unit"
	colLoop     = "loop" // 1 on the loop, 0 on open circuit
	colGap      = "gap"  // 1 where a gap follows
	colEstimate = "estimate"
	colLow      = "estimate-low"
	colHigh     = "estimate-high"
	colHelium   = "helium"
	colError    = "error"
	colCNS      = "cns"
	colOTU      = "otu"
	colHypoxia  = "hypoxia"

	colDensity         = "gas-density"
	colDensityHigh     = "gas-density-high"
	colDryO2           = "dry-o2"
	colDryN2           = "dry-n2"
	colDryHe           = "dry-he"
	colNarcotic        = "narcotic"
	colNarcoticN2      = "narcotic-n2"
	colDepthDifference = "depth-difference"
	colO2Cyl           = "o2-cyl"
	colDilCyl          = "dil-cyl"
	// colO2Expected is the oxygen cylinder by the valves alone.
	colO2Expected = "o2-expected"
)

func colCell(n int) string        { return fmt.Sprintf("cell%d", n) }
func colUnitVote(n int) string    { return fmt.Sprintf("unitvote%d", n) }
func colValve(n int) string       { return fmt.Sprintf("valve%d", n) }
func colBattery(n int) string     { return fmt.Sprintf("battery%d", n) }
func colPolicy(k int) string      { return fmt.Sprintf("policy%d", k) }
func colPolicyIn(k int) string    { return fmt.Sprintf("policy%d-in", k) }
func colPolicyState(k int) string { return fmt.Sprintf("policy%d-state", k) }

func colPressure(n int) string { return fmt.Sprintf("pressure%d", n) }

// packSeries packs every column of the series that holds anything.
func packSeries(s *analysis.Series) *samples {
	p := &samples{rows: len(s.TimeS)}
	add := func(id string, v []float64, decimals int) {
		if known(v) {
			p.add(id, v, decimals)
		}
	}
	p.add(colTime, s.TimeS, 6)
	add(colGap, flags(s.GapAfter), 0)
	add(colLoop, flags(s.OnLoop), 0)
	add(colDepth, s.DepthM, barDecimals)
	add(colAmbient, s.AmbientBar, mostDecimals)
	add(colSetPoint, s.SetPointBar, mostDecimals)
	for _, c := range s.Cells {
		add(colCell(c.Number), c.PO2Bar, mostDecimals)
		if c.Vote != nil {
			add(colUnitVote(c.Number), numbersOf(c.Vote), 0)
		}
	}
	add(colUnit, s.UnitPO2Bar, mostDecimals)
	for k, v := range s.Votes {
		add(colPolicy(k), v.PO2Bar, barDecimals)
		add(colPolicyIn(k), masks(v.In), 0)
		add(colPolicyState(k), numbersOf(v.State), 0)
	}
	add(colEstimate, s.EstimateBar, barDecimals)
	add(colLow, s.EstimateLowBar, barDecimals)
	add(colHigh, s.EstimateHighBar, barDecimals)
	add(colHelium, s.HeliumBar, barDecimals)
	add(colError, s.TrackingErrorBar, barDecimals)
	for _, v := range s.Valves {
		add(colValve(v.Number), v.OpenS, barDecimals)
	}
	add(colCNS, s.CNSPercent, doseDecimals)
	add(colOTU, s.OTU, doseDecimals)
	add(colHypoxia, s.MinutesToHypoxia, doseDecimals)
	addGas(add, s)
	add(colO2Cyl, s.O2CylBar, mostDecimals)
	add(colDilCyl, s.DilCylBar, mostDecimals)
	add(colO2Expected, s.O2ExpectedBar, 1)
	for _, b := range s.Batteries {
		add(colBattery(b.Number), b.V, mostDecimals)
	}
	packHalves(add, s)
	return p
}

func flags(v []bool) []float64 {
	out := make([]float64, len(v))
	for i, b := range v {
		if b {
			out[i] = 1
		}
	}
	return out
}

func numbersOf[T ~uint8](v []T) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = float64(x)
	}
	return out
}

// masks are sets of cells as numbers; cells past the 50th, which no log of
// today holds, are left out.
func masks(v []uint64) []float64 {
	out := make([]float64, len(v))
	for i, m := range v {
		out[i] = float64(m & (1<<50 - 1))
	}
	return out
}

// known tells whether any value of v is known.
func known(v []float64) bool {
	for _, x := range v {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			return true
		}
	}
	return false
}

// addGas adds the columns of the gas that was breathed and of pressures: a hundredth
// of a g/L, a thousandth of the gas, a decimetre.
func addGas(add func(string, []float64, int), s *analysis.Series) {
	add(colDensity, s.GasDensityGL, 2)
	add(colDensityHigh, s.GasDensityHighGL, 2)
	add(colDryO2, s.DryO2, 3)
	add(colDryN2, s.DryN2, 3)
	if highest([]line{{values: s.DryHe}}) > 0 {
		add(colDryHe, s.DryHe, 3)
	}
	add(colNarcotic, s.NarcoticO2N2M, 1)
	add(colNarcoticN2, s.NarcoticN2M, 1)
	add(colDepthDifference, s.DepthDifferenceM, 2)
	for _, p := range s.PressureDifferences {
		add(colPressure(p.Number), p.DifferenceBar, mostDecimals)
	}
}
