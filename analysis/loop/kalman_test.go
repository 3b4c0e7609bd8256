package loop

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// randomSystem is a short random linear system with uneven readings.
type randomSystem struct {
	n, rows int
	start   belief
	tr      []transition
	obsK    [][]int
	obsZ    [][]float64
	obsR    [][]float64
}

func newRandomSystem(rng *rand.Rand, n, rows int) randomSystem {
	s := randomSystem{n: n, rows: rows, start: newBelief(n)}
	for i := range n {
		s.start.x[i] = rng.NormFloat64()
		s.start.p[i*n+i] = 0.5 + rng.Float64()
	}
	for range rows {
		tr := transition{f: make([][]coef, n), u: make([]float64, n)}
		for j := range n {
			tr.f[j] = []coef{{j, 0.5 + 0.5*rng.Float64()}, {(j + 1) % n, 0.3 * rng.NormFloat64()}}
			tr.u[j] = rng.NormFloat64()
		}
		for range 2 {
			w := make([]float64, n)
			for j := range w {
				w[j] = 0.3 * rng.NormFloat64()
			}
			tr.noise = append(tr.noise, w)
		}
		var k []int
		var z, r []float64
		for range rng.Intn(4) {
			k, z, r = append(k, rng.Intn(n)), append(z, rng.NormFloat64()), append(r, 0.1+rng.Float64())
		}
		s.tr, s.obsK, s.obsZ, s.obsR = append(s.tr, tr), append(s.obsK, k), append(s.obsZ, z), append(s.obsR, r)
	}
	return s
}

// dense is the exact Gaussian posterior of all states at once: the prior of the
// stacked states is propagated, then conditioned on every reading in one solve.
func (s randomSystem) dense() (mean *mat.VecDense, cov *mat.Dense) {
	n, N := s.n, s.n*s.rows
	mean, cov = mat.NewVecDense(N, nil), mat.NewDense(N, N, nil)
	prevM, prevP := mat.NewVecDense(n, s.start.x), mat.NewDense(n, n, append([]float64(nil), s.start.p...))
	for t := range s.rows {
		F := mat.NewDense(n, n, nil)
		for i, row := range s.tr[t].f {
			for _, c := range row {
				F.Set(i, c.col, F.At(i, c.col)+c.v)
			}
		}
		var m mat.VecDense
		m.MulVec(F, prevM)
		m.AddVec(&m, mat.NewVecDense(n, s.tr[t].u))
		var fp, p mat.Dense
		fp.Mul(F, prevP)
		p.Mul(&fp, F.T())
		for _, w := range s.tr[t].noise {
			v := mat.NewVecDense(n, w)
			var o mat.Dense
			o.Outer(1, v, v)
			p.Add(&p, &o)
		}
		for i := range n {
			mean.SetVec(t*n+i, m.AtVec(i))
			for j := range n {
				cov.Set(t*n+i, t*n+j, p.At(i, j))
			}
		}
		for past := range t { // cross-covariance with every earlier row
			block := mat.DenseCopyOf(cov.Slice((t-1)*n, t*n, past*n, past*n+n))
			var c mat.Dense
			c.Mul(F, block)
			for i := range n {
				for j := range n {
					cov.Set(t*n+i, past*n+j, c.At(i, j))
					cov.Set(past*n+j, t*n+i, c.At(i, j))
				}
			}
		}
		prevM, prevP = mat.VecDenseCopyOf(&m), mat.DenseCopyOf(&p)
	}
	var rows []int
	var z, r []float64
	for t := range s.rows {
		for i, k := range s.obsK[t] {
			rows, z, r = append(rows, t*n+k), append(z, s.obsZ[t][i]), append(r, s.obsR[t][i])
		}
	}
	M := len(rows)
	S, C := mat.NewDense(M, M, nil), mat.NewDense(N, M, nil)
	e := mat.NewVecDense(M, nil)
	for a, i := range rows {
		e.SetVec(a, z[a]-mean.AtVec(i))
		for b, j := range rows {
			S.Set(a, b, cov.At(i, j))
		}
		S.Set(a, a, S.At(a, a)+r[a])
		for j := range N {
			C.Set(j, a, cov.At(j, i))
		}
	}
	var inv, K, d mat.Dense
	if err := inv.Inverse(S); err != nil {
		panic(err)
	}
	K.Mul(C, &inv)
	var up mat.VecDense
	up.MulVec(&K, e)
	mean.AddVec(mean, &up)
	d.Mul(&K, C.T())
	cov.Sub(cov, &d)
	return mean, cov
}

