package analysis

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"afterloop/ingest"
)

// fillSeries gives every series of a struct that is nil a value in each row, those of
// its parts too.
func fillSeries(v reflect.Value, rows int) {
	for i := range v.NumField() {
		f := v.Field(i)
		switch x := f.Interface().(type) {
		case []float64:
			if x == nil {
				f.Set(reflect.ValueOf(sameIn(rows)))
			}
		case []ingest.Numbered:
			if x == nil {
				f.Set(reflect.ValueOf([]ingest.Numbered{{Number: 1, Values: sameIn(rows)}}))
			}
		case []ingest.UnitVote:
			if x == nil {
				f.Set(reflect.MakeSlice(f.Type(), rows, rows))
			}
		case []bool:
			if x == nil {
				f.Set(reflect.MakeSlice(f.Type(), rows, rows))
			}
		case []ingest.Cell, []ingest.Valve:
			for k := range f.Len() {
				fillSeries(f.Index(k), rows)
			}
		}
	}
}

func sameIn(rows int) []float64 {
	x := make([]float64, rows)
	for i := range x {
		x[i] = 0.5
	}
	return x
}

// emptyFields names the series of a struct that hold nothing.
func emptyFields(of string, v reflect.Value) []string {
	var out []string
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Slice && f.Len() == 0 {
			out = append(out, of+v.Type().Field(i).Name)
		}
	}
	return out
}

// A series that a Dive gets one day must not be left behind when two logs are joined:
// what only one of them recorded is in the joined dive, whichever of them it is.
func TestJoinForgetsNoSeries(t *testing.T) {
	whole, h := wholeDive(t)
	for full := range 2 {
		logs := [2]*ingest.Dive{halfDive(t, whole, h[0], "a.csv"), halfDive(t, whole, h[1], "b.csv")}
		d := logs[full]
		d.Events = []ingest.Event{{Row: 1, Kind: ingest.DiluentFlush}}
		d.Notes = []ingest.Note{{Row: 1, Text: "seen"}}
		d.Unknown = []ingest.TextColumn{{Name: "other", Values: make([]string, d.Rows())}}
		fillSeries(reflect.ValueOf(d).Elem(), d.Rows())
		if err := d.Check(); err != nil {
			t.Fatal(err)
		}
		j := joined(t, logs[0], logs[1]).Dive
		forgotten := emptyFields("", reflect.ValueOf(*j))
		for k := range j.Cells {
			if (k < len(logs[0].Cells)) == (full == 0) { // a cell of the full log
				forgotten = append(forgotten, emptyFields(fmt.Sprintf("cell %d: ", k+1), reflect.ValueOf(j.Cells[k]))...)
			}
		}
		for k := range j.Valves {
			if (k < len(logs[0].Valves)) == (full == 0) {
				forgotten = append(forgotten, emptyFields(fmt.Sprintf("valve %d: ", k+1), reflect.ValueOf(j.Valves[k]))...)
			}
		}
		for _, name := range forgotten {
			// Problems and Columns are of files. Sensors that one log numbers are those of its
			// own half: of two halves one sensor each is compared.
			if !slices.Contains([]string{"Problems", "Columns", "AmbientByNumber", "LoopHeByNumber"}, name) {
				t.Errorf("only log %d has everything, and %s was forgotten", full+1, name)
			}
		}
	}
}
