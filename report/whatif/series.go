package whatif

import (
	"bufio"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/whatif"
)

// simPrefix begins the name of every column of a simulation.
const simPrefix = "simulation_not_a_plan_"

// column is one column: numbers or states.
type column struct {
	name   string
	values []float64
	states analysis.States
}

// WriteSeries writes the columns over all rows of the log as CSV: one line per row, an
// empty field for what is not known. With a simulation the first line is a comment with
// the mark, and each of its columns has it in its name.
func WriteSeries(w io.Writer, r *whatif.Report) error {
	s := r.Series
	if s == nil {
		return errors.New("report: the result carries no series")
	}
	cols := columns(s)
	out := bufio.NewWriterSize(w, 1<<16)
	if r.Simulation != nil {
		out.WriteString("# " + whatif.Mark + "\n")
	}
	names := make([]string, len(cols))
	for i, c := range cols {
		names[i] = c.name
	}
	out.WriteString(strings.Join(names, ",") + "\n")
	var line []byte
	for i := range s.TimeS {
		line = line[:0]
		for k, c := range cols {
			if k > 0 {
				line = append(line, ',')
			}
			line = c.append(line, i)
		}
		out.Write(append(line, '\n'))
	}
	return out.Flush()
}

// columns are those that exist, in order.
func columns(s *whatif.Series) []column {
	all := []column{
		{name: "time_s", values: s.TimeS}, {name: "depth_m", values: s.DepthM}, {name: "setpoint_bar", values: s.SetBar},
		{name: "po2_estimate_bar", values: s.EstimateBar}, {name: "po2_unit_bar", values: s.UnitBar},
		{name: "replay_po2_before_bar", values: s.OriginalBar}, {name: "replay_state_before", states: s.OriginalState},
		{name: "replay_po2_changed_bar", values: s.ChangedBar}, {name: "replay_state_changed", states: s.ChangedState},
		{name: simPrefix + "setpoint_bar", values: s.SimSetBar},
		{name: simPrefix + "po2_as_set_up_bar", values: s.SimOriginalBar}, {name: simPrefix + "po2_as_set_up_low_bar", values: s.SimOriginalLowBar},
		{name: simPrefix + "po2_as_set_up_high_bar", values: s.SimOriginalHighBar},
		{name: simPrefix + "po2_changed_bar", values: s.SimChangedBar}, {name: simPrefix + "po2_changed_low_bar", values: s.SimChangedLowBar},
		{name: simPrefix + "po2_changed_high_bar", values: s.SimChangedHighBar},
		{name: simPrefix + "voted_as_set_up_bar", values: s.SimOriginalVotedBar}, {name: simPrefix + "state_as_set_up", states: s.SimOriginalState},
		{name: simPrefix + "voted_changed_bar", values: s.SimChangedVotedBar}, {name: simPrefix + "state_changed", states: s.SimChangedState},
	}
	var out []column
	for _, c := range all {
		if c.values != nil || c.states != nil {
			out = append(out, c)
		}
	}
	return out
}

// append writes field i: a microbar, without idle zeros; nothing where it is not known.
func (c *column) append(b []byte, i int) []byte {
	if c.states != nil {
		return append(b, c.states[i].String()...)
	}
	v := c.values[i]
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return b
	}
	return strconv.AppendFloat(b, math.Round(v*1e6)/1e6, 'f', -1, 64)
}
