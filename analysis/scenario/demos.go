package scenario

// Named is a spec with the name of its file.
type Named struct {
	Name string // without ".csv"
	Spec Spec
}

// Demos are the demonstration dives of the repository: an invented lake, invented
// initials, two units that have nothing in common but the trade.
func Demos() []Named {
	return []Named{
		{"ombrel-healthy", healthyDemo()},
		{"ombrel-two-limited", limitedDemo()},
		{"ombrel-gauges", carriedDemo()},
	}
}

// lakeBar is the pressure at the invented Lake Ombrel, some 560 m above the sea
// (standard atmosphere: 0.948 bar), whose water is fresh.
const lakeBar = 0.948

// healthyDemo is a dive on air with three sound cells and one valve. The loop is
// filled with oxygen and the cells are calibrated at the surface; at the bottom
// a diluent flush gives them a known gas, 0.21 of the pressure.
func healthyDemo() Spec {
	return Spec{
		Name: "none", Seed: 20260502,
		SurfacePressureBar: lakeBar, WaterDensityKgM3: 1000, Diluent: "21/0",
		Profile: Profile{Kind: "custom", WanderM: 0.1, Waypoints: []Waypoint{
			{0, 0}, {150, 0}, {240, 21.5}, {1260, 22}, {1350, 12}, {1680, 11.5}, {1740, 5.5}, {2040, 5}, {2130, 0}, {2190, 0},
		}},
		SetPoint: SetPoint{LowBar: 0.7, HighBar: 1.2, UpDepthM: 12, DownDepthM: 4},
		Loop:     Loop{VolumeL: 6.2, StartPO2Bar: 0.2, TempC: 20},
		Work:     []Work{{0, 0.6}, {160, 1.1}, {420, 0.8}, {760, 1.5}, {1000, 0.9}, {1260, 1.2}, {1400, 0.7}, {1750, 0.8}},
		Cells: []Cell{
			{T90S: 5.1, Gain: 1.004, NoiseBar: 0.003},
			{T90S: 6.4, Gain: 0.991, NoiseBar: 0.002},
			{T90S: 5.8, Gain: 1.012, NoiseBar: 0.004},
		},
		Valves:     []Valve{{FlowLMin: 11}},
		Controller: Controller{Style: "variable", Vote: "mid-value", IntervalS: 5, BaseS: 0.1, SPerBar: 30, MaxS: 3},
		Recording: Recording{IntervalS: 2, DepthStepM: 0.1, Notes: []Note{
			{2, "pre-breathe"}, {150, "leaving the surface"}, {622, "flushed with diluent: cells come down together"}, {1262, "going up along the slope"}, {2132, "surface"},
		}},
		Events: []Event{
			{Kind: "oxygen_flush", AtS: 20, ForS: 25, VolumeL: 25},
			{Kind: "calibration", AtS: 76},
			{Kind: "diluent_flush", AtS: 600, ForS: 20, VolumeL: 22},
		},
		Meta: Meta{
			Dive: "Lake Ombrel, east slope", Diver: "R. V.", Unit: "three cells, one valve",
			Start: "2026-05-02T09:41:00+02:00", LoopFacts: true,
			Serials:     []string{"OM-114", "OM-115", "OM-131"},
			Installed:   []string{"2025-11-20", "2025-11-20", "2026-02-03"},
			Calibration: &Calibration{GasO2: 0.98, PressureBar: lakeBar, TempC: 14, Time: "2026-05-02T09:42:16+02:00"},
		},
	}
}

// limitedDemo is a trimix dive on which two of four cells are limited a little
// below the set point. Until the fast end of the descent the mean of all four
// keeps things bearable; then PO2 overshoots, the two sound cells are more than
// the tolerance from the others and are voted out, and from there on the unit
// holds the limited ones at the set point while the diver breathes 0.3 bar more.
// A diluent flush on the bottom tells who is right: 0.18 of the dry pressure.
func limitedDemo() Spec {
	return Spec{
		Name: "limited-pair", Seed: 20260621,
		SurfacePressureBar: lakeBar, WaterDensityKgM3: 1000, Diluent: "18/45", OpenCircuitGas: "18/45",
		Profile: Profile{Kind: "custom", WanderM: 0.12, Waypoints: []Waypoint{
			{0, 0}, {90, 0}, {200, 24}, {290, 25}, {420, 62}, {1320, 62.5},
			{1535, 30}, {1640, 30}, {1675, 27}, {1760, 27}, {1790, 24}, {1880, 24}, {1910, 21}, {2010, 21}, {2040, 18}, {2150, 18},
			{2180, 15}, {2310, 15}, {2340, 12}, {2510, 12}, {2540, 9}, {2760, 9}, {2790, 6}, {3600, 6}, {3720, 0}, {3780, 0},
		}},
		SetPoint: SetPoint{LowBar: 0.7, HighBar: 1.3, UpDepthM: 15, DownDepthM: 3},
		Loop:     Loop{VolumeL: 7.1, StartPO2Bar: 0.75, TempC: 24, HumidBar: 0.03},
		Work:     []Work{{0, 0.7}, {90, 1.0}, {430, 0.9}, {700, 1.3}, {900, 0.8}, {1320, 1.0}, {1550, 0.7}, {2200, 0.6}, {3600, 0.8}},
		Cells: []Cell{
			{T90S: 6.1, Gain: 0.996, NoiseBar: 0.003},
			{T90S: 7.2, Gain: 1.003, NoiseBar: 0.002},
			{T90S: 6.8, Gain: 0.994, NoiseBar: 0.003},
			{T90S: 5.2, Gain: 1.007, NoiseBar: 0.004},
		},
		Valves:     []Valve{{FlowLMin: 14}, {FlowLMin: 14}},
		Controller: Controller{Style: "fixed", Vote: "leave-one-out", IntervalS: 8, PulseS: 1, Turns: "alternate", DeadbandBar: 0.005},
		Helium:     &Helium{Basis: "dry", NoiseSigma: 0.002, BiasSigma: 0.002, LagS: 20, StatedSigma: 0.003},
		Recording: Recording{IntervalS: 5, DepthStepM: 0.1, Votes: true, Notes: []Note{
			{90, "leaving the surface"}, {600, "cells 1 and 4 out, handset shows 1.30"}, {1145, "flush: 1 and 4 fit the diluent, 2 and 3 stay low"}, {3725, "surface"},
		}},
		Events: []Event{{Kind: "diluent_flush", AtS: 1100, ForS: 30, VolumeL: 28}},
		Faults: []Fault{
			{Kind: Limited, Cell: 2, CeilingBar: 1.19, Slope: 0.24},
			{Kind: Limited, Cell: 3, CeilingBar: 1.17, Slope: 0.26},
		},
		Meta: Meta{
			Dive: "Lake Ombrel, the drowned quarry", Diver: "M. Q.", Unit: "four cells, two valves",
			Start:       "2026-06-21T10:15:00+02:00",
			Serials:     []string{"QK 2207", "QK 1561", "QK 1562", "QK 2208"},
			Installed:   []string{"2026-01-12", "2024-06-30", "2024-06-30", "2026-01-12"},
			Calibration: &Calibration{GasO2: 1, PressureBar: lakeBar, TempC: 16, Time: "2026-06-21T09:20:00+02:00"},
		},
	}
}
