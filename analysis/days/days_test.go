package days

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"afterloop/analysis"
	"afterloop/analysis/exposure"
)

// course is a log as a test states it.
type course struct {
	start    string // RFC 3339, or empty
	tS, po   []float64
	diver    string
	sha      string
	file     string
	also     []float64 // a second source of PO2
	openGas  bool      // an unknown gas was breathed
	lastM    float64
	supplied bool
}

// log makes the debrief that a series needs, without a dive behind it.
func (c course) log() Log {
	d := &analysis.Debrief{Sources: []analysis.Source{{File: c.file, SHA256: c.sha}}}
	d.Dive = analysis.DiveFacts{Diver: c.diver, Start: c.start, DurationS: f(c.tS[len(c.tS)-1] - c.tS[0]), MaxDepthM: unknown}
	d.Recording.FirstDepthM, d.Recording.LastDepthM = 0, f(c.lastM)
	d.Exposure.OpenCircuitAssessed = !c.openGas
	d.Exposure.Headline.Source = "unit"
	d.Inhaled = &analysis.Inhaled{TimeS: c.tS, GapAfter: make([]bool, len(c.tS)), Options: exposure.DefaultOptions(), Sources: []analysis.InhaledSource{{Source: "unit", PO2Bar: c.po}}}
	if c.also != nil {
		d.Inhaled.Sources = append(d.Inhaled.Sources, analysis.InhaledSource{Source: "mid-value", PO2Bar: c.also})
	}
	return Log{Debrief: d, StartSupplied: c.supplied}
}

// at is minutes at one PO2, from a start.
func at(start string, po, minutes float64) course {
	return course{start: start, tS: []float64{0, minutes * 60}, po: []float64{po, po}, sha: start + fmt.Sprint(po, minutes), file: start + ".csv"}
}

func compose(t interface{ Fatal(...any) }, p Params, cs ...course) *Report {
	var logs []Log
	for _, c := range cs {
		logs = append(logs, c.log())
	}
	r, err := Compose(logs, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got analysis.Float, want, tol float64) {
	t.Helper()
	if !(math.Abs(float64(got)-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %g", what, float64(got), want, tol)
	}
}

func outcome(r *Report, id string) analysis.Outcome {
	for _, c := range r.Checks {
		if c.ID == id {
			return c.Outcome
		}
	}
	return ""
}

// TestPublished: three dives of 45 min at 1.6 bar are allowed in 24 h (NOAA Diving
// Manual, 4th edition, p. 3-22, as quoted): 135 of 150 min. Five minutes after
// 100 % the convention leaves 96.2223836894 % (printed in 1996), after 90 min 50 %.
func TestPublished(t *testing.T) {
	r := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.6, 45), at("2026-05-01T10:15:00Z", 1.6, 45), at("2026-05-01T12:30:00Z", 1.6, 45))
	near(t, "24 h", r.Worst24h.Percent.Value, 90, 1e-9)
	near(t, "single, dive 1", r.Dives[0].CNSAfterPercent.Value, 100, 1e-9)
	near(t, "before dive 2", r.Dives[1].CNSBeforePercent.Value, 50, 1e-9)
	near(t, "before dive 3", r.Dives[2].CNSBeforePercent.Value, 75, 1e-9)
	if outcome(r, "rolling-24h") != analysis.Found || outcome(r, "single-cns") != analysis.Found {
		t.Errorf("90 %% of the 24-hour limit, 175 %% of the single one: %s, %s", outcome(r, "rolling-24h"), outcome(r, "single-cns"))
	}
	for _, x := range r.Findings {
		if want := map[string]analysis.Severity{"series-24h-limit": analysis.Caution, "series-single-limit": analysis.Warning}[x.Kind]; want != "" && x.Severity != want {
			t.Errorf("%s is a %s, want %s", x.Kind, x.Severity, want)
		}
	}
	r = compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.6, 45), at("2026-05-01T08:50:00Z", 1.0, 1))
	near(t, "after 5 min", r.Dives[1].CNSBeforePercent.Value, 96.2223836894, 1e-9)
	four := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.6, 45), at("2026-05-01T10:15:00Z", 1.6, 45), at("2026-05-01T12:30:00Z", 1.6, 45), at("2026-05-01T14:45:00Z", 1.6, 45))
	near(t, "a fourth", four.Worst24h.Percent.Value, 120, 1e-9)
	if four.Findings[0].Severity != analysis.Warning {
		t.Error("past the 24-hour limit is a warning")
	}
}

