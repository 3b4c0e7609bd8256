package ingest

import (
	"bytes"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestAnyDialectReadsBack: whatever dive is written in whatever dialect, its
// mapping reads it as that dive, within the rounding of the dialect.
func TestAnyDialectReadsBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := anyDialect(rt)
		n := 1
		if w.split != "" {
			n = rapid.IntRange(1, 4).Draw(rt, "dives")
		}
		var dives []*Dive
		for range n {
			dives = append(dives, anyDive(rt, w))
		}
		data := w.write(dives)
		got := mustParts(rt, data, w.mapping())
		if len(got) != n {
			rt.Fatalf("%d dives, want %d\n%s\n%s", len(got), n, w.mapping(), shownText(data))
		}
		for i := range got {
			w.equalWithin(rt, dives[i], got[i])
			for _, p := range graver(got[i]) {
				rt.Fatalf("problem: %v\n%s\n%s", p, w.mapping(), shownText(data))
			}
		}
	})
}

func anyDialect(rt *rapid.T) *dialect {
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(rt, name) }
	w := &dialect{encoding: pick("encoding", "utf-8", "utf-16", "utf-16le", "utf-16be", "windows-1252"), mark: rapid.Bool().Draw(rt, "mark"),
		delimiter: pick("delimiter", ",", ";", "\t", "|"), decimal: pick("decimal", ".", ","), missing: pick("missing", "", "--", "n/a", "---.-"),
		unitsRow: rapid.Bool().Draw(rt, "units row"), unitsInCells: rapid.Bool().Draw(rt, "units in cells"),
		timeName: "Zeit °", timeFormat: pick("time", "s", "min", "hh:mm:ss", "h:mm:ss AM", "YYYY-MM-DDThh:mm:ss", "DD.MM.YYYY hh:mm:ss", "YYYYMMDDhhmmss", "D/M/YYYY h:mm:ss AM"),
		split: pick("split", "", "", "column", "header", "blank-line"), lineEnd: pick("line end", "\n", "\r\n"),
		eventRows: rapid.Bool().Draw(rt, "event rows"), words: map[string]map[string]string{"event": {"bailout": "OC now", "oxygen_flush": "flush o2"}, "vote": {"in": "ok", "out": "X"}},
		events: "\n[events]\nseparator = \"+\"\n"}
	if w.decimal == "," && w.delimiter == "," {
		w.delimiter = ";"
	}
	w.thousands = pick("thousands", "", ".", ",", "'", " ")
	if w.thousands == w.decimal || w.thousands == w.delimiter {
		w.thousands = ""
	}
	switch w.split {
	case "column":
		w.diveName, w.names = "No.", []string{"17", "18", "20a", "x y"}
	case "blank-line":
		w.gap = "blank"
	}
	if rapid.Bool().Draw(rt, "preamble") {
		w.lead = []string{"A logger of no make", "", "Depth and time; \"quoted\", 12,4", "Samples of dive %N"}
		if w.skipUntil = pick("until", "", "Samples of"); w.skipUntil == "" {
			w.lead = w.lead[:3]
		}
	}
	if w.split == "" {
		w.headerEvery = rapid.SampledFrom([]int{0, 0, 7}).Draw(rt, "header every")
	}
	cells := 3
	w.columns = []theirColumn{depthColumn("Depth", pick("depth unit", "m", "ft", "cm"), rapid.IntRange(0, 2).Draw(rt, "depth decimals"))}
	unit := pick("po2 unit", "bar", "mbar", "kPa", "ata", "cbar", "psi")
	for k := 1; k <= cells; k++ {
		w.columns = append(w.columns, cellColumn(k, []string{"", "C1", "C2", "C3"}[k], unit, 2), voteColumn(k, []string{"", "V1", "V2", "V3"}[k]))
	}
	w.columns[1].scale, w.columns[1].offset = rapid.SampledFrom([]float64{0, 0.01, 2, 1}).Draw(rt, "scale"), 0
	w.columns = append(w.columns, seriesColumn("temp_c", "Water", pick("temp unit", "C", "F", "K"), 1, func(d *Dive) []float64 { return d.TempC }),
		eventColumn("Event"), noteColumn("Remark"))
	temp := &w.columns[len(w.columns)-3]
	temp.scale, temp.offset = rapid.SampledFrom([]float64{0, 1, 0.5, -1}).Draw(rt, "temp scale"), rapid.SampledFrom([]float64{5, -3.5}).Draw(rt, "temp offset")
	return w
}

