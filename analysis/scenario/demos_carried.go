package scenario

// carriedDemo is a dive with gauges on the cylinders, a battery in each half, and a
// valve that gives nothing from the middle of the bottom on. The other valve holds
// on alone until the diver works harder; the diver adds oxygen by hand and goes up.
// What left the cylinder does not fit what was commanded, and fits what came.
func carriedDemo() Spec {
	return Spec{
		Name: "valve-dead", Seed: 20260809,
		SurfacePressureBar: lakeBar, WaterDensityKgM3: 1000, Diluent: "21/0", OpenCircuitGas: "32/0",
		Profile: Profile{Kind: "custom", WanderM: 0.1, Waypoints: []Waypoint{
			{0, 0}, {100, 0}, {230, 24}, {1720, 25}, {1860, 12}, {2100, 12}, {2160, 6}, {2460, 6}, {2580, 0}, {2640, 0},
		}},
		SetPoint: SetPoint{LowBar: 0.7, HighBar: 1.2, UpDepthM: 10, DownDepthM: 3},
		Loop:     Loop{VolumeL: 6.6, StartPO2Bar: 0.7, TempC: 22},
		Work:     []Work{{0, 0.6}, {110, 1.0}, {400, 0.8}, {1250, 1.9}, {1620, 0.9}, {2100, 0.7}},
		Cells: []Cell{
			{T90S: 5.6, Gain: 0.995, NoiseBar: 0.003},
			{T90S: 6.9, Gain: 1.006, NoiseBar: 0.002},
			{T90S: 6.2, Gain: 1.001, NoiseBar: 0.003},
		},
		Valves:     []Valve{{FlowLMin: 9.5}, {FlowLMin: 9.5}},
		Controller: Controller{Style: "variable", Vote: "leave-one-out", IntervalS: 7, BaseS: 0.2, SPerBar: 26, MaxS: 2.4, Turns: "alternate"},
		Recording: Recording{IntervalS: 2, DepthStepM: 0.1, PO2StepBar: 0.01, Votes: true, Notes: []Note{
			{100, "leaving the surface"}, {1396, "PO2 sinks although both valves click"}, {2584, "surface"},
		}},
		Events: []Event{{Kind: "manual_oxygen", AtS: 1422, ForS: 4, VolumeL: 0.7}, {Kind: "manual_oxygen", AtS: 1500, ForS: 4, VolumeL: 0.6}},
		Faults: []Fault{{Kind: ValveDead, Valve: 1, FromS: 760}},
		Meta: Meta{
			Dive: "Lake Ombrel, the sunken ferry", Diver: "T. A.", Unit: "three cells, two valves, gauges",
			Start: "2026-08-09T11:20:00+02:00", LoopFacts: true,
			Serials:   []string{"FE-31", "FE-32", "FE-40"},
			Installed: []string{"2026-02-14", "2026-02-14", "2026-05-20"},
			Halves:    []string{"half_A: cells 1,2; valve 1; battery 1", "half_B: cells 3; valve 2; battery 2"},
		},
		Supply: &Supply{OxygenCylinderL: 2, OxygenStartBar: 185, DiluentCylinderL: 3, DiluentStartBar: 190, CylinderTempC: 21, WaterTempC: 17, BottomTempC: 8, ThermoclineM: 9, RecordTemp: true,
			Batteries: []Battery{{StartV: 8.1, FallVH: 0.15, SagV: 0.12, NoiseV: 0.01, Valves: []int{1}}, {StartV: 8, FallVH: 0.2, SagV: 0.14, SagGrowH: 3, NoiseV: 0.01, Valves: []int{2}}}},
	}
}
