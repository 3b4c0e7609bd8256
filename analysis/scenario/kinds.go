package scenario

// Kind is a family of scenarios, or one scenario of it, that [Draw] can make.
type Kind struct {
	Name string // "plain" or "plain/slow"
	Line string // one sentence for a list
}

// family is a set of scenarios that share how the rest of the dive is drawn.
type family struct {
	name, line string
	common     func(*drawing)
	scenarios  []scenario
}

// scenario puts one thing into a drawn dive.
type scenario struct {
	name, line string
	put        func(*drawing)
}

// Kinds lists the families, each followed by its scenarios, in a fixed order.
func Kinds() []Kind {
	var kinds []Kind
	for _, f := range families() {
		kinds = append(kinds, Kind{f.name, f.line})
		for _, sc := range f.scenarios {
			kinds = append(kinds, Kind{f.name + "/" + sc.name, sc.line})
		}
	}
	return kinds
}

// families is the registry.
func families() []family {
	return []family{
		{"plain", "clear faults in dry gas, one at a time", (*drawing).plain, plainScenarios()},
		{"hard-healthy", "nothing wrong, but awkward to read", (*drawing).plain, healthyScenarios()},
		{"difficult", "weak, late, short and double faults; humid gas; a helium sensor that lags and drifts", (*drawing).difficult, difficultScenarios()},
		{"wide", "any unit, any recorder, none to two faults of any strength", (*drawing).wide, wideScenarios()},
	}
}

func plainScenarios() []scenario {
	return []scenario{
		{"none", "nothing is wrong", func(*drawing) {}},
		{"slow", "one cell answers in 25 to 60 s", func(d *drawing) { d.slow(d.cell(), 25, 62) }},
		{"limited", "one cell has a ceiling below the set point", func(d *drawing) { d.limited(d.cell(), d.ceiling(0.06, 0.2), 0.12, 0) }},
		{"gain", "one cell is miscalibrated by 13 to 17 %", func(d *drawing) { d.gain(d.cell(), d.sign()*d.between(0.13, 0.17)) }},
		{"drift", "one cell's gain drifts by 14 to 25 % from some moment on", func(d *drawing) { d.drift(0.14, 0.25) }},
		{"frozen", "one cell stands still from some moment to the end", func(d *drawing) { d.frozen(0) }},
		{"erratic", "one cell jumps about for some minutes", func(d *drawing) { d.erratic(0.13, 200, 440) }},
		{"slow-pair", "two slow cells that agree with each other", func(d *drawing) { d.slowPair(25, 40) }},
		{"limited-pair", "two limited cells that outvote or balance the good", func(d *drawing) { d.limitedPair(0.12, 0.12, 0) }},
		{"valve-dead", "one valve of two gives nothing any more", func(d *drawing) { d.valveDead() }},
		{"valve-leak", "a valve leaks 2.4 to 4 L/min", func(d *drawing) { d.leak(2.4, 4) }},
		{"oxygen-off", "the oxygen supply is shut for four to six minutes", func(d *drawing) { d.oxygenOff(240, 375) }},
	}
}

func healthyScenarios() []scenario {
	return []scenario{
		{"yoyo", "up and down all the time", (*drawing).yoyo},
		{"flush", "two diluent flushes, recorded as notes only", (*drawing).flushes},
		{"spread", "cells that differ as much as healthy ones may", (*drawing).spread},
		{"work", "hard work, VO2 up to 3 L/min", (*drawing).hardWork},
		{"coarse", "a row every 5 s, PO2 to 0.01 bar", func(d *drawing) { d.sampled(5, 0.01) }},
		{"sparse", "a row every 10 s", func(d *drawing) { d.sampled(10, 0.01) }},
		{"gaps", "the recorder stops twice", (*drawing).gaps},
	}
}

func difficultScenarios() []scenario {
	return []scenario{
		{"none", "nothing is wrong", func(*drawing) {}},
		{"slow", "one cell answers in 28 to 50 s", func(d *drawing) { d.slow(d.cell(), 28, 50) }},
		{"slow-late", "one cell becomes slow during the dive", func(d *drawing) { d.slowLate(38, 50) }},
		{"limited", "one ceiling close to the set point, which gives and sinks", func(d *drawing) {
			d.limited(d.cell(), d.ceiling(0.05, 0.15), d.between(0.12, 0.25), d.between(0, 0.04))
		}},
		{"gain", "one cell is miscalibrated by 10 to 13 %", func(d *drawing) { d.gain(d.cell(), d.sign()*d.between(0.10, 0.13)) }},
		{"drift", "one cell's gain drifts by 11 to 13 %", func(d *drawing) { d.drift(0.11, 0.13) }},
		{"frozen", "one cell stands still for six to eight minutes", func(d *drawing) { d.frozen(d.between(330, 500)) }},
		{"erratic", "one cell jumps about for some minutes", func(d *drawing) { d.erratic(0.10, 340, 400) }},
		{"slow-pair", "two slow cells that agree with each other", func(d *drawing) { d.slowPair(32, 50) }},
		{"limited-pair", "two ceilings that give and sink", func(d *drawing) { d.limitedPair(0.12, 0.16, 0.03) }},
		{"all-slow", "every cell is slow: nothing healthy to compare with", (*drawing).allSlow},
		{"gain-pair", "two cells equally wrong in gain: the log can't settle who is right", (*drawing).gainPair},
		{"slow+gain", "one slow cell and one miscalibrated", (*drawing).slowAndGain},
		{"valve-dead", "one valve of two gives nothing any more", func(d *drawing) { d.valveDead() }},
		{"valve-leak", "a valve leaks 0.4 to 3 L/min, perhaps less than the diver uses", func(d *drawing) { d.leak(0.4, 3) }},
		{"oxygen-off", "the oxygen supply is shut for three to four minutes", func(d *drawing) { d.oxygenOff(170, 260) }},
		{"none-bailout", "nothing is wrong; minutes on open circuit", (*drawing).bailout},
		{"none-manual", "nothing is wrong; oxygen added by hand", (*drawing).manual},
	}
}
