package analysis

import (
	"fmt"
	"math"
	"sort"

	"afterloop/ingest"
)

// Kinds of moment at which the right PO2 was known.
const (
	airAtSurface    = "air_at_surface"
	calibrationKind = "calibration"
	diluentFlush    = "diluent_flush"
	oxygenFlush     = "oxygen_flush"
)

// airO2 is the oxygen fraction of dry air (US Standard Atmosphere 1976: 0.209476).
const airO2 = 0.2095

func knownGasName(kind string) string {
	return map[string]string{airAtSurface: "air at the surface", calibrationKind: "the calibration",
		diluentFlush: "the diluent flush", oxygenFlush: "the oxygen flush"}[kind]
}

// knownGas lists every moment when the right PO2 was known, in order of time.
//
// A flush takes PO2 towards F P_d, with P_d between P and P less saturated
// vapour: the expected value is a range, and a reading within it, widened by
// the tolerance, is within. How complete a flush was is not in the log, so it
// bounds PO2 from one side only: after one that came down PO2 is at least F P_d
// less what the diver has used since, and only a reading below that is conclusively
// off; the range widens downward by it ([bench.useBound]). A moment at which the
// cells did not settle is listed and not assessed.
func (b *bench) knownGas() []KnownGas {
	out := []KnownGas{}
	if k, ok := b.airAtSurface(); ok {
		out = append(out, k)
	}
	last := map[ingest.EventKind]float64{}
	for _, e := range b.events {
		t := b.tS[e.Row]
		prev, seen := last[e.Kind]
		last[e.Kind] = t
		if seen && t-prev <= b.p.KnownGas.WindowS { // one flush may mark several rows
			continue
		}
		switch e.Kind {
		case ingest.DiluentFlush:
			out = append(out, b.flush(diluentFlush, e.Row))
		case ingest.OxygenFlush:
			out = append(out, b.flush(oxygenFlush, e.Row))
		case ingest.CalibrationRun:
			out = append(out, b.calibrationCheck(e.Row))
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].AtS < out[j].AtS })
	return out
}

// flush reads one flush: the steady stretch within the window after the event
// that is nearest in time and in which the median of the cells moves little.
func (b *bench) flush(kind string, row int) KnownGas {
	k := KnownGas{Kind: kind, AtS: Float(b.tS[row]), ToS: Float(b.tS[row]), ExpectedBar: unknown, ExpectedLow: unknown, ExpectedHigh: unknown, LeastBar: unknown, SettleS: unknown, Readings: []KnownGasReading{}}
	f := 1.0
	if kind == diluentFlush {
		d := b.dive.Diluent[row]
		if !d.Known {
			k.Reason = "the log does not say which diluent was used"
			if b.doubled.diluentsContradict() {
				k.Reason = "the two logs state different diluents"
			}
			return k
		}
		f = d.O2
		k.Basis = fmt.Sprintf("F_O2 x (P - pH2O): %.2f of the diluent %s, pH2O from 0 to %.4f bar", f, d.String(), b.p.Gas.VapourBar)
	} else {
		k.Basis = fmt.Sprintf("P - pH2O, pH2O from 0 to %.4f bar", b.p.Gas.VapourBar)
	}
	if !b.onLoop[row] {
		k.Reason = "the diver was not on the loop"
		return k
	}
	toward := b.flushDirection(kind, f, row)
	win, reason := b.plateau(row, toward)
	if reason != "" {
		k.Reason = reason
		return k
	}
	b.expect(&k, f, win)
	if toward > 0 {
		b.read(&k, row, win, toward)
		return k
	}
	use := b.useBound(row, f)
	k.LeastBar = k.ExpectedLow - Float(use.lost((win.fromS+win.toS)/2))
	k.Basis += use.text()
	b.read(&k, row, win, toward)
	for i := range k.Readings {
		r := &k.Readings[i]
		r.Conclusive = b.belowUse(i, span{from: row, to: win.to}, f, use)
		r.Within = r.Within && !r.Conclusive
	}
	return k
}

