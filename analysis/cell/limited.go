package cell

import (
	"fmt"
	"math"
)

// judgeCeiling reports a cell's ceiling, as its own reading, or the highest
// reading without a sign of one.
func (d *dive) judgeCeiling(out *Diagnosis, v *verdict, i int) {
	q, f, r := &v.pairs[i], v.fits[i], &out.Cells[i]
	if f.shape != ceiling {
		_, hi := q.span(q.y)
		r.CeilingBar = Interval{Value: math.NaN(), Low: hi, High: math.NaN(), Reason: fmt.Sprintf("no limit seen up to %.2f bar", hi)}
		return
	}
	p := d.passages(q, f)
	lo, hi := q.kneeInterval(f)
	first := f.gain * knee(f.kneeBar, f.sinkPerS, p.fromS-q.timeS[0])
	r.CeilingBar = Interval{Value: first, Low: first - f.gain*(f.kneeBar-lo), High: first + f.gain*(hi-f.kneeBar)}
	if p.count == 0 || p.aboveS < d.p.CorrelationS {
		r.CeilingBar.Reason = "hardly passed"
		return
	}
	g := Fault{Kind: Limited, Onset: Interval{Value: p.fromS, Low: p.fromS, High: p.fromS}, Cell: d.CellNumber[i], FromS: p.fromS, ToS: math.NaN(),
		Value: first, Low: r.CeilingBar.Low, High: r.CeilingBar.High, Unit: "bar",
		LinesOfEvidence: p.count + 1,
		Evidence: []string{
			fmt.Sprintf("above %.2f bar it moves by %.2f of what the others move, for %.0f s in %d passages, while PO2 reaches %.2f bar", first, f.slope, p.aboveS, p.count, p.topBar),
			"below it follows them",
		},
		Alternatives: []string{"a load or wiring that cuts the cell's signal off"}}
	if f.sinkPerS*(q.timeS[len(q.timeS)-1]-q.timeS[0]) > 0.02 {
		g.Evidence = append(g.Evidence, fmt.Sprintf("the ceiling sinks by %.0f %% an hour", 100*3600*f.sinkPerS))
	}
	margin := math.Min(f.margin, v.refMargin(i, ceiling))
	g.Confidence = d.p.grade(margin, g.LinesOfEvidence, (p.topBar-f.kneeBar)/d.p.CeilingExcessBar-1, q.misfit(f))
	out.Faults = append(out.Faults, g)
}

// passage sums up the times above a knee.
type passage struct {
	fromS  float64 // first time PO2 passes the knee
	aboveS float64 // time at least CeilingExcessBar above it
	count  int     // times it rose so far above it
	topBar float64
}

func (d *dive) passages(q *pair, f fit) passage {
	p := passage{fromS: math.NaN()}
	x := q.x[q.quick]
	over := false
	for k, w := range q.weight {
		if w == 0 {
			continue
		}
		b := knee(f.kneeBar, f.sinkPerS, q.timeS[k]-q.timeS[0])
		p.topBar = math.Max(p.topBar, x[k])
		if x[k] > b && math.IsNaN(p.fromS) {
			p.fromS = d.crossed(q, k, b)
		}
		switch {
		case x[k] > b+d.p.CeilingExcessBar:
			p.aboveS += d.blocks[k].lengthS
			if !over {
				over, p.count = true, p.count+1
			}
		case x[k] < b:
			over = false
		}
	}
	return p
}

// crossed is when the reference rose through b before block k.
func (d *dive) crossed(q *pair, k int, b float64) float64 {
	x := q.x[q.quick]
	if k == 0 || q.weight[k-1] == 0 || x[k-1] >= b {
		return d.TimeS[d.blocks[k].from]
	}
	lag := q.taus[q.quick] // the reference is behind its own filter and the quick one
	return q.timeS[k-1] + (b-x[k-1])/(x[k]-x[k-1])*(q.timeS[k]-q.timeS[k-1]) - 2*lag
}
