package analysis

// Definitions says what each figure means: the text that a report links every
// number to. Sources that were not checked against print are marked (memory).
func Definitions() []Definition {
	return []Definition{
		{"ambient", "Ambient pressure", "bar", "Absolute pressure around the diver: measured, or from depth with the density that the instrument assumed.",
			"P = P_surface + rho g z / 1e5, g = 9.80665 m/s2", "hydrostatics; EN 13319 for the density 1019.7 kg/m3"},
		{"po2", "PO2 at the cells", "bar", "Partial pressure of oxygen where the cells sit. What is inhaled is a little lower.", "PO2 = x P_d, P_d = P - pH2O", "Dalton's law"},
		{"vote", "Vote", "", "A rule that makes one PO2 out of several readings and decides which cells count. All rules are replayed side by side on the logged rows.", "", "package vote; each rule is stated in the table of policies"},
		{"voted-out", "Voted out", "s", "Time in which a rule left a cell out, with the reading that made it do so.", "", "package vote"},
		{"undecided", "Undecided", "s", "The rule could not choose, or the cells that count lay farther apart than the tolerance.", "", "package vote"},
		{"difference-from-unit", "Difference from the unit", "bar", "Mean of |replay - the unit's PO2|, weighed by time.", "", "ours"},
		{"tracking-error", "Tracking error", "bar", "PO2 minus set point, while the set point can be reached and the diver is on the loop; each row weighs the time to the next.",
			"e = PO2 - SP; mean = int e dt / T; MAE = int |e| dt / T; RMSE = sqrt(int e^2 dt / T); IAE = int |e| dt", "usual figures of control performance"},
		{"within", "Share within 0.05 and 0.10 bar", "", "Share of the assessed time with |e| within the figure.", "", "ours"},
		{"half-wave", "Half-wave", "bar s", "Integrated error between two crossings of the set point. A loop that oscillates has many large ones close together.", "A = int |e| dt between zero crossings", "Hagglund, Control Engineering Practice 3:1543 (1995)"},
		{"rise", "Rise time", "s", "From 10 to 90 % of a change of set point.", "", "control engineering"},
		{"settled", "Settled", "s", "From the change of set point until PO2 is within 0.05 bar of it for 30 s.", "", "ours"},
		{"overshoot", "Overshoot", "bar", "Peak past the new set point before the next change.", "", "control engineering"},
		{"phase", "Phase", "", "Slope of depth over 30 s: descent above 3 m/min, ascent below -3 m/min, else level; a stop is level for a minute after the first ascent, shallower than 75 % of the greatest depth so far.", "", "ours"},
		{"injection-delay", "Delay of injection", "s", "Middle of an opening to half of the response, the cells' own lag removed.", "", "ours"},
		{"need", "Need", "s", "Seconds that the valve would have to be open to remove the error, with what metabolism takes meanwhile.", "need = error V / ((1 - x) flow)", "mass balance of the loop"},
		{"vo2", "Metabolic rate", "L/min STPD", "Oxygen used, from level stretches of at least 3 minutes without flush.", "dp/dt = (1 - F_dil)(Q - VO2) / V while diluent holds the volume", "mass balance of the loop"},
		{"minutes-to-hypoxia", "Minutes to hypoxia", "min", "Time until 0.16 bar if oxygen stopped, the volume held by diluent. The handbook's figure is 2 to 5 minutes.", "t = (PO2 - 0.16) V / ((1 - F_dil) VO2)", "US Navy Diving Manual, closed-circuit chapter: 2 to 5 minutes"},
		{"cns-step", "CNS, step rule", "%", "Share of the single-exposure limit used up. Between the rows of the table the next higher row counts, as a person with the table reads it. At or below 0.5 bar nothing counts; above 1.6 the table is silent and the figure is a lower bound.",
			"CNS = int dt / limit(PO2)", "NOAA Diving Manual, table of oxygen exposure limits; between rows: US Navy Diving Manual, next deeper limit"},
		{"cns-linear", "CNS, linear rule", "%", "The same with the limit interpolated between the rows.", "limit(PO2) linear between rows", "E. C. Baker, Oxygen Toxicity Calculations (memory)"},
		{"cns-24h", "CNS, 24 hours", "%", "Share of the 24-hour limit, without decay; earlier dives are not in this log.", "", "NOAA Diving Manual"},
		{"otu", "OTU", "OTU", "Pulmonary dose: 1 is one minute at 1 bar. At or below 0.5 bar nothing counts.", "OTU = int ((PO2 - 0.5)/0.5)^(5/6) dt, t in minutes", "Clark and Lambertsen 1971, exponent 5/6 (memory); limits: Hamilton, Kenyon and Peterson, REPEX, 1988"},
		{"dose-interval", "Low and high of a dose", "", "A gap in the record is never drawn across: the low end counts nothing in it, the high end the higher PO2 of its two ends for all its length.", "", "ours"},
		{"headline", "Headline", "%", "The worst of what may have been breathed: the largest step CNS among the unit's PO2, the mid-value of the cells and, where there is one, the estimate and the top of its band. A source that was judged false is never the headline.", "", "ours"},
		{"known-gas", "Known gas", "bar", "A moment when the right PO2 was known: air at the surface, calibration, diluent flush, oxygen flush. The range is what humidity leaves open.", "expected = F (P - pH2O)", "Dalton's law"},
		{"spread", "Spread", "bar", "Largest minus smallest reading in a row.", "", "ours"},
		{"assessable", "Assessable", "", "Checks that could be run of those that apply; time with a PO2 on the loop, outside gaps.", "", "ours"},
		{"confidence", "Confidence", "", ConfidenceRule, "", "ours"},
	}
}
