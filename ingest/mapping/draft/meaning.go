package draft

import (
	"fmt"
	"strconv"
	"strings"

	"afterloop/ingest/mapping"
)

// proposal is what a column of theirs may be of ours.
type proposal struct {
	ours, unit string
	why        string
	// open says what the file does not settle; the proposal is then written as a comment.
	open string
	// words are of a column of words: table and theirs to ours.
	table string
}

// named holds what a name says.
type named struct {
	words       map[string]bool
	first, last string
	number      int // of the cell, valve or battery; 0 for none
}

func nameOf(name string) named {
	n := named{words: map[string]bool{}}
	words := wordsOf(name)
	for i, w := range words {
		n.last = w
		if i == 0 {
			n.first = w
		}
		n.words[w] = true
		if v, err := strconv.Atoi(w); err == nil && v > 0 && v < 64 {
			n.number = v
		}
		if len(w) == 1 && w[0] >= 'a' && w[0] <= 'f' && i > 0 && (words[i-1] == "cell" || words[i-1] == "sensor") {
			n.number = int(w[0]-'a') + 1
		}
	}
	return n
}

func (n named) any(words ...string) bool {
	for _, w := range words {
		if n.words[w] {
			return true
		}
	}
	return false
}

// meaning proposes what a column is; ours is empty for one that is none of ours.
func meaning(c *column) proposal {
	n := nameOf(c.name)
	for _, f := range []func(*column, named) proposal{wordColumn, valveColumn, cellColumn, gasColumn, pressureColumn, otherColumn} {
		if p := f(c, n); p.ours != "" {
			return p.mixedUnits(c).doubted(c)
		}
	}
	return proposal{}
}

// wordColumn is one of events, notes, votes, what is breathed, and gases.
func wordColumn(c *column, n named) proposal {
	if len(c.numbers) > 0 && len(c.numbers) == len(c.values) && !n.any("vote", "voted", "status", "state") {
		return proposal{}
	}
	switch {
	case n.any("event", "events", "alarm", "alarms", "marker", "action"):
		return proposal{ours: "event", why: "by its name", table: "event"}
	case n.any("note", "notes", "remark", "remarks", "comment", "comments"):
		return proposal{ours: "note", why: "by its name"}
	case n.any("vote", "voted", "status", "state", "ok") && n.number > 0:
		return proposal{ours: fmt.Sprintf("cell%d_vote", n.number), why: "by its name; the words below need your eye", table: "vote"}
	case n.any("mode", "breathing", "circuit", "loop"):
		return proposal{ours: "breathing", why: "by its name", table: "breathing"}
	case n.any("diluent", "dil") && !n.any("pressure", "cylinder", "cyl", "tank"):
		return proposal{ours: "diluent", why: "by its name", table: "gas"}
	case n.any("bailout", "open") && n.any("gas"):
		return proposal{ours: "open_gas", why: "by its name", table: "gas"}
	}
	return proposal{}
}

// cellColumn is a reading of a cell, in PO2 or in millivolts.
func cellColumn(c *column, n named) proposal {
	isPO2 := n.any("po2", "ppo2", "o2")
	isCell := n.any("cell", "sensor") || isPO2 && !n.any("cylinder", "cyl", "tank", "pressure", "valve", "solenoid", "temp") || n.number > 0 && (n.first == "c" || n.first == "s")
	dimension := mapping.Dimension(c.unit)
	if !isCell || len(c.numbers) == 0 || dimension != "" && dimension != "pressure" && dimension != "voltage" || n.any("setpoint", "sp", "set", "temp", "temperature") {
		return proposal{}
	}
	if n.number == 0 {
		if isPO2 && len(n.last) == 1 && n.last[0] >= 'a' && n.last[0] <= 'f' {
			letter := strings.ToUpper(n.last)
			p := inPressure(c, fmt.Sprintf("cell%d_po2_bar", n.last[0]-'a'+1), "")
			p.open = fmt.Sprintf("%q: is it %s, or the PO2 of half %s of doubled electronics (half%s_po2_bar)?", c.name, p.ours, letter, letter)
			return p
		}
		if isPO2 && !n.any("cell", "sensor") {
			return inPressure(c, "po2_bar", "by its name: PO2 without a number is what the unit controlled on")
		}
		return proposal{}
	}
	if dimension == "voltage" || n.any("mv", "millivolt", "millivolts") {
		p := proposal{ours: fmt.Sprintf("cell%d_mv", n.number), unit: orElse(mapping.Unit(c.unit), "mV"), why: "by its name and " + orElse(c.unitWhy, "the mV in it")}
		return p
	}
	return inPressure(c, fmt.Sprintf("cell%d_po2_bar", n.number), "by its name")
}

