package scenario

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What the unit carries adds columns and a line, and changes nothing else to the byte.
func TestSupplyChangesNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := Draw(rapid.SampledFrom([]string{"plain", "difficult", "wide"}).Draw(t, "family"), rapid.Uint64Range(0, 400).Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		without := text(t, s, nil)
		s.Supply = &Supply{OxygenCylinderL: 3, DiluentCylinderL: 2, GaugeNoiseBar: 1, RecordTemp: true, Batteries: []Battery{{StartV: 7, SagV: 0.2, NoiseV: 0.05}}}
		if with := text(t, s, []string{"temp_c", "o2_cyl_bar", "dil_cyl_bar", "battery1_v"}); with != without {
			t.Fatal("the rest of the log differs")
		}
	})
}

// text is the log of a spec without some columns and without the cylinder's line.
func text(t *rapid.T, s Spec, drop []string) string {
	l, _, err := Run(s)
	if err != nil {
		t.Fatal(err)
	}
	l.Columns = slices.DeleteFunc(l.Columns, func(c Column) bool { return slices.Contains(drop, c.Name) })
	l.Meta = slices.DeleteFunc(l.Meta, func(m MetaLine) bool { return m.Key == "oxygen_cylinder_l" })
	var b bytes.Buffer
	if err := l.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What left the oxygen cylinder is what came into the loop: 60 commanded seconds of
// 12 L/min are 12 L.
func TestCylinderBalance(t *testing.T) {
	c := newCylinder(3, 200, 15, oxygenGas)
	before := c.mol
	if got := c.bar(15); math.Abs(got-200) > 1e-6 {
		t.Errorf("filled to %v bar", got)
	}
	c.draw(12)
	if got := (before - c.mol) * gasR * 273.15 / 1.01325; math.Abs(got-12) > 1e-9 {
		t.Errorf("%v L left", got)
	}
	c.draw(1e6)
	if c.mol != 0 || c.bar(15) != 0 {
		t.Error("an empty cylinder")
	}
	// The equation of Peng and Robinson is within 3 % of the table in package supply:
	// 3 L at 200 bar and 15 C hold 603 L STPD.
	c = newCylinder(3, 200, 15, oxygenGas)
	if got := c.mol * gasR * 273.15 / 1.01325; math.Abs(got/603-1) > 0.03 {
		t.Errorf("%v L in the cylinder", got)
	}
}

func TestSupplyIsValidated(t *testing.T) {
	s, _ := Draw("plain/none", 1)
	s.Supply = &Supply{OxygenCylinderL: -1, OxygenStartBar: 900, Batteries: []Battery{{}}}
	err := s.WithDefaults().Validate()
	for _, want := range []string{"supply.oxygen_cylinder_l", "supply.oxygen_start_bar", "supply.batteries[0].start_v"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not name %s", err, want)
		}
	}
}
