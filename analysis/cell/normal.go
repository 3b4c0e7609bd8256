package cell

import "math"

// normal accumulates the normal equations of a small linear least-squares fit.
type normal struct {
	n int
	m [][]float64 // n rows of n+1
}

func newNormal(n int) *normal {
	m := make([][]float64, n)
	for r := range m {
		m[r] = make([]float64, n+1)
	}
	return &normal{n, m}
}

// add takes in one observation y of weight w with regressors u.
func (n *normal) add(u []float64, y, w float64) {
	for r, a := range u {
		if a == 0 {
			continue
		}
		a *= w
		row := n.m[r]
		for c, b := range u {
			row[c] += a * b
		}
		row[n.n] += a * y
	}
}

// prior says that a coefficient is zero within sd.
func (n *normal) prior(k int, sd float64) { n.m[k][k] += 1 / sq(sd) }

// solve is the least-squares solution.
func (n *normal) solve() []float64 { return eliminate(n.scaled(-1)) }

// sd is the standard error of a coefficient, for weights of one over variance.
func (n *normal) sd(k int) float64 { return math.Sqrt(eliminate(n.scaled(k))[k]) }

// scaled is a copy of the equations, with the unit vector of coefficient k on the right
// where k is not negative. A ridge of 1e-12 keeps an idle column (a valve that
// stays shut) at zero and decides nothing else.
func (n *normal) scaled(k int) [][]float64 {
	out := make([][]float64, n.n)
	for r := range out {
		out[r] = append([]float64(nil), n.m[r]...)
		out[r][r] += 1e-12*out[r][r] + 1e-12
		if k >= 0 {
			out[r][n.n] = 0
			if r == k {
				out[r][n.n] = 1
			}
		}
	}
	return out
}

// eliminate solves a positive definite system in place.
func eliminate(m [][]float64) []float64 {
	n := len(m)
	for c := range n {
		for r := c + 1; r < n; r++ {
			w := m[r][c] / m[c][c]
			for k := c; k <= n; k++ {
				m[r][k] -= w * m[c][k]
			}
		}
	}
	x := make([]float64, n)
	for r := n - 1; r >= 0; r-- {
		x[r] = m[r][n]
		for c := r + 1; c < n; c++ {
			x[r] -= m[r][c] * x[c]
		}
		x[r] /= m[r][r]
	}
	return x
}