// TestMidnight: a dive over midnight counts on both days; day by day the doses are
// those of the dives.
func TestMidnight(t *testing.T) {
	r := compose(t, DefaultParams(), at("2026-05-01T23:20:00+02:00", 1.0, 60))
	if len(r.Days) != 2 || r.Days[0].Date != "2026-05-01" || r.Days[1].Date != "2026-05-02" {
		t.Fatalf("%+v", r.Days)
	}
	near(t, "before midnight", r.Days[0].OTU.Value, 40, 1e-9)
	near(t, "after midnight", r.Days[1].OTU.Value, 20, 1e-9)
	near(t, "limit of day 2", r.Days[1].LimitOTU, 700, 0)
	near(t, "run", r.Days[1].RunOTU.Value, 60, 1e-9)
	near(t, "worst in day 1", r.Days[0].Worst24hPercent, 40.0/3, 1e-9)
	near(t, "worst in day 2", r.Days[1].Worst24hPercent, 20, 1e-9)
	if r.Days[1].LimitVerified || !r.Days[0].LimitVerified {
		t.Error("the limit of day 1 was seen quoted, that of day 2 was not")
	}
	whole := compose(t, DefaultParams(), at("2026-05-01T23:00:00+02:00", 1.0, 60)) // ends at midnight
	if len(whole.Days) != 1 {
		t.Errorf("a dive that ends at midnight is on %d days", len(whole.Days))
	}
}

// TestZones: the same instants in other offsets are the same 24 hours; only local
// days change, and no dose is lost or doubled.
func TestZones(t *testing.T) {
	starts := []string{"2026-05-01T20:00:00Z", "2026-05-02T06:00:00Z", "2026-05-02T18:30:00Z"}
	plain := compose(t, DefaultParams(), at(starts[0], 1.3, 80), at(starts[1], 1.3, 80), at(starts[2], 1.3, 80))
	rapid.Check(t, func(t *rapid.T) {
		var cs []course
		for _, s := range starts {
			x, _ := time.Parse(time.RFC3339, s)
			zone := time.FixedZone("", 60*rapid.IntRange(-12*60, 14*60).Draw(t, "offset"))
			cs = append(cs, at(x.In(zone).Format(time.RFC3339), 1.3, 80))
		}
		r := compose(t, DefaultParams(), cs...)
		if math.Abs(float64(r.Worst24h.Percent.Value-plain.Worst24h.Percent.Value)) > 1e-9 {
			t.Fatalf("worst 24 h %v, in UTC %v", r.Worst24h.Percent.Value, plain.Worst24h.Percent.Value)
		}
		var byDay, byDive float64
		for _, d := range r.Days {
			byDay += float64(d.OTU.Value)
		}
		for _, d := range r.Dives {
			byDive += float64(d.OTU.Value)
		}
		if math.Abs(byDay-byDive) > 1e-6 || math.Abs(byDive-3*80*1.479449) > 1e-2 {
			t.Fatalf("%v OTU by day, %v by dive", byDay, byDive)
		}
		if math.Abs(float64(r.Dives[1].CNSBeforePercent.Value-plain.Dives[1].CNSBeforePercent.Value)) > 1e-9 {
			t.Fatal("the surface interval depends on the offset")
		}
	})
}

