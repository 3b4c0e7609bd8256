package report

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"io"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// unpack is the inverse that the page's script implements, written a second
// time: what it gives back must be what went in.
func unpack(t testing.TB, s *samples) map[string][]float64 {
	t.Helper()
	text, at := s.text.String(), 0
	out, whole := map[string][]float64{}, [][]int64{}
	for _, c := range s.Columns {
		raw, err := base64.StdEncoding.DecodeString(text[at : at+c.Length])
		if err != nil {
			t.Fatal(err)
		}
		at += c.Length
		b, err := io.ReadAll(flate.NewReader(bytes.NewReader(raw)))
		if err != nil {
			t.Fatal(err)
		}
		n, v := make([]int64, s.rows), make([]float64, s.rows)
		var before, step, like int64
		for i := range n {
			u, shift := uint64(0), 0
			for {
				x := b[0]
				b = b[1:]
				u |= uint64(x&0x7f) << shift
				shift += 7
				if x < 0x80 {
					break
				}
			}
			if c.Like >= 0 && whole[c.Like][i] != missing {
				like = whole[c.Like][i]
			}
			if n[i], v[i] = missing, math.NaN(); u == 0 {
				continue
			}
			u--
			r := int64(u >> 1)
			if u&1 == 1 {
				r = -r - 1
			}
			n[i] = r + map[int]int64{0: like, 1: before, 2: before + step}[c.Order]
			before, step = n[i], n[i]-before
			v[i] = float64(n[i]) / pow10[c.Decimals]
		}
		if len(b) != 0 {
			t.Fatalf("column %s: %d bytes left over", c.ID, len(b))
		}
		whole, out[c.ID] = append(whole, n), v
	}
	if at != len(text) {
		t.Fatalf("%d characters left over", len(text)-at)
	}
	return out
}

func TestPackedSamplesComeBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 200).Draw(rt, "rows")
		decimals := rapid.IntRange(0, 3).Draw(rt, "decimals")
		s := &samples{rows: n}
		want := map[string][]float64{}
		for _, id := range []string{"a", "b", "c"} {
			v := make([]float64, n)
			for i := range v {
				v[i] = float64(rapid.Int64Range(-3e9, 3e9).Draw(rt, "v")) / pow10[decimals]
				if rapid.IntRange(0, 5).Draw(rt, "missing") == 0 {
					v[i] = math.NaN()
				}
			}
			s.add(id, v, 3)
			want[id] = v
		}
		got := unpack(t, s)
		for id, v := range want {
			for i := range v {
				if !(math.Abs(v[i]-got[id][i]) <= 1e-9*math.Abs(v[i])) && !(math.IsNaN(v[i]) && math.IsNaN(got[id][i])) {
					rt.Fatalf("%s, row %d: %v became %v", id, i, v[i], got[id][i])
				}
			}
		}
	})
}

// What a log holds comes back to the digit: rounding is only for computed figures.
func TestDecimalsAreTheLogs(t *testing.T) {
	for _, c := range []struct {
		v    []float64
		want int
	}{
		{[]float64{1, 2, math.NaN()}, 0}, {[]float64{0.7, 1.25}, 2}, {[]float64{0.1 + 0.2}, 1}, {[]float64{1.0 / 3}, 4}, {nil, 0},
	} {
		if got := decimalsOf(c.v, 4); got != c.want {
			t.Errorf("%v: %d decimals, want %d", c.v, got, c.want)
		}
	}
}

// A column that another one foretells costs next to nothing.
func TestLikeColumnsShare(t *testing.T) {
	const n = 5000
	a, b := make([]float64, n), make([]float64, n)
	for i := range a {
		a[i] = math.Round((1.2+0.05*jitter(i, 1))*1000) / 1000
		b[i] = a[i]
	}
	s := &samples{rows: n}
	s.add("a", a, 3)
	s.add("b", b, 3)
	if s.Columns[1].Like != 0 || s.Columns[1].Length > 100 {
		t.Errorf("second column: %+v", s.Columns[1])
	}
}

func TestNotFiniteIsNotPacked(t *testing.T) {
	s := &samples{rows: 4}
	s.add("a", []float64{1, math.Inf(1), math.NaN(), 1e300}, 3)
	got := unpack(t, s)["a"]
	if got[0] != 1 || !math.IsNaN(got[1]) || !math.IsNaN(got[2]) || !math.IsNaN(got[3]) {
		t.Errorf("got %v", got)
	}
}
