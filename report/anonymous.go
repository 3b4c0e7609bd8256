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
	}
	c.Cells = append([]analysis.Cell{}, d.Cells...)
	for i := range c.Cells {
		c.Cells[i].Serial = ""
	}
	c.Recording.Notes = append([]analysis.LogNote{}, d.Recording.Notes...)
	for i := range c.Recording.Notes {
		c.Recording.Notes[i].Text = say("anonymous.note")
	}
	c.Problems = append([]ingest.Problem{}, d.Problems...)
	for i := range c.Problems {
		c.Problems[i].File = logName(0)
		c.Problems[i].Read = say("anonymous.read")
		c.Problems[i].ReadTo = ""
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