// drawSeries is some logs, which may overlap, repeat and lack a start.
func drawSeries(t *rapid.T) []course {
	base := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	var cs []course
	for k := range rapid.IntRange(2, 5).Draw(t, "logs") {
		start := base.Add(time.Duration(rapid.IntRange(0, 3000).Draw(t, "minute")) * time.Minute).In(time.FixedZone("", 3600*rapid.IntRange(-3, 3).Draw(t, "zone")))
		c := course{start: start.Format(time.RFC3339), sha: fmt.Sprint("sha", k), file: fmt.Sprint("log", k, ".csv")}
		at := 0.0
		for range rapid.IntRange(2, 6).Draw(t, "rows") {
			c.tS, c.po = append(c.tS, at), append(c.po, rapid.Float64Range(0.3, 1.7).Draw(t, "po2"))
			at += rapid.Float64Range(60, 4000).Draw(t, "dt")
		}
		switch rapid.IntRange(0, 9).Draw(t, "odd") {
		case 0:
			c.start = ""
		case 1:
			c.openGas = true
		case 2:
			c.also = slices.Clone(c.po)
			c.also[0] = 0.5
		}
		cs = append(cs, c)
	}
	if rapid.Bool().Draw(t, "repeat one") {
		c := cs[0]
		c.file = "copy.csv"
		cs = append(cs, c)
	}
	return cs
}

// TestOrder: the order of the logs makes no difference to a single byte.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := drawSeries(t)
		p := DefaultParams()
		p.ESOT = true
		var want string
		for n := range 3 {
			shuffled := cs
			if n > 0 {
				shuffled = rapid.Permutation(cs).Draw(t, "order")
			}
			var logs []Log
			for _, c := range shuffled {
				logs = append(logs, c.log())
			}
			text := ""
			if r, err := Compose(logs, nil, p); err != nil {
				text = err.Error()
			} else {
				b, err := json.Marshal(r)
				if err != nil {
					t.Fatal(err)
				}
				text = string(b) + fmt.Sprint(*r.Series)
			}
			if want == "" {
				want = text
			} else if text != want {
				t.Fatalf("another order, another result:\n%s\n%s", want, text)
			}
		}
	})
}

// TestNeverTwice: the time that counts is the time that any log covers, however
// many cover it; figures hold their ranges.
func TestNeverTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := drawSeries(t)
		var logs []Log
		for _, c := range cs {
			logs = append(logs, c.log())
		}
		p := DefaultParams()
		p.OverlapS = 0
		r, err := Compose(logs, nil, p)
		if errors.Is(err, ErrNothingPlaced) {
			return
		} else if err != nil {
			t.Fatal(err)
		}
		var spans [][2]float64
		for _, c := range cs {
			if x, err := time.Parse(time.RFC3339, c.start); err == nil {
				spans = append(spans, [2]float64{float64(x.Unix()), float64(x.Unix()) + c.tS[len(c.tS)-1]})
			}
		}
		slices.SortFunc(spans, func(a, b [2]float64) int { return int(a[0] - b[0]) })
		union, end := 0.0, math.Inf(-1)
		for _, s := range spans {
			union += math.Max(0, s[1]-math.Max(end, s[0]))
			end = math.Max(end, s[1])
		}
		counted := 0.0
		for _, d := range r.Days {
			counted += float64(d.RecordedS)
		}
		if math.Abs(counted-union) > 1e-3 {
			t.Fatalf("%v s count, the logs cover %v s", counted, union)
		}
		for _, d := range r.Dives {
			for _, v := range []Figure{d.CNSPercent, d.OTU, d.CNSBeforePercent, d.CNSAfterPercent, r.Worst24h.Percent} {
				if v.Value.Known() && v.Low > v.Value+1e-9 || v.High < v.Value-1e-9 {
					t.Fatalf("%+v", v)
				}
			}
		}
	})
}

// TestSplit: one log cut in two at a row has the doses of the whole.
func TestSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := at("2026-05-01T22:00:00+02:00", 1, 1)
		c.tS, c.po = nil, nil
		for k := range rapid.IntRange(3, 20).Draw(t, "rows") {
			c.tS, c.po = append(c.tS, 600*float64(k)), append(c.po, rapid.Float64Range(0.4, 1.7).Draw(t, "po2"))
		}
		row := rapid.IntRange(1, len(c.tS)-2).Draw(t, "row")
		a, b := c, c
		a.tS, a.po, a.sha = c.tS[:row+1], c.po[:row+1], "a"
		b.tS, b.po, b.sha = c.tS[row:], c.po[row:], "b"
		whole, parts := compose(t, DefaultParams(), c), compose(t, DefaultParams(), b, a)
		same := func(what string, x, y analysis.Float) {
			if math.Abs(float64(x-y)) > 1e-9*(1+math.Abs(float64(x))) {
				t.Fatalf("%s: whole %v, in two %v", what, x, y)
			}
		}
		same("24 h", whole.Worst24h.Percent.Value, parts.Worst24h.Percent.Value)
		same("CNS at the end", whole.Dives[0].CNSAfterPercent.Value, parts.Dives[1].CNSAfterPercent.Value)
		same("OTU", whole.Dives[0].OTU.Value, parts.Dives[0].OTU.Value+parts.Dives[1].OTU.Value)
		for i := range whole.Days {
			same("OTU of a day", whole.Days[i].OTU.Value, parts.Days[i].OTU.Value)
		}
		if len(parts.Findings) > 0 && outcome(parts, "overlap") != analysis.NotFound {
			t.Fatal("logs that touch do not overlap")
		}
	})
}

