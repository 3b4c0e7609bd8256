package exposure

import "math"

// Row is one row of the table of limits.
type Row struct {
	// PO2 is the upper edge of the row, in ata as printed.
	PO2 float64 `json:"po2"`
	// SingleMin is the limit in minutes of a single exposure, DailyMin that of all
	// exposures within 24 hours.
	SingleMin float64 `json:"single_min"`
	DailyMin  float64 `json:"daily_min"`
}

// Table returns the NOAA limits for normal exposures, from 0.6 to 1.6 ata (NOAA
// Diving Manual, table 15-1 in the 3rd to 6th editions; here from the nitrox
// tables of PSS Worldwide 2004, with which four partial copies agree).
func Table() []Row {
	rows := make([]Row, tableRows)
	for i := range rows {
		rows[i] = Row{PO2: rowPO2[i], SingleMin: singleMin[i+1], DailyMin: dailyMin[i+1]}
	}
	return rows
}

const (
	tableRows = 11
	// freeBelow is the PO2 up to which time costs nothing; the table begins there.
	freeBelow = 0.5
	// tolerance keeps rounding in the last digits from moving a PO2 to the next row.
	tolerance = 1e-6
	// bandFree is the band at or below 0.5, bandAbove the one beyond the table; the
	// bands between have the number of their row from 1.
	bandFree  = 0
	bandAbove = tableRows + 1
)

// rowPO2 are the rows, ascending.
var rowPO2 = [tableRows]float64{0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6}

// singleMin and dailyMin are the limits by band: none in the free one, and beyond
// the table those of its last row, as a lower bound of the dose.
var (
	singleMin = [tableRows + 2]float64{math.Inf(1), 720, 570, 450, 360, 300, 240, 210, 180, 150, 120, 45, 45}
	dailyMin  = [tableRows + 2]float64{math.Inf(1), 720, 570, 450, 360, 300, 270, 240, 210, 180, 180, 150, 150}
)

// bandTop is the highest PO2 of a band, its tolerance included.
func bandTop(band int) float64 {
	switch band {
	case bandFree:
		return freeBelow + tolerance
	case bandAbove:
		return math.Inf(1)
	}
	return rowPO2[band-1] + tolerance
}

// bandOf is the band of p by the step rule: the lowest whose top is not below p.
func bandOf(p float64) int {
	switch {
	case p <= freeBelow+tolerance:
		return bandFree
	case !(p <= rowPO2[tableRows-1]+tolerance):
		return bandAbove
	}
	k := nearRow(p)
	for k > 0 && p <= rowPO2[k-1]+tolerance {
		k--
	}
	for p > rowPO2[k]+tolerance {
		k++
	}
	return k + 1
}

// rowsPerBar is how close the rows lie: 0.1 apart, all of them.
const rowsPerBar = 10

// nearRow is a row at p, between 0.5 and the end of the table, or next to it:
// counting to one takes less than looking through them.
func nearRow(p float64) int {
	return min(max(int((p-freeBelow)*rowsPerBar), 0), tableRows-1)
}

// knot is the PO2 at which piece k of the interpolated limits begins: piece 0 is
// flat up to 0.6, piece k runs from row k to row k+1, the last is beyond the table.
func knot(k int) float64 {
	if k == 0 {
		return freeBelow + tolerance
	}
	return rowPO2[k-1]
}

// linearPiece is the piece of the interpolated limits that holds p, which is
// above 0.5.
func linearPiece(p float64) int {
	if !(p < rowPO2[tableRows-1]) {
		return tableRows
	}
	k := nearRow(p)
	for k > 0 && p < rowPO2[k-1] {
		k--
	}
	for p >= rowPO2[k] {
		k++
	}
	return k
}

// interpolated is the limit at p on piece k.
func interpolated(limits *[tableRows + 2]float64, k int, p float64) float64 {
	if k == 0 || k == tableRows {
		return limits[max(k, 1)]
	}
	return limits[k] + (p-rowPO2[k-1])*rowsPerBar*(limits[k+1]-limits[k])
}

// SingleLimitMin is the limit in minutes of a single exposure at pBar. At 0.5 and
// below there is none: +Inf. ok is false where the table is silent: above 1.6,
// where the minutes are those of its last row and too long, and at NaN, where
// they are NaN.
func SingleLimitMin(pBar float64, rule Rule, o Options) (minutes float64, ok bool) {
	return limitMin(&singleMin, o.tablePO2(pBar), rule)
}

// DailyLimitMin is the limit in minutes of all exposures within 24 hours, with
// the same conventions as [SingleLimitMin].
func DailyLimitMin(pBar float64, rule Rule, o Options) (minutes float64, ok bool) {
	return limitMin(&dailyMin, o.tablePO2(pBar), rule)
}

func limitMin(limits *[tableRows + 2]float64, p float64, rule Rule) (float64, bool) {
	if math.IsNaN(p) {
		return math.NaN(), false
	}
	band := bandOf(p)
	if rule == Step || band == bandFree || band == bandAbove {
		return limits[band], band != bandAbove
	}
	return interpolated(limits, linearPiece(p), p), true
}
