package scenario

import (
	"cmp"
	"slices"
)

// WithDefaults returns a copy with every zero field that has a default filled
// in and with events and faults in order of time. Slices are copied where they
// are changed.
func (s Spec) WithDefaults() Spec {
	s.SurfacePressureBar = cmp.Or(s.SurfacePressureBar, 1.013)
	s.WaterDensityKgM3 = cmp.Or(s.WaterDensityKgM3, 1025)
	s.OpenCircuitGas = cmp.Or(s.OpenCircuitGas, s.Diluent)
	s.Profile.Kind = cmp.Or(s.Profile.Kind, "custom")
	s.Loop = s.Loop.withDefaults(s.SetPoint.LowBar)
	s.Controller = s.Controller.withDefaults()
	s.Recording = s.Recording.withDefaults()
	if s.Helium != nil {
		h := *s.Helium
		h.BiasTauS = cmp.Or(h.BiasTauS, 600)
		s.Helium = &h
	}
	s.Supply = s.Supply.withDefaults()
	s.Events = eventsWithDefaults(s.Events, s.Loop.VolumeL)
	s.Faults = faultsWithDefaults(s.Faults)
	return s
}

func (l Loop) withDefaults(lowBar float64) Loop {
	l.VolumeL = cmp.Or(l.VolumeL, 6.8)
	l.HeadShare = cmp.Or(l.HeadShare, 0.45)
	l.RangeL = cmp.Or(l.RangeL, 0.3)
	l.MakeUpL = cmp.Or(l.MakeUpL, 0.25)
	l.MakeUpLS = cmp.Or(l.MakeUpLS, 1.5)
	l.InjectionLagS = cmp.Or(l.InjectionLagS, 1.2)
	l.VentilationBaseLMin = cmp.Or(l.VentilationBaseLMin, 12)
	l.VentilationPerVO2 = cmp.Or(l.VentilationPerVO2, 20)
	l.TempC = cmp.Or(l.TempC, 25)
	l.StartPO2Bar = cmp.Or(l.StartPO2Bar, lowBar)
	return l
}

func (c Controller) withDefaults() Controller {
	c.Style = cmp.Or(c.Style, "fixed")
	c.Vote = cmp.Or(c.Vote, "leave-one-out")
	c.OutBar = cmp.Or(c.OutBar, 0.20)
	c.InBar = cmp.Or(c.InBar, 0.15)
	c.IntervalS = cmp.Or(c.IntervalS, 6)
	c.PulseS = cmp.Or(c.PulseS, 1.2)
	c.BaseS = cmp.Or(c.BaseS, 0.3)
	c.SPerBar = cmp.Or(c.SPerBar, 12)
	c.MinS = cmp.Or(c.MinS, 0.2)
	c.MaxS = cmp.Or(c.MaxS, 4)
	c.Turns = cmp.Or(c.Turns, "slot")
	return c
}

func (r Recording) withDefaults() Recording {
	r.IntervalS = cmp.Or(r.IntervalS, 1)
	r.PO2StepBar = cmp.Or(r.PO2StepBar, 0.01)
	r.DepthStepM = cmp.Or(r.DepthStepM, 0.01)
	r.DepthNoiseM = cmp.Or(r.DepthNoiseM, 0.01)
	return r
}

func eventsWithDefaults(events []Event, loopL float64) []Event {
	events = slices.Clone(events)
	for i := range events {
		e := &events[i]
		switch e.Kind {
		case "diluent_flush":
			e.ForS, e.VolumeL = cmp.Or(e.ForS, 20), cmp.Or(e.VolumeL, 2.5*loopL)
		case "oxygen_flush":
			e.ForS, e.VolumeL = cmp.Or(e.ForS, 12), cmp.Or(e.VolumeL, 1.5*loopL)
		case "manual_oxygen", "manual_diluent":
			e.ForS, e.VolumeL = cmp.Or(e.ForS, 3), cmp.Or(e.VolumeL, 0.15)
		}
	}
	slices.SortStableFunc(events, func(a, b Event) int { return cmp.Compare(a.AtS, b.AtS) })
	return events
}

func faultsWithDefaults(faults []Fault) []Fault {
	faults = slices.Clone(faults)
	for i := range faults {
		if f := &faults[i]; f.Kind == Erratic {
			f.AmplitudeBar = cmp.Or(f.AmplitudeBar, 0.13)
			f.RatePerS = cmp.Or(f.RatePerS, 0.25)
			f.DecayS = cmp.Or(f.DecayS, 3)
		}
	}
	return faults
}