// TestMonotone: one more dive, or more PO2, is never less.
func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := at("2026-05-01T08:00:00Z", rapid.Float64Range(0.6, 1.5).Draw(t, "a"), 70)
		minute := rapid.IntRange(100, 1300).Draw(t, "minute")
		b := at(time.Date(2026, 5, 1, 8, minute, 0, 0, time.UTC).Format(time.RFC3339), rapid.Float64Range(0.6, 1.5).Draw(t, "b"), 60)
		one, two := compose(t, DefaultParams(), a), compose(t, DefaultParams(), a, b)
		more := b
		more.po = []float64{b.po[0] + 0.1, b.po[1] + 0.1}
		three := compose(t, DefaultParams(), a, more)
		if !(two.Worst24h.Percent.Value >= one.Worst24h.Percent.Value-1e-9 && three.Worst24h.Percent.Value >= two.Worst24h.Percent.Value-1e-9) {
			t.Fatalf("24 h: %v, %v, %v", one.Worst24h.Percent.Value, two.Worst24h.Percent.Value, three.Worst24h.Percent.Value)
		}
		if !(three.Dives[1].CNSAfterPercent.Value >= two.Dives[1].CNSAfterPercent.Value-1e-9 && three.Dives[1].OTU.Value >= two.Dives[1].OTU.Value) {
			t.Fatal("more PO2 is less")
		}
	})
}

// TestDayAgo: a dive more than 24 hours ago does not count in 24 hours.
func TestDayAgo(t *testing.T) {
	r := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.3, 90), at("2026-05-02T09:30:00Z", 1.3, 60))
	near(t, "worst", r.Worst24h.Percent.Value, 100*90.0/210, 1e-9)
	near(t, "in dive 2", r.Dives[1].Worst24hPercent, 100*60.0/210, 1e-9)
	r = compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.3, 90), at("2026-05-02T08:30:00Z", 1.3, 60))
	// From 08:30 on the first dive's minutes leave as fast as the second's come in.
	near(t, "half an hour of the first has left", r.Dives[1].Worst24hPercent, 100*60.0/210, 1e-9)
}

// TestOverlap: the larger dose counts where two logs cover the same time, and it is said.
func TestOverlap(t *testing.T) {
	r := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.0, 60), at("2026-05-01T08:30:00Z", 1.3, 60))
	near(t, "OTU of dive 1", r.Dives[0].OTU.Value, 30, 1e-9)
	near(t, "covered", r.Dives[0].CoveredS, 1800, 1e-9)
	near(t, "24 h", r.Worst24h.Percent.Value, 100*(30.0/300+60.0/210), 1e-9)
	if outcome(r, "overlap") != analysis.Found || !strings.Contains(strings.Join(r.Dives[0].Remarks, " "), "covered by dive 2") {
		t.Errorf("%s, %v", outcome(r, "overlap"), r.Dives[0].Remarks)
	}
	inside := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.3, 60), at("2026-05-01T08:10:00Z", 1.0, 20))
	if inside.Dives[1].OTU.Value.Known() || inside.Dives[1].CNSPercent.Value.Known() {
		t.Errorf("a log that is covered whole has a dose of its own: %+v", inside.Dives[1])
	}
	near(t, "CNS after both", inside.Dives[0].CNSAfterPercent.Value, 100*60.0/180, 1e-9)
	if inside.Dives[1].CNSAfterPercent.Value.Known() || r.Dives[1].CNSBeforePercent.Value.Known() {
		t.Error("CNS in the middle of another log is given")
	}
	near(t, "CNS after the second", r.Dives[1].CNSAfterPercent.Value, 100*(30.0/300+60.0/180), 1e-9)
	c := at("2026-05-01T08:00:00Z", 1.0, 60)
	d := c
	d.file = "another.csv"
	twice := compose(t, DefaultParams(), c, d)
	if len(twice.Dives) != 1 || len(twice.LeftOut) != 1 || twice.LeftOut[0].Kind != "duplicate" || outcome(twice, "placed") != analysis.NotFound {
		t.Errorf("the same bytes count %d times: %+v", len(twice.Dives), twice.LeftOut)
	}
}

