package scenario

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"afterloop/analysis/gas"
)

// Validate checks a spec with its defaults filled in. The error joins every
// fault found, each with the field's JSON path, what it holds and what would be
// right; nil means that [Run] accepts it.
func (s Spec) Validate() error {
	var p problems
	p.between("surface_pressure_bar", s.SurfacePressureBar, 0.4, 1.1)
	p.between("water_density_kg_m3", s.WaterDensityKgM3, 980, 1050)
	p.mix("diluent", s.Diluent)
	p.mix("open_circuit_gas", s.OpenCircuitGas)
	s.Profile.check(&p)
	s.SetPoint.check(&p)
	s.Loop.check(&p)
	s.checkWork(&p)
	s.checkParts(&p)
	s.Controller.check(&p)
	s.Recording.check(&p)
	if s.Helium != nil {
		s.Helium.check(&p)
	}
	s.Supply.check(&p)
	s.checkEvents(&p)
	for i, f := range s.Faults {
		f.check(&p, fmt.Sprintf("faults[%d]", i), len(s.Cells), len(s.Valves))
	}
	s.checkMeta(&p)
	return errors.Join(p...)
}

// problems collects errors.
type problems []error

func (p *problems) add(path string, got any, want string) {
	*p = append(*p, fmt.Errorf("scenario: %s is %v; want %s", path, got, want))
}

// between wants lo <= v <= hi; NaN fails.
func (p *problems) between(path string, v, lo, hi float64) {
	if !(v >= lo && v <= hi) {
		p.add(path, v, fmt.Sprintf("%g to %g", lo, hi))
	}
}

func (p *problems) notNegative(path string, v float64) {
	if !(v >= 0) || math.IsInf(v, 1) {
		p.add(path, v, "zero or a positive number")
	}
}

func (p *problems) oneOf(path, v string, words ...string) {
	if !slices.Contains(words, v) {
		p.add(path, fmt.Sprintf("%q", v), "one of "+strings.Join(words, ", "))
	}
}

// multiple wants v to be a positive whole number of steps, which every time in
// the log is made of.
func (p *problems) multiple(path string, v, step float64) {
	n := v / step
	if !(v > 0) || math.Abs(n-math.Round(n)) > 1e-6 {
		p.add(path, v, fmt.Sprintf("a positive multiple of %g", step))
	}
}

func (p *problems) mix(path, text string) {
	if _, err := gas.ParseMix(text); err != nil {
		*p = append(*p, fmt.Errorf("scenario: %s: %w", path, err))
	}
}

func (pr Profile) check(p *problems) {
	p.oneOf("profile.kind", pr.Kind, "custom", "shallow", "mid", "deep", "yoyo")
	p.between("profile.wander_m", pr.WanderM, 0, 2)
	if pr.Kind != "custom" {
		p.between("profile.max_depth_m", pr.MaxDepthM, 6, 150)
		p.between("profile.bottom_s", pr.BottomS, 60, 36000)
		return
	}
	if len(pr.Waypoints) < 2 {
		p.add("profile.waypoints", len(pr.Waypoints), "at least two waypoints for a custom profile")
	}
	for i, w := range pr.Waypoints {
		path := fmt.Sprintf("profile.waypoints[%d]", i)
		p.between(path+".depth_m", w.DepthM, 0, 200)
		if i == 0 && w.TimeS != 0 || i > 0 && !(w.TimeS > pr.Waypoints[i-1].TimeS) {
			p.add(path+".time_s", w.TimeS, "0 for the first waypoint, then rising times")
		}
	}
}

func (sp SetPoint) check(p *problems) {
	p.between("set_point.low_bar", sp.LowBar, 0.2, 2)
	p.between("set_point.high_bar", sp.HighBar, 0.2, 2)
	p.between("set_point.up_depth_m", sp.UpDepthM, 0, 200)
	p.between("set_point.down_depth_m", sp.DownDepthM, 0, 200)
	for i, c := range sp.Changes {
		p.between(fmt.Sprintf("set_point.changes[%d].bar", i), c.Bar, 0.2, 2)
	}
}

func (l Loop) check(p *problems) {
	p.between("loop.volume_l", l.VolumeL, 2, 20)
	p.between("loop.head_share", l.HeadShare, 0.05, 0.8)
	p.between("loop.range_l", l.RangeL, 0.01, 0.4*l.VolumeL*(1-l.HeadShare))
	p.between("loop.make_up_l", l.MakeUpL, 0.01, 2*l.RangeL)
	p.between("loop.make_up_l_s", l.MakeUpLS, 0.2, 10)
	p.between("loop.injection_lag_s", l.InjectionLagS, 0.01, 30)
	p.between("loop.ventilation_base_l_min", l.VentilationBaseLMin, 0, 60)
	p.between("loop.ventilation_per_vo2", l.VentilationPerVO2, 0, 60)
	p.between("loop.temp_c", l.TempC, 0, 45)
	p.between("loop.humid_bar", l.HumidBar, 0, 0.07)
	p.between("loop.start_po2_bar", l.StartPO2Bar, 0.05, 3)
	p.between("loop.loss_l_min", l.LossLMin, 0, 10)
}