func TestSmootherEqualsDensePosterior(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	for range 20 {
		s := newRandomSystem(rng, 2+rng.Intn(5), 12)
		mean, cov := s.dense()
		n := s.n
		b, scratch := newBelief(n), make([]float64, n*n)
		b.copyFrom(s.start)
		var filtered []belief
		var taken [][]innovation
		for i := range s.rows {
			s.tr[i].predict(b, scratch)
			var ins []innovation
			for j, k := range s.obsK[i] {
				ins = append(ins, observe(b, k, s.obsZ[i][j], s.obsR[i][j], make([]float64, n)))
			}
			c := newBelief(n)
			c.copyFrom(b)
			filtered, taken = append(filtered, c), append(taken, ins)
		}
		a := newAdjoint(n)
		for i := s.rows - 1; i >= 0; i-- {
			for k := range n {
				c := make([]float64, n)
				c[k] = 1
				m, v := a.smoothed(filtered[i], c, scratch)
				if d := math.Abs(m - mean.AtVec(i*n+k)); d > 1e-9 {
					t.Fatalf("row %d state %d: mean off by %g", i, k, d)
				}
				if d := math.Abs(v - cov.At(i*n+k, i*n+k)); d > 1e-9 {
					t.Fatalf("row %d state %d: variance off by %g", i, k, d)
				}
			}
			for j := len(taken[i]) - 1; j >= 0; j-- {
				a.unobserve(taken[i][j], scratch)
			}
			a.unpredict(&s.tr[i], scratch)
		}
	}
}

// The annual flow of the Nile at Aswan, 1871-1970, in 1e8 m3: the standard
// example of a local level model. With the variances that Durbin and Koopman
// publish (observation 15099, level 1469.1; Time Series Analysis by State Space
// Methods, ch. 2), the filtered variance settles at the positive root of
// P^2 - q P - q r = 0 less the update, in closed form (memory for the numbers).
func TestLocalLevelSteadyState(t *testing.T) {
	const r, q = 15099.0, 1469.1
	b := belief{x: []float64{0}, p: []float64{1e7}}
	tr := transition{f: [][]coef{{{0, 1}}}, u: []float64{0}, noise: [][]float64{{math.Sqrt(q)}}}
	scratch, gain := make([]float64, 1), make([]float64, 1)
	observe(b, 0, 1120, r, gain) // the flow of 1871
	if got := b.x[0]; math.Abs(got-1118.3) > 0.05 {
		t.Errorf("first filtered level %.2f, published 1118.3", got)
	}
	if got := b.p[0]; math.Abs(got-15076) > 1 {
		t.Errorf("first filtered variance %.1f, published 15076", got)
	}
	for range 99 {
		tr.predict(b, scratch)
		observe(b, 0, 1000, r, gain)
	}
	predicted := (q + math.Sqrt(q*q+4*q*r)) / 2
	if want := predicted * r / (predicted + r); math.Abs(b.p[0]-want) > 1e-6*want {
		t.Errorf("settled variance %.3f, closed form %.3f", b.p[0], want)
	}
	if math.Abs(b.p[0]-4032.2) > 1 {
		t.Errorf("settled variance %.1f, published 4032.2", b.p[0])
	}
}
