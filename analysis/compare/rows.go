package compare

import (
	"fmt"
	"math"
	"strings"

	"afterloop/analysis"
	"afterloop/analysis/wording"
)

// figureRows are all figures over the dives; ref is the place of the reference.
func figureRows(ss []*Subject, ref int, cells []matched, matching Matching) []Figure {
	out := []Figure{}
	for _, k := range scalarKinds() {
		vs := make([]Measure, len(ss))
		for i, s := range ss {
			vs[i] = s.values[k.id]
		}
		out = append(out, k.row(ss, ref, "", vs, ""))
	}
	valves, why := matchValves(used(ss))
	out = append(out, partRows(ss, ref, valveKinds(), valves, why, func(s *Subject) []part { return s.valves }, "")...)
	return append(out, partRows(ss, ref, cellKinds(), cells, refusal(matching), func(s *Subject) []part { return s.cells }, "cell ")...)
}

// refusal is why cells are not compared, as the end of a sentence.
func refusal(m Matching) string {
	s, _, _ := strings.Cut(m.Text, ". ")
	return strings.ToLower(s[:1]) + strings.TrimSuffix(s[1:], ".")
}

// partRows are the figures of matched parts; one refused row a kind where nothing matches.
func partRows(ss []*Subject, ref int, kinds []kind, parts []matched, why string, of func(*Subject) []part, prefix string) []Figure {
	var out []Figure
	for _, k := range kinds {
		if parts == nil {
			vs := make([]Measure, len(ss))
			for i := range vs {
				vs[i] = measure(unknown, "not matched")
			}
			out = append(out, k.row(ss, ref, "", vs, why))
			continue
		}
		for _, p := range parts {
			vs := make([]Measure, len(ss))
			at := 0
			for i, s := range ss {
				vs[i] = measure(unknown, "left out")
				if s.LeftOut != "" {
					continue
				}
				vs[i] = measure(unknown, "not in this dive")
				if v := valuesOf(of(s), p.numbers[at]); v != nil {
					vs[i] = v[k.id]
				}
				at++
			}
			out = append(out, k.row(ss, ref, prefix+p.name, vs, ""))
		}
	}
	return out
}

// used are the dives that take part.
func used(ss []*Subject) []*Subject {
	var out []*Subject
	for _, s := range ss {
		if s.LeftOut == "" {
			out = append(out, s)
		}
	}
	return out
}

// row puts one figure together; refused is a reason known beforehand.
func (k kind) row(ss []*Subject, ref int, part string, vs []Measure, refused string) Figure {
	f := Figure{ID: k.id, Group: k.group, Name: k.name, Part: part, Unit: k.unit, Digits: k.digits, Meaning: k.meaning, Values: vs, Remarks: []string{}}
	var with []*Subject
	plain := make([]float64, len(vs))
	bounds := 0
	for i := range vs {
		if ss[i].LeftOut != "" {
			vs[i] = measure(unknown, "left out: "+ss[i].LeftOut)
		}
		plain[i] = float64(vs[i].Value)
		if vs[i].Value.Known() {
			with = append(with, ss[i])
			if vs[i].IsLowerBound {
				bounds++
			}
		}
	}
	f.Spread = SpreadOf(plain)
	f.Reason = refused
	if f.Reason == "" && k.refuse != nil && len(with) > 1 {
		f.Reason = k.refuse(with)
	}
	if f.Reason == "" && f.N < 2 {
		f.Reason = known(ss, vs, f.N)
	}
	if k.settle(&f, with, bounds) {
		f.Reading = reading(ss, ref, f)
	}
	return f
}

// settle says whether a figure without a reason against it is comparable, and if so
// what is to be borne in mind; with are those of whom it is known, bounds how many
// of them are lower bounds.
func (k kind) settle(f *Figure, with []*Subject, bounds int) bool {
	if f.Comparable = f.Reason == ""; !f.Comparable {
		f.Spread = NoSpread(f.N)
		return false
	}
	if k.remark != nil {
		if r := k.remark(with); r != "" {
			f.Remarks = append(f.Remarks, r)
		}
	}
	if bounds > 0 {
		f.Remarks = append(f.Remarks, fmt.Sprintf("%d of %d are lower bounds, and the median may be one", bounds, f.N))
	}
	return true
}

