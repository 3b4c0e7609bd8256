package analysis

import (
	"math"

	"afterloop/ingest"
)

// statedApart tells whether both logs state a gas and not the same one.
func statedApart(a, b ingest.Gas) bool { return a.Known && b.Known && a.Mix != b.Mix }

// gasChange is a change of a gas that rows of one log record, on a joined row.
type gasChange struct {
	row int
	tS  float64
	to  ingest.Gas
}

// gasesOf joins a gas that two logs hold: x of the first, y of the second, with
// what their headers state. A header is no event: what holds from the start is the
// first log's statement, else the second's, and is not known where the two
// contradict. Then every change that rows of either log record holds from its row
// on; one that both recorded stands where the first has it.
func (m *join) gasesOf(x, y []ingest.Gas, statedA, statedB ingest.Gas) []ingest.Gas {
	at := m.rowsOfFirst()
	baseA, changesA := gasChanges(x, statedA, func(k int) (int, float64) { return at[k], m.a.TimeS[k] })
	baseB, changesB := gasChanges(y, statedB, func(k int) (int, float64) { return m.nearestRow(m.c.tA[k]), m.c.tA[k] })
	base := baseA
	switch {
	case statedApart(baseA, baseB):
		base = ingest.Gas{}
	case !base.Known:
		base = baseB
	}
	byRow := map[int]ingest.Gas{}
	for _, c := range changesB {
		if !recordedToo(c, changesA) {
			byRow[c.row] = c.to
		}
	}
	for _, c := range changesA {
		if c.to.Known || !anyKnownNear(c, changesB) { // the other log may name what this one could not
			byRow[c.row] = c.to
		}
	}
	out := make([]ingest.Gas, len(m.rows))
	now := base
	for i := range out {
		if g, ok := byRow[i]; ok {
			now = g
		}
		out[i] = now
	}
	return out
}

// rowsOfFirst is the joined row of each row of the first log.
func (m *join) rowsOfFirst() []int {
	at := make([]int, m.a.Rows())
	for i, r := range m.rows {
		if r.first >= 0 {
			at[r.first] = i
		}
	}
	return at
}

// gasChanges is the gas that a log begins with, and where its rows change it. A
// first gas on a later row, with none stated before, is a change of its own.
func gasChanges(x []ingest.Gas, stated ingest.Gas, at func(int) (int, float64)) (ingest.Gas, []gasChange) {
	now := stated
	if len(x) > 0 {
		now = x[0]
	}
	base := now
	var out []gasChange
	for k := 1; k < len(x); k++ {
		if differs(now, x[k]) {
			now = x[k]
			row, t := at(k)
			out = append(out, gasChange{row, t, now})
		}
	}
	return base, out
}

// recordedToo tells whether others hold the same change within sameEventS.
func recordedToo(c gasChange, others []gasChange) bool {
	for _, o := range others {
		if !differs(c.to, o.to) && math.Abs(c.tS-o.tS) <= sameEventS {
			return true
		}
	}
	return false
}

func anyKnownNear(c gasChange, others []gasChange) bool {
	for _, o := range others {
		if o.to.Known && math.Abs(c.tS-o.tS) <= sameEventS {
			return true
		}
	}
	return false
}

// gasPairsApart are the gases that the two logs state differently from the start;
// none where there is one log.
func (j *Doubled) gasPairsApart() []gasPair {
	if j == nil {
		return nil
	}
	var out []gasPair
	for _, g := range j.gasPairs() {
		if statedApart(g.a, g.b) {
			out = append(out, g)
		}
	}
	return out
}

// diluentsContradict tells whether the two logs state different diluents.
func (j *Doubled) diluentsContradict() bool {
	if j == nil {
		return false
	}
	g := j.gasPairs()[0]
	return statedApart(g.a, g.b)
}

type gasPair struct {
	key, name string
	a, b      ingest.Gas
}

// gasPairs are the gases with which the logs begin.
func (j *Doubled) gasPairs() [2]gasPair {
	first := func(x []ingest.Gas) ingest.Gas {
		if len(x) == 0 {
			return ingest.Gas{}
		}
		return x[0]
	}
	a, b := j.logs[0], j.logs[1]
	return [2]gasPair{{"diluent", "diluents", first(a.Diluent), first(b.Diluent)}, {"open_circuit_gas", "open-circuit gases", first(a.OpenGas), first(b.OpenGas)}}
}
