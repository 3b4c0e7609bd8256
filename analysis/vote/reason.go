package vote

import (
	"fmt"
	"math"
	"math/bits"
	"strconv"

	"afterloop/analysis/wording"
)

// fromMean is the cause of cell k by its distance from the mean of others.
func fromMean(b *ballot, k int, others uint64, p Params) Cause {
	meanBar := b.mean(others)
	return Cause{
		Against: others, From: "the mean of",
		DistanceBar: math.Abs(b.readings[k] - meanBar), LimitBar: p.outTolerance(meanBar),
	}
}

// fromFarthest is the cause of cell k by its distance from the farthest of a group.
func fromFarthest(b *ballot, k int, group uint64, p Params) Cause {
	lo, hi := b.extremes(group)
	return Cause{
		Against: group, From: "the farthest of", As: "the largest group",
		DistanceBar: max(hi-b.readings[k], b.readings[k]-lo), LimitBar: p.outTolerance(b.mean(group)),
	}
}

// text says a cause to people, as in "cell 3 is 0.23 bar from the mean of cells 1
// and 2; limit 0.20".
func (c Cause) text(k int, numbers []int) string {
	from := c.From + " "
	if count(c.Against) == 1 {
		from = ""
	}
	as := ""
	if c.As != "" {
		as = ", " + c.As
	}
	distance, limit := apart(c.DistanceBar, c.LimitBar)
	return fmt.Sprintf("cell %d is %s bar from %s%s%s; limit %s", numbers[k], distance, from, cellList(c.Against, numbers), as, limit)
}

// apart prints two numbers with as many decimals as it takes to tell them apart,
// two at least and six at most.
func apart(a, b float64) (string, string) {
	for decimals := 2; ; decimals++ {
		s, t := strconv.FormatFloat(a, 'f', decimals, 64), strconv.FormatFloat(b, 'f', decimals, 64)
		if s != t || decimals == 6 {
			return s, t
		}
	}
}

// cellList names cells by their numbers, as in "cells 1, 2 and 4".
func cellList(set uint64, numbers []int) string {
	var names []string
	for ; set != 0; set &= set - 1 {
		names = append(names, strconv.Itoa(numbers[bits.TrailingZeros64(set)]))
	}
	switch len(names) {
	case 0:
		return "no cell"
	case 1:
		return "cell " + names[0]
	default:
		return "cells " + wording.And(names)
	}
}
