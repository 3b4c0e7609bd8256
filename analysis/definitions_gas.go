package analysis

// gasDefinitions say what the figures of gas, pressure and depth mean.
func gasDefinitions() []Definition {
	return []Definition{
		{"gas-fractions", "Dry and inspired fractions", "", "What the gas was made of. On the loop oxygen is the PO2 (the estimate, else the unit's, else the mid-value) over the dry pressure; the rest keeps the diluent's ratio of helium to nitrogen. Inspired means humid at 37 C: the vapour takes its part of the pressure. Air that the loop held at the start, and gas of an earlier diluent, change the ratio until they are flushed out.",
			"O2 = PO2/P_d, He = (1 - O2) He_dil/(He_dil + N2_dil), N2 = the rest; inspired F = dry F (P - pH2O)/P", "Dalton's law; 47 mmHg, 0.0627 bar, of water vapour at 37 C (respiratory physiology)"},
		{"gas-density", "Gas density", "g/L", "Density of the dry gas at the reference temperature, 0 C, since the published limits (5.2 recommended, 6.2 at most) are air at 31 and 39 m at that temperature and no other: at 20 C all figures are 7 % lower. As breathed means humid at 37 C; the limits were not drawn up for that figure. The range is what gas that the loop held before leaves open.",
			"rho = P (31.998 O2 + 28.013 N2 + 4.003 He) / (R T)", "Anthony and Mitchell, in Pollock, Sellers and Godfrey (eds), Rebreathers and Scientific Diving, 2016 (6.2 and the depths of air: memory); ideal gas"},
		{"narcotic-depth", "Narcotic depth", "m", "Depth at which air would hold as much narcotic gas, by two rules: nitrogen alone, and nitrogen with oxygen counted like it. Helium counts as not narcotic (common practice). Below 0 the gas holds less than air at the surface.",
			"P_eq = P N2/0.79, or P (1 - He); z = (P_eq - P_surface) 1e5/(rho g)", "oxygen counted: NOAA Diving Manual, trimix, section 16.3.1.2.4, as quoted by others; nitrogen alone: common practice"},
		{"gas-switch", "Change of gas", "bar", "Inspired pressure of each inert gas before and after, at the pressure of the change. Helium that falls while nitrogen rises is the direction of isobaric counterdiffusion. On the loop the figure is an upper bound: a change of diluent acts only as far as the loop is flushed. There is no tissue model and no decompression verdict.",
			"p = F (P - pH2O), F of the dry gas", "Doolette and Mitchell, J Appl Physiol 94:2145-2150, 2003, for the direction; a fall of helium of five times the rise of nitrogen: common practice, disputed"},
		{"depth-agreement", "Depth against pressure", "m", "Recorded depth less the depth that follows from recorded pressure, and the water density that the two imply: the one with which the instrument turned pressure into metres, not that of the water. Its interval is the scatter about a line through the medians of up to 40 steps of depth, with rounding.",
			"P = a + b z, rho = 1e5 b/g", "hydrostatics; EN 13319 for 1019.7 kg/m3"},
		{"pressure-at-surface", "Pressure at the surface", "bar", "Median of the measured pressure at the surface before and after the dive, with noise and rounding; drift is their difference. Altitude is that of the standard atmosphere, with the range that weather of 30 hPa leaves: hundreds of metres.",
			"P = 1.01325 (1 - 0.0065 h/288.15)^5.25588", "ISO 2533; weather: common practice"},
		{"pressure-sensors", "Pressure sensors", "bar", "One sensor less the one in use, over the rows in which neither stands at the end of its range, and the line that relates them. Two tell that one is wrong, and not which.", "b = offset + scale a", "ours"},
		{"pressure-sensitivity", "What an error of pressure changes", "", "Change of each figure if the true pressure is higher than the one in use by 1 % of the water's part (density), by 1 % (scale) or by 0.1 bar (offset). The cells measure PO2 themselves, so doses change only on open circuit, unless the same sensor gave the pressure at calibration: then all cells are off alike.",
			"P' = P_s + (P - P_s)(1 + e), P (1 + e), P + e; gain of the cells = P_s'/P_s", "hydrostatics, Dalton's law"},
	}
}
