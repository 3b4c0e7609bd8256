package scenario

import "fmt"

// CourseDemos are the logs of an invented course on Lake Ombrel: four students
// with invented initials on one profile, recorded every 10 s. One dive is sound;
// one has a cell with a ceiling, one a short supply of oxygen, one a cell with a
// wrong gain, minutes off the loop and a gap in its record.
func CourseDemos() []Named {
	sound := courseDive(7001, "T. A.", "course unit 1", 1, "2026-05-09T09:02:00+02:00")
	limited := courseDive(7002, "B. O.", "course unit 2", 4, "2026-05-09T09:10:00+02:00")
	limited.Faults = []Fault{{Kind: Limited, Cell: 2, CeilingBar: 1.02, Slope: 0.1}}
	supply := courseDive(7003, "L. Y.", "course unit 3", 7, "2026-05-09T09:18:00+02:00")
	supply.Faults = []Fault{{Kind: OxygenOff, FromS: 1260, ToS: 1560}}
	gain := courseDive(7004, "S. N.", "course unit 4", 10, "2026-05-09T09:26:00+02:00")
	gain.Faults = []Fault{{Kind: Gain, Cell: 3, Gain: 0.83}}
	gain.Recording.Gaps = []Span{{1500, 1590}}
	gain.Events = append(gain.Events, Event{Kind: "bailout", AtS: 900}, Event{Kind: "on_loop", AtS: 1020})
	gain.Recording.Notes = append(gain.Recording.Notes, Note{900, "drill: off the loop"})
	return []Named{{"course/t-a", sound}, {"course/b-o", limited}, {"course/l-y", supply}, {"course/s-n", gain}}
}

// courseDive is the dive that all students of the course make.
func courseDive(seed uint64, diver, unit string, firstSerial int, start string) Spec {
	return Spec{
		Name: "course", Seed: seed,
		SurfacePressureBar: lakeBar, WaterDensityKgM3: 1000, Diluent: "21/0",
		Profile: Profile{Kind: "custom", WanderM: 0.15, Waypoints: []Waypoint{
			{0, 0}, {100, 0}, {220, 18}, {1300, 18.5}, {1420, 9}, {1800, 9}, {1860, 5}, {2100, 5}, {2190, 0}, {2240, 0},
		}},
		SetPoint:   SetPoint{LowBar: 0.7, HighBar: 1.2, UpDepthM: 10, DownDepthM: 4},
		Loop:       Loop{VolumeL: 6.5, StartPO2Bar: 0.7, TempC: 22},
		Work:       []Work{{0, 0.7}, {110, 1.0}, {500, 0.8}, {800, 1.3}, {1100, 0.9}, {1450, 0.8}},
		Cells:      []Cell{{T90S: 6, Gain: 1.003, NoiseBar: 0.003}, {T90S: 6.6, Gain: 0.995, NoiseBar: 0.003}, {T90S: 5.7, Gain: 1.006, NoiseBar: 0.003}},
		Valves:     []Valve{{FlowLMin: 12}},
		Controller: Controller{Style: "variable", Vote: "mid-value", IntervalS: 6, BaseS: 0.1, SPerBar: 28, MaxS: 3},
		Recording:  Recording{IntervalS: 10, DepthStepM: 0.1, Votes: true, Notes: []Note{{100, "leaving the surface"}, {620, "diluent flush, cells compared"}}},
		Events:     []Event{{Kind: "diluent_flush", AtS: 600, ForS: 25, VolumeL: 22}},
		Meta: Meta{Dive: "Lake Ombrel, course, dive 3", Diver: diver, Unit: unit, Start: start, LoopFacts: true,
			Serials: []string{serial(firstSerial), serial(firstSerial + 1), serial(firstSerial + 2)}, Installed: []string{"2026-01-20", "2026-01-20", "2026-01-20"},
			Calibration: &Calibration{GasO2: 1, PressureBar: lakeBar, TempC: 15, Time: start}},
	}
}

// serial is an invented serial number.
func serial(n int) string { return fmt.Sprintf("KD-%02d", n) }
