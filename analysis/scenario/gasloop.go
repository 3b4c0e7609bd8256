package scenario

import (
	"math"

	"afterloop/analysis/gas"
)

// stepS is the time step of the physics; tickS that of the unit, which reads its
// cells, decides and ends its pulses on ticks.
const (
	stepsPerS = 10
	stepS     = 1.0 / stepsPerS
	tickS     = 0.2
)

// amount is dry gas in bar L at loop temperature.
type amount struct{ o2, he, n2 float64 }

func (a amount) total() float64 { return a.o2 + a.he + a.n2 }

func (a *amount) add(b amount) { a.o2 += b.o2; a.he += b.he; a.n2 += b.n2 }

// take removes so many bar L of the gas as it is, and returns them.
func (a *amount) take(barL float64) amount {
	f := min(1, barL/a.total())
	out := amount{f * a.o2, f * a.he, f * a.n2}
	a.o2, a.he, a.n2 = a.o2-out.o2, a.he-out.he, a.n2-out.n2
	return out
}

// of is so many bar L of a mix.
func of(m gas.Mix, barL float64) amount {
	return amount{m.O2 * barL, m.He * barL, m.N2() * barL}
}

// breathingLoop is the gas in the loop. The head has the fixed volume headL; the
// breathing side takes what is left at the dry pressure pdBar.
type breathingLoop struct {
	spec       Loop
	headL      float64
	pdBar      float64
	head, side amount
	lineBarL   float64 // oxygen under way to the head
	lineShare  float64 // of it that arrives in one step
	makingUp   bool
	diluent    gas.Mix
	balance    OxygenBalance
	// diluentBarL is the diluent that came in since the start.
	diluentBarL float64
}

// OxygenBalance counts oxygen in bar L since the start.
type OxygenBalance struct{ Start, In, Used, Vented float64 }

// newBreathingLoop fills a loop at dry pressure pdBar with the PO2 wanted, the
// rest being diluent without its oxygen.
func newBreathingLoop(l Loop, diluent gas.Mix, pdBar float64) *breathingLoop {
	b := &breathingLoop{spec: l, headL: l.HeadShare * l.VolumeL, pdBar: pdBar, diluent: diluent,
		lineShare: 1 - math.Exp(-stepS/l.InjectionLagS)}
	x := math.Min(1, l.StartPO2Bar/pdBar)
	inert := 1 - diluent.O2
	rest := gas.Mix{O2: x}
	if inert > 0 {
		rest.He = (1 - x) * diluent.He / inert
	}
	b.head = of(rest, b.headL*pdBar)
	b.side = of(rest, (l.VolumeL-b.headL)*pdBar)
	b.balance.Start = b.oxygen()
	return b
}

// inflow is what enters or leaves during one step.
type inflow struct {
	oxygenBarLS float64 // through the valves
	vo2BarLS    float64
	ventLS      float64 // ventilation, ambient L/s
	handO2L     float64 // by hand, L at ambient
	handDilL    float64
	handToAll   bool // a flush reaches the whole loop, an addition the head (oxygen) or side
	lossLS      float64
	onLoop      bool
}

// step advances by stepS to the dry pressure pdBar.
func (b *breathingLoop) step(pdBar float64, in inflow) {
	b.pdBar = pdBar
	b.inject(in)
	b.consume(in)
	b.breathe(in)
	b.level()
	b.hold(in)
}

// inject adds oxygen from the valves through the line, and gas by hand.
func (b *breathingLoop) inject(in inflow) {
	fresh := in.oxygenBarLS * stepS
	b.balance.In += fresh
	b.lineBarL += fresh
	out := b.lineBarL * b.lineShare
	b.lineBarL -= out
	b.head.o2 += out
	b.byHand(gas.Mix{O2: 1}, in.handO2L, in.handToAll, &b.head)
	b.byHand(b.diluent, in.handDilL, in.handToAll, &b.side)
	b.diluentBarL += in.handDilL * b.pdBar
}

// byHand adds gas to one compartment, or to both by their volumes.
func (b *breathingLoop) byHand(m gas.Mix, litres float64, toAll bool, one *amount) {
	if litres == 0 {
		return
	}
	barL := litres * b.pdBar
	b.balance.In += m.O2 * barL
	if !toAll {
		one.add(of(m, barL))
		return
	}
	b.head.add(of(m, barL*b.spec.HeadShare))
	b.side.add(of(m, barL*(1-b.spec.HeadShare)))
}

// consume takes oxygen out of the breathing side. With hardly any left the
// uptake falls: a diver cannot take what is not there.
func (b *breathingLoop) consume(in inflow) {
	if !in.onLoop {
		return
	}
	u := min(in.vo2BarLS*stepS, 0.1*b.side.o2)
	b.side.o2 -= u
	b.balance.Used += u
}

// breathe exchanges gas between the compartments.
func (b *breathingLoop) breathe(in inflow) {
	barL := in.ventLS * stepS * b.pdBar
	barL = min(barL, 0.3*min(b.head.total(), b.side.total()))
	fromHead, fromSide := b.head.take(barL), b.side.take(barL)
	b.head.add(fromSide)
	b.side.add(fromHead)
}

// level moves gas until the head holds its volume at ambient pressure.
func (b *breathingLoop) level() {
	excess := b.head.total() - b.headL*b.pdBar
	if excess > 0 {
		b.side.add(b.head.take(excess))
		return
	}
	b.head.add(b.side.take(-excess))
}

// hold keeps the volume of the whole loop within its bounds.
func (b *breathingLoop) hold(in inflow) {
	if in.lossLS > 0 {
		b.vent(in.lossLS * stepS * b.pdBar)
	}
	low, high := b.spec.VolumeL-b.spec.RangeL, b.spec.VolumeL+b.spec.RangeL
	if b.volumeL() < low {
		b.makingUp = true
	}
	if b.makingUp {
		litres := math.Min(b.spec.MakeUpLS*stepS, low+b.spec.MakeUpL-b.volumeL())
		// A descent faster than the diluent valve would crush the loop; the diver
		// adds by hand what is missing below the bound.
		litres = math.Max(litres, low-b.spec.MakeUpL-b.volumeL())
		b.byHand(b.diluent, math.Max(0, litres), false, &b.side)
		b.diluentBarL += math.Max(0, litres) * b.pdBar
		b.makingUp = b.volumeL() < low+b.spec.MakeUpL-1e-9
	}
	if over := b.volumeL() - high; over > 0 {
		b.vent(over * b.pdBar)
	}
}

// vent lets gas out of the breathing side.
func (b *breathingLoop) vent(barL float64) { b.balance.Vented += b.side.take(barL).o2 }

// volumeL is the volume of the whole loop.
func (b *breathingLoop) volumeL() float64 { return b.headL + b.side.total()/b.pdBar }

// oxygen is the oxygen in the loop and in the line, bar L.
func (b *breathingLoop) oxygen() float64 { return b.head.o2 + b.side.o2 + b.lineBarL }

// sensedBar is the PO2 at the cells, inhaledBar that on the breathing side.
func (b *breathingLoop) sensedBar() float64  { return b.pdBar * b.head.o2 / b.head.total() }
func (b *breathingLoop) inhaledBar() float64 { return b.pdBar * b.side.o2 / b.side.total() }

// heliumFraction is that of the dry gas in the head.
func (b *breathingLoop) heliumFraction() float64 { return b.head.he / b.head.total() }
