package score

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"

	"afterloop/analysis"
	"afterloop/analysis/calibration"
	"afterloop/analysis/scenario"
)

// SchemaID names the version of the JSON form of a [Result].
const SchemaID = "afterloop/score/1"

// Group is so many dives of a family, or of one scenario of it ("plain/slow").
type Group struct {
	Family string
	Dives  int
}

// Options say what to measure.
type Options struct {
	Groups []Group
	// Seed is that of the first dive; the following dives, family after family,
	// count on from it, so that no two share their chance.
	Seed       uint64
	Parameters analysis.Parameters
	Tool       analysis.Tool
	// Workers is how many dives are taken at a time; 0 means GOMAXPROCS. It never
	// changes the result.
	Workers int
	// Progress, where not nil, is called after each dive, in order.
	Progress func()
}

// Result is the whole measurement. Slices are never nil.
type Result struct {
	Schema   string              `json:"schema"`
	Note     string              `json:"note"`
	Tool     analysis.Tool       `json:"tool"`
	Checks   []calibration.Check `json:"checks"`
	Families []Family            `json:"families"`
	Logs     []Log               `json:"dives"`
}

// Run simulates and debriefs the dives and sums them up. The error says what is
// wrong with the options; a dive that can't be debriefed is counted, with all its
// faults missed, and ends nothing.
func Run(o Options) (Result, error) {
	if err := o.check(); err != nil {
		return Result{}, err
	}
	r := Result{Schema: SchemaID, Note: calibration.Note, Tool: o.Tool, Checks: faultChecks(), Families: []Family{}, Logs: o.measure()}
	done := 0
	for _, g := range o.Groups {
		r.Families = append(r.Families, summarize(g.Family, r.Logs[done:done+g.Dives]))
		done += g.Dives
	}
	return r, nil
}

func (o Options) check() error {
	if len(o.Groups) == 0 {
		return fmt.Errorf("score: no family is named")
	}
	if o.Seed < 1 {
		return fmt.Errorf("score: the first seed must be at least 1")
	}
	var seen []string
	for _, g := range o.Groups {
		if _, err := scenario.Draw(g.Family, o.Seed); err != nil {
			return err
		}
		if g.Dives < 1 {
			return fmt.Errorf("score: %d dives of %s; want at least 1", g.Dives, g.Family)
		}
		if slices.Contains(seen, g.Family) {
			return fmt.Errorf("score: %s is named twice", g.Family)
		}
		seen = append(seen, g.Family)
	}
	return nil
}

// Total is the number of dives.
func (o Options) Total() int {
	n := 0
	for _, g := range o.Groups {
		n += g.Dives
	}
	return n
}

// measure takes the dives several at a time; each has its place in the result,
// so that the order never depends on which is done first.
func (o Options) measure() []Log {
	logs := make([]Log, o.Total())
	ready := make([]chan struct{}, len(logs))
	for i := range ready {
		ready[i] = make(chan struct{})
	}
	next := make(chan int)
	var workers sync.WaitGroup
	for range o.workers() {
		workers.Go(func() {
			for i := range next {
				family, seed := o.dive(i)
				logs[i] = measure(family, seed, o.Parameters)
				close(ready[i])
			}
		})
	}
	go func() {
		for i := range logs {
			next <- i
		}
		close(next)
	}()
	for i := range logs {
		<-ready[i]
		if o.Progress != nil {
			o.Progress()
		}
	}
	workers.Wait()
	return logs
}

func (o Options) workers() int {
	if o.Workers > 0 {
		return o.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// dive is the family and the seed of the i-th dive.
func (o Options) dive(i int) (string, uint64) {
	seed := o.Seed + uint64(i)
	for _, g := range o.Groups {
		if i < g.Dives {
			return g.Family, seed
		}
		i -= g.Dives
	}
	panic("score: no such dive")
}

// Families are the names of the families that can be measured.
func Families() []string {
	var names []string
	for _, k := range scenario.Kinds() {
		if !strings.Contains(k.Name, "/") {
			names = append(names, k.Name)
		}
	}
	return names
}

// faultChecks are the checks that are measured, with their versions.
func faultChecks() []calibration.Check {
	out := []calibration.Check{}
	for _, c := range analysis.CheckList() {
		if slices.Contains(kinds(), c.ID) {
			out = append(out, calibration.Check{ID: c.ID, Version: c.Version})
		}
	}
	return out
}
