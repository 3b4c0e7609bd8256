package compare

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
)

// highBar is the limit of the figure "minutes above 1.4 bar": the maximum of the
// NOAA Diving Program since 2015 (omao.noaa.gov, 2015-10-30).
const highBar = 1.4

// kind is a quantity that a debrief gives for a dive, a cell or a valve.
type kind struct {
	id, group, name, unit string
	digits                int
	meaning               string
	// refuse says why the figure can't be compared between these dives, or nothing.
	refuse func([]*Subject) string
	// remark says what is to be borne in mind.
	remark func([]*Subject) string
}

// Groups of figures, in the order in which they are shown.
const (
	groupRecord    = "The dive and its record"
	groupTracking  = "How tightly the set point was held"
	groupPO2       = "PO2 and exposure"
	groupInjection = "Injection and metabolism"
	groupValves    = "Valves"
	groupCells     = "Cells"
)

// scalarKinds are the figures of a dive.
func scalarKinds() []kind {
	return []kind{
		{"duration_min", groupRecord, "Length of the record", "min", 1, "last row less first row", nil, nil},
		{"submerged_min", groupRecord, "Under water", "min", 1, "time deeper than 0.5 m", nil, nil},
		{"max_depth_m", groupRecord, "Greatest depth", "m", 1, "deepest row", nil, nil},
		{"open_circuit_min", groupRecord, "On open circuit", "min", 1, "time recorded as breathing open circuit", nil, nil},
		{"assessable_percent", groupRecord, "Time that could be assessed", "%", 0, "share of the recorded time with a PO2 on the loop, outside gaps", nil, nil},
		{"mae_bar", groupTracking, "MAE", "bar", 3, "mean absolute error of PO2 against the set point, on the loop, where the set point could be reached", trackedAlike, coarseRemark},
		{"mean_error_bar", groupTracking, "Mean error", "bar", 3, "PO2 less set point; above 0: more than asked", trackedAlike, nil},
		{"within_0_05_percent", groupTracking, "Time within 0.05 bar", "%", 0, "share of the time within 0.05 bar of the set point", trackedAlike, nil},
		{"within_0_10_percent", groupTracking, "Time within 0.10 bar", "%", 0, "share of the time within 0.10 bar of the set point", trackedAlike, nil},
		{"estimate_mae_bar", groupTracking, "MAE of the estimate", "bar", 3, "the same, of the estimate of PO2 at the cells: what the diver got rather than what the unit saw", nil, nil},
		{"estimate_within_0_05_percent", groupTracking, "Estimate within 0.05 bar", "%", 0, "share of the time in which the estimate lies within 0.05 bar of the set point", nil, nil},
		{"mean_po2_bar", groupPO2, "Mean PO2 of the unit", "bar", 2, "weighed by time, on the loop and under water; the unit's own PO2, else the mid-value of its cells, whether or not it was right", setPointsAlike, offRemark},
		{"max_po2_bar", groupPO2, "Highest PO2 of the unit", "bar", 2, "highest row of the same; it holds one row's noise too", nil, offRemark},
		{"above_1_4_min", groupPO2, "Unit above 1.4 bar", "min", 1, "time of the same above 1.4 bar", nil, offRemark},
		{"estimate_mean_bar", groupPO2, "Mean of the estimate", "bar", 2, "of the estimate of PO2 at the cells, on the loop and under water", setPointsAlike, nil},
		{"estimate_max_bar", groupPO2, "Highest estimate", "bar", 2, "highest row of the estimate, without its band", nil, nil},
		{"estimate_above_1_4_min", groupPO2, "Estimate above 1.4 bar", "min", 1, "time in which the estimate lies above 1.4 bar", nil, nil},
		{"cns_percent", groupPO2, "CNS", "%", 1, "the headline of the debrief: the worst of what may have been breathed", tableAlike, totalRemark},
		{"otu", groupPO2, "OTU", "", 0, "the headline's source", nil, totalRemark},
		{"vo2_l_min", groupInjection, "VO2", "L/min", 2, "STPD, from level stretches, with its 95 % interval", nil, volumeRemark},
		{"vo2_per_volume", groupInjection, "VO2 by loop volume", "1/min", 3, "known without the loop's volume", nil, nil},
		{"oxygen_l", groupInjection, "Oxygen let in", "L", 0, "STPD, from commanded seconds and the stated flow", nil, totalRemark},
		{"to_hypoxia_min", groupInjection, "Shortest time to 0.16 bar", "min", 1, "if oxygen had stopped at the worst moment", nil, nil},
	}
}

