package whatif

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"afterloop/analysis/wording"
	"afterloop/ingest"
)

// Moment is a time as it was given: seconds on the log's own axis, or h:mm:ss since the
// first row. The zero value is the first row.
type Moment struct {
	Given      string
	S          float64
	SinceFirst bool
}

// ParseMoment reads "0:31:00" (h:mm:ss since the first row) or "1860" (the log's own seconds).
func ParseMoment(s string) (Moment, error) {
	want := fmt.Errorf("read %q; give h:mm:ss since the first row, as in 0:31:00, or seconds on the log's own axis, as in 1860", s)
	parts := strings.Split(s, ":")
	if len(parts) == 1 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(s, "xXpP_") {
			return Moment{}, want
		}
		return Moment{s, v, false}, nil
	}
	if len(parts) != 3 {
		return Moment{}, want
	}
	total := 0.0
	for i, p := range parts {
		n, err := strconv.ParseUint(p, 10, 16)
		if err != nil || i > 0 && (n > 59 || len(p) != 2) {
			return Moment{}, want
		}
		total = total*60 + float64(n)
	}
	return Moment{s, total, true}, nil
}

// resolve is the moment on the log's own axis; without one the first row.
func (m Moment) resolve(flag string, d *ingest.Dive) (float64, error) {
	first, last := d.TimeS[0], d.TimeS[d.Rows()-1]
	s := m.S
	switch {
	case m.Given == "":
		return first, nil
	case m.SinceFirst:
		s += first
	}
	if s < first || s > last {
		return 0, fmt.Errorf("%s: %s is not within the record; give %s to %s, or seconds from %g to %g", flag, m.Given, wording.Clock(0), wording.Clock(last-first), first, last)
	}
	return s, nil
}