// TestDivers: two people are never added up.
func TestDivers(t *testing.T) {
	a, b, c := at("2026-05-01T08:00:00Z", 1, 60), at("2026-05-01T12:00:00Z", 1, 60), at("2026-05-01T16:00:00Z", 1, 60)
	a.diver, b.diver = "T. L.", "M.  Q."
	logs := []Log{a.log(), b.log(), c.log()}
	_, err := Compose(logs, nil, DefaultParams())
	var divers DiversError
	if !errors.As(err, &divers) || len(divers.Names) != 2 || divers.Names[0] != "M. Q." {
		t.Fatalf("%v", err)
	}
	p := DefaultParams()
	p.Diver = "m. q."
	r, err := Compose(logs, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	if r.Diver != "M. Q." || len(r.Dives) != 2 || len(r.LeftOut) != 1 || r.LeftOut[0].Kind != "other-diver" || r.Worst24h.Percent.IsLowerBound {
		t.Errorf("%s, %d dives, %+v", r.Diver, len(r.Dives), r.LeftOut)
	}
	if p.Diver = "Nobody"; true {
		if _, err = Compose(logs, nil, p); err == nil {
			t.Error("an unknown diver is no error")
		}
	}
}

// TestMissing: what can't be placed makes sums lower bounds, and "nothing found"
// is then not said.
func TestMissing(t *testing.T) {
	a, b := at("2026-05-01T08:00:00Z", 1.0, 30), at("", 1.0, 30)
	r := compose(t, DefaultParams(), a, b)
	if !r.Worst24h.Percent.IsLowerBound || outcome(r, "placed") != analysis.Found || outcome(r, "rolling-24h") != analysis.NotAssessed || outcome(r, "otu-day") != analysis.NotAssessed || outcome(r, "single-cns") != analysis.NotAssessed {
		t.Errorf("%+v %+v", r.Worst24h, r.Checks)
	}
	gas := at("2026-05-01T12:00:00Z", 1.0, 30)
	gas.openGas = true
	r = compose(t, DefaultParams(), a, gas)
	if r.Worst24h.Percent.High.Known() || r.Days[0].OTU.High.Known() || outcome(r, "otu-day") != analysis.NotAssessed || outcome(r, "whole") != analysis.Found {
		t.Errorf("an unknown gas is bounded: %+v", r.Days[0])
	}
	deep := at("2026-05-01T12:00:00Z", 1.0, 30)
	deep.lastM = 20
	if r = compose(t, DefaultParams(), a, deep); !r.Dives[1].OTU.IsLowerBound || outcome(r, "whole") != analysis.Found {
		t.Errorf("a record that ends at 20 m is whole: %+v", r.Dives[1])
	}
	if r, err := Compose([]Log{a.log()}, []LeftOut{{File: "x", Kind: "unreadable", Reason: "it could not be read"}}, DefaultParams()); err != nil || !r.Worst24h.Percent.IsLowerBound {
		t.Errorf("%v", err)
	}
	dot := at("2026-05-01T12:00:00Z", 1.0, 30)
	dot.tS, dot.po = dot.tS[:1], dot.po[:1]
	if r = compose(t, DefaultParams(), a, dot); len(r.Dives) != 1 || len(r.LeftOut) != 1 || r.LeftOut[0].Kind != "no-po2" {
		t.Errorf("a log of one row: %+v", r.LeftOut)
	}
	if _, err := Compose([]Log{b.log()}, nil, DefaultParams()); !errors.Is(err, ErrNothingPlaced) {
		t.Errorf("%v", err)
	}
	if _, err := Compose(nil, nil, DefaultParams()); !errors.Is(err, ErrNothingPlaced) {
		t.Errorf("%v", err)
	}
}

// TestRuns: a run counts calendar days and ends after two whole days without a dose.
func TestRuns(t *testing.T) {
	r := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.0, 100), at("2026-05-03T08:00:00Z", 1.0, 100), at("2026-05-06T08:00:00Z", 1.0, 100), at("2026-05-07T08:00:00Z", 0.4, 100), at("2026-05-20T08:00:00Z", 0.4, 100))
	var got []string
	for _, d := range r.Days {
		got = append(got, fmt.Sprintf("%s %d/%d %v", d.Date[8:], d.Run, d.DayOfRun, float64(d.LimitOTU)))
	}
	if want := "01 1/1 850; 03 1/3 620; 06 2/1 850; 07 2/2 700; 20 0/0 NaN"; strings.Join(got, "; ") != want {
		t.Errorf("%s, want %s", strings.Join(got, "; "), want)
	}
	// Twelve days of 310 OTU: from day 11 on the limit, seen quoted, is 300.
	var cs []course
	for k := range 12 {
		cs = append(cs, at(time.Date(2026, 6, 1+k, 9, 0, 0, 0, time.UTC).Format(time.RFC3339), 1.0, 310))
	}
	r = compose(t, DefaultParams(), cs...)
	for _, x := range r.Findings {
		if x.Kind == "series-otu-day" && (x.Severity != analysis.Warning || !strings.Contains(x.Observed, "day 11")) {
			t.Errorf("%s: %s", x.Severity, x.Observed)
		}
	}
	if outcome(r, "otu-day") != analysis.Found {
		t.Error("310 OTU on day 11 are not found")
	}
	// 690 OTU on day 2 of a run: near 700, which is from memory: a caution, and possible.
	r = compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.0, 100), at("2026-05-02T02:00:00Z", 1.0, 701))
	for _, x := range r.Findings {
		if strings.HasPrefix(x.Kind, "series-otu-day") && (x.Severity != analysis.Caution || x.Confidence != analysis.Possible || !strings.Contains(x.LimitSource, "memory")) {
			t.Errorf("%+v", x)
		}
	}
}

