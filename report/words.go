package report

import (
	"fmt"
	"html/template"
	"reflect"
	"strings"
	"time"

	"afterloop/analysis"
	"afterloop/analysis/calibration"
)

// words are the functions that the templates print with.
func words() template.FuncMap {
	return template.FuncMap{
		"t": say, "unknown": func() string { return unknown }, "fixed": fixed, "bar": bar, "signed": signed, "share": share,
		"percent": percent, "seconds": seconds, "duration": duration, "quantity": quantity, "significant": significant,
		"plural": plural, "thousands": thousands, "thousands64": func(n int64) string { return thousands(int(n)) },
		"number": number, "signedTo": signedTo, "source": sourceLabel, "startOf": startText, "part": part, "interval": interval, "oneReason": oneReason, "intervalUnit": intervalUnit, "known": knownSeconds, "outs": outs, "cns": cnsText,
		"between": doseRange, "band": poBand, "word": word, "first": first, "more": more, "join": join, "sentence": sentence, "cellList": cellList,
		"rate": rate, "worth": worth, "modelValue": modelValue, "modelMore": modelMore, "modelRange": modelRange, "modelNotes": modelNotes,
	}
}

// number is a finding's number in the order of consequence, from 1.
func number(i int) string { return "F" + thousands(i+1) }

// part names the cell or valve that a finding is about.
func part(f analysis.Finding) string {
	switch {
	case f.Cell != nil:
		return say("words.cell", *f.Cell)
	case f.Valve != nil:
		return say("words.valve", *f.Valve)
	case len(f.Cells) > 0:
		return cellList(f.Cells)
	}
	return ""
}

// cellList is "cell 1" or "cells 1, 2 and 3".
func cellList(cells []int) string {
	if len(cells) == 1 {
		return say("words.cell", cells[0])
	}
	var b strings.Builder
	b.WriteString(say("cells-list"))
	for i, c := range cells {
		switch {
		case i > 0 && i == len(cells)-1:
			b.WriteString(say("list-and"))
		case i > 0:
			b.WriteString(", ")
		}
		fmt.Fprint(&b, c)
	}
	return b.String()
}

// interval is an estimate with its 95 % interval, or the reason why there is none.
func interval(v analysis.Interval, decimals int) string {
	if !v.Value.Known() && !v.Low.Known() && !v.High.Known() {
		if v.Reason == "" {
			return unknown
		}
		return unknown + " " + v.Reason
	}
	if !v.Value.Known() && v.Reason != "" { // the reason says what is known of it
		return unknown + " " + v.Reason
	}
	s := fixed(v.Value, decimals) + say("interval", fixed(v.Low, decimals), fixed(v.High, decimals))
	if v.Reason != "" {
		s += " " + v.Reason
	}
	return s
}

// oneReason is the reason why nothing is judged of a cell, where it is one and
// the same for all figures; else empty.
func oneReason(c analysis.Cell) string {
	for _, v := range []analysis.Interval{c.T90S, c.Gain, c.CeilingBar, c.DriftPerH, c.NoiseBar} {
		if v.Value.Known() || v.Reason != c.T90S.Reason {
			return ""
		}
	}
	return c.T90S.Reason
}

// intervalUnit is an estimate with three significant digits, its unit and its interval.
func intervalUnit(v analysis.Interval, unit string) string {
	if !v.Value.Known() {
		if v.Reason == "" {
			return notKnown
		}
		return notKnown + ": " + v.Reason
	}
	s := significant(v.Value, 3)
	if unit != "" {
		s += " " + unit
	}
	if v.Low.Known() && v.High.Known() {
		s += say("interval", significant(v.Low, 3), significant(v.High, 3))
	}
	return s
}

// knownSeconds is a duration, or the mark for not known.
func knownSeconds(v analysis.Float) string {
	if !v.Known() {
		return unknown
	}
	return duration(v)
}

// sourceLabel names a source of PO2 as the tables do: "cell 1" for cell1.
func sourceLabel(s string) string {
	if n, ok := strings.CutPrefix(s, "cell"); ok && n != "" && strings.Trim(n, "0123456789") == "" {
		return say("chart.cell", n)
	}
	return s
}

// startText writes a start as days, minutes and its offset from UTC; what is no
// time stays as it was read.
func startText(s string) string {
	t, err := time.Parse(time.RFC3339, s)
	switch {
	case err != nil:
		return s
	case t.Second() != 0:
		return t.Format("2006-01-02 15:04:05 -07:00")
	}
	return t.Format("2006-01-02 15:04 -07:00")
}

// outs sums up a policy's times without a cell.
func outs(v []analysis.VotedOut) string {
	if len(v) == 0 {
		return say("never")
	}
	var order []int
	total := map[int]analysis.Float{}
	for _, o := range v {
		if _, ok := total[o.Cell]; !ok {
			order = append(order, o.Cell)
		}
		total[o.Cell] += o.ToS - o.FromS
	}
	parts := make([]string, len(order))
	for i, c := range order {
		parts[i] = say("words.cell-2", c, duration(total[c]))
	}
	return strings.Join(parts, "; ") + " (" + plural(len(v), say("word.stretch"), say("word.stretches")) + ")"
}

// doseRange is the interval of a dose.
func doseRange(low, high analysis.Float, unit string) string {
	print := percent
	if unit == "" {
		print = func(v analysis.Float) string { return fixed(v, 0) }
	}
	s := between(low, high, print)
	if unit != "" && s != unknown {
		s += " " + unit
	}
	return s
}

// poBand is a band of the exposure table.
func poBand(from, to analysis.Float) string {
	switch {
	case !to.Known():
		return say("band.above", bar(from))
	case !from.Known() || from == 0:
		return say("band.up-to", bar(to))
	}
	return say("band.between", bar(from), bar(to))
}

// rate is a share of cases with its interval.
func rate(r calibration.Rate) string {
	if r.Of == 0 {
		return say("worth.none")
	}
	return say("worth.rate", r.Right, r.Of, worth(r.Low), worth(r.High))
}

// worth is a fraction of the table of calibration as a percentage.
func worth(f calibration.Figure) string { return share(analysis.Float(f)) }

// word turns an identifier such as diluent_flush into words.
func word(s string) string { return strings.ReplaceAll(s, "_", " ") }

// sentence ends a text with a full stop, if it has no end yet.
func sentence(s string) string {
	if s == "" || strings.ContainsRune(".!?…", []rune(s)[len([]rune(s))-1]) {
		return s
	}
	return s + "."
}

func join(s []string) string { return strings.Join(s, "; ") }

// first returns the first n elements of a slice: the page bounds its lists.
func first(n int, slice any) any {
	v := reflect.ValueOf(slice)
	if v.Len() <= n {
		return slice
	}
	return v.Slice(0, n).Interface()
}

// more says how many elements a bounded list leaves out, and where they are.
func more(n, length int) string {
	if length <= n {
		return ""
	}
	return say("words.and-more-all-of-them", thousands(length-n))
}
