package loop

// This file is the linear machinery: a Kalman filter that takes one scalar
// reading at a time, and the fixed-interval smoother in the form of Bryson and
// Frazier, which needs no inverse of a covariance. Sources: R. E. Kalman, J.
// Basic Eng. 82 (1960) 35; A. E. Bryson and M. Frazier (1963); G. J. Bierman,
// "Fixed interval smoothing with discrete measurements", Int. J. Control 18
// (1973) 65, for the scalar form (memory). The tests hold it to the dense
// Gaussian posterior of the same system.

// belief is a Gaussian belief about the state: mean x and covariance p (row
// major, symmetric).
type belief struct {
	x, p []float64
}

func newBelief(n int) belief { return belief{make([]float64, n), make([]float64, n*n)} }

func (b belief) copyFrom(o belief) {
	copy(b.x, o.x)
	copy(b.p, o.p)
}

// coef is one non-zero entry of a sparse row.
type coef struct {
	col int
	v   float64
}

// transition carries the state over one step:
//
//	x' = F x + u,    P' = F P F' + sum_k w_k w_k'
//
// F is sparse by rows; the process noise is a sum of independent directions w.
type transition struct {
	f     [][]coef
	u     []float64
	noise [][]float64
}

// predict replaces b by the belief one step later; scratch holds n*n numbers.
func (tr *transition) predict(b belief, scratch []float64) {
	n := len(b.x)
	x := scratch[:n]
	for i, row := range tr.f {
		x[i] = tr.u[i]
		for _, c := range row {
			x[i] += c.v * b.x[c.col]
		}
	}
	copy(b.x, x)
	fp := scratch[:n*n]
	for i, row := range tr.f { // F P
		out := fp[i*n : i*n+n]
		clear(out)
		for _, c := range row {
			axpy(out, c.v, b.p[c.col*n:c.col*n+n])
		}
	}
	for i := range n { // (F P) F', the lower half and its mirror
		for j, row := range tr.f[:i+1] {
			s := 0.0
			for _, c := range row {
				s += fp[i*n+c.col] * c.v
			}
			b.p[i*n+j], b.p[j*n+i] = s, s
		}
	}
	for _, w := range tr.noise {
		for i, wi := range w {
			if wi != 0 {
				axpy(b.p[i*n:i*n+n], wi, w)
			}
		}
	}
}

// axpy adds a*x to y.
func axpy(y []float64, a float64, x []float64) {
	for i, v := range x {
		y[i] += a * v
	}
}

// innovation is one scalar reading z of state k as the filter took it: e = z -
// x[k] before it, s the variance of e, and the gain.
type innovation struct {
	k    int
	e, s float64
	gain []float64
}

// observe takes in the reading z of state k, whose error has variance r:
//
//	s = P[k,k] + r,   K = P[:,k]/s,   x += K e,   P -= K K' s
//
// gain receives K (length n).
func observe(b belief, k int, z, r float64, gain []float64) innovation {
	n := len(b.x)
	in := innovation{k: k, e: z - b.x[k], s: b.p[k*n+k] + r, gain: gain}
	for i := range n {
		gain[i] = b.p[i*n+k] / in.s
	}
	axpy(b.x, in.e, gain)
	for i := range n {
		axpy(b.p[i*n:i*n+n], -gain[i]*in.s, gain)
	}
	return in
}

// adjoint is what the readings after a row say, as a gradient and a curvature:
// smoothed mean = x - P l, smoothed covariance = P - P L P.
type adjoint struct {
	l, L []float64
}

func newAdjoint(n int) adjoint { return adjoint{make([]float64, n), make([]float64, n*n)} }

// unobserve carries the adjoint backward over one reading:
//
//	C = I - K e_k',   L <- C' L C + e_k e_k'/s,   l <- C' l - e_k e/s
//
// C' L C changes only row and column k. scratch holds n numbers.
func (a adjoint) unobserve(in innovation, scratch []float64) {
	n := len(a.l)
	lk := scratch[:n] // L K
	kl, klk := 0.0, 0.0
	for i := range n {
		lk[i] = dot(a.L[i*n:i*n+n], in.gain)
		kl += in.gain[i] * a.l[i]
	}
	for i := range n {
		klk += in.gain[i] * lk[i]
	}
	for i := range n {
		if i != in.k {
			a.L[i*n+in.k] -= lk[i]
			a.L[in.k*n+i] = a.L[i*n+in.k]
		}
	}
	a.L[in.k*n+in.k] += klk - 2*lk[in.k] + 1/in.s
	a.l[in.k] -= kl + in.e/in.s
}

// unpredict carries the adjoint backward over one step: l <- F' l, L <- F' L F.
// scratch holds n*n numbers.
func (a adjoint) unpredict(tr *transition, scratch []float64) {
	n := len(a.l)
	l := scratch[:n]
	clear(l)
	for i, row := range tr.f {
		for _, c := range row {
			l[c.col] += c.v * a.l[i]
		}
	}
	copy(a.l, l)
	lf := scratch[:n*n] // L F
	clear(lf)
	for i := range n {
		out := lf[i*n : i*n+n]
		for k, row := range tr.f {
			v := a.L[i*n+k]
			for _, c := range row {
				out[c.col] += v * c.v
			}
		}
	}
	clear(a.L)
	for k, row := range tr.f { // F' (L F)
		for _, c := range row {
			axpy(a.L[c.col*n:c.col*n+n], c.v, lf[k*n:k*n+n])
		}
	}
}

func dot(x, y []float64) float64 {
	s := 0.0
	for i, v := range x {
		s += v * y[i]
	}
	return s
}

// smoothed is the mean and variance of the combination c'x, given the filtered
// belief at a row and the adjoint of everything after it.
//
//	mean = c'(x - P l),   var = c'P c - (P c)' L (P c)
//
// scratch holds n numbers.
func (a adjoint) smoothed(b belief, c []float64, scratch []float64) (mean, variance float64) {
	n := len(b.x)
	pc := scratch[:n]
	for i := range n {
		pc[i] = dot(b.p[i*n:i*n+n], c)
	}
	mean = dot(c, b.x) - dot(pc, a.l)
	variance = dot(c, pc)
	for i := range n {
		variance -= pc[i] * dot(a.L[i*n:i*n+n], pc)
	}
	return mean, variance
}
