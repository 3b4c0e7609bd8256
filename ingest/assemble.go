package ingest

import "afterloop/analysis/gas"

// dive makes the Dive of the table and the metadata.
func (rd *reader) dive() *Dive {
	d := &Dive{Source: rd.source, Meta: rd.meta.Meta, TimeS: rd.t.timeS, Line: rd.t.line}
	if rd.foreign == nil {
		d.Source.FormatVersion = rd.meta.version
	}
	d.Source.TimeForm = rd.t.cols[rd.t.timeAt].def.name
	d.Meta.assume()
	rd.setPressure(d)
	rd.setCells(d)
	rd.setValves(d)
	rd.setSeries(d)
	rd.checkHalves(d)
	rd.setWords(d)
	rd.setColumns(d)
	return d
}

// assume fills in the two figures without which no depth has a pressure.
func (m *Meta) assume() {
	if IsMissing(m.SurfacePressureBar) {
		m.SurfacePressureBar, m.SurfaceAssumed = gas.StandardSurfaceBar, true
	}
	if IsMissing(m.WaterDensityKgM3) {
		m.WaterDensityKgM3, m.DensityAssumed = gas.SeaWater, true
	}
}
