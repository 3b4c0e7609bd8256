package ingest

import "strconv"

// metaLines lists the metadata of d in the order of the format's table.
func (d *Dive) metaLines() []KeyValue {
	l := metaList{}
	m := &d.Meta
	l.text(versionKey, "1")
	l.text("dive", m.Dive)
	l.text("diver", m.Diver)
	l.text("unit", m.Unit)
	l.text("start", m.Start)
	if !m.SurfaceAssumed {
		l.number("surface_pressure_bar", m.SurfacePressureBar)
	}
	if !m.DensityAssumed {
		l.number("water_density_kg_m3", m.WaterDensityKgM3)
	}
	l.gas("diluent", m.Diluent)
	l.gas("open_circuit_gas", m.OpenCircuitGas)
	l.number("loop_volume_l", m.LoopVolumeL)
	l.number("oxygen_flow_l_min", m.OxygenFlowLMin)
	l.number("oxygen_cylinder_l", m.OxygenCylinderL)
	for i := range d.Cells {
		l.cell(&d.Cells[i])
	}
	l.calibration(m.Calibration)
	l.text("loop_he_basis", m.LoopHeBasis)
	l.number("loop_he_sigma", m.LoopHeSigma)
	for _, h := range m.Halves {
		l.text("half_"+h.Letter, h.text())
	}
	return append(l, m.Other...)
}

// metaList gathers lines; what is not stated gets none.
type metaList []KeyValue

func (l *metaList) text(key, value string) {
	if value != "" {
		*l = append(*l, KeyValue{Key: key, Value: value})
	}
}

func (l *metaList) number(key string, v float64) { l.text(key, string(appendNumber(nil, v))) }

func (l *metaList) gas(key string, g Gas) {
	if g.Known {
		l.text(key, g.text())
	}
}

func (l *metaList) cell(c *Cell) {
	prefix := "cell" + strconv.Itoa(c.Number)
	l.text(prefix+"_serial", c.Serial)
	l.text(prefix+"_installed", c.Installed)
	l.number(prefix+"_cal_mv", c.CalMV)
	l.number(prefix+"_cal_po2_bar", c.CalPO2Bar)
}

func (l *metaList) calibration(c Calibration) {
	l.number("cal_gas_o2", c.GasO2)
	l.number("cal_pressure_bar", c.PressureBar)
	l.number("cal_temp_c", c.TempC)
	l.text("cal_time", c.Time)
	if c.Humid != nil {
		l.text("cal_gas_humid", map[bool]string{true: "yes", false: "no"}[*c.Humid])
	}
}
