package ingest

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"afterloop/analysis/gas"
)

// keyDef is one line of the format's table of metadata.
type keyDef struct {
	// name may hold one '#' for the number of a cell and one '@' for the letter of a half.
	name    string
	cell    bool
	meaning string
	// set stores a value; where it cannot be used, want says what would be right.
	set func(m *metadata, part, value string) (want string, ok bool)
}

// Keys that are looked up by name.
const (
	versionKey = "loop-log"
	waterKey   = "water"
)

// keyDefs is the format's table of metadata.
var keyDefs = []keyDef{
	{name: versionKey, meaning: "version of the format, `1`", set: setVersion},
	text("dive", "free text", func(m *metadata) *string { return &m.Dive }),
	text("diver", "free text", func(m *metadata) *string { return &m.Diver }),
	text("unit", "free text", func(m *metadata) *string { return &m.Unit }),
	{name: "start", meaning: "RFC 3339 time at `time_s` = 0", set: setStart},
	value("surface_pressure_bar", "bar; 1.013 is assumed without it", 0.2, 10, func(m *metadata) *float64 { return &m.SurfacePressureBar }),
	value("water_density_kg_m3", "what the instrument assumed; 1025 without it", 900, 1300, func(m *metadata) *float64 { return &m.WaterDensityKgM3 }),
	{name: waterKey, meaning: "`salt` (1025), `fresh` (1000) or `en13319` (1019.7)", set: setWater},
	mix("diluent", func(m *metadata) *Gas { return &m.Diluent }),
	mix("open_circuit_gas", func(m *metadata) *Gas { return &m.OpenCircuitGas }),
	value("loop_volume_l", "L", 0.1, 100, func(m *metadata) *float64 { return &m.LoopVolumeL }),
	value("oxygen_flow_l_min", "L/min STPD while the valve is open", 0.01, 1000, func(m *metadata) *float64 { return &m.OxygenFlowLMin }),
	value("oxygen_cylinder_l", "L of water", 0.1, 100, func(m *metadata) *float64 { return &m.OxygenCylinderL }),
	cellText("cell#_serial", func(c *cellMeta) *string { return &c.serial }),
	cellText("cell#_installed", func(c *cellMeta) *string { return &c.installed }),
	cellValue("cell#_cal_mv", "mV at calibration", 0.1, maxMV, func(c *cellMeta) *float64 { return &c.calMV }),
	cellValue("cell#_cal_po2_bar", "PO2 at calibration, bar", 1e-4, 10, func(c *cellMeta) *float64 { return &c.calPO2Bar }),
	value("cal_gas_o2", "oxygen fraction of the calibration gas, 0 to 1", 0.01, 1, func(m *metadata) *float64 { return &m.Calibration.GasO2 }),
	value("cal_pressure_bar", "absolute pressure at calibration, bar", 0.2, 10, func(m *metadata) *float64 { return &m.Calibration.PressureBar }),
	value("cal_temp_c", "temperature at calibration, C", -20, 50, func(m *metadata) *float64 { return &m.Calibration.TempC }),
	text("cal_time", "when it was done", func(m *metadata) *string { return &m.Calibration.Time }),
	{name: "cal_gas_humid", meaning: "`yes` or `no`", set: setHumid},
	{name: "loop_he_basis", meaning: "`dry` or `wet`", set: setHeBasis},
	value("loop_he_sigma", "standard deviation of the helium fraction", 1e-6, 0.5, func(m *metadata) *float64 { return &m.LoopHeSigma }),
	{name: "half_@", meaning: "`cells 1,2; valve 1; battery 1`: what belongs to one half of doubled electronics", set: setHalf},
}

func text(name, meaning string, field func(*metadata) *string) keyDef {
	return keyDef{name: name, meaning: meaning, set: func(m *metadata, _, v string) (string, bool) {
		*field(m) = v
		return "", true
	}}
}

