package cell

import "math"

// wander is what it costs, penalties included, to explain a pair without any ceiling:
// one of the two reads beside the other by an offset that comes and goes,
//
//	y = g x + o(t),  o a line from one break to the next
//
// with as many breaks as pay for themselves. It takes no side: the offset may be the
// reference's as well as the cell's. A real ceiling, passed several times, needs
// many breaks, and while PO2 swings above it the cell stands; an offset
// leaves the swings in both.
func (q *pair) wander(f fit) float64 {
	r := q.residuals(f)
	breaks := r.split(q.p.WanderNats)
	c := q.newCosts()
	pen := q.p.FaultPenalty
	to := len(r.k)
	for to > 0 {
		from := breaks[to]
		a, b := r.fit(from, to)
		for i := from; i < to; i++ {
			c.add(r.w[i], (r.o[i]-a-b*r.t[i])*r.inv[i])
		}
		if to = from; to > 0 {
			pen += q.p.WanderNats
		}
	}
	return c.total() + pen
}

// offsets are the residuals y - g x of the blocks that count, with running sums.
type offsets struct {
	k            []int
	t, o, inv, w []float64
	sum          [][6]float64 // of w, wt, wtt, wo, wto, woo
}

func (q *pair) residuals(f fit) offsets {
	var r offsets
	x := q.x[f.tau]
	r.sum = append(r.sum, [6]float64{})
	for k, w := range q.weight {
		if w == 0 {
			continue
		}
		t, o := (q.timeS[k]-q.timeS[0])/3600, q.y[k]-f.gain*x[k]
		r.k, r.t, r.o, r.inv, r.w = append(r.k, k), append(r.t, t), append(r.o, o), append(r.inv, q.inv[k]), append(r.w, w)
		v := w * q.inv[k] * q.inv[k]
		s := r.sum[len(r.sum)-1]
		for i, a := range [6]float64{v, v * t, v * t * t, v * o, v * t * o, v * o * o} {
			s[i] += a
		}
		r.sum = append(r.sum, s)
	}
	return r
}

// fit is the least-squares line over from..to (exclusive).
func (r *offsets) fit(from, to int) (a, b float64) {
	s := r.between(from, to)
	mean, tm := s[3]/s[0], s[1]/s[0]
	if tt := s[2] - s[1]*tm; to-from > 2 && tt > 0 {
		b = (s[4] - s[1]*mean) / tt
	}
	return mean - b*tm, b
}

func (r *offsets) between(from, to int) [6]float64 {
	s, f := r.sum[to], &r.sum[from]
	for i := range s {
		s[i] -= f[i]
	}
	return s
}

// cost is half the weighted sum of squares about that line.
func (r *offsets) cost(from, to int) float64 {
	s := r.between(from, to)
	tm := s[1] / s[0]
	ss := s[5] - s[3]*s[3]/s[0]
	if tt := s[2] - s[1]*tm; to-from > 2 && tt > 0 {
		ss -= sq(s[4]-tm*s[3]) / tt
	}
	return math.Max(ss, 0) / 2
}

// split finds the cheapest breaks, each at a price: entry i is where the
// stretch that ends before i begins. Its cost is quadratic in blocks, of
// which there are BlocksMax at most.
func (r *offsets) split(price float64) []int {
	n := len(r.k)
	least, at := make([]float64, n+1), make([]int, n+1)
	for to := 1; to <= n; to++ {
		least[to] = math.Inf(1)
		for from := range to {
			if least[from] >= least[to] {
				continue
			}
			if c := least[from] + price + r.cost(from, to); c < least[to] {
				least[to], at[to] = c, from
			}
		}
	}
	return at
}
