package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"afterloop/analysis"
	"afterloop/ingest"
)

// stableKeys are the keys of the JSON form that others may rely on; [] is every
// element of a list that must not be empty in the demo.
const stableKeys = `
schema sources[].file sources[].sha256 sources[].rows parameters
assessable.checks_run assessable.checks_total assessable.time_fraction
dive.duration_s dive.max_depth_m dive.sample_s
exposure.by_source[].source exposure.by_source[].cns_percent exposure.by_source[].cns_linear_percent
exposure.by_source[].cns_is_lower_bound exposure.by_source[].cns_24h_percent exposure.by_source[].otu
exposure.by_source[].seconds_above_table exposure.by_source[].judged_false
exposure.by_source[].cns_low_percent exposure.by_source[].cns_high_percent exposure.by_source[].otu_low exposure.by_source[].otu_high
exposure.headline.source exposure.headline.cns_percent exposure.headline.low exposure.headline.high
votes[].policy votes[].mean_abs_difference_from_unit_bar votes[].voted_out votes[].undecided
tracking.mean_error_bar tracking.mae_bar tracking.rmse_bar tracking.within_0_05_fraction tracking.within_0_10_fraction
tracking.by_phase[].phase tracking.changes[].at_s
injection.delay_s injection.oxygen_l injection.vo2_l_min injection.valves[].valve injection.valves[].count injection.valves[].open_s
cells[].cell cells[].t90_s cells[].gain cells[].ceiling_bar cells[].drift_per_h cells[].noise_bar
known_gas[].kind known_gas[].at_s known_gas[].expected_bar known_gas[].readings known_gas[].settle_s
checks[].id checks[].version checks[].outcome checks[].reason checks[].assessable_fraction
findings[].id findings[].kind findings[].check findings[].check_version findings[].severity findings[].confidence
findings[].cell findings[].cells findings[].valve findings[].from_s findings[].to_s findings[].observed
findings[].onset findings[].worst findings[].end findings[].limit findings[].limit_source findings[].others
findings[].evidence findings[].alternatives findings[].would_change
findings[].advice.diver findings[].advice.technician findings[].advice.instructor
breathed_gas.po2_from breathed_gas.moments[].kind breathed_gas.moments[].density_g_l breathed_gas.moments[].dry_fraction.o2 breathed_gas.moments[].inspired_fraction.h2o
breathed_gas.moments[].narcotic_depth_n2_m breathed_gas.moments[].narcotic_depth_o2_n2_m breathed_gas.switches
depth_pressure.pressure_from depth_pressure.implied_density_kg_m3 depth_pressure.surface.before.bar depth_pressure.altitude.altitude_m depth_pressure.sensors depth_pressure.sensitivity[].kind
problems`

func TestStableKeys(t *testing.T) {
	dive, err := ingest.ReadFile("../testdata/ombrel-two-limited.csv", ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteJSON(&b, analysis.Analyze(dive, analysis.DefaultParameters()), Options{}); err != nil {
		t.Fatal(err)
	}
	var root any
	if err := json.Unmarshal(b.Bytes(), &root); err != nil {
		t.Fatal(err)
	}
	for _, path := range strings.Fields(stableKeys) {
		if missing := follow(root, strings.Split(path, ".")); missing != "" {
			t.Errorf("%s: %s", path, missing)
		}
	}
}

// follow walks a path and says what is missing, or nothing.
func follow(v any, path []string) string {
	if len(path) == 0 {
		return ""
	}
	key, isList := strings.CutSuffix(path[0], "[]")
	object, ok := v.(map[string]any)
	if !ok {
		return "no object before " + key
	}
	child, ok := object[key]
	if !ok {
		return "no key " + key
	}
	if !isList {
		return follow(child, path[1:])
	}
	list, ok := child.([]any)
	if !ok || len(list) == 0 {
		return key + " is no list, or an empty one"
	}
	for _, e := range list {
		if missing := follow(e, path[1:]); missing != "" {
			return missing
		}
	}
	return ""
}