func anyDive(rt *rapid.T, w *dialect) *Dive {
	rows := rapid.IntRange(2, 30).Draw(rt, "rows")
	from := rapid.SampledFrom([]float64{0, 36000, 86350}).Draw(rt, "from")
	d := inventedDive(rows, from, rapid.SampledFrom([]float64{1, 2, 10}).Draw(rt, "step"), rapid.Float64Range(5, 45).Draw(rt, "deep"), 3)
	for k := range d.Cells {
		d.Cells[k].Vote = make([]UnitVote, rows)
		for i := range d.Cells[k].Vote {
			d.Cells[k].Vote[i] = VoteIn
		}
	}
	for range rapid.IntRange(0, 6).Draw(rt, "holes") {
		i := rapid.IntRange(0, rows-1).Draw(rt, "row")
		d.Cells[i%3].PO2Bar[i], d.Cells[i%3].Vote[i], d.TempC[i] = math.NaN(), VoteOut, math.NaN()
	}
	for _, i := range []int{rows / 3, rows / 2} {
		if rapid.Bool().Draw(rt, "event") && (len(d.Events) == 0 || d.Events[0].Row < i) {
			d.Events = append(d.Events, Event{Row: i, Kind: rapid.SampledFrom([]EventKind{Bailout, OxygenFlush, CalibrationRun}).Draw(rt, "kind")})
		}
	}
	if rapid.Bool().Draw(rt, "note") {
		d.Notes = []Note{{Row: rows - 1, Text: rapid.SampledFrom([]string{"cold", "a; b, \"c\" | d", "wreck"}).Draw(rt, "text")}}
	}
	return d
}

// TestForeignCutAnywhere: a foreign file that is cut at any byte gives every
// whole row before the cut, and the cut is said.
func TestForeignCutAnywhere(t *testing.T) {
	w := &dialect{encoding: "utf-16le", mark: true, delimiter: ";", decimal: ",", missing: "--", timeName: "Time", timeFormat: "hh:mm:ss", unitsRow: true,
		lead: []string{"An invented logger", "Samples"}, skipUntil: "Samples", unitsInCells: true,
		columns: []theirColumn{depthColumn("Depth", "m", 1), cellColumn(1, "C1", "bar", 2), cellColumn(2, "C2", "bar", 2), noteColumn("Note")}}
	d := inventedDive(12, 86370, 10, 20, 2)
	d.Notes = []Note{{Row: 4, Text: "two; parts"}}
	data := w.write([]*Dive{d})
	m := mustMap(t, w.mapping())
	whole := func(n int) int { // rows with a line end within n bytes
		return max(0, bytes.Count(data[:n], []byte("\n\x00"))-4)
	}
	for n := range data {
		got, err := Read(bytes.NewReader(data[:n]), "cut.txt", Options{Mapping: m})
		if err != nil {
			if whole(n) > 0 {
				t.Fatalf("cut at %d of %d: %v, with %d whole rows", n, len(data), err, whole(n))
			}
			continue
		}
		if got.Rows() < whole(n) || got.Rows() > whole(n)+1 {
			t.Fatalf("cut at %d: %d rows, want %d", n, got.Rows(), whole(n))
		}
		atEnd := n >= 2 && bytes.Equal(data[n-2:n], []byte("\n\x00"))
		if said := len(withCode(got, "truncated")) > 0; said == atEnd {
			t.Fatalf("cut at %d, at a line's end %t, and said %t", n, atEnd, said)
		}
		for i := range whole(n) {
			if math.Abs(got.Cells[1].PO2Bar[i]-d.Cells[1].PO2Bar[i]) > 1e-9 {
				t.Fatalf("cut at %d: row %d is wrong", n, i)
			}
		}
	}
}
