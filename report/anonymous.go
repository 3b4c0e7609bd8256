package report

import (
	"fmt"

	"afterloop/analysis"
	"afterloop/ingest"
)

// Options choose what the outputs hold.
type Options struct {
	// Anonymous leaves out what names people and things: dive, diver, unit, serial
	// numbers, the notes' text, the file's name, and what was read in lines with a
	// problem (a line may hold a name). The digest of the log stays, so that the
	// page can be told to belong to it by who has the log; so do all figures, and
	// the start, which the daily limits refer to.
	Anonymous bool
}

// of returns the debrief to write: d itself, or a copy without names.
func (o Options) of(d *analysis.Debrief) *analysis.Debrief {
	if !o.Anonymous {
		return d
	}
	return withoutNames(d)
}

// withoutNames copies the parts that hold names; d is not changed.
func withoutNames(d *analysis.Debrief) *analysis.Debrief {
	c := *d
	c.Dive.Name, c.Dive.Diver, c.Dive.Unit = "", "", ""
	c.Sources = append([]analysis.Source{}, d.Sources...)
	for i := range c.Sources {
		c.Sources[i].File = logName(i)
		c.Sources[i].Mapping, c.Sources[i].Dive = "", "" // the digest stays
	}
	c.Cells = append([]analysis.Cell{}, d.Cells...)
	for i := range c.Cells {
		c.Cells[i].Serial = ""
	}
	c.Recording.Notes = append([]analysis.LogNote{}, d.Recording.Notes...)
	for i := range c.Recording.Notes {
		c.Recording.Notes[i].Text = say("anonymous.note")
	}
	if d.Responses != nil { // a note may name somebody
		r := *d.Responses
		r.Events = append([]analysis.Response{}, r.Events...)
		for i := range r.Events {
			if n := &r.Events[i].Noted; n.AtS.Known() {
				n.What = say("anonymous.note")
			}
		}
		c.Responses = &r
	}
	c.Problems = append([]ingest.Problem{}, d.Problems...)
	for i := range c.Problems {
		c.Problems[i].File = logName(sourceIndex(d, c.Problems[i].File))
		c.Problems[i].Read = say("anonymous.read")
		c.Problems[i].ReadTo = ""
		if c.Problems[i].Code == analysis.ContradictionCode { // its treatment names the other log and what it states
			c.Problems[i].Treatment, c.Problems[i].Want = say("anonymous.contradiction"), ""
		}
	}
	c.Halves = halvesWithoutNames(d.Halves)
	return &c
}

// sourceIndex is which of the sources has this name, the first where none has.
func sourceIndex(d *analysis.Debrief, file string) int {
	for i := range d.Sources {
		if d.Sources[i].File == file {
			return i
		}
	}
	return 0
}

// halvesWithoutNames copies what two halves tell, without the names of their files.
func halvesWithoutNames(h *analysis.Halves) *analysis.Halves {
	if h == nil {
		return nil
	}
	c := *h
	c.Halves = append([]analysis.Half{}, h.Halves...)
	for i := range c.Halves {
		if c.Halves[i].File != "" {
			c.Halves[i].File = logName(i)
		}
	}
	return &c
}

// logName stands for a file's name.
func logName(i int) string { return fmt.Sprintf("log %d", i+1) }

// entries are those of an index, without names where that was asked for. The
// names of the pages are the caller's choice. The error of a log that could not
// be read may hold its name, so only that it failed is said.
func (o Options) entries(entries []IndexEntry) []IndexEntry {
	if !o.Anonymous {
		return entries
	}
	out := append([]IndexEntry{}, entries...)
	for i := range out {
		out[i].File = logName(i)
		if out[i].Debrief != nil {
			out[i].Debrief = withoutNames(out[i].Debrief)
		}
		if out[i].Err != "" {
			out[i].Err = say("anonymous.error")
		}
	}
	return out
}