// valveKinds are the figures of a valve, cellKinds those of a cell.
func valveKinds() []kind {
	return []kind{
		{"valve_openings", groupValves, "Openings", "", 0, "commanded openings; a lower bound where rows are further apart than openings", nil, totalRemark},
		{"valve_gain_bar_per_s", groupValves, "Gain", "bar/s", 4, "rise of PO2 by second open; it depends on the loop's volume and the flow", nil, unitsRemark},
		{"valve_response_bar", groupValves, "Response", "bar", 3, "median rise after an opening", nil, unitsRemark},
		{"valve_delay_s", groupValves, "Delay", "s", 1, "middle of the opening to half of the response, the cell's own lag removed", nil, coarseRemark},
	}
}

func cellKinds() []kind {
	return []kind{
		{"cell_t90_s", groupCells, "T90", "s", 1, "time to 90 % of a step, with its 95 % interval", nil, coarseRemark},
		{"cell_gain", groupCells, "Gain", "", 3, "reading over PO2, 1 is right, with its 95 % interval", nil, nil},
		{"cell_ceiling_bar", groupCells, "Ceiling", "bar", 2, "reading above which the cell hardly follows", nil, nil},
		{"cell_drift_per_h", groupCells, "Drift", "1/h", 3, "change of gain by hour", nil, nil},
		{"cell_mv_per_bar", groupCells, "Sensitivity", "mV/bar", 1, "at the recorded calibration", nil, nil},
		{"cell_from_median_bar", groupCells, "Mean distance from the median", "bar", 3, "of the cells of that dive: company, not truth", nil, nil},
	}
}

func measure(v analysis.Float, reason string) Measure {
	if v.Known() {
		reason = ""
	} else if reason == "" {
		reason = "not known"
	}
	return Measure{v, unknown, unknown, false, short(reason)}
}

func ofInterval(v analysis.Interval) Measure {
	m := measure(v.Value, v.Reason)
	m.Low, m.High = v.Low, v.High
	return m
}

// scalars are the figures of a dive by their ids.
func scalars(d *analysis.Debrief) map[string]Measure {
	m := map[string]Measure{
		"duration_min": measure(d.Dive.DurationS/60, ""), "submerged_min": measure(d.Dive.SubmergedS/60, "no depth recorded"), "max_depth_m": measure(d.Dive.MaxDepthM, "no depth recorded"),
		"open_circuit_min": measure(d.Dive.OpenCircuitS/60, ""), "assessable_percent": measure(d.Assessable.TimeFraction*100, ""),
	}
	tracked(m, "", d.Tracking, d)
	tracked(m, "estimate_", d.TrackingEstimate, d)
	breathed(m, d)
	h := d.Exposure.Headline
	cns := measure(h.CNSPercent, "no dose could be computed")
	cns.IsLowerBound = h.IsLowerBound
	m["cns_percent"], m["otu"] = cns, measure(h.OTU, "no dose could be computed")
	injected(m, d.Injection)
	return m
}

