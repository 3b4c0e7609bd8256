package ingest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// twoValues are two fields that the column may hold.
func twoValues(d *columnDef) [2]string {
	switch {
	case d.quantity == eventQuantity:
		return [2]string{string(Bailout), string(OxygenFlush)}
	case d.quantity == openGasQuantity || d.quantity == diluentQuantity:
		return [2]string{"18/45", "10/70"}
	case d.kind == codeKind:
		return [2]string{d.words[1], d.words[2]}
	case d.kind == sparseKind:
		return [2]string{"seen", "not seen"}
	}
	return [2]string{fmt.Sprintf("%.6f", d.inFile(0.4)), fmt.Sprintf("%.6f", d.inFile(0.6))}
}

// logWith is a small log in which one column holds a value throughout.
func logWith(d *columnDef, value string) string {
	cols := [][2]string{{"time_s", ""}, {fill(d.name, 1, "A"), value}}
	if d.quantity != depthQuantity && d.quantity != pressureDepthQuantity {
		cols = append(cols, [2]string{"depth_m", "20"})
	}
	if d.quantity != cellPO2Quantity {
		cols = append(cols, [2]string{"cell1_po2_bar", "0.7"})
	}
	var b strings.Builder
	for row := -1; row < 3; row++ {
		for i, c := range cols {
			switch {
			case i == 0 && row >= 0:
				fmt.Fprint(&b, row)
			case row >= 0:
				b.WriteString("," + c[1])
			case i == 0:
				b.WriteString(c[0])
			default:
				b.WriteString("," + c[0])
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// What a column of the format holds is in the Dive, and in what is written of it: a
// column that is only listed would be read and dropped without a word.
func TestEveryColumnIsKept(t *testing.T) {
	data := cmp.Options{sameDive(), cmpopts.IgnoreFields(Dive{}, "Source", "Columns", "Problems")}
	for i := range columnDefs {
		d := &columnDefs[i]
		if d.quantity == timeQuantity {
			continue
		}
		var dives [2]*Dive
		for k, value := range twoValues(d) {
			log := logWith(d, value)
			dive, err := Read(strings.NewReader(log), "log.csv", Options{Strict: true})
			if err != nil {
				t.Fatalf("%v\n%s", err, log)
			}
			again, text := writeAndRead(t, dive)
			if diff := cmp.Diff(dive, again, sameDive()); diff != "" {
				t.Errorf("%s (-read +read again):\n%s\nwritten:\n%s", d.name, diff, text)
			}
			dives[k] = dive
		}
		if cmp.Equal(dives[0], dives[1], data) {
			t.Errorf("%s: two values make one dive: the column goes nowhere", d.name)
		}
	}
}
