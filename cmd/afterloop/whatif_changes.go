package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"afterloop/analysis/whatif"
)

// changes reads the flags.
func (o *whatifOptions) changes(f *pflag.FlagSet) (whatif.Changes, error) {
	ch := whatif.Changes{Kind: o.kind, Policy: o.policy, Cells: o.cells, Controller: o.controller}
	for _, name := range []string{"vote-out", "vote-in", "vote-relative", "vote-out-after", "vote-in-after"} {
		if f.Changed(name) {
			ch.Vote = &o.vote
		}
	}
	for name, v := range map[string]struct {
		to   **float64
		from *float64
	}{"interval": {&ch.IntervalS, &o.intervalS}, "pulse": {&ch.PulseS, &o.pulseS}, "deadband": {&ch.DeadbandBar, &o.deadbandBar}} {
		if f.Changed(name) {
			*v.to = v.from
		}
	}
	var err error
	ch.LoseCells, err = partsAt("--lose-cell", "cell", o.loseCells, err)
	ch.DeadValves, err = partsAt("--dead-valve", "valve", o.deadValves, err)
	for _, s := range o.loseHalves {
		letter, at, e := splitAt("--lose-half", s)
		if e == nil && len(letter) != 1 {
			e = fmt.Errorf("--lose-half: read %q; give the letter of a half, as in A or A@0:31:00", s)
		}
		ch.LoseHalves, err = append(ch.LoseHalves, whatif.HalfAt{Letter: letter, From: at}), firstOf(err, e)
	}
	for _, s := range o.setPoints {
		text, at, e := splitAt("--set-point", s)
		v, bad := strconv.ParseFloat(text, 64)
		if e == nil && bad != nil {
			e = fmt.Errorf("--set-point: read %q; give a pressure in bar, as in 1.2 or 1.2@0:31:00", s)
		}
		ch.SetPoints, err = append(ch.SetPoints, whatif.SetPointAt{Bar: v, From: at}), firstOf(err, e)
	}
	ch.NoOxygen, err = momentOf("--no-oxygen", o.noOxygen, f.Changed("no-oxygen"), err)
	ch.NoAdditions, err = momentOf("--no-additions", o.noAdditions, f.Changed("no-additions"), err)
	return ch, err
}

// splitAt cuts "2@0:31:00" into what and when.
func splitAt(flag, s string) (string, whatif.Moment, error) {
	what, when, has := strings.Cut(s, "@")
	if !has {
		return what, whatif.Moment{}, nil
	}
	m, err := whatif.ParseMoment(when)
	if err != nil {
		err = fmt.Errorf("%s %s: the moment: %w", flag, s, err)
	}
	return what, m, err
}

// partsAt reads numbers of parts, each with its moment; the first error stays.
func partsAt(flag, part string, texts []string, err error) ([]whatif.At, error) {
	var out []whatif.At
	for _, s := range texts {
		what, at, e := splitAt(flag, s)
		n, bad := strconv.Atoi(what)
		if e == nil && (bad != nil || n < 1) {
			e = fmt.Errorf("%s: read %q; give the number of a %s, as in 2 or 2@0:31:00", flag, s, part)
		}
		out, err = append(out, whatif.At{Number: n, From: at}), firstOf(err, e)
	}
	return out, err
}

// momentOf reads a flag that is a moment, or stands alone for the first row.
func momentOf(flag, text string, given bool, err error) (*whatif.Moment, error) {
	if !given {
		return nil, err
	}
	if text == "start" {
		return &whatif.Moment{}, err
	}
	m, e := whatif.ParseMoment(strings.TrimPrefix(text, "@"))
	if e != nil {
		e = fmt.Errorf("%s: %w", flag, e)
	}
	return &m, firstOf(err, e)
}
