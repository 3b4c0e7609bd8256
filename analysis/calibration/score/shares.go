package score

import (
	"math"
	"slices"

	"afterloop/analysis"
)

func checkShares(logs []Log) []CheckShare {
	out := []CheckShare{}
	for _, k := range kinds() {
		c := CheckShare{Check: k}
		sum, n := 0.0, 0.0
		for _, l := range logs {
			for _, o := range l.Checks {
				if o.Check == k {
					c.count(o.Outcome)
					sum, n = sum+float64(o.Fraction), n+1
				}
			}
		}
		c.Assessable = Float(sum / n)
		out = append(out, c)
	}
	return out
}

func (c *CheckShare) count(o analysis.Outcome) {
	switch o {
	case analysis.Found:
		c.Found++
	case analysis.NotFound:
		c.NotFound++
	case analysis.Borderline:
		c.Borderline++
	case analysis.NotAssessed:
		c.NotAssessed++
	case analysis.DoesNotApply:
		c.DoesNotApply++
	}
}

func undecidable(logs []Log) Undecidable {
	var u Undecidable
	var gains, leaks tally
	for i := range logs {
		l := &logs[i]
		if len(l.Undecidable) > 0 {
			gains.add(l.CellsDisagree)
			u.Settled += oneIf(l.settled())
			u.Overclaimed += oneIf(!l.Helium && l.claims("miscalibrated-cell"))
		}
		if l.UndecidableLeak {
			leaks.add(l.Failed == "" && !l.claims("leaking-valve"))
		}
	}
	u.Gains, u.Leaks = gains.rate(), leaks.rate()
	return u
}

// settled tells whether cells alike in gain, not told to be undecidable, were
// named as they truly are, with the helium sensor that this takes.
func (l *Log) settled() bool {
	var named []int
	for _, g := range l.Found {
		if g.Kind == "miscalibrated-cell" && g.Verdict != OnlyNote {
			named = append(named, g.Cell)
		}
	}
	slices.Sort(named)
	return l.Helium && !l.CellsDisagree && len(named) > 0 && slices.Equal(slices.Compact(named), l.Undecidable)
}

// claims tells whether a kind of fault is called more than possible.
func (l *Log) claims(kind string) bool {
	for _, g := range l.Found {
		if g.Kind == kind && g.Verdict != OnlyNote && g.Confidence != string(analysis.Possible) {
			return true
		}
	}
	return false
}

// estimateShare sums up over the dives that could be debriefed.
func estimateShare(logs []Log) EstimateShare {
	var of []Accuracy
	var covered, width []float64
	e := EstimateShare{CoverageWorst: unknown}
	inside, rows := 0, 0
	for _, l := range logs {
		if l.Failed != "" {
			continue
		}
		a := l.Estimate
		of = append(of, a)
		c := float64(a.Inside) / float64(a.Rows)
		covered, width = append(covered, c), append(width, float64(a.WidthBar))
		inside, rows = inside+a.Inside, rows+a.Rows
	}
	e.VoteRMSBar = distribution(figures(of, func(a Accuracy) Float { return a.VoteRMS }))
	e.RMSBar = distribution(figures(of, func(a Accuracy) Float { return a.RMS }))
	e.Ratio = distribution(figures(of, func(a Accuracy) Float { return a.RMS / a.VoteRMS }))
	e.ScaledRMSBar = distribution(figures(of, func(a Accuracy) Float { return a.ScaledRMS }))
	e.ScaledRatio = distribution(figures(of, func(a Accuracy) Float { return a.ScaledRMS / a.VoteRMS }))
	e.ScaleError = distribution(figures(of, func(a Accuracy) Float { return Float(math.Abs(float64(a.Scale) - 1)) }))
	e.Coverage, e.CoveragePooled = meanOf(covered), Float(float64(inside)/float64(rows))
	e.WidthBar, e.CoverageWorst = Float(quantile(width, 0.5)), Float(quantile(covered, 0))
	return e
}

// simpleShares puts the diagnosis and the simple rules side by side, on cells.
func simpleShares(logs []Log) []SimpleShare {
	out := []SimpleShare{simpleShare(ownName, "this diagnosis, by the same measure", logs)}
	for _, r := range simpleRules() {
		out = append(out, simpleShare(r.name, r.text, logs))
	}
	return out
}

func simpleShare(name, text string, logs []Log) SimpleShare {
	var detected, named, exact, clean tally
	wrong, dives := 0, 0
	for _, l := range logs {
		faults := l.cellFaults() // a failed dive has missed them all
		detected.of, named.of, exact.of = detected.of+faults, named.of+faults, exact.of+faults
		for _, r := range l.Simple {
			if r.Rule != name {
				continue
			}
			detected.right, named.right, exact.right = detected.right+r.Detected, named.right+r.Named, exact.right+r.Exact
			wrong, dives = wrong+r.FalseAlarms, dives+1
			if l.Healthy {
				clean.add(r.FalseAlarms == 0)
			}
		}
	}
	return SimpleShare{Rule: name, Text: text, Detected: detected.rate(), Named: named.rate(), Exact: exact.rate(),
		FalseAlarms: countOf(wrong, float64(dives)), HealthyClean: clean.rate()}
}

func (l *Log) cellFaults() int {
	n := 0
	for _, f := range l.Faults {
		n += oneIf(f.part().name == "cell")
	}
	return n
}

// withSlices makes sure that no slice is nil, so that JSON has no null lists.
func (l Log) withSlices() Log {
	if l.Undecidable == nil {
		l.Undecidable = []int{}
	}
	if l.Faults == nil {
		l.Faults = []Fault{}
	}
	if l.Found == nil {
		l.Found = []Finding{}
	}
	if l.SureAndWrong == nil {
		l.SureAndWrong = []string{}
	}
	if l.Checks == nil {
		l.Checks = []Outcome{}
	}
	if l.Simple == nil {
		l.Simple = []SimpleRule{}
	}
	return l
}
