package linearity

import (
	"math"

	"afterloop/analysis/fit"
)

// findLine looks for the longest run of levels, from the lowest up, whose own
// straight line leaves every one of them within the limit. Two levels lie on any
// line: they count only if their line passes near zero, as a cell's does.
func findLine(levels []Level, pts []Point, p Params) (line fit.Line, used []int, reason string) {
	order := risingOrder(levels, pts)
	if len(order) < 2 {
		return line, nil, "fewer than two settled levels on the way up"
	}
	if levels[order[len(order)-1]].PO2Bar-levels[order[0]].PO2Bar < 0.3 {
		return line, nil, "the levels span less than 0.3 bar of PO2"
	}
	for n := len(order); n >= 2; n-- {
		l, ok := lineThrough(levels, pts, order[:n])
		if !ok || !(l.Slope > 0) {
			continue
		}
		if fits(l, levels, pts, order[:n], p) && (n > 2 || nearZero(l, p)) {
			l, n = unbend(l, levels, pts, order, n, p)
			return l, order[:n], ""
		}
	}
	return line, nil, "no straight line holds even the two lowest levels: the reading does not go with PO2, or the pot's gas is not what was stated"
}

func nearZero(l fit.Line, p Params) bool { return math.Abs(l.Intercept/l.Slope) <= p.OffsetBar }

// unbend takes the highest level out of the line where the levels above it read
// low and so does it, by more than its own error, against the line of those
// below: a ceiling just under it would else bend the line.
func unbend(l fit.Line, levels []Level, pts []Point, order []int, n int, p Params) (fit.Line, int) {
	if n < 3 || n == len(order) {
		return l, n
	}
	below, ok := lineThrough(levels, pts, order[:n-1])
	last := order[n-1]
	sd := math.Hypot(pts[last].SDRaw, below.Slope*levels[last].PO2SDBar)
	if !ok || !(below.Slope > 0) || n == 3 && !nearZero(below, p) || pts[last].Reading-below.At(levels[last].PO2Bar) > -sd {
		return l, n
	}
	return below, n - 1
}

// risingOrder are the settled levels in order of PO2, of the way up only, since
// a cell that hangs behind would else blur the line.
func risingOrder(levels []Level, pts []Point) []int {
	var order []int
	top := math.Inf(-1)
	for i := range pts {
		if l := levels[i]; pts[i].Settled && l.Rising && l.PO2Bar > top+0.02 {
			order, top = append(order, i), l.PO2Bar
		}
	}
	return order
}

func lineThrough(levels []Level, pts []Point, use []int) (fit.Line, bool) {
	var x, y, w []float64
	slope := pts[use[len(use)-1]].Reading / levels[use[len(use)-1]].PO2Bar
	for _, i := range use {
		sd := math.Hypot(pts[i].SDRaw, slope*levels[i].PO2SDBar)
		if !(sd > 0) {
			return fit.Line{}, false
		}
		x, y, w = append(x, levels[i].PO2Bar), append(y, pts[i].Reading), append(w, 1/(sd*sd))
	}
	l := fit.LeastSquares(x, y, w, true)
	return l, !math.IsNaN(l.Slope)
}

func fits(l fit.Line, levels []Level, pts []Point, use []int, p Params) bool {
	for _, i := range use {
		if math.Abs(pts[i].Reading-l.At(levels[i].PO2Bar))/l.Slope > pts[i].LimitBar {
			return false
		}
	}
	return true
}
