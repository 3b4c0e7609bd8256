package browsertest

import (
	"os"
	"testing"

	"afterloop/report"
)

// Cylinders, batteries and the table of responses, with everything recorded: drawn,
// no violation by axe-core, on a desktop and a phone; a link of the table moves the
// charts.
func TestGauges(t *testing.T) {
	log, err := os.ReadFile("../../testdata/ombrel-gauges.csv")
	if err != nil {
		t.Fatal(err)
	}
	file := pageOf(t, log, report.Options{})
	for _, name := range []string{"desktop", "phone"} {
		t.Run(name, func(t *testing.T) {
			l, ok := looks[name]
			if !ok {
				l = desktop
			}
			b := open(t, l, file)
			b.settle()
			if n := b.number(`document.querySelectorAll('#supply .plot canvas').length`); n != 1 {
				t.Errorf("%v charts of what was carried", n)
			}
			if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("the page is %v px wider than the window", over)
			}
			violations(b)
			b.eval(`document.querySelector('#responses a.goto').click()`, nil)
			b.settle()
			if !b.is(`document.getElementById('moment-time').textContent === '0:22:30'`) {
				t.Error("the table's link does not lead to its moment")
			}
			b.quiet()
		})
	}
}