func value(name, meaning string, lowest, highest float64, field func(*metadata) *float64) keyDef {
	return keyDef{name: name, meaning: meaning, set: func(m *metadata, _, s string) (string, bool) {
		return setNumber(field(m), s, lowest, highest)
	}}
}

func setNumber(to *float64, s string, lowest, highest float64) (want string, ok bool) {
	v, _, ok := parseDecimal([]byte(s))
	if !ok || v < lowest || v > highest {
		return fmt.Sprintf("a plain decimal from %s to %s", shortNumber(lowest), shortNumber(highest)), false
	}
	*to = v
	return "", true
}

func mix(name string, field func(*metadata) *Gas) keyDef {
	return keyDef{name: name, meaning: "`O2/He` in per cent, as in `18/45`; `air` is `21/0`", set: func(m *metadata, _, s string) (string, bool) {
		x, err := gas.ParseMix(s)
		if err != nil {
			return wantMix, false
		}
		*field(m) = Gas{Mix: x, Known: true}
		return "", true
	}}
}

const wantMix = `O2/He in per cent, as in 18/45, or air`

func cellText(name string, field func(*cellMeta) *string) keyDef {
	return keyDef{name: name, cell: true, meaning: "free text", set: func(m *metadata, part, v string) (string, bool) {
		*field(m.cell(part)) = v
		return "", true
	}}
}

func cellValue(name, meaning string, lowest, highest float64, field func(*cellMeta) *float64) keyDef {
	return keyDef{name: name, cell: true, meaning: meaning, set: func(m *metadata, part, s string) (string, bool) {
		return setNumber(field(m.cell(part)), s, lowest, highest)
	}}
}

// cell finds or makes what is known of a cell by the number in a key.
func (m *metadata) cell(part string) *cellMeta {
	n := atoi(part)
	if m.cells[n] == nil {
		m.cells[n] = &cellMeta{calMV: Missing(), calPO2Bar: Missing()}
	}
	return m.cells[n]
}

func atoi(s string) int {
	n, _ := strconv.Atoi(s) // a number by the pattern of its name
	return n
}

// setVersion notes that the version is stated; checkVersion has looked at it.
func setVersion(m *metadata, _, _ string) (string, bool) {
	m.version = 1
	return "", true
}

func setStart(m *metadata, _, s string) (string, bool) {
	_, err := time.Parse(time.RFC3339, s)
	if err != nil {
		return "an RFC 3339 time such as 2026-03-14T09:30:00Z", false
	}
	m.Start = s
	return "", true
}

func setWater(m *metadata, _, s string) (string, bool) {
	switch strings.ToLower(s) {
	case "salt":
		m.water = gas.SeaWater
	case "fresh":
		m.water = gas.FreshWater
	case "en13319":
		m.water = gas.EN13319Water
	default:
		return "salt, fresh or en13319", false
	}
	return "", true
}

func setHumid(m *metadata, _, s string) (string, bool) {
	humid := false
	switch strings.ToLower(s) {
	case "yes", "true", "1":
		humid = true
	case "no", "false", "0":
	default:
		return "yes or no", false
	}
	m.Calibration.Humid = &humid
	return "", true
}

func setHeBasis(m *metadata, _, s string) (string, bool) {
	s = strings.ToLower(s)
	if s != "dry" && s != "wet" {
		return "dry or wet", false
	}
	m.LoopHeBasis = s
	return "", true
}

// matchKey finds the definition of a metadata key and the number or letter in it.
func matchKey(key string) (def *keyDef, part string, exact bool) {
	for _, form := range []string{key, squeeze(key, ""), squeeze(key, "_")} {
		for i := range keyDefs {
			d := &keyDefs[i]
			number, letter, ok := matchPattern(d.name, form)
			if !ok {
				continue
			}
			if number > 0 {
				letter = strconv.Itoa(number)
			}
			return d, letter, fill(d.name, number, letter) == key
		}
	}
	return nil, "", false
}
