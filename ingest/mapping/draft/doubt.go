package draft

import (
	"fmt"
	"strings"

	"afterloop/ingest/mapping"
)

// known are the words that the name of a column may hold and still be what it
// seems: any other word may make it something else (the PO2 of the diluent, the
// temperature of a battery), which the file's owner has to say.
var known = []struct{ ours, words string }{
	{"depth_", "depth current actual water"},
	{"ambient_bar", "ambient absolute abs pressure water"},
	{"setpoint_bar", "setpoint set point sp po2 ppo2 current active"},
	{"po2_bar", "po2 ppo2 o2 control controlled controller used voted unit loop avg average mean"},
	{"cell", "cell sensor po2 ppo2 o2 oxygen reading value c s raw status state vote voted ok"},
	{"valve", "valve solenoid injector injection o2 oxygen open opened opening openings time duration count number shots fired"},
	{"loop_he", "loop he helium fraction percent content measured"},
	{"loop_mbar", "loop pressure relative"},
	{"loop_temp_c", "loop scrubber stack canister temp temperature"},
	{"temp_c", "water ambient temp temperature"},
	{"o2_cyl_bar", "o2 oxygen pressure cylinder cyl tank supply bottle"},
	{"dil_cyl_bar", "dil diluent pressure cylinder cyl tank supply bottle"},
	{"battery", "battery batt voltage"},
}

// doubted makes a question of a proposal whose name holds a word beside those
// that are known of it.
func (p proposal) doubted(c *column) proposal {
	if p.open != "" || p.table != "" && !strings.HasSuffix(p.ours, "_vote") {
		return p
	}
	for _, k := range known {
		if !strings.HasPrefix(p.ours, k.ours) {
			continue
		}
		words := wordsOf(c.name)
		for i, w := range words {
			letter := len(w) == 1 && i > 0 && (words[i-1] == "cell" || words[i-1] == "sensor")
			if !letter && !strings.Contains(" "+k.words+" ", " "+w+" ") && mapping.Unit(w) == "" && strings.Trim(w, "0123456789") != "" {
				p.open = fmt.Sprintf("%q has the word %q in its name: is it %s all the same?", c.name, w, p.ours)
				return p
			}
		}
		return p
	}
	return p
}
