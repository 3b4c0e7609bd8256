package supply

// candidates name what could be behind a cylinder and valves that lie apart. The
// third account takes some away, but only where it excludes one of the two and
// does not rest on the stated flow itself.
func (b *Balance) candidates() []string {
	if b.CylinderAndGiven != Apart {
		return b.candidatesByUse()
	}
	sided := !b.UseRestsOnStatedFlow
	withCylinder := sided && b.CylinderAndUse == Agree && b.ValvesAgreeWithUse == Apart
	withValves := sided && b.CylinderAndUse == Apart && b.ValvesAgreeWithUse == Agree
	more := b.Cylinder.Low > b.Given.High
	var into, outside []string
	if more {
		into = []string{"a flow above the one stated", "oxygen added by hand that the log does not hold", "oxygen that leaked into the loop"}
		outside = []string{"a leak between cylinder and loop, to the outside", "a cylinder smaller than stated", "a flush or a filling from this cylinder that the log does not hold", "a cylinder that cooled by more than was allowed for"}
	} else {
		into = []string{"a valve that gave less than it was commanded, or nothing", "a flow below the one stated", "a supply that was shut for part of the time"}
		outside = []string{"a cylinder larger than stated", "a cylinder that warmed by more than was allowed for", "oxygen from another source"}
	}
	switch {
	case withCylinder:
		return into
	case withValves:
		return outside
	}
	return append(into, outside...)
}

// candidatesByUse is for logs without valves or flow: cylinder against use alone.
func (b *Balance) candidatesByUse() []string {
	switch {
	case b.Given.Known() || b.CylinderAndUse != Apart:
		return nil
	case b.Cylinder.Low > b.Use.High:
		return []string{"a leak to the outside or into the loop", "gas lost through the mask or in flushes that the log does not hold", "a cylinder smaller than stated", "hard work beyond the consumption assumed"}
	}
	return []string{"a cylinder larger than stated", "oxygen from another source", "less work than the consumption assumed", "a cylinder that warmed by more than was allowed for"}
}