func (s Spec) checkWork(p *problems) {
	if len(s.Work) == 0 {
		p.add("work", "empty", "at least one entry, such as {\"from_s\": 0, \"vo2_l_min\": 1}")
	}
	for i, w := range s.Work {
		path := fmt.Sprintf("work[%d]", i)
		p.between(path+".vo2_l_min", w.VO2LMin, 0.1, 5)
		if i > 0 && !(w.FromS > s.Work[i-1].FromS) {
			p.add(path+".from_s", w.FromS, "rising times")
		}
	}
}

func (s Spec) checkParts(p *problems) {
	p.between("cells (how many)", float64(len(s.Cells)), 1, 8)
	p.between("valves (how many)", float64(len(s.Valves)), 1, 4)
	for i, c := range s.Cells {
		path := fmt.Sprintf("cells[%d]", i)
		p.between(path+".t90_s", c.T90S, 0.5, 600)
		p.between(path+".gain", c.Gain, 0.2, 3)
		p.between(path+".noise_bar", c.NoiseBar, 0, 0.1)
		p.between(path+".wander_bar", c.WanderBar, 0, 0.1)
	}
	for i, v := range s.Valves {
		p.between(fmt.Sprintf("valves[%d].flow_l_min", i), v.FlowLMin, 0.5, 200)
	}
}

func (c Controller) check(p *problems) {
	p.oneOf("controller.style", c.Style, "fixed", "variable")
	p.oneOf("controller.vote", c.Vote, "mean", "mid-value", "leave-one-out")
	p.oneOf("controller.turns", c.Turns, "slot", "alternate", "together")
	p.multiple("controller.interval_s", c.IntervalS, tickS)
	p.between("controller.pulse_s", c.PulseS, 0.1, c.IntervalS)
	p.between("controller.max_s", c.MaxS, 0.1, c.IntervalS)
	p.between("controller.min_s", c.MinS, 0, c.MaxS)
	p.between("controller.base_s", c.BaseS, 0, c.MaxS)
	p.between("controller.s_per_bar", c.SPerBar, 0, 1000)
	p.between("controller.deadband_bar", c.DeadbandBar, 0, 0.5)
	p.between("controller.out_bar", c.OutBar, 0.01, 5)
	p.between("controller.in_bar", c.InBar, 0.01, c.OutBar)
}

func (r Recording) check(p *problems) {
	p.multiple("recording.interval_s", r.IntervalS, tickS)
	p.between("recording.po2_step_bar", r.PO2StepBar, 1e-6, 0.1)
	p.between("recording.depth_step_m", r.DepthStepM, 1e-6, 1)
	for i, g := range r.Gaps {
		if !(g.ToS > g.FromS) {
			p.add(fmt.Sprintf("recording.gaps[%d]", i), g, "to_s after from_s")
		}
	}
}

func (h Helium) check(p *problems) {
	p.oneOf("helium.basis", h.Basis, "dry", "wet")
	p.between("helium.noise_sigma", h.NoiseSigma, 0, 0.1)
	p.between("helium.bias", h.Bias, -0.1, 0.1)
	p.between("helium.bias_sigma", h.BiasSigma, 0, 0.1)
	p.between("helium.bias_tau_s", h.BiasTauS, 1, 1e6)
	p.between("helium.lag_s", h.LagS, 0, 600)
	p.between("helium.stated_sigma", h.StatedSigma, 0, 0.1)
}

func (s Spec) checkEvents(p *problems) {
	for i, e := range s.Events {
		path := fmt.Sprintf("events[%d]", i)
		p.oneOf(path+".kind", e.Kind, "diluent_flush", "oxygen_flush", "manual_oxygen",
			"manual_diluent", "bailout", "on_loop", "calibration")
		p.notNegative(path+".at_s", e.AtS)
		p.between(path+".volume_l", e.VolumeL, 0, 200)
		p.between(path+".for_s", e.ForS, 0, 600)
		if e.VolumeL > 0 && e.ForS < stepS {
			p.add(path+".for_s", e.ForS, "a duration for the gas that is added")
		}
	}
}

func (s Spec) checkMeta(p *problems) {
	if s.Meta.Start != "" {
		if _, err := time.Parse(time.RFC3339, s.Meta.Start); err != nil {
			p.add("meta.start", fmt.Sprintf("%q", s.Meta.Start), "RFC 3339, as in 2026-05-02T09:30:00+02:00")
		}
	}
	for _, list := range [][]string{s.Meta.Serials, s.Meta.Installed} {
		if n := len(list); n > 0 && n != len(s.Cells) {
			p.add("meta.serials or meta.installed", n, "one entry per cell, or none")
		}
	}
	if c := s.Meta.Calibration; c != nil {
		p.between("meta.calibration.gas_o2", c.GasO2, 0.05, 1)
		p.between("meta.calibration.pressure_bar", c.PressureBar, 0.4, 1.5)
		p.between("meta.calibration.humid_bar", c.HumidBar, 0, 0.07)
	}
}
