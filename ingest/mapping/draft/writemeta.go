package draft

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"afterloop/ingest/mapping"
)

// labelled is a line of the preamble with a label and a value.
var labelled = regexp.MustCompile(`^[#"\s]*([^:=\t;]{2,40}?)"?\s*[:=\t;]\s*(.+)$`)

var calibration = regexp.MustCompile(`(?i)^(cell|sensor) ?([0-9]+) .*cal.*?[0-9.,]+ ?mV.* ([0-9.,]+) ?(bar|ata)`)

// writeMetadata proposes metadata from the lines above the header.
func (w *writer) writeMetadata() {
	lines := map[string]string{} // key -> TOML
	t := w.t
	for _, l := range t.lines[:t.headerAt] {
		if m := calibration.FindStringSubmatch(strings.TrimSpace(l)); m != nil {
			w.addCalibration(lines, m)
			continue
		}
		m := labelled.FindStringSubmatch(l)
		if m == nil {
			continue
		}
		label := strings.TrimSpace(m[1])
		value := strings.TrimSpace(strings.TrimRight(strings.Trim(m[2], `"`), t.delimiter+" \t"))
		key, toml := w.metadataOf(label, value)
		if key != "" && value != "" && lines[key] == "" {
			lines[key] = toml
		}
	}
	if len(lines) == 0 {
		return
	}
	keys := make([]string, 0, len(lines))
	for k := range lines {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	w.p("\n[metadata]  # from the lines above the header\n")
	for _, k := range keys {
		w.p("%s = %s\n", k, lines[k])
	}
}

// addCalibration takes millivolts and PO2 of a calibration from one line.
func (w *writer) addCalibration(lines map[string]string, m []string) {
	n, err := strconv.Atoi(m[2])
	if err != nil || !w.cells[n] {
		return
	}
	lead := fmt.Sprintf(`(?i)^%s ?%d .*cal`, m[1], n)
	lines[fmt.Sprintf("cell%d_cal_mv", n)] = fmt.Sprintf("{ pattern = '%s.*?([0-9.,]+) ?mV' }", lead)
	lines[fmt.Sprintf("cell%d_cal_po2_bar", n)] = fmt.Sprintf("{ pattern = '%s.* ([0-9.,]+) ?%s', unit = %s }", lead, m[4], q(strings.ToLower(m[4])))
}

// metadataOf proposes the key of a label; the key is empty for none of ours.
func (w *writer) metadataOf(label, value string) (key, toml string) {
	n := nameOf(label)
	plain := func(key string) (string, string) { return key, fmt.Sprintf("{ label = %s }", q(label)) }
	switch {
	case n.any("time", "date", "duration", "max", "mean", "average", "version", "software"):
		return "", ""
	case n.any("cell", "sensor") && n.number > 0 && n.any("serial", "sn") && w.cells[n.number]:
		return plain(fmt.Sprintf("cell%d_serial", n.number))
	case n.any("cell", "sensor"):
		return "", ""
	case n.any("diver"):
		return plain("diver")
	case n.any("unit", "rig", "rebreather", "device"):
		return plain("unit")
	case n.any("surface", "atmospheric", "barometric") && n.any("pressure"):
		return w.numberOf("surface_pressure_bar", "bar", label, value, 0.3, 1.2)
	case n.any("density"):
		return w.numberOf("water_density_kg_m3", "kg/m3", label, value, 900, 1300)
	case n.any("water", "salinity") && !n.any("temp", "temperature"):
		return "water", w.waterOf(label, value)
	case n.any("diluent", "dil") || n.any("bailout") && n.any("gas"):
		key = "diluent"
		if n.any("bailout") {
			key = "open_circuit_gas"
		}
		return key, withWord(label, value, wordFor("gas", value))
	case n.any("loop") && n.any("volume"):
		return w.numberOf("loop_volume_l", "l", label, value, 2, 20)
	case n.any("oxygen", "o2") && n.any("flow"):
		return w.numberOf("oxygen_flow_l_min", "l/min", label, value, 0.5, 50)
	case n.any("dive", "site", "place"):
		return plain("dive")
	}
	return "", ""
}

func withWord(label, theirs, ours string) string {
	if ours == "" || ours == theirs {
		return fmt.Sprintf("{ label = %s }", q(label))
	}
	return fmt.Sprintf("{ label = %s, words = { %s = %s } }", q(label), q(theirs), q(ours))
}

func (w *writer) waterOf(label, value string) string {
	n := nameOf(value)
	switch {
	case n.any("fresh", "sweet"):
		return withWord(label, value, "fresh")
	case n.any("salt", "sea"):
		return withWord(label, value, "salt")
	case n.any("en13319", "13319"):
		return withWord(label, value, "en13319")
	}
	return fmt.Sprintf("{ label = %s }", q(label))
}

// numberOf is a number with its unit: the one behind it, else ours where the number is a likely one.
func (w *writer) numberOf(key, base, label, value string, lowest, highest float64) (string, string) {
	m := numberAndUnit.FindStringSubmatch(value)
	if m != nil && isUnitOf(m[2], base) {
		return key, fmt.Sprintf("{ label = %s, unit = %s }  # the unit stands behind the number", q(label), q(mapping.Unit(m[2])))
	}
	if v, _, ok := w.t.number(value); ok && v >= lowest && v <= highest {
		return key, fmt.Sprintf("{ label = %s, unit = %s }  # no unit in the file: a likely number of %s", q(label), q(base), base)
	}
	w.undecided = append(w.undecided, fmt.Sprintf("%q has no unit: %s", label, key))
	return "", ""
}
