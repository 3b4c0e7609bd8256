package supply

import "math"

// Balance is one and the same oxygen by three accounts, L STPD, between the two
// readings of the cylinder, or over the whole record where there are none.
type Balance struct {
	FromS, ToS float64
	// Start and End are the readings that Cylinder rests on.
	Start, End Reading
	// Cylinder is what left it. IdealShare is by how much the ideal gas law alone is
	// off in it, as a share.
	Cylinder   Range
	IdealShare float64
	// Valves is commanded seconds times flow, Working the same without what is known
	// to have failed, Hand what recorded additions by hand may have taken on top.
	Valves, Working, Hand Range
	// Given is Working and Hand together: what the cylinder should have lost.
	Given          Range
	OpenS, FailedS float64
	// Use is what metabolism, the loop's own gas and venting explain; UseBasis says by which VO2.
	Use      Range
	UseBasis string
	// Of Use: metabolism, and the bounds of what the loop gained, ascents vented and diluent brought.
	MetabolicL           Range
	StoredL              float64
	VentedMostL          float64
	FromDiluentMostL     float64
	ValvesAgreeWithUse   Verdict
	CylinderAndGiven     Verdict
	CylinderAndUse       Verdict
	UseRestsOnStatedFlow bool
	// TempKnown tells that water temperature was recorded at both ends.
	TempKnown bool
	// Candidates are what could be behind accounts that lie apart; none elsewhere.
	Candidates []string
}

// balance draws the three accounts.
func balance(in Input, c Cylinder, p Params) Balance {
	b := Balance{FromS: in.TimeS[0], ToS: in.TimeS[len(in.TimeS)-1], UseRestsOnStatedFlow: in.VO2UsesFlow, IdealShare: math.NaN()}
	b.cylinder(in, c, p)
	b.valves(in, p)
	b.byHand(in, p)
	b.Given = plus(b.Working, b.Hand)
	b.use(in, p)
	b.CylinderAndGiven = Compare(b.Cylinder, b.Given, p.CantTellShare)
	b.CylinderAndUse = Compare(b.Cylinder, b.Use, p.CantTellShare)
	b.ValvesAgreeWithUse = Compare(b.Given, b.Use, p.CantTellShare)
	b.Candidates = b.candidates()
	return b
}

func plus(a, b Range) Range {
	if !a.Known() {
		return a
	}
	return Range{a.Value + b.Value, a.Low + b.Low, a.High + b.High, a.Reason}
}

// cylinder is what left the cylinder: between the first and the last reading, or
// between a moment by which it had taken on the water's temperature and the end of
// the time under water, whichever leaves the narrowest interval for what left.
func (b *Balance) cylinder(in Input, c Cylinder, p Params) {
	if b.Cylinder = c.UsedL; c.Reason != "" || !c.UsedL.Known() {
		return
	}
	best := c.whole
	for _, times := range []float64{1, 1.5, 2} { // the later, the surer its temperature, and the less there is to measure
		if s := settled(in, c, times*p.SettledS, p); s.litres.Known() && s.width() < best.width() {
			best = s
		}
	}
	b.Cylinder, b.FromS, b.ToS = best.litres, best.start.AtS, best.end.AtS
	b.IdealShare, b.TempKnown = best.idealShare, best.tempKnown
	b.Start, b.End = best.start, best.end
}

// valves adds up the seconds. Time in gaps may hide openings: it widens the upper end.
func (b *Balance) valves(in Input, p Params) {
	switch {
	case len(in.Valves) == 0:
		b.Valves = unknown("the log has no valve columns")
	case !(in.FlowLMin > 0):
		b.Valves = unknown("the oxygen flow is not stated")
	}
	b.Working = b.Valves
	b.OpenS, b.FailedS = 0, 0
	openings, hidden := 0.0, 0.0
	for i, t := range in.TimeS {
		if t <= b.FromS || t > b.ToS {
			continue
		}
		if i > 0 && on(in.GapAfter, i-1, false) {
			hidden += t - math.Max(in.TimeS[i-1], b.FromS)
		}
		for _, v := range in.Valves {
			if s := value(v.OpenS, i); s > 0 {
				b.OpenS += s
				openings++
				if on(v.Failed, i, false) {
					b.FailedS += s
				}
			}
		}
	}
	if b.Valves.Reason != "" {
		return
	}
	b.Valves = b.litresGiven(in, b.OpenS, openings, hidden, p)
	b.Working = b.litresGiven(in, b.OpenS-b.FailedS, openings, hidden, p)
}

func (b *Balance) litresGiven(in Input, openS, openings, hiddenS float64, p Params) Range {
	l := openS * in.FlowLMin / 60
	r := about(l, hypot(p.FlowShare*l, 2*p.OpenRoundingS*math.Sqrt(openings)*in.FlowLMin/60))
	r.High += hiddenS * in.FlowLMin / 60
	r.Low = math.Max(0, r.Low)
	return r
}
