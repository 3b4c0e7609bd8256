package scenario

// DoubledLog is the log of one half, with the name of its file.
type DoubledLog struct {
	Name string // without ".csv"
	Half Half
}

// DoubledDemo is a dive with two halves of electronics, each with a log of its
// own: half A with three cells and a valve, half B with two cells, both as old as
// one another and limited below the set point, and a valve. B was switched on
// later, its clock is an hour and a little off and runs fast. In the middle A is
// off for three minutes, and what B holds at the set point by its own cells is
// far more in the loop: the run raises the set point for that.
func DoubledDemo() (Spec, []DoubledLog) {
	spec := Spec{
		Name: "doubled", Seed: 20260815,
		SurfacePressureBar: lakeBar, WaterDensityKgM3: 1000, Diluent: "21/0",
		Profile: Profile{Kind: "custom", WanderM: 0.15, Waypoints: []Waypoint{
			{0, 0}, {170, 0}, {270, 21}, {1000, 23.5}, {1250, 22}, {1500, 22}, {1640, 12}, {1840, 11}, {1900, 6}, {2220, 5.5}, {2300, 0}, {2400, 0},
		}},
		SetPoint: SetPoint{LowBar: 0.7, HighBar: 1.2, UpDepthM: 12, DownDepthM: 4, Changes: []SetPointChange{{1200, 1.55}, {1380, 1.2}}},
		Loop:     Loop{VolumeL: 6.6, StartPO2Bar: 0.5, TempC: 22},
		Work:     []Work{{0, 0.6}, {170, 1.1}, {400, 0.9}, {800, 1.3}, {1100, 1.0}, {1500, 1.1}, {1700, 0.8}},
		Cells: []Cell{
			{T90S: 5.6, Gain: 1.006, NoiseBar: 0.003}, {T90S: 6.3, Gain: 0.993, NoiseBar: 0.003}, {T90S: 5.2, Gain: 1.001, NoiseBar: 0.002},
			{T90S: 7.4, Gain: 0.997, NoiseBar: 0.003}, {T90S: 7.1, Gain: 1.004, NoiseBar: 0.003},
		},
		Valves:     []Valve{{FlowLMin: 10}, {FlowLMin: 10}},
		Controller: Controller{Style: "variable", Vote: "mid-value", IntervalS: 5, BaseS: 0.1, SPerBar: 25, MaxS: 2.5, Turns: "alternate"},
		Recording: Recording{IntervalS: 0.2, PO2StepBar: 0.001, Notes: []Note{
			{60, "pre-breathe"}, {175, "leaving the surface"}, {1290, "one handset dark"},
		}},
		Events: []Event{{Kind: "oxygen_flush", AtS: 30, ForS: 25, VolumeL: 25}, {Kind: "diluent_flush", AtS: 700, ForS: 25, VolumeL: 24}},
		Faults: []Fault{
			{Kind: Limited, Cell: 4, CeilingBar: 0.93, Slope: 0.12}, {Kind: Limited, Cell: 5, CeilingBar: 0.95, Slope: 0.1},
			{Kind: ValveDead, Valve: 1, FromS: 1200, ToS: 1380},
		},
		Meta: Meta{
			Dive: "Lake Ombrel, north wall", Diver: "T. A.", Unit: "two halves: three cells and a valve, two cells and a valve", LoopFacts: true,
			Start:     "2026-08-15T09:30:00+02:00",
			Serials:   []string{"TA-31", "TA-32", "TA-40", "TA-11", "TA-12"},
			Installed: []string{"2026-02-20", "2026-02-20", "2026-06-01", "2024-03-15", "2024-03-15"},
		},
	}
	return spec, []DoubledLog{
		{"ombrel-half-a", Half{Cells: []int{1, 2, 3}, Valves: []int{1}, IntervalS: 2, DepthStepM: 0.1, PO2StepBar: 0.01,
			Off: []Span{{1200, 1380}}, SetPointMostBar: 1.2, Start: "2026-08-15T09:30:00+02:00"}},
		{"ombrel-half-b", Half{Cells: []int{4, 5}, Valves: []int{2}, IntervalS: 3, OnS: 94.6, DriftPPM: 180, DepthZeroM: 0.3, DepthStepM: 0.1, PO2StepBar: 0.01,
			SetPointMostBar: 1.2, Start: "2026-08-15T08:31:30+02:00"}},
	}
}
