package whatif

// lower and higher are the ends of a range; what is not known does not count.
func lower(a, b Float) Float {
	if !b.Known() || a.Known() && a <= b {
		return a
	}
	return b
}

func higher(a, b Float) Float {
	if !b.Known() || a.Known() && a >= b {
		return a
	}
	return b
}

// widen takes another run's figure into the range.
func (r *Range) widen(x Range) {
	r.Low, r.High = lower(lower(r.Low, r.Value), x.Value), higher(higher(r.High, r.Value), x.Value)
}

// widen takes another run into the ranges of this one.
func (r *Simulated) widen(x Simulated) {
	r.Loop.widen(x.Loop)
	r.Vote.MeanDistanceBar.widen(x.Vote.MeanDistanceBar)
	r.Vote.FalseS.widen(x.Vote.FalseS)
	r.Vote.UndecidedS.widen(x.Vote.UndecidedS)
	r.Vote.NoneS.widen(x.Vote.NoneS)
	r.HypoxicAtS.widen(x.HypoxicAtS)
	r.ToHypoxiaS.widen(x.ToHypoxiaS)
}

func (l *Loop) widen(x Loop) {
	a, b := l.ranges(), x.ranges()
	for i := range a {
		a[i].widen(*b[i])
	}
	l.CNSIsLowerBound = l.CNSIsLowerBound || x.CNSIsLowerBound
}

// ranges are all figures, in one order.
func (l *Loop) ranges() []*Range {
	return []*Range{&l.MinBar, &l.MaxBar, &l.MeanErrorBar, &l.RMSEBar, &l.Within005, &l.Below016S, &l.Below018S, &l.Above14S, &l.Above16S, &l.CNSPercent, &l.OTU,
		&l.OpenS, &l.GaveS, &l.OxygenL}
}
