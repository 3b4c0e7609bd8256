package tightness

// Result is what a test tells.
type Result struct {
	// Reason says why nothing could be judged; empty where it could.
	Reason    string
	Stretches []Stretch
	// Jumps are the moments of jumps that nothing in the file explains.
	Jumps                  []float64
	StartMbar, EndMbar     float64 // pressure difference at both ends of the judged time
	FromS, ToS             float64 // the judged time
	BeginS                 float64 // when the loop was closed
	JudgedS                float64 // seconds judged in it
	RawMbarMin             Estimate
	RateMbarMin            Estimate // corrected for temperature
	TempKnown              bool
	TempKMin               Estimate
	Softness               Estimate // k of the temperature correction
	StorageLMbar           Estimate // V/P + C
	StorageFrom            string   // given, measured, or empty
	LeakLMin               Estimate
	RigidMolS              float64 // loss of a rigid vessel by 40 CFR 1065.644, where the volume is known
	State                  string  // below, above or open: the interval against the limit
	CertainAfterS          float64 // after BeginS; NaN where it never was
	Noise                  float64
	ReliefMbar             float64 // where the relief valve closed; NaN for none
	Pinned                 bool    // stands where the pressure was held while filling
	Ratio                  float64 // change over the judged time as a share of the absolute pressure
	FitsResolution         bool    // resolution at least 10 times finer than the limit over the judged time
	Resolution, LimitTotal float64 // mbar
}

// States of a rate against the limit.
const (
	BelowLimit = "below"
	AboveLimit = "above"
	OpenLimit  = "open"
)

// Analyze runs the test. It never panics on data.
func Analyze(in Input, p Params) Result {
	r := Result{StartMbar: nan, EndMbar: nan, FromS: nan, ToS: nan, BeginS: nan, RawMbarMin: unknown(), RateMbarMin: unknown(), TempKMin: unknown(),
		Softness: unknown(), StorageLMbar: unknown(), LeakLMin: unknown(), RigidMolS: nan, CertainAfterS: nan, ReliefMbar: nan, Ratio: nan, Noise: nan, State: OpenLimit}
	sign := 1.0
	if !in.Positive {
		sign = -1
	}
	s := bins(in.TimeS, in.LoopMbar, sign)
	if len(s.t) < 5 {
		r.Reason = "fewer than five readings"
		return r
	}
	from, to := s.cutOff(in)
	if to-from < 5 {
		r.Reason = "fewer than five readings while the loop was closed"
		return r
	}
	ps := s.pieces(from, to, in, p)
	s.classify(ps, p)
	r.Noise, r.BeginS = s.noise, s.t[from]
	r.describe(in, s, ps, from, to, p)
	r.storage(s, ps, in, p)
	r.pinned(in, s, from)
	r.judge(in, s, ps, p)
	return r
}

// describe lists the stretches, neighbours of one kind joined.
func (r *Result) describe(in Input, s series, ps []piece, from, to int, p Params) {
	explained := append(append([]float64{}, in.KnownS...), in.DisturbedS...)
	if from > 0 {
		r.Stretches = append(r.Stretches, Stretch{s.t[0], s.t[from], Before, nan, nan})
	}
	for k, q := range ps {
		if q.kind == Relief {
			r.ReliefMbar = q.line.At(s.t[q.to-1])
		}
		if k > 0 && q.group != ps[k-1].group {
			if at := (s.t[q.from] + s.t[ps[k-1].to-1]) / 2; !within(at, explained, p.DisturbedS+s.stepS) {
				r.Jumps = append(r.Jumps, at)
			}
		}
		st := Stretch{s.t[q.from], s.t[q.to-1], q.kind, q.rate(), s.mean(q)}
		if n := len(r.Stretches); n > 0 && k > 0 && r.Stretches[n-1].Kind == q.kind && q.group == ps[k-1].group && q.from == ps[k-1].to {
			last := &r.Stretches[n-1]
			a, b := last.ToS-last.FromS, st.ToS-st.FromS
			last.RateMbarMin = (a*last.RateMbarMin + b*st.RateMbarMin) / (a + b)
			last.MeanMbar = (a*last.MeanMbar + b*st.MeanMbar) / (a + b)
			last.ToS = st.ToS
			continue
		}
		r.Stretches = append(r.Stretches, st)
	}
	if to < len(s.t) {
		r.Stretches = append(r.Stretches, Stretch{s.t[to], s.t[len(s.t)-1], After, nan, nan})
	}
}

// judge computes the rate over what is judged, and when it became certain.
func (r *Result) judge(in Input, s series, ps []piece, p Params) {
	var t, u []float64
	var g []int
	for k, q := range ps {
		if q.kind != Judged {
			continue
		}
		gr := q.group
		if k > 0 && q.from != ps[k-1].to { // time was left out before it
			gr += 1000 * k
		} else if k > 0 && len(g) > 0 && ps[k-1].kind == Judged && ps[k-1].group == q.group {
			gr = g[len(g)-1]
		}
		for i := q.from; i < q.to; i++ {
			t, u, g = append(t, s.t[i]), append(u, s.u[i]), append(g, gr)
		}
		r.JudgedS += s.t[q.to-1] - s.t[q.from]
	}
	if len(t) < 5 || r.JudgedS < p.LeastS {
		r.Reason = "too little undisturbed time once settling and disturbances are left out"
		return
	}
	r.FromS, r.ToS = t[0], t[len(t)-1]
	r.StartMbar, r.EndMbar = u[0], u[len(u)-1]
	r.rate(in, t, u, g, p)
	r.certainty(in, t, u, g, p)
	r.figures(in, p)
}