// expect fills the expected value for the oxygen fraction f over the plateau.
func (b *bench) expect(k *KnownGas, f float64, win span) {
	var p []float64
	for i := win.from; i <= win.to; i++ {
		p = append(p, b.dive.AmbientBar[i])
	}
	amb := medianOf(p)
	lo, hi := f*(amb-b.p.Gas.VapourBar), f*amb
	k.ExpectedBar, k.ExpectedLow, k.ExpectedHigh, k.LeastBar = Float((lo+hi)/2), Float(lo), Float(hi), Float(lo)
	k.ToS = Float(win.toS)
}

// flushDirection is the sign in which the flush should move PO2: the plateau is
// sought once the cells have gone that way as far as they went.
func (b *bench) flushDirection(kind string, f float64, row int) float64 {
	if kind == oxygenFlush {
		return 1
	}
	if now := b.median[row]; !math.IsNaN(now) && f*b.dive.AmbientBar[row] > now {
		return 1
	}
	return -1
}

// plateau finds, after a flush at row, the steady stretch at the far end of the
// move: the rows around the extreme of the median that stay near it, for at least PlateauS.
func (b *bench) plateau(row int, toward float64) (span, string) {
	p := b.p.KnownGas
	end := row
	for end+1 < len(b.tS) && !b.gapAfter[end] && b.tS[end+1]-b.tS[row] <= p.WindowS && b.onLoop[end+1] {
		end++
	}
	if b.tS[end]-b.tS[row] < p.PlateauS {
		return span{}, "the record goes on for too short a time after it"
	}
	if b.dive.DepthM != nil && math.Abs(b.dive.DepthM[end]-b.dive.DepthM[row]) > p.DepthM {
		return span{}, fmt.Sprintf("the depth changed by more than %.0f m meanwhile", p.DepthM)
	}
	x := extreme(b.median, span{from: row, to: end}, toward)
	if x < 0 {
		return span{}, "no readings"
	}
	steady := p.SteadyBar + float64(b.debrief.Recording.CellStepBar) + tol
	near := func(i int) bool { return math.IsNaN(b.median[i]) || math.Abs(b.median[i]-b.median[x]) <= steady }
	from, to := x, x
	for from > row && near(from-1) {
		from--
	}
	for to < end && near(to+1) {
		to++
	}
	s := span{from: from, to: to, fromS: b.tS[from], toS: b.tS[to]}
	if s.seconds() < p.PlateauS-1e-9 {
		return span{}, fmt.Sprintf("the cells did not settle: their median stayed within %s for %.0f s only", bar(steady), s.seconds())
	}
	return s, ""
}

// read fills each cell's reading, error and time to settle. toward is the sign in
// which PO2 came to the expected value, 0 where the value is known from both sides.
func (b *bench) read(k *KnownGas, row int, win span, toward float64) {
	p := b.p.KnownGas
	slowest := math.NaN()
	for c, n := range b.numbers {
		var v []float64
		for i := win.from; i <= win.to; i++ {
			if !math.IsNaN(b.cells[c][i]) {
				v = append(v, b.cells[c][i])
			}
		}
		r := KnownGasReading{Cell: n, ReadBar: unknown, ErrorBar: unknown, ErrorFraction: unknown, SettleS: unknown}
		if len(v) > 0 {
			m := medianOf(v)
			r.ReadBar, r.ErrorBar = Float(m), Float(m)-k.ExpectedBar
			r.ErrorFraction = r.ErrorBar / k.ExpectedBar
			low := m < float64(k.LeastBar)-p.ToleranceBar-tol
			high := m > float64(k.ExpectedHigh)+p.ToleranceBar+tol
			r.Within, r.Conclusive = !low && !high, low && toward <= 0 || high && toward >= 0
			s := b.settle(c, row, win, m)
			r.SettleS = Float(s)
			if !math.IsNaN(s) && !(s <= slowest) {
				slowest = s
			}
		}
		k.Readings = append(k.Readings, r)
	}
	k.SettleS, k.Assessed = Float(slowest), true
}

