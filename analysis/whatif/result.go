package whatif

import (
	"afterloop/analysis"
	"afterloop/analysis/vote"
	"afterloop/ingest"
)

// SchemaID names the version of the JSON form of a [Report].
const SchemaID = "afterloop/whatif/1"

// Mark stands on every page and printed page, in every JSON object, on every line of text
// and in every column of a simulation.
const Mark = "simulation of a recorded dive, not a plan"

// ReplayMark stands on every replay.
const ReplayMark = "replay of the recorded readings: it changes nothing in the loop"

// Safety stands on every page.
const Safety = "This page looks back at one recorded dive. It clears no equipment for use and no person to dive, and it is no advice to set, fit or dive anything in another way. " +
	"Training, local rules and the procedures of the equipment come first."

// Float is a number, or null where it is not known.
type Float = analysis.Float

// Report is what came out of running a recorded dive again. What is not known is null.
type Report struct {
	Schema  string            `json:"schema"`
	Tool    analysis.Tool     `json:"tool"`
	Sources []analysis.Source `json:"sources"`
	// Kind is open, closed or both, as asked for.
	Kind    string   `json:"kind"`
	Changes []Change `json:"changes"`
	// Words are the first sentences: what was changed, what came out.
	Words []Word             `json:"words"`
	Dive  analysis.DiveFacts `json:"dive"`
	// Recorded is the dive as it was.
	Recorded Recorded `json:"recorded"`
	// Replay is the open-loop replay, Simulation the closed loop; null where not asked for.
	Replay     *Replay     `json:"open_loop_replay"`
	Simulation *Simulation `json:"closed_loop_simulation"`
	// CannotTell says what this can't tell.
	CannotTell  []string              `json:"cannot_tell"`
	Assumptions []analysis.Assumption `json:"assumptions"`
	Definitions []analysis.Definition `json:"definitions"`
	Safety      string                `json:"safety"`
	Parameters  Parameters            `json:"parameters"`
	Problems    []ingest.Problem      `json:"problems"`
	Series      *Series               `json:"-"`
}

// Word is one of the first sentences and what it is about: all, open or closed. Those
// about the simulation carry its mark.
type Word struct {
	Kind string `json:"kind"`
	Mark string `json:"mark"`
	Text string `json:"text"`
}

// Parameters are those of this package, and those of the debrief that the figures rest on.
type Parameters struct {
	WhatIf    Params          `json:"what_if"`
	Vote      vote.Params     `json:"vote"`
	VapourBar Float           `json:"vapour_bar"`
	Limits    analysis.Limits `json:"limits"`
}

// Change is one change in words.
type Change struct {
	ID   string `json:"id"`
	Text string `json:"text"`
	// FromS is the moment from which it holds.
	FromS Float `json:"from_s"`
	// Kinds says where it means something: both, or closed.
	Kinds string `json:"kinds"`
}

// Range is a figure; Low and High are its range over what is not known, null where there is none.
type Range struct {
	Value Float `json:"value"`
	Low   Float `json:"low"`
	High  Float `json:"high"`
}

// Loop are figures of the PO2 at the cells, on the loop; limits count under water.
type Loop struct {
	MinBar       Range `json:"min_po2_bar"`
	MaxBar       Range `json:"max_po2_bar"`
	MeanErrorBar Range `json:"mean_error_bar"` // PO2 - set point
	RMSEBar      Range `json:"rmse_error_bar"`
	Within005    Range `json:"within_0_05_fraction"`
	Below016S    Range `json:"below_0_16_s"`
	Below018S    Range `json:"below_0_18_s"`
	Above14S     Range `json:"above_1_4_s"`
	Above16S     Range `json:"above_1_6_s"`
	// CNSPercent is by the step rule, null where the gas of open circuit is not known.
	CNSPercent Range `json:"cns_percent"`
	// CNSIsLowerBound: part of the time lay above the table's last row.
	CNSIsLowerBound bool  `json:"cns_is_lower_bound"`
	OTU             Range `json:"otu"`
	// OpenS is how long the valves were commanded open, GaveS how long oxygen flowed.
	OpenS Range `json:"valves_open_s"`
	GaveS Range `json:"oxygen_flowed_s"`
	// OxygenL is the oxygen that came in through the valves, L STPD; null where the flow is not stated.
	OxygenL Range `json:"oxygen_l"`
}

// Vote is what a rule of voting did.
type Vote struct {
	Policy string      `json:"policy"`
	Rule   string      `json:"rule"`
	Params vote.Params `json:"tolerances"`
	Cells  []int       `json:"cells"`
	// MeanDistanceBar and MaxDistance are from the PO2 at the cells: the estimate, or in
	// a simulation the simulated one.
	MeanDistanceBar Range          `json:"mean_abs_distance_bar"`
	MaxDistance     analysis.Value `json:"max_abs_distance"`
	// False are the stretches in which it would have controlled on a false value.
	FalseS     Range               `json:"controlled_on_a_false_value_s"`
	False      []analysis.Span     `json:"controlled_on_a_false_value"`
	UndecidedS Range               `json:"undecided_s"`
	NoneS      Range               `json:"none_s"`
	VotedOut   []analysis.VotedOut `json:"voted_out"`
	Reminders  []Float             `json:"reminders"`
}

// Recorded is the dive as it was recorded.
type Recorded struct {
	// Loop is the estimate of the true PO2 at the cells; null without one.
	Loop *Loop `json:"loop"`
	// Unit is what the unit did: the distance of its recorded PO2 from the estimate; null
	// where it was not recorded.
	Unit *Vote `json:"unit"`
	// Policy is the rule that comes nearest to the unit's PO2, Alike those that come as
	// near, PolicyBasis how it was found.
	Policy      string   `json:"policy"`
	Alike       []string `json:"policies_alike"`
	PolicyBasis string   `json:"policy_basis"`
}

// Replay is the vote on the recorded readings.
type Replay struct {
	Mark     string `json:"mark"`
	Assessed bool   `json:"assessed"`
	// Reason is why there is none.
	Reason   string `json:"reason"`
	Original *Vote  `json:"original"`
	Changed  *Vote  `json:"changed"`
	// DiffersS is how long the two lie more than 0.05 bar apart, MaxDifference how far at
	// most, FirstDiffersS from when they differ at all.
	DiffersS      Float          `json:"differs_s"`
	MaxDifference analysis.Value `json:"max_difference"`
	FirstDiffersS Float          `json:"first_differs_s"`
}

// Series are the columns over the rows of the log. Columns that are nil do not exist.
type Series struct {
	TimeS, DepthM, SetBar, EstimateBar, UnitBar []float64
	EstimateLowBar, EstimateHighBar             []float64
	OnLoop, GapAfter                            []bool
	// Of the replay.
	OriginalBar, ChangedBar     []float64
	OriginalState, ChangedState []vote.State
	// Of the simulation; all of them are marked where they are shown.
	SimSetBar                             []float64
	SimOriginalBar, SimOriginalVotedBar   []float64
	SimChangedBar, SimChangedVotedBar     []float64
	SimOriginalLowBar, SimOriginalHighBar []float64
	SimChangedLowBar, SimChangedHighBar   []float64
	SimOriginalState, SimChangedState     []vote.State
}
