package exposure

import "math"

// DetectableNear13 is the share in per cent of dives after which pulmonary oxygen
// toxicity can be detected, after tH hours at about 1.3 bar:
//
//	P = 100 / (1 + e^(3.586 - 0.49 T))
//
// It is 2.70 % at 0 h, the formula's own offset.
func DetectableNear13(tH float64) float64 { return 100 / (1 + math.Exp(3.586-0.49*tH)) }

var nearThirteen = Model{
	Name: "near-1.3", Title: "Detectable lung effect near 1.3 bar", Unit: "%",
	Says:     "Share of dives of this length at about 1.3 bar after which pulmonary oxygen toxicity can be detected.",
	Equation: "P% = 100/(1 + e^(3.586 - 0.49 T)), T in h of exposure",
	Source:   "Shykoff, UHM 42:547-564, 2015 (abstract; 1352 man-dives)",
	Range:    "PO2 of about 130 kPa; here 1.2 to 1.4 bar (ours), for at least 80 % of the exposed time",
	FromBar:  1.2, ToBar: 1.4, MinInside: 0.8, Verified: true,
	run: func(c course) outcome {
		t := 0.0
		for _, s := range c {
			if s.exposed {
				t += s.seconds
			}
		}
		return outcome{value: DetectableNear13(t / 3600), figures: []Figure{{ofWhichOffset, DetectableNear13(0), "%"}, {"T", t / 3600, "h"}},
			notes: []string{"2.70 % is the formula's own offset: it gives that for no dive at all. Its recovery is garbled in what was read and not used."}}
	},
}
