package report

import (
	"html/template"
)

// explanation is what a student reads when a finding or a chart is opened.
type explanation struct {
	Seen, Why, Healthy, Do string
	Reference              template.HTML
	Solid, Dashed          string
}

// explanations of findings, by kind, and of charts: the name of the reference
// chart. The words stand in the catalogue under explain.<name>.
var referenceOf = map[string]string{
	"low-oxygen": "stopped", "high-oxygen": "open", "cells-disagree": "apart", "reading-above-ambient": "bound",
	"known-gas-mismatch": "flush", "readings-missing": "gap", "reading-at-limit": "erratic", "vote-undecided": "apart",
	"vote-order-dependent": "mean", "unit-po2-unexplained": "mean", "vote-followed-wrong-cells": "mean", "cells-do-not-follow": "ceiling", "on-open-circuit": "away", "setpoint-not-held": "away", "oscillation": "swings",
	"sluggish": "slow", "overshoot": "past", "cns-single-limit": "dose", "cns-daily-limit": "dose", "otu-daily-limit": "dose",
	"beyond-cns-table": "dose", "recording-gap": "gap", "recording-clock": "gap", "recording-incomplete": "gap", "recording-coarse": "coarse",
	"surface-pressure": "bound", "slow-cell": "step", "current-limited-cell": "ceiling", "miscalibrated-cell": "gain",
	"drifting-cell": "drift", "frozen-cell": "frozen", "erratic-cell": "erratic", "dead-valve": "turns", "leaking-valve": "leak",
	"chart-dive": "away", "chart-cells": "apart", "chart-vote": "mean", "chart-tracking": "swings", "chart-injection": "turns", "chart-exposure": "dose", "chart-gas": "dense", "chart-pressure": "metres",

	"gas-dense": "dense", "isobaric-switch": "switch", "pressure-sensors-disagree": "sensor", "depth-pressure-mismatch": "metres",
	"oxygen-balance": "gas", "diluent-falls": "level", "battery-low": "sag", "battery-sag": "sag", "chart-supply": "gas",
	"oxygen-supply-lost": "stopped", "halves-disagree": "apart", "half-off": "gap", "chart-halves": "apart",
}

// Explain explains a kind of finding, or a chart by "chart-" and its id; nil
// where the catalogue has no words for it, as for a kind of a later version.
func (p *page) Explain(name string) *explanation {
	key := "explain." + name + "."
	if _, ok := catalogue()[key+"seen"]; !ok {
		return nil
	}
	e := &explanation{Seen: say(key + "seen"), Why: say(key + "why"), Healthy: say(key + "healthy"), Do: say(key + "do")}
	if r, ok := references()[referenceOf[name]]; ok {
		e.Solid, e.Dashed = say("explain.solid"), say("explain.dashed."+referenceOf[name])
		e.Reference = r.svg(e.Solid + "; " + e.Dashed)
	}
	return e
}

// Explained tells whether this finding is the first of its kind: its explanation
// stands once in a page.
func (p *page) Explained(i int) bool {
	for _, f := range p.Findings[:i] {
		if f.Kind == p.Findings[i].Kind {
			return false
		}
	}
	return true
}
