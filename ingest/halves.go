package ingest

import (
	"strconv"
	"strings"
)

const wantHalf = "cells 1,2; valve 1; battery 1"

// setHalf reads "cells 1,2; valve 1; battery 1".
func setHalf(m *metadata, letter, s string) (string, bool) {
	h := Half{Letter: letter}
	for _, part := range strings.Split(s, ";") {
		word, rest, _ := strings.Cut(strings.TrimSpace(part), " ")
		list := h.list(word)
		if list == nil {
			return wantHalf, false
		}
		numbers, ok := parseNumbers(rest)
		if !ok {
			return wantHalf, false
		}
		*list = append(*list, numbers...)
	}
	m.Halves = append(m.Halves, h)
	return "", true
}

// list is the list that a word names, nil for no such word.
func (h *Half) list(word string) *[]int {
	switch strings.TrimSuffix(strings.ToLower(word), "s") {
	case "cell":
		return &h.Cells
	case "valve":
		return &h.Valves
	case "battery", "batterie":
		return &h.Batteries
	}
	return nil
}

// parseNumbers reads numbers that are parted by commas or spaces.
func parseNumbers(s string) ([]int, bool) {
	fields := strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' || r == '\t' })
	numbers := make([]int, 0, len(fields))
	for _, f := range fields {
		n, ok := parseNumber(f)
		if !ok {
			return nil, false
		}
		numbers = append(numbers, n)
	}
	return numbers, len(numbers) > 0
}

// text is the half as setHalf reads it.
func (h Half) text() string {
	var parts []string
	add := func(word string, numbers []int) {
		if len(numbers) == 0 {
			return
		}
		texts := make([]string, len(numbers))
		for i, n := range numbers {
			texts[i] = strconv.Itoa(n)
		}
		parts = append(parts, word+" "+strings.Join(texts, ","))
	}
	add("cells", h.Cells)
	add("valves", h.Valves)
	add("batteries", h.Batteries)
	return strings.Join(parts, "; ")
}

// checkHalves says where a half names a part that the log does not hold.
func (rd *reader) checkHalves(d *Dive) {
	for _, kv := range rd.lines {
		letter, ok := strings.CutPrefix(kv.Key, "half_")
		if !ok {
			continue
		}
		for _, h := range d.Meta.Halves {
			if missing := h.missing(d); h.Letter == letter && missing != "" {
				rd.metaProblem(kv, Warning, "half-without-part", "a half without "+missing+", which the log does not hold", "parts that have a column")
			}
		}
	}
}

// missing names the parts of a half that the log does not hold.
func (h Half) missing(d *Dive) string {
	have := map[string]bool{}
	for i := range d.Cells {
		have["cell "+strconv.Itoa(d.Cells[i].Number)] = true
	}
	for i := range d.Valves {
		have["valve "+strconv.Itoa(d.Valves[i].Number)] = true
	}
	for i := range d.BatteryV {
		have["battery "+strconv.Itoa(d.BatteryV[i].Number)] = true
	}
	var out []string
	for _, part := range []struct {
		word    string
		numbers []int
	}{{"cell ", h.Cells}, {"valve ", h.Valves}, {"battery ", h.Batteries}} {
		for _, n := range part.numbers {
			if name := part.word + strconv.Itoa(n); !have[name] {
				out = append(out, name)
			}
		}
	}
	return strings.Join(out, ", ")
}
