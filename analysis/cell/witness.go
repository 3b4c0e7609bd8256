package cell

import (
	"fmt"
	"math"
)

// witness is a statement on absolute scale: on the reference's scale the good cells
// read gamma times the true PO2, so a cell of gain g on that scale has the true gain
// g gamma. Where atLeast is set it only says that gamma is no less.
type witness struct {
	gamma, sd float64
	atLeast   bool
	// firm is false for helium without a stated sigma: it may name a cell, and is
	// never what makes a verdict sure.
	firm bool
	text string
}

// support is the log-likelihood that cells of this gain, on the reference's
// scale, are right but for a healthy cell's spread.
func (w witness) support(gain, spread float64) float64 {
	u := (gain*w.gamma - 1) / math.Hypot(gain*w.sd, spread)
	if w.atLeast && u < 0 {
		return 0
	}
	return -0.5 * u * u
}

// together is gamma by all two-sided witnesses, weighted by their variances.
func together(ws []witness) (gamma, sd float64, ok bool) {
	sum, weight := 0.0, 0.0
	for _, w := range ws {
		if !w.atLeast {
			sum, weight = sum+w.gamma/sq(w.sd), weight+1/sq(w.sd)
		}
	}
	if weight == 0 {
		return 0, 0, false
	}
	return sum / weight, math.Sqrt(1 / weight), true
}

// witnesses asks every witness that this log has.
func (d *dive) witnesses(v *verdict) []witness {
	x, noise := d.pooled(v)
	var out []witness
	if w, ok := d.byHelium(x, noise); ok {
		out = append(out, w)
	}
	if w, ok := d.byBound(x, noise); ok {
		out = append(out, w)
	}
	return append(out, d.byKnownGas(x, noise)...)
}

// byBound uses p <= Pd: readings above the dry pressure of the gas are too high.
func (d *dive) byBound(x []float64, noise float64) (witness, bool) {
	worst, at := 0.0, 0
	means := d.means(x)
	for k, b := range d.blocks {
		if math.IsNaN(means[k]) {
			continue
		}
		top := d.AmbientBar[b.from] - d.VapourLowBar
		if r := (means[k] - 2*noise) / top; r > worst {
			worst, at = r, k
		}
	}
	if !(worst > 0.95) {
		return witness{}, false
	}
	return witness{gamma: worst, sd: 0.01, atLeast: true, firm: true,
		text: fmt.Sprintf("at %.0f s the readings reach %.2f times the pressure of the gas, and PO2 can't exceed it", d.blocks[at].timeS, worst)}, true
}

// byKnownGas compares the last third of each stretch of known gas, when the cells
// have settled, with what PO2 was then.
func (d *dive) byKnownGas(x []float64, noise float64) []witness {
	var out []witness
	for _, g := range d.Known {
		from := g.ToS - (g.ToS-g.FromS)/3
		sum, n := 0.0, 0
		for i, t := range d.TimeS {
			if t >= from && t <= g.ToS && !math.IsNaN(x[i]) {
				sum, n = sum+x[i], n+1
			}
		}
		mid := (g.LowBar + g.HighBar) / 2
		if n == 0 || !(mid > 0.05) {
			continue
		}
		gamma := sum / float64(n) / mid
		sd := math.Hypot(gamma*(g.HighBar-g.LowBar)/4/mid, (noise+d.p.ModelBar)/mid)
		out = append(out, witness{gamma: gamma, sd: sd, firm: true,
			text: fmt.Sprintf("%s at %.0f-%.0f s: PO2 was %.2f-%.2f bar", g.Basis, g.FromS, g.ToS, g.LowBar, g.HighBar)})
	}
	return out
}

