package report

import (
	"fmt"

	"afterloop/analysis"
)

// gasColumns are the columns of the gas that was breathed and of pressures, where
// there are such: dry_o2_fraction, dry_n2_fraction, dry_he_fraction, the same three
// as inspired_, gas_density_g_l with gas_density_low_g_l and gas_density_high_g_l,
// narcotic_depth_n2_m, narcotic_depth_o2_n2_m, depth_less_pressure_depth_m, and
// ambientN_less_one_in_use_bar for each further pressure sensor.
func gasColumns(s *analysis.Series) []column {
	var cols []column
	add := func(name string, v []float64) {
		if v != nil {
			cols = append(cols, column{name: name, values: v})
		}
	}
	add("dry_o2_fraction", s.DryO2)
	add("dry_n2_fraction", s.DryN2)
	add("dry_he_fraction", s.DryHe)
	add("inspired_o2_fraction", inspired(s, s.DryO2))
	add("inspired_n2_fraction", inspired(s, s.DryN2))
	add("inspired_he_fraction", inspired(s, s.DryHe))
	add("gas_density_g_l", s.GasDensityGL)
	add("gas_density_low_g_l", s.GasDensityLowGL)
	add("gas_density_high_g_l", s.GasDensityHighGL)
	add("narcotic_depth_n2_m", s.NarcoticN2M)
	add("narcotic_depth_o2_n2_m", s.NarcoticO2N2M)
	add("depth_less_pressure_depth_m", s.DepthDifferenceM)
	for _, p := range s.PressureDifferences {
		add(fmt.Sprintf("ambient%d_less_one_in_use_bar", p.Number), p.DifferenceBar)
	}
	return cols
}

func inspired(s *analysis.Series, dry []float64) []float64 {
	if dry == nil {
		return nil
	}
	out := make([]float64, len(dry))
	for i := range dry {
		out[i] = s.InspiredFraction(dry, i)
	}
	return out
}