// TestGravest: a day that may be past its mark is not hidden by one that is nearer
// to another, and a limit from memory hides no limit that was seen.
func TestGravest(t *testing.T) {
	r := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.0, 500), at("2026-05-02T08:00:00Z", 1.0, 500))
	if outcome(r, "otu-day") != analysis.NotFound { // 59 % and 71 %
		t.Fatalf("%+v", r.Days)
	}
	c := at("2026-05-01T08:00:00Z", 1.0, 500)
	l := c.log()
	wide := c
	wide.po = []float64{1.3, 1.3}
	l.Debrief.Inhaled.Sources = append(l.Debrief.Inhaled.Sources, analysis.InhaledSource{Source: "model-high", PO2Bar: wide.po})
	r, err := Compose([]Log{l, at("2026-05-02T08:00:00Z", 1.0, 500).log()}, nil, DefaultParams())
	if err != nil || outcome(r, "otu-day") != analysis.Borderline {
		t.Errorf("up to 87 %% of day 1 is %s, %v", outcome(r, "otu-day"), err)
	}
	r = compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.0, 860), at("2026-05-02T04:00:00Z", 1.0, 900))
	for _, x := range r.Findings {
		if x.Kind == "series-otu-day" && (x.Severity != analysis.Warning || !strings.Contains(x.Observed, "day 1 of a run") || len(x.Evidence) != 2) {
			t.Errorf("%+v", x)
		}
	}
}

