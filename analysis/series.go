package analysis

// fillSeries gathers the columns over the rows that the report draws and that
// `--series` writes. Slices are shared with the dive and the replays, not copied.
func (b *bench) fillSeries() {
	s := &Series{TimeS: b.tS, DepthM: b.dive.DepthM, AmbientBar: b.dive.AmbientBar, SetPointBar: b.dive.SetPointBar,
		UnitPO2Bar: b.dive.UnitPO2Bar, OnLoop: b.onLoop, GapAfter: b.gapAfter}
	for k := range b.dive.Cells {
		c := &b.dive.Cells[k]
		s.Cells = append(s.Cells, SeriesCell{c.Number, c.PO2Bar, c.Vote})
	}
	for i := range b.replays {
		r := &b.replays[i]
		s.Votes = append(s.Votes, SeriesVote{Policy: r.Policy, PO2Bar: r.PO2Bar, In: r.In, State: r.State})
	}
	for _, v := range b.dive.Valves {
		s.Valves = append(s.Valves, SeriesValve{v.Number, v.OpenS})
	}
	if h := b.debrief.Exposure.Headline.Source; h != "" {
		s.OTU = b.doses[h].RunningOTU
		s.CNSPercent = b.doses[h].RunningCNSStep // nobody needs the fractions any more
		for i := range s.CNSPercent {
			s.CNSPercent[i] *= 100
		}
	}
	if b.track != nil {
		s.TrackingErrorBar = b.track.ErrorBar
	}
	s.MinutesToHypoxia = b.minutesToHypoxia
	s.O2CylBar, s.DilCylBar, s.O2ExpectedBar = b.dive.O2CylBar, b.dive.DilCylBar, b.supply.ExpectedBar
	for _, x := range b.dive.BatteryV {
		s.Batteries = append(s.Batteries, SeriesBattery{x.Number, x.Values})
	}
	if b.diag != nil {
		e := b.diag.estimate
		s.EstimateBar, s.EstimateLowBar, s.EstimateHighBar = e.PO2Bar, e.LowBar, e.HighBar
		if countNaN(e.HeliumBar) < len(e.HeliumBar) {
			s.HeliumBar = e.HeliumBar
		}
	}
	b.fillGasSeries(s)
	b.halvesSeries(s)
	b.debrief.Series = s
}
