package report

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"afterloop/analysis"
)

// seriesDecimals is the resolution of the series file: a microsecond, a microbar.
const seriesDecimals = 6

// column is one column of the series file: numbers or words.
type column struct {
	name   string
	values []float64
	states analysis.States
}

// WriteSeries writes the debrief's columns over all rows of the log as CSV: one
// line per row, no row left out, an empty field for what is not known.
//
// Columns: time_s, depth_m, ambient_bar, setpoint_bar, po2_unit_bar,
// cellN_po2_bar, then per policy po2_<policy>_bar and state_<policy>, then
// po2_estimate_bar, po2_estimate_low_bar, po2_estimate_high_bar and
// po2_helium_bar where there are such, o2_cyl_bar, o2_cyl_expected_bar (by the
// valves alone), dil_cyl_bar and batteryN_v where recorded, tracking_error_bar, cns_percent, otu, then
// those of gas and pressure (see gasColumns).
func WriteSeries(w io.Writer, d *analysis.Debrief) error {
	if d.Series == nil {
		return errors.New("report: the debrief carries no series")
	}
	s := d.Series
	cols := seriesColumns(s)
	for _, c := range cols {
		if n := len(c.values) + len(c.states); n != 0 && n != len(s.TimeS) {
			panic("report: series of unequal length")
		}
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if err := writeHeader(out, cols); err != nil {
		return err
	}
	var line []byte
	for i := range s.TimeS {
		line = line[:0]
		for k := range cols {
			if k > 0 {
				line = append(line, ',')
			}
			line = cols[k].append(line, i)
		}
		if _, err := out.Write(append(line, '\n')); err != nil {
			return err
		}
	}
	return out.Flush()
}

func seriesColumns(s *analysis.Series) []column {
	cols := []column{{name: "time_s", values: s.TimeS}, {name: "depth_m", values: s.DepthM}, {name: "ambient_bar", values: s.AmbientBar},
		{name: "setpoint_bar", values: s.SetPointBar}, {name: "po2_unit_bar", values: s.UnitPO2Bar}}
	for _, c := range s.Cells {
		cols = append(cols, column{name: fmt.Sprintf("cell%d_po2_bar", c.Number), values: c.PO2Bar})
	}
	for _, v := range s.Votes {
		name := strings.ReplaceAll(v.Policy, "-", "_")
		cols = append(cols, column{name: "po2_" + name + "_bar", values: v.PO2Bar}, column{name: "state_" + name, states: v.State})
	}
	for _, c := range []column{{name: "po2_estimate_bar", values: s.EstimateBar}, {name: "po2_estimate_low_bar", values: s.EstimateLowBar},
		{name: "po2_estimate_high_bar", values: s.EstimateHighBar}, {name: "po2_helium_bar", values: s.HeliumBar}} {
		if c.values != nil {
			cols = append(cols, c)
		}
	}
	for _, c := range []column{{name: "o2_cyl_bar", values: s.O2CylBar}, {name: "o2_cyl_expected_bar", values: s.O2ExpectedBar}, {name: "dil_cyl_bar", values: s.DilCylBar}} {
		if c.values != nil {
			cols = append(cols, c)
		}
	}
	for _, b := range s.Batteries {
		cols = append(cols, column{name: fmt.Sprintf("battery%d_v", b.Number), values: b.V})
	}
	for _, h := range s.Halves {
		cols = append(cols, column{name: "half" + h.Half + "_po2_bar", values: h.PO2Bar})
	}
	if s.HalvesDepthM != nil {
		cols = append(cols, column{name: "halves_depth_difference_m", values: s.HalvesDepthM})
	}
	cols = append(cols, column{name: "tracking_error_bar", values: s.TrackingErrorBar},
		column{name: "cns_percent", values: s.CNSPercent}, column{name: "otu", values: s.OTU})
	return append(cols, gasColumns(s)...)
}

func writeHeader(w io.Writer, cols []column) error {
	names := make([]string, len(cols))
	for i, c := range cols {
		names[i] = c.name
	}
	cw := csv.NewWriter(w)
	if err := cw.Write(names); err != nil {
		return err
	}
	cw.Flush()
	return cw.Error()
}

// append writes field i; nothing where it is not known.
func (c *column) append(b []byte, i int) []byte {
	if c.states != nil {
		return append(b, c.states[i].String()...)
	}
	if c.values == nil || math.IsNaN(c.values[i]) || math.IsInf(c.values[i], 0) {
		return b
	}
	return appendFixed(b, c.values[i], seriesDecimals)
}