// byHelium regresses the readings on what helium says. Oxygen added or used leaves
// He : N2 as in the diluent, R = N2/He (METHODS, "Helium as witness"):
//
//	p = A + (b + c t) B,   x = gamma p
//	dry: A = Pd (1 - F (1+R)),          B = Pd (1+R)
//	wet: A = P - pH2O - F P (1+R),      B = P (1+R)
//
// The sensor's bias b and its drift c have priors; since B goes with depth and A
// keeps near the set point, a dive at several depths settles them itself.
// Only rows on the level count, away from changes of depth (the sensor lags), after the
// first descent (the starting air is washed out).
func (d *dive) byHelium(x []float64, noise float64) (witness, bool) {
	h, ok := d.heliumRows(x)
	if !ok {
		return witness{}, false
	}
	perBlock := math.Hypot(noise, d.p.ModelBar)
	n := newNormal(3)
	for _, r := range h.rows {
		w := math.Min(1, r.lengthS/d.p.CorrelationS) / (sq(perBlock) + sq(h.sigma*r.b) + sq(d.p.ModelRel*r.x))
		n.add([]float64{r.a, r.b, r.b * r.tH}, r.x, w)
	}
	n.prior(1, d.p.HeliumBiasSD)
	n.prior(2, d.p.HeliumDriftSDPerH)
	gamma, sd := n.solve()[0], math.Hypot(n.sd(0), d.p.HeliumModelSD)
	if !(sd < 0.06) {
		return witness{}, false
	}
	return witness{gamma: gamma, sd: sd, firm: !math.IsNaN(d.HeSigma),
		text: fmt.Sprintf("helium, over %d blocks on the level, puts the scale on which the cells were compared at %.3f +- %.3f of the true PO2", len(h.rows), gamma, 2*sd)}, true
}

type heliumRow struct{ x, a, b, tH, lengthS float64 }

type heliumRows struct {
	rows  []heliumRow
	sigma float64
}

func (d *dive) heliumRows(x []float64) (heliumRows, bool) {
	h := heliumRows{sigma: d.HeSigma}
	if d.LoopHe == nil || d.FHeDil == nil || d.FO2Dil == nil {
		return h, false
	}
	if math.IsNaN(h.sigma) {
		h.sigma = d.p.HeliumSigma
	}
	he, cells := d.means(d.LoopHe), d.means(x)
	start := d.afterFirstDescent()
	vapour := (d.VapourLowBar + d.VapourHighBar) / 2
	for k, b := range d.blocks {
		fHe, fO2 := d.FHeDil[b.from], d.FO2Dil[b.from]
		if b.timeS < start || !(fHe >= d.p.HeliumLeast) || math.IsNaN(he[k]) || math.IsNaN(cells[k]) || !d.stillFor(b, d.p.HeliumSettleS) {
			continue
		}
		if fHe != d.FHeDil[0] || fO2 != d.FO2Dil[0] {
			break // another diluent: He : N2 is no longer known
		}
		amb := mean(d.AmbientBar[b.from:b.to])
		gas := amb - vapour
		r := 1 + (1-fHe-fO2)/fHe
		row := heliumRow{x: cells[k], a: gas * (1 - he[k]*r), b: gas * r, tH: (b.timeS - start) / 3600, lengthS: b.lengthS}
		if d.HeBasisWet {
			row.a, row.b = gas-he[k]*amb*r, amb*r
		}
		h.rows = append(h.rows, row)
	}
	return h, len(h.rows) >= 20
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// afterFirstDescent is when depth first comes near its largest.
func (d *dive) afterFirstDescent() float64 {
	deepest := 0.0
	for _, z := range d.DepthM {
		deepest = math.Max(deepest, z)
	}
	for i, z := range d.DepthM {
		if z >= 0.9*deepest {
			return d.TimeS[i] + d.p.HeliumSettleS
		}
	}
	return math.Inf(1)
}

// stillFor tells whether depth has not moved by more than 0.5 m over the last s seconds.
func (d *dive) stillFor(b block, s float64) bool {
	i := d.rowAt(b.timeS - s)
	return math.Abs(d.DepthM[i]-d.DepthM[b.from]) <= 0.5
}