// breathed are the figures of PO2, of the unit's own and of the estimate.
func breathed(m map[string]Measure, d *analysis.Debrief) {
	why, noEstimate := "no PO2 on the loop under water", "no estimate"
	var unit, estimate []float64
	if d.Series == nil {
		why = "read from a debrief, which holds no rows"
		noEstimate = why
	} else {
		unit, estimate = po2Of(d.Series), d.Series.EstimateBar
	}
	a, b, c := po2Figures(d, unit, highBar)
	m["mean_po2_bar"], m["max_po2_bar"], m["above_1_4_min"] = measure(a, why), measure(b, why), measure(c, why)
	a, b, c = po2Figures(d, estimate, highBar)
	m["estimate_mean_bar"], m["estimate_max_bar"], m["estimate_above_1_4_min"] = measure(a, noEstimate), measure(b, noEstimate), measure(c, noEstimate)
}

func tracked(m map[string]Measure, prefix string, t *analysis.Tracking, d *analysis.Debrief) {
	why := "not assessed"
	if len(d.Dive.SetPointsBar) == 0 {
		why = "no set point recorded"
	}
	if t == nil {
		t = &analysis.Tracking{MAEBar: unknown, MeanErrorBar: unknown, Within005: unknown, Within010: unknown}
	}
	m[prefix+"mae_bar"], m[prefix+"mean_error_bar"] = measure(t.MAEBar, why), measure(t.MeanErrorBar, why)
	m[prefix+"within_0_05_percent"], m[prefix+"within_0_10_percent"] = measure(t.Within005*100, why), measure(t.Within010*100, why)
}

func injected(m map[string]Measure, j *analysis.Injection) {
	if j == nil {
		j = &analysis.Injection{VO2LMin: unknown, VO2LowLMin: unknown, VO2HighLMin: unknown, OxygenL: unknown, ShortestToHypoxia: analysis.Value{Value: unknown},
			VO2PerVolume: analysis.Interval{Value: unknown, Low: unknown, High: unknown}}
	}
	vo2 := measure(j.VO2LMin, j.VO2Reason)
	vo2.Low, vo2.High = j.VO2LowLMin, j.VO2HighLMin
	m["vo2_l_min"], m["vo2_per_volume"] = vo2, ofInterval(j.VO2PerVolume)
	m["oxygen_l"] = measure(j.OxygenL, j.OxygenReason)
	m["to_hypoxia_min"] = measure(j.ShortestToHypoxia.Value, "the loop's volume or VO2 is not known")
}

func valveParts(d *analysis.Debrief) []part {
	var out []part
	if d.Injection == nil || d.Injection.Inferred {
		return nil // what was read off the saw-tooth tells no valve from another
	}
	for _, v := range d.Injection.Valves {
		n := measure(analysis.Float(v.Count), "")
		n.IsLowerBound = v.CountIsLowerBound
		out = append(out, part{v.Valve, "", map[string]Measure{"valve_openings": n, "valve_gain_bar_per_s": measure(v.GainPerOpenS, v.ResponseReason),
			"valve_response_bar": measure(v.ResponseBar, v.ResponseReason), "valve_delay_s": measure(v.DelayS, v.ResponseReason)}})
	}
	return out
}

func cellParts(d *analysis.Debrief) []part {
	var out []part
	for _, c := range d.Cells {
		mv := measure(unknown, "no millivolts recorded")
		if c.MV != nil {
			mv = measure(c.MV.MVPerBar, "no calibration recorded")
		}
		out = append(out, part{c.Cell, short(strings.TrimSpace(c.Serial)), map[string]Measure{"cell_t90_s": ofInterval(c.T90S), "cell_gain": ofInterval(c.Gain), "cell_ceiling_bar": ofInterval(c.CeilingBar),
			"cell_drift_per_h": ofInterval(c.DriftPerH), "cell_mv_per_bar": mv, "cell_from_median_bar": measure(c.MeanFromMedianBar, "")}})
	}
	return out
}

// trackedAlike refuses to set the unit's own PO2 against a median of cells.
func trackedAlike(ss []*Subject) string {
	by := map[string][]string{}
	for _, s := range ss {
		if s.tracked != "" {
			by[s.tracked] = append(by[s.tracked], s.Label)
		}
	}
	if len(by) < 2 {
		return ""
	}
	return "it is of the unit's own PO2 in " + labels(by["unit"]) + " and of the mid-value of the cells in " + labels(by["mid-value"])
}

