package analysis

import (
	"afterloop/analysis/tracking"
)

// trackingInput is the record as package tracking wants it, for one series of PO2.
func (b *bench) trackingInput(po2 []float64) tracking.Input {
	return tracking.Input{TimeS: b.tS, DepthM: b.dive.DepthM, AmbientBar: b.dive.AmbientBar, SetPointBar: b.dive.SetPointBar,
		PO2Bar: po2, OnLoop: b.onLoop, GapAfter: b.gapAfter, VapourBar: b.p.Gas.VapourBar}
}

// runPhases splits the dive by what depth does.
func (b *bench) runPhases() {
	depth := b.dive.DepthM
	if depth == nil {
		depth = make([]float64, len(b.tS))
		for i, p := range b.dive.AmbientBar {
			depth[i] = (p - b.dive.Meta.SurfacePressureBar) / barPerM
		}
	}
	b.phases = tracking.Phases(b.tS, depth, b.gapAfter, b.p.Tracking)
}

// runTracking says how the controller did, on the unit's own PO2, or on the
// mid-value of the cells where the unit's was not recorded.
func (b *bench) runTracking() {
	if b.dive.SetPointBar == nil || len(b.cells) == 0 && b.bestName != "unit" {
		return
	}
	t, r, c := b.trackOne(b.bestName, b.best)
	if r.AssessedS == 0 && r.UnattainableS == 0 {
		return
	}
	b.track, b.changes, b.debrief.Tracking = &r, c, t
	if b.diag != nil {
		b.debrief.TrackingEstimate, _, _ = b.trackOne("estimate", b.diag.estimate.PO2Bar)
	}
}

// trackOne is the tracking of one series of PO2.
func (b *bench) trackOne(source string, po2 []float64) (*Tracking, tracking.Result, []tracking.Change) {
	in := b.trackingInput(po2)
	r := tracking.Track(in, b.phases, b.p.Tracking)
	changes := tracking.Changes(in, b.p.Tracking)
	t := &Tracking{Source: source, AssessedS: Float(r.AssessedS), MeanErrorBar: Float(r.MeanErrorBar), MAEBar: Float(r.MAEBar), RMSEBar: Float(r.RMSEBar),
		IAEBarS: Float(r.IAEBarS), Within005: Float(r.Within005), Within010: Float(r.Within010), UnattainableS: Float(r.UnattainableS), AboveDryS: Float(r.AboveDryS),
		ByPhase: []TrackingPhase{}, Changes: []SetPointChange{}, OscillationPeriodS: unknown}
	for _, p := range r.ByPhase {
		t.ByPhase = append(t.ByPhase, TrackingPhase{p.Phase.String(), Float(p.AssessedS), Float(p.MeanErrorBar), Float(p.MAEBar), Float(p.RMSEBar), Float(p.Within005), Float(p.Within010)})
	}
	for _, c := range changes {
		t.Changes = append(t.Changes, SetPointChange{AtS: Float(c.AtS), FromBar: Float(c.FromBar), ToBar: Float(c.ToBar), RiseS: Float(c.RiseS),
			SettledS: Float(c.SettledS), OvershootBar: Float(c.OvershootBar), Assessed: c.Assessed, Reason: c.Reason})
	}
	for _, o := range tracking.Oscillations(in, tracking.HalfWaves(in, b.p.Tracking), b.p.Tracking) {
		if o.HalfWaves > t.OscillationHalfWaves {
			t.OscillationHalfWaves, t.OscillationPeriodS = o.HalfWaves, Float(o.PeriodS)
		}
	}
	return t, r, changes
}