// TestESOT: a day's ESOT is that of its parts, and has a limit by the day of its run.
func TestESOT(t *testing.T) {
	p := DefaultParams()
	p.ESOT = true
	r := compose(t, p, at("2026-05-01T08:00:00Z", 1.3, 120), at("2026-05-01T12:00:00Z", 1.3, 120), at("2026-05-02T12:00:00Z", 0.7, 120))
	near(t, "ESOT", r.Days[0].ESOT.Value, exposure.ESOT(240, 1.3*100/101.3), 1e-9)
	near(t, "limit", r.Days[0].ESOT.Limit, 660, 0)
	near(t, "limit of day 2", r.Days[1].ESOT.Limit, 500, 0)
	if r.Days[1].ESOT.Value.Known() || r.Days[1].ESOT.Standing != "outside" || outcome(r, "esot-day") != analysis.NotAssessed {
		t.Errorf("0.7 bar is outside: %+v, %s", r.Days[1].ESOT, outcome(r, "esot-day"))
	}
	r = compose(t, p, at("2026-05-01T08:00:00Z", 1.6, 240))
	if outcome(r, "esot-day") != analysis.Found || r.Findings[len(r.Findings)-1].Severity != analysis.Note {
		t.Errorf("%+v", r.Findings)
	}
	if plain := compose(t, DefaultParams(), at("2026-05-01T08:00:00Z", 1.6, 240)); plain.Days[0].ESOT != nil || outcome(plain, "esot-day") != analysis.DoesNotApply {
		t.Error("ESOT without being asked")
	}
}

// TestRange: the other sources and the gaps make the range, and the headline the figure.
func TestRange(t *testing.T) {
	c := at("2026-05-01T08:00:00Z", 1.3, 60)
	c.also = []float64{1.0, 1.0}
	r := compose(t, DefaultParams(), c, at("2026-05-01T12:00:00Z", 1.3, 60))
	near(t, "value", r.Worst24h.Percent.Value, 100*120.0/210, 1e-9)
	near(t, "low", r.Worst24h.Percent.Low, 100*(60.0/300+60.0/210), 1e-9)
	near(t, "high", r.Worst24h.Percent.High, 100*120.0/210, 1e-9)
	near(t, "OTU low", r.Days[0].OTU.Low, 60+60*1.479449, 1e-3)
	l := at("2026-05-01T08:00:00Z", 1.3, 60)
	l.tS, l.po = []float64{0, 1800, 3600, 5400}, []float64{1.3, 1.3, 1.3, 1.3}
	holed := l.log()
	holed.Debrief.Inhaled.GapAfter[1] = true
	g, err := Compose([]Log{holed}, nil, DefaultParams())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "without the gap", g.Dives[0].CNSPercent.Value, 100*60.0/180, 1e-9)
	near(t, "with the gap", g.Dives[0].CNSPercent.High, 50, 1e-9)
}

// TestClock: a first row that repeats the clock time of the start is doubted.
func TestClock(t *testing.T) {
	c := at("2026-05-01T09:41:00+02:00", 1, 60)
	c.tS = []float64{9*3600 + 41*60, 9*3600 + 41*60 + 3600}
	if r := compose(t, DefaultParams(), c); outcome(r, "start-times") != analysis.Borderline {
		t.Error("a doubled clock passes")
	}
	if r := compose(t, DefaultParams(), at("2026-05-01T09:41:00+02:00", 1, 60)); outcome(r, "start-times") != analysis.NotFound {
		t.Error("a sound start is doubted")
	}
}

// TestWordsOfChecks: every finding has its kind, every check its words, and what
// was found says what to do.
func TestWordsOfChecks(t *testing.T) {
	p := DefaultParams()
	p.ESOT = true
	deep := at("2026-05-02T08:00:00Z", 1.7, 600)
	deep.lastM = 30
	clock := at("2026-05-04T09:41:00Z", 1, 60)
	clock.tS = []float64{9*3600 + 41*60, 9*3600 + 41*60 + 3600}
	r := compose(t, p, at("2026-05-01T08:00:00Z", 1.6, 700), deep, at("2026-05-02T09:00:00Z", 1.0, 10), at("", 1, 1), clock)
	seen := map[string]bool{"one-dive-two-logs": true} // by TestAlike
	for _, x := range r.Findings {
		seen[x.Kind] = true
		if x.Title == "" || x.Observed == "" || x.WouldChange == "" || x.Advice.Diver == "" || len(x.Alternatives) == 0 || x.WhySure == "" || x.ID == "" {
			t.Errorf("%+v", x)
		}
	}
	for k := range kinds() {
		if !seen[k] {
			t.Errorf("%s was not found", k)
		}
	}
}
