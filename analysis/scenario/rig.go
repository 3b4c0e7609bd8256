package scenario

import "afterloop/analysis/gas"

// RigStepS is the time step of a [Rig] in seconds.
const RigStepS = stepS

// Rig is the breathing loop of this package without dive, unit and cells: somebody
// else says, step by step, what pressure it is under and what flows. Package whatif
// drives it along a recorded dive. The physics are those of [Run].
type Rig struct {
	loop breathingLoop
	barL float64 // bar L/s of one L/min STPD
}

// RigInput is what enters and leaves during one step.
type RigInput struct {
	OxygenLMin      float64 // through the valves, STPD
	VO2LMin         float64 // STPD
	VentilationLMin float64 // at ambient
	// HandO2L and HandDilL are gas added by hand in this step, L at ambient; ToAll
	// spreads it over the whole loop, as a flush does.
	HandO2L, HandDilL float64
	ToAll             bool
	// OffLoop: nobody breathes from the loop.
	OffLoop bool
}

// NewRig fills a loop at the dry pressure dryBar with the PO2 of l.StartPO2Bar; zero
// fields of l that have a default are filled in.
func NewRig(l Loop, diluent gas.Mix, dryBar float64) Rig {
	l = l.withDefaults(l.StartPO2Bar)
	return Rig{*newBreathingLoop(l, diluent, dryBar), gas.STPDToLoop(1, l.TempC)}
}

// Step advances by [RigStepS] to the dry pressure dryBar. A Rig is a value: a copy
// goes its own way.
func (r *Rig) Step(dryBar float64, in RigInput) {
	f := inflow{onLoop: !in.OffLoop, oxygenBarLS: r.barL * in.OxygenLMin, vo2BarLS: r.barL * in.VO2LMin,
		ventLS: in.VentilationLMin / 60, handO2L: in.HandO2L, handDilL: in.HandDilL, handToAll: in.ToAll}
	if in.OffLoop {
		f.ventLS = openVentLS
	}
	r.loop.step(dryBar, f)
}

// SetDiluent changes what the diluent valve adds from now on.
func (r *Rig) SetDiluent(m gas.Mix) { r.loop.diluent = m }

// SensedBar is the PO2 at the cells, InhaledBar that on the breathing side.
func (r *Rig) SensedBar() float64 { return r.loop.sensedBar() }

// InhaledBar is the PO2 on the breathing side.
func (r *Rig) InhaledBar() float64 { return r.loop.inhaledBar() }

// Balance counts oxygen since the start, and Oxygen what is in the loop now, bar L.
func (r *Rig) Balance() OxygenBalance { return r.loop.balance }

// Oxygen is the oxygen in the loop and on its way to it, bar L.
func (r *Rig) Oxygen() float64 { return r.loop.oxygen() }

// Commander is the part of the unit that opens the valves; the vote is the caller's.
type Commander struct{ u *unit }

// NewCommander starts a controller for so many valves.
func NewCommander(c Controller, valves int) Commander {
	return Commander{newUnit(c.withDefaults(), 0, valves)}
}

// Decide opens valves where a decision is due at tS (seconds, rising) and po2Bar asks for it.
func (c Commander) Decide(tS, setPointBar, po2Bar float64) {
	c.u.po2Bar = po2Bar
	c.u.decide(tS, setPointBar)
}

// Open tells whether valve v (from 0) is commanded open during the step that begins at tS.
func (c Commander) Open(v int, tS float64) bool { return c.u.open(v, tS) }