// settle is the time from row until the cell stays within 0.05 bar of its plateau m.
func (b *bench) settle(c, row int, win span, m float64) float64 {
	since := math.NaN()
	for i := row; i <= win.to; i++ {
		v := b.cells[c][i]
		switch {
		case math.IsNaN(v):
		case math.Abs(v-m) > b.p.KnownGas.ToleranceBar+tol:
			since = math.NaN()
		case math.IsNaN(since):
			since = b.tS[i] - b.tS[row]
		}
	}
	return since
}

// calibrationCheck compares the readings at a calibration with the gas that the log names.
func (b *bench) calibrationCheck(row int) KnownGas {
	k := KnownGas{Kind: calibrationKind, AtS: Float(b.tS[row]), ToS: Float(b.tS[row]), ExpectedBar: unknown, ExpectedLow: unknown, ExpectedHigh: unknown, LeastBar: unknown, SettleS: unknown, Readings: []KnownGasReading{}}
	c := b.dive.Meta.Calibration
	if math.IsNaN(c.GasO2) {
		k.Reason = "the log does not say with which gas it was calibrated"
		return k
	}
	win, reason := b.plateau(row, 1)
	if reason != "" {
		k.Reason = reason
		return k
	}
	b.expect(&k, c.GasO2, win)
	k.Basis = fmt.Sprintf("calibration gas %.3f x (P - pH2O), pH2O from 0 to %.4f bar", c.GasO2, b.p.Gas.VapourBar)
	if c.Humid != nil && !*c.Humid {
		k.ExpectedLow, k.ExpectedBar, k.LeastBar = k.ExpectedHigh, k.ExpectedHigh, k.ExpectedHigh
		k.Basis = fmt.Sprintf("calibration gas %.3f x P, dry as stated", c.GasO2)
	}
	b.read(&k, row, win, 0)
	return k
}

// airAtSurface finds a stretch at the surface before the dive in which the cells
// stood still near the PO2 of air while no oxygen was added. The log can't prove
// that the loop held air: the basis says that it is presumed.
func (b *bench) airAtSurface() (KnownGas, bool) {
	p := b.p.KnownGas
	end := 0
	for end < len(b.tS) && !b.under[end] {
		end++
	}
	want := func(i int) float64 { return airO2 * (b.dive.AmbientBar[i] - b.p.Gas.VapourBar/2) }
	near := func(i int) bool {
		return i < end && !math.IsNaN(b.median[i]) && math.Abs(b.median[i]-want(i)) <= p.AirBar+tol && b.valveSeconds(i) == 0
	}
	ss := lasting(spansWhere(b.tS, b.gapAfter, near), p.AirForS)
	if len(ss) == 0 {
		return KnownGas{}, false
	}
	win := ss[len(ss)-1]
	k := KnownGas{Kind: airAtSurface, AtS: Float(win.fromS), SettleS: unknown, Readings: []KnownGasReading{},
		Basis: fmt.Sprintf("presumed: 0.2095 x (P - pH2O), since the cells stood still there; pH2O from 0 to %.4f bar", b.p.Gas.VapourBar)}
	b.expect(&k, airO2, win)
	b.read(&k, win.from, win, 0)
	return k, true
}

// valveSeconds is the time that any valve was commanded open in row i.
func (b *bench) valveSeconds(i int) float64 {
	var s float64
	for _, v := range b.dive.Valves {
		if !math.IsNaN(v.OpenS[i]) {
			s += v.OpenS[i]
		}
	}
	return s
}

// medianOf is the median of v, which it does not change; NaN for none.
func medianOf(v []float64) float64 {
	s := make([]float64, 0, len(v))
	for _, x := range v {
		if !math.IsNaN(x) {
			s = append(s, x)
		}
	}
	if len(s) == 0 {
		return math.NaN()
	}
	sort.Float64s(s)
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}
