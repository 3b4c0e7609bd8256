package scenario

// DayDemos are three dives of one invented diver within some 24 hours, in two time
// zones: the first crosses midnight, the last follows a journey to the west. No
// dive alone is near a limit; together they pass the 24-hour limit. Their names
// are paths below the folder of the demonstration logs.
func DayDemos() []Named {
	return []Named{
		{"days/ombrel-night", dayDive(11, 28, 5010, "Lake Ombrel, the night dive", "2026-07-03T22:48:00+02:00")},
		{"days/ombrel-morning", dayDive(12, 24, 4380, "Lake Ombrel, east slope", "2026-07-04T10:35:00+02:00")},
		{"days/varr-evening", dayDive(13, 21, 4260, "Varr Sound, the old ferry", "2026-07-04T20:20:00+01:00")},
	}
}

// dayDive is a dive on air at 1.3 bar with three sound cells.
func dayDive(seed uint64, depthM, lengthS float64, name, start string) Spec {
	return Spec{
		Name: "none", Seed: 20260700 + seed,
		SurfacePressureBar: 1.01, WaterDensityKgM3: 1000, Diluent: "21/0",
		Profile: Profile{Kind: "custom", WanderM: 0.1, Waypoints: []Waypoint{
			{0, 0}, {120, 0}, {240, depthM}, {lengthS - 1300, depthM + 0.5}, {lengthS - 1150, 12}, {lengthS - 900, 12}, {lengthS - 800, 6}, {lengthS - 200, 5.5}, {lengthS - 90, 0}, {lengthS, 0},
		}},
		SetPoint: SetPoint{LowBar: 0.7, HighBar: 1.3, UpDepthM: 10, DownDepthM: 3},
		Loop:     Loop{VolumeL: 5.9, StartPO2Bar: 0.6, TempC: 22},
		Work:     []Work{{0, 0.6}, {130, 1.0}, {600, 0.8}, {1500, 1.2}, {2100, 0.8}},
		Cells: []Cell{
			{T90S: 6.2, Gain: 0.997, NoiseBar: 0.003}, {T90S: 5.4, Gain: 1.006, NoiseBar: 0.002}, {T90S: 7.1, Gain: 1.001, NoiseBar: 0.003},
		},
		Valves:     []Valve{{FlowLMin: 10}},
		Controller: Controller{Style: "variable", Vote: "mid-value", IntervalS: 6, BaseS: 0.1, SPerBar: 26, MaxS: 3.5},
		Recording:  Recording{IntervalS: 10, DepthStepM: 0.1},
		Events:     []Event{{Kind: "diluent_flush", AtS: 500, ForS: 20, VolumeL: 15}},
		Meta: Meta{
			Dive: name, Diver: "T. L.", Unit: "three cells, one valve", Start: start, LoopFacts: true,
			Serials:   []string{"VA-08", "VA-09", "VA-12"},
			Installed: []string{"2026-02-11", "2026-02-11", "2026-05-30"},
		},
	}
}