// setPointsAlike refuses a mean PO2 where different PO2 were asked for.
func setPointsAlike(ss []*Subject) string {
	var none []string
	seen := map[string]string{}
	for _, s := range ss {
		if len(s.SetPoints) == 0 {
			none = append(none, s.Label)
			continue
		}
		if key := SetPointText(s.SetPoints); seen[key] == "" {
			seen[key] = s.Label
		}
	}
	if len(none) > 0 {
		return "no set point is recorded in " + labels(none) + ", so what PO2 was meant to be is not known"
	}
	if len(seen) < 2 {
		return ""
	}
	return "set points differ: " + describe(seen)
}

// SetPointText lists the set points in force, in ascending order.
func SetPointText(v []analysis.Float) string {
	at := map[string]bool{}
	for _, p := range v {
		at[fmt.Sprintf("%.2f", float64(p))] = true
	}
	keys := sortedKeys(at)
	if len(keys) > 4 {
		keys = append(keys[:1], "…", keys[len(keys)-1])
	}
	return strings.Join(keys, "/")
}

// describe names up to four variants, each with one dive that has it.
func describe(seen map[string]string) string {
	var parts []string
	for i, k := range sortedKeys(seen) {
		if i == 4 {
			parts = append(parts, "and others")
			break
		}
		parts = append(parts, k+" bar as in "+seen[k])
	}
	return strings.Join(parts, ", ")
}

func tableAlike(ss []*Subject) string {
	for _, s := range ss {
		if s.limitUnit != ss[0].limitUnit {
			return "the limits are read in " + ss[0].limitUnit + " in " + ss[0].Label + " and in " + s.limitUnit + " in " + s.Label
		}
	}
	return ""
}

// coarseRemark warns where rows are much further apart in one dive than in another.
func coarseRemark(ss []*Subject) string {
	low, high := math.Inf(1), 0.0
	for _, s := range ss {
		if s.SampleS.Known() {
			low, high = math.Min(low, float64(s.SampleS)), math.Max(high, float64(s.SampleS))
		}
	}
	if high <= 2.5*low || high == 0 {
		return ""
	}
	return fmt.Sprintf("rows are %g to %g s apart: what is brief is seen in some dives and not in others", low, high)
}

func totalRemark(ss []*Subject) string {
	low, high := math.Inf(1), 0.0
	for _, s := range ss {
		if s.DurationS.Known() {
			low, high = math.Min(low, float64(s.DurationS)), math.Max(high, float64(s.DurationS))
		}
	}
	if high <= 1.1*low {
		return ""
	}
	return "a total: it grows with the length of the dive, which differs"
}

// Off tells whether the debrief found the unit's PO2 to be off what was breathed.
func (s *Subject) Off() bool {
	for _, f := range s.findings {
		if f.Kind == "vote-followed-wrong-cells" || f.Kind == "unit-po2-unexplained" {
			return true
		}
	}
	return false
}

// OffText warns of a PO2 of the unit that the debrief does not believe; empty
// where there is none.
func OffText(ss []*Subject) string {
	var off []string
	for _, s := range ss {
		if s.Off() && (len(off) == 0 || off[len(off)-1] != s.Label) {
			off = append(off, s.Label)
		}
	}
	if len(off) == 0 {
		return ""
	}
	return "the debrief found the unit's PO2 to be off what was breathed in " + labels(off) + ": look at the estimate"
}

func offRemark(ss []*Subject) string { return OffText(ss) }

func volumeRemark([]*Subject) string {
	return "it rests on the loop's volume or flow as each log states it"
}

func unitsRemark(ss []*Subject) string {
	units := map[string]bool{}
	for _, s := range ss {
		units[s.Unit] = true
	}
	if len(units) < 2 {
		return ""
	}
	return "the units differ, and with them volume and flow"
}