// inPressure settles the unit of a PO2 by what the file says, else by its size:
// bar and ata are 1.3 % apart, so that figures can't tell them.
func inPressure(c *column, ours, why string) proposal {
	p := proposal{ours: ours, unit: mapping.Unit(c.unit), why: why}
	if p.unit != "" && mapping.Dimension(p.unit) == "pressure" {
		p.why += "; unit from " + c.unitWhy
		p.open = impossible(c, p.unit)
		return p
	}
	highest, upTo := c.most()
	switch {
	case highest <= 12:
		p.unit, p.why = "bar", why+"; no unit in the file: "+upTo+short(highest)+" is bar or ata, which figures can't tell apart (1.3 %)"
	case highest >= 400 && highest < 12000:
		p.unit, p.why = "mbar", why+"; no unit in the file: "+upTo+short(highest)+" is mbar"
	default:
		p.unit, p.open = "kPa", fmt.Sprintf("%q has no unit, and values up to %s: kPa, cbar (hundredths of a bar) or millivolts (then it is cellN_mv)?", c.name, short(highest))
	}
	return p
}

func short(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

// valveColumn is what was commanded of an oxygen valve.
func valveColumn(c *column, n named) proposal {
	if !n.any("valve", "solenoid", "injector", "injection") || len(c.numbers) == 0 {
		return proposal{}
	}
	number := max(1, n.number)
	why := "by its name"
	if n.number == 0 {
		why += ", which has no number: valve 1"
	}
	switch {
	case mapping.Dimension(c.unit) == "time":
		return proposal{ours: fmt.Sprintf("valve%d_open_s", number), unit: mapping.Unit(c.unit), why: why + "; unit from " + c.unitWhy}
	case n.any("count", "openings", "shots", "number"):
		return proposal{ours: fmt.Sprintf("valve%d_openings", number), why: why}
	}
	_, highest := c.extent()
	return proposal{ours: fmt.Sprintf("valve%d_open_s", number), unit: "s",
		open: fmt.Sprintf("%q has no unit, and values up to %s: s or ms open since the row before, or a count (then it is valve%d_openings)?", c.name, short(highest), number)}
}

// gasColumn is helium, or the pressure of a cylinder.
func gasColumn(c *column, n named) proposal {
	if len(c.numbers) == 0 {
		return proposal{}
	}
	if n.any("helium", "he") {
		_, highest := c.extent()
		p := proposal{ours: "loop_he", unit: mapping.Unit(c.unit), why: "by its name; unit from " + c.unitWhy}
		if c.unit == "" && highest > 1.05 {
			p.unit, p.why = "%", "by its name; no unit in the file: above 1 it is per cent"
		} else if c.unit == "" {
			p.unit, p.why = "1", "by its name; no unit in the file: not above 1 it is a fraction"
		}
		return p
	}
	ours := ""
	switch {
	case !n.any("pressure", "cylinder", "cyl", "tank", "bar", "psi"):
	case n.any("o2", "oxygen"):
		ours = "o2_cyl_bar"
	case n.any("dil", "diluent"):
		ours = "dil_cyl_bar"
	}
	if ours == "" {
		return proposal{}
	}
	p := proposal{ours: ours, unit: mapping.Unit(c.unit), why: "by its name; unit from " + c.unitWhy}
	if _, highest := c.extent(); c.unit == "" {
		p.unit, p.why = "bar", "by its name"
		if p.open = fmt.Sprintf("%q has no unit, and values up to %s: bar or psi?", c.name, short(highest)); highest > 400 {
			p.unit, p.open, p.why = "psi", "", "by its name; no unit in the file: "+short(highest)+" bar is beyond any cylinder, so psi"
		}
	}
	return p
}

// pressureColumn is depth, ambient pressure or the loop's.
func pressureColumn(c *column, n named) proposal {
	if len(c.numbers) == 0 {
		return proposal{}
	}
	unit, dimension := mapping.Unit(c.unit), mapping.Dimension(c.unit)
	switch {
	case n.any("depth") && (unit == "msw" || unit == "fsw"):
		return proposal{ours: "depth_msw", unit: unit, why: "by its name; unit from " + c.unitWhy + "; a pressure"}
	case n.any("depth") && dimension == "length":
		return proposal{ours: "depth_m", unit: unit, why: "by its name; unit from " + c.unitWhy}
	case n.any("depth") && !n.any("max", "mean", "average", "stop", "ceiling"):
		_, highest := c.extent()
		return proposal{ours: "depth_m", unit: "m", open: fmt.Sprintf("%q has no unit, and values up to %s: m or ft?", c.name, short(highest))}
	case n.any("setpoint", "sp") || n.any("set") && n.any("point"):
		_, highest := c.extent()
		if c.unit == "" && highest > 20 && highest < 200 {
			return proposal{ours: "setpoint_bar", unit: "cbar", why: "by its name; no unit in the file: up to " + short(highest) + " is hundredths of a bar"}
		}
		return inPressure(c, "setpoint_bar", "by its name")
	case n.any("loop") && n.any("pressure") && dimension == "pressure":
		return proposal{ours: "loop_mbar", unit: unit, why: "by its name; unit from " + c.unitWhy}
	case n.any("ambient", "absolute", "pressure") && n.any("pressure", "ambient") && dimension == "pressure":
		return proposal{ours: "ambient_bar", unit: unit, why: "by its name; unit from " + c.unitWhy}
	}
	return proposal{}
}

// otherColumn is a temperature or a battery.
func otherColumn(c *column, n named) proposal {
	if len(c.numbers) == 0 {
		return proposal{}
	}
	unit, dimension := mapping.Unit(c.unit), mapping.Dimension(c.unit)
	switch {
	case n.any("battery", "batt") && (dimension == "voltage" || c.unit == ""):
		p := proposal{ours: fmt.Sprintf("battery%d_v", max(1, n.number)), unit: orElse(unit, "V"), why: "by its name; unit from " + c.unitWhy}
		if _, highest := c.extent(); c.unit == "" {
			p.why = "by its name; no unit in the file"
			if highest > 30 {
				p.open = fmt.Sprintf("%q has no unit, and values up to %s: mV, or per cent (then it is none of ours)?", c.name, short(highest))
			}
		}
		return p
	case n.any("temp", "temperature", "water") && (dimension == "temperature" || c.unit == ""):
		ours := "temp_c"
		if n.any("loop", "scrubber", "stack", "canister") {
			ours = "loop_temp_c"
		}
		p := proposal{ours: ours, unit: unit, why: "by its name; unit from " + c.unitWhy}
		if c.unit == "" {
			p.unit, p.why, p.open = celsius(c)
		}
		return p
	}
	return proposal{}
}

// celsius tells degrees by their size: water is liquid from -2 C (28 F) on.
func celsius(c *column) (unit, why, open string) {
	lowest, highest := c.extent()
	switch {
	case lowest < 28:
		return "C", "by its name; no unit in the file: below 28 F water is ice", ""
	case lowest > 42:
		return "F", "by its name; no unit in the file: above 42 C nobody dives", ""
	}
	return "C", "", fmt.Sprintf("%q has no unit, and values from %s to %s: C or F?", c.name, short(lowest), short(highest))
}
