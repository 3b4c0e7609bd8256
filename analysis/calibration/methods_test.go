package calibration

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// METHODS prints the headline of the committed table; it must be that of the table that
// reports carry, and not of an older one.
func TestMethodsPrintTheCommittedTable(t *testing.T) {
	methods, err := os.ReadFile("../METHODS.md")
	if err != nil {
		t.Fatal(err)
	}
	table, err := Parse(committed)
	if err != nil {
		t.Fatal(err)
	}
	if want := headline(table); !strings.Contains(string(methods), want) {
		t.Errorf("METHODS.md has not the table of table.json, which is\n%s", want)
	}
}

func headline(table Table) string {
	var b strings.Builder
	row := func(what string, cell func(f Family) string) {
		b.WriteString("| " + what)
		for _, f := range table.Families {
			b.WriteString(" | " + cell(f))
		}
		b.WriteString(" |\n")
	}
	percent := func(v, low, high Figure) string {
		return fmt.Sprintf("%.1f %% (%.1f-%.1f)", 100*v, 100*low, 100*high)
	}
	row("dives from seed", func(f Family) string { return fmt.Sprintf("%s, %d from %d", f.Family, f.Dives, f.FirstSeed) })
	b.WriteString("|" + strings.Repeat("---|", 1+len(table.Families)) + "\n")
	row("right kind", func(f Family) string {
		if f.RightKind.Of == 0 {
			return "-"
		}
		return percent(Figure(f.RightKind.Right)/Figure(f.RightKind.Of), f.RightKind.Low, f.RightKind.High) + fmt.Sprintf(" of %d", f.RightKind.Of)
	})
	row("false alarms", func(f Family) string { return fmt.Sprint(f.FalseAlarms.Count) })
	row("sure and wrong", func(f Family) string { return fmt.Sprint(f.SureAndWrong) })
	row("right findings said sure", func(f Family) string {
		if f.RightKind.Right == 0 {
			return "-"
		}
		return fmt.Sprintf("%.0f %%", 100*float64(f.Grades[0].Right)/float64(f.RightKind.Right))
	})
	row("estimate's error over the vote's, median", func(f Family) string { return fmt.Sprintf("%.2f", f.RatioMedian) })
	row("worst dive, bar", func(f Family) string { return fmt.Sprintf("%.3f", f.EstimateRMSWorstBar) })
	row("band covers, mean over dives", func(f Family) string { return percent(f.Coverage, f.CoverageLow, f.CoverageHigh) })
	row("band's width, median, bar", func(f Family) string { return fmt.Sprintf("%.3f", f.WidthBar) })
	return b.String()
}
