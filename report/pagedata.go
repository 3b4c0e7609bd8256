package report

import (
	"afterloop/analysis"
)

// maxOuts bounds how many stretches of a policy the page explains; the JSON
// file holds all of them.
const maxOuts = 600

// pagePolicyData is one replayed policy to the page's script.
type pagePolicyData struct {
	Name  string    `json:"name"`
	Cells []int     `json:"cells"`
	Outs  []pageOut `json:"outs"`
}

// pageOut is a stretch in which the policy had a cell out.
type pageOut struct {
	Cell   int            `json:"cell"`
	From   analysis.Float `json:"from"`
	To     analysis.Float `json:"to"`
	Reason string         `json:"reason"`
}

// pageData is what the page's script reads.
func (p *page) pageData(columns []packedColumn) map[string]any {
	from, to := timeRange(p.Series.TimeS)
	drawn := make([]chartData, 0, len(p.Charts))
	for _, c := range p.Charts {
		if c.Drawn() {
			drawn = append(drawn, c.draw)
		}
	}
	return map[string]any{
		"first": from, "last": to, "step": usualStep(p.Debrief), "rows": len(p.Series.TimeS), "columns": columns,
		"left": plotLeft, "right": plotRight, "dark": darkOf(), "text": pageText(), "sha256": p.firstHash(),
		"findings": p.findingMarks(), "charts": drawn, "cells": p.cellNumbers(), "valves": p.valveNumbers(),
		"policies": p.policyData(), "vote": p.Parameters.Vote, "phases": append([]analysis.Phase{}, p.Dive.Phases...),
		"flow": p.Dive.OxygenFlowLMin, "vo2": p.consumption(),
	}
}

// firstHash identifies the log, for the remarks that belong to it.
func (p *page) firstHash() string {
	if len(p.Sources) == 0 {
		return ""
	}
	return p.Sources[0].SHA256
}

func (p *page) cellNumbers() []int {
	n := []int{}
	for _, c := range p.Series.Cells {
		n = append(n, c.Number)
	}
	return n
}

func (p *page) valveNumbers() []int {
	n := []int{}
	for _, v := range p.Series.Valves {
		if known(v.OpenS) {
			n = append(n, v.Number)
		}
	}
	return n
}

// consumption is the metabolic rate, where it could be told.
func (p *page) consumption() analysis.Float {
	if p.Injection == nil {
		return analysis.Float(notANumber)
	}
	return p.Injection.VO2LMin
}

// policyData joins each replayed series with its stretches and their reasons.
func (p *page) policyData() []pagePolicyData {
	out := []pagePolicyData{}
	for _, s := range p.Series.Votes {
		d := pagePolicyData{Name: s.Policy, Cells: p.cellNumbers(), Outs: []pageOut{}}
		for _, v := range p.Votes {
			if v.Policy != s.Policy {
				continue
			}
			d.Cells = append([]int{}, v.Cells...)
			for i, o := range v.VotedOut {
				if i < maxOuts {
					d.Outs = append(d.Outs, pageOut{o.Cell, o.FromS, o.ToS, o.Reason})
				}
			}
		}
		out = append(out, d)
	}
	return out
}