// known says in how many dives a figure is known, and why not in the others.
func known(ss []*Subject, vs []Measure, n int) string {
	for i := range vs {
		if !vs[i].Value.Known() && ss[i].LeftOut == "" {
			if n == 0 {
				return "known in none of the dives; in " + ss[i].Label + ": " + vs[i].Reason
			}
			return "known in one dive only; in " + ss[i].Label + ": " + vs[i].Reason
		}
	}
	return "known in fewer than two dives"
}

// reading says what a row tells: of two dives the difference and no more; of
// more where the reference lies among the others. How long and how deep a dive
// was is a fact and needs no reading.
func reading(ss []*Subject, ref int, f Figure) string {
	r := f.Values[ref]
	if !r.Value.Known() {
		return fmt.Sprintf("Not known in the reference, %s.", ss[ref].Label)
	}
	if f.N == 2 {
		return difference(ss, ref, f)
	}
	if f.Group == groupRecord {
		return ""
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i, v := range f.Values {
		if i != ref && v.Value.Known() {
			low, high = math.Min(low, float64(v.Value)), math.Max(high, float64(v.Value))
		}
	}
	v, half, me := float64(r.Value), 0.5*math.Pow(10, -float64(f.Digits)), ss[ref].Label
	switch {
	case v > high+half:
		return fmt.Sprintf("%s is the highest of %d; one always is.", me, f.N)
	case v < low-half:
		return fmt.Sprintf("%s is the lowest of %d; one always is.", me, f.N)
	case f.N >= quartileFrom && (r.Value > f.Upper || r.Value < f.Quartile):
		return "Within the others, outside the middle half."
	}
	return "Within the others."
}

// difference is that of two dives, with what their intervals say, if they have any.
func difference(ss []*Subject, ref int, f Figure) string {
	for i, v := range f.Values {
		if i == ref || !v.Value.Known() {
			continue
		}
		r, d := f.Values[ref], v.Value-f.Values[ref].Value
		if v.IsLowerBound && r.IsLowerBound {
			return "Both are lower bounds: what the difference is, is not known."
		}
		text := fmt.Sprintf("%s less %s: %s", ss[i].Label, ss[ref].Label, bound(v, r)+signed(d, f.Digits))
		if u := differenceUnit(f.Unit); u != "" {
			text += " " + u
		}
		switch {
		case !(v.Low.Known() && v.High.Known() && r.Low.Known() && r.High.Known()):
			return text + "."
		case v.Low <= r.High && r.Low <= v.High:
			return text + "; the 95 % intervals overlap, so each dive alone leaves that open."
		}
		return text + "; the 95 % intervals do not overlap."
	}
	return ""
}

// differenceUnit is the unit of a difference: two shares in per cent lie points
// apart, and "1/min" after a number reads as a part of it.
func differenceUnit(unit string) string {
	if unit == "%" {
		return "percentage points"
	}
	return UnitText(unit)
}

// UnitText is a unit in words where its sign would read as a number: "per min" for "1/min".
func UnitText(unit string) string {
	if per, ok := strings.CutPrefix(unit, "1/"); ok {
		return "per " + per
	}
	return unit
}

// bound says what a difference of which one side is a lower bound may be.
func bound(v, r Measure) string {
	switch {
	case v.IsLowerBound:
		return "at least "
	case r.IsLowerBound:
		return "at most "
	}
	return ""
}

// Number prints v with n decimals and the typographic minus, a dash where it is not known.
func Number(v analysis.Float, n int) string { return wording.Figure(float64(v), n) }

func signed(v analysis.Float, n int) string {
	s := Number(v, n)
	if v > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}
