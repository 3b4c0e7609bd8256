package ingest

import (
	"bytes"
	"fmt"
	"strings"
)

// metadata is the lines above the header, sorted out.
type metadata struct {
	Meta
	version int
	// water is the density that the word after "water" stands for, or NaN.
	water float64
	cells map[int]*cellMeta
}

// cellMeta is what they say of one cell.
type cellMeta struct {
	serial, installed string
	calMV, calPO2Bar  float64
}

// readPreamble gathers the lines that begin with # above the header.
func (rd *reader) readPreamble() error {
	s := &rd.s
	for s.pos < len(s.data) {
		if s.tooLong() {
			return rd.lineTooLong()
		}
		line, size, _ := lineAt(s.data[s.pos:])
		switch {
		case len(bytes.TrimSpace(line)) == 0:
		case line[0] == '#':
			rd.addMetaLine(rd.text(line[1:]))
		default:
			return rd.checkVersion()
		}
		s.pos += size
		s.line++
	}
	return rd.checkVersion()
}

// checkVersion refuses another version before anything is read by the rules of this one.
func (rd *reader) checkVersion() error {
	for _, kv := range rd.lines {
		if def, _, _ := matchKey(kv.Key); def != nil && def.name == versionKey && kv.Value != "" && kv.Value != "1" {
			return rd.problems.fatal(kv.Line, "version", kv.Key+": "+kv.Value, "a format that this program does not know", "loop-log: 1")
		}
	}
	return nil
}

func (rd *reader) addMetaLine(text string) {
	text = strings.TrimSpace(text)
	key, value, ok := strings.Cut(text, ":")
	key, value = strings.TrimSpace(key), strings.TrimSpace(value)
	if !ok || key == "" {
		key, value = "", text
	}
	if key != "" || value != "" {
		rd.lines = append(rd.lines, KeyValue{Key: key, Value: value, Line: rd.s.line})
	}
}

// readMeta gives every metadata line its meaning; it needs to know the columns.
func (rd *reader) readMeta() {
	m := &rd.meta
	m.clear()
	seen := map[string]string{}
	for _, kv := range rd.lines {
		rd.readMetaLine(kv, seen)
	}
	rd.settleWater()
	if m.version == 0 {
		rd.problems.add(wholeFile, wholeFile, Problem{Severity: Info, Code: "no-version",
			Read: "no line # loop-log: 1", Treatment: "a loop log of version 1"})
	}
}

// settleWater lets a stated density beat the word for the water.
func (rd *reader) settleWater() {
	m := &rd.meta
	switch {
	case IsMissing(m.water) || m.water == m.WaterDensityKgM3:
	case IsMissing(m.WaterDensityKgM3):
		m.WaterDensityKgM3 = m.water
	default:
		for _, kv := range rd.lines {
			if def, _, _ := matchKey(kv.Key); def != nil && def.name == waterKey {
				rd.metaProblem(kv, Warning, "water-contradicts", "nothing: water_density_kg_m3 says another density and is used", "one of the two lines")
			}
		}
	}
}

// clear sets everything to "not stated".
func (m *metadata) clear() {
	nan := Missing()
	m.water = nan
	m.Meta = Meta{SurfacePressureBar: nan, WaterDensityKgM3: nan, LoopVolumeL: nan, OxygenFlowLMin: nan,
		OxygenCylinderL: nan, LoopHeSigma: nan, Calibration: Calibration{GasO2: nan, PressureBar: nan, TempC: nan}}
	m.cells = map[int]*cellMeta{}
}

// readMetaLine reads one line. A key that comes again says nothing new, or is
// kept as text: the first that could be used stands.
func (rd *reader) readMetaLine(kv KeyValue, seen map[string]string) {
	if kv.Key == "" {
		rd.keep(kv, Info, "comment", "a remark: it is no key with a value", "")
		return
	}
	def, part, exact := matchKey(kv.Key)
	if def == nil || def.cell && !rd.t.hasCell(atoi(part)) {
		rd.keepUnknown(kv, def)
		return
	}
	if kv.Value == "" {
		return
	}
	name := strings.Replace(strings.Replace(def.name, "#", part, 1), "@", part, 1)
	if first, ok := seen[name]; ok {
		if first != kv.Value {
			rd.keep(kv, Warning, "repeated-key", fmt.Sprintf("text: an earlier line says %q", shorten(first)), "one line for each key")
		}
		return
	}
	if !exact {
		rd.metaProblem(kv, Info, "name-spelling", name, name)
	}
	want, ok := def.set(&rd.meta, part, kv.Value)
	if !ok {
		rd.keep(kv, Warning, "bad-metadata", "not stated; it is kept as text", want)
		return
	}
	seen[name] = kv.Value
}

func (rd *reader) keepUnknown(kv KeyValue, def *keyDef) {
	if def == nil {
		rd.keep(kv, Info, "unknown-key", "a key that the format does not define; it is kept as text", "")
		return
	}
	rd.keep(kv, Info, "key-without-cell", "text: the log has no such cell", "")
}

// keep stores a line that the format gives no meaning, and says so.
func (rd *reader) keep(kv KeyValue, s Severity, code, treatment, want string) {
	rd.meta.Other = append(rd.meta.Other, kv)
	rd.metaProblem(kv, s, code, treatment, want)
}

func (rd *reader) metaProblem(kv KeyValue, s Severity, code, treatment, want string) {
	read := kv.Value
	if kv.Key != "" {
		read = kv.Key + ": " + kv.Value
	}
	rd.problems.add(wholeFile, wholeFile, Problem{Line: kv.Line, Read: read, Severity: s, Code: code, Treatment: treatment, Want: want})
}
