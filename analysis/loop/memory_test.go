package loop

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Rows after a stirred one stay hidden for as long as the filters remember, and no longer.
func TestRemembered(t *testing.T) {
	r := Record{TimeS: []float64{0, 10, 20, 30, 54.9, 55.1, 60}}
	marked := []bool{false, true, false, false, false, false, false}
	want := []bool{false, true, true, true, true, false, false}
	if diff := cmp.Diff(want, remembered(r, marked, 45)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(make([]bool, 7), remembered(r, make([]bool, 7), 45)); diff != "" {
		t.Errorf("nothing was stirred: %s", diff)
	}
}

// Silence at one moment is taken out of the odds whole; silence at many openings stays.
func TestMoment(t *testing.T) {
	n := 200
	r, once, often := Record{TimeS: make([]float64, n)}, make([]float64, n), make([]float64, n)
	for i := range n {
		r.TimeS[i] = float64(2 * i)
		if i >= 60 && i < 70 { // 20 s
			once[i] = 1
		}
		if i%20 == 0 { // every 40 s
			often[i] = 1
		}
	}
	if got := moment(r, once, 40, 120, 30); got != 10 {
		t.Errorf("the one moment adds %v, want all of 10", got)
	}
	if got := moment(r, often, 0, n-1, 30); got != 1 {
		t.Errorf("one moment of many adds %v, want 1 of 10", got)
	}
	if got := moment(r, often, 1, 19, 30); got != 0 {
		t.Errorf("rows without odds add %v", got)
	}
}
