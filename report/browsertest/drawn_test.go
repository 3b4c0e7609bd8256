package browsertest

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"afterloop/report"
)

// A page opened from a file, network cut: no request, no complaint, every chart
// drawn, within its budgets.
func TestOpensFromAFile(t *testing.T) {
	b := open(t, desktop, threeHours.page(t))
	b.settle()
	if n := b.number(`document.querySelectorAll('.plot canvas').length`); n < 6 || n != b.number(`document.querySelectorAll('.plot').length`) {
		t.Errorf("%v charts", n)
	}
	if !b.is(`[...document.querySelectorAll('.plot canvas')].every(c => { const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data; return new Set(new Uint32Array(d.buffer)).size > 5; })`) {
		t.Error("a chart is blank")
	}
	if n := b.number(`document.querySelectorAll('*').length`); n >= 2500 {
		t.Errorf("%v elements, promised fewer than 2500", n)
	} else {
		t.Logf("%v elements", n)
	}
	b.quiet()
}

// axisOf finds where the plot areas of every panel start and end, in pixels: the
// first column that is painted over most of the panel's height (the axis, or a
// band that begins on it), and the end of the line under the panel.
const axisOf = `(() => {
  const data = JSON.parse(document.getElementById('chart-data').textContent), out = [];
  data.charts.forEach(spec => {
    const canvas = document.querySelector('#chart-' + spec.id + ' canvas'), k = canvas.width / canvas.clientWidth;
    const ctx = canvas.getContext('2d');
    spec.panels.forEach(p => {
      const w = Math.round(canvas.width / 4), h = Math.round(p.height * k * 0.9), d = ctx.getImageData(0, Math.round((p.top + p.height * 0.05) * k), w, h).data;
      let from = -1, to = -1;
      for (let x = 0; x < w && from < 0; x++) {
        let painted = 0;
        for (let y = 0; y < h; y++) { if (d[4 * (y * w + x) + 3] > 100) { painted++; } }
        if (painted > 0.8 * h) { from = x; }
      }
      const line = ctx.getImageData(0, Math.round((p.top + p.height) * k) - 1, canvas.width, 2).data;
      for (let x = 0; x < canvas.width - 2; x++) { if (line[4 * x + 3] > 100 || line[4 * (x + canvas.width) + 3] > 100) { to = x; } }
      out.push([spec.id, Math.round(from / k), Math.round(to / k)]);
    });
  });
  return out;
})()`

// Plot areas begin at one pixel in all panels, and the cursor stands over one
// pixel in all charts, whatever the width of the labels.
func TestPlotAreasAreAligned(t *testing.T) {
	for _, l := range []look{desktop, {width: 390, height: 844}} {
		b := open(t, l, hour.page(t))
		b.settle()
		var axes [][]any
		b.eval(axisOf, &axes)
		if len(axes) < 8 {
			t.Fatalf("%d panels", len(axes))
		}
		for _, a := range axes {
			if a[1] != axes[0][1] || a[2] != axes[0][2] {
				t.Errorf("at width %d: %v; the first is %v", l.width, a, axes[0])
			}
		}
		var at []float64
		b.eval(`[...document.querySelectorAll('.over-cursor')].map(e => e.getBoundingClientRect().left)`, &at)
		for _, x := range at {
			if x != at[0] {
				t.Errorf("cursors at %v", at)
			}
		}
	}
}

// spikeTop is how far up, in pixels, anything of cell 2's colour is drawn near
// the share u of the time axis.
const spikeTop = `(u => {
  const canvas = document.querySelector('#chart-cells canvas'), k = canvas.width / canvas.clientWidth, w = canvas.clientWidth;
  const data = JSON.parse(document.getElementById('chart-data').textContent), p = data.charts.find(c => c.id === 'cells').panels[0];
  const x = data.left + u * (w - data.left - data.right), ctx = canvas.getContext('2d');
  const x0 = Math.max(Math.floor((x - 2) * k), Math.ceil((data.left + 1) * k)), n = Math.ceil(5 * k);
  const d = ctx.getImageData(x0, p.top * k, n, p.height * k).data;
  for (let i = 0; i < d.length; i += 4) {
    // cell 2 is drawn in #d55e00
    if (d[i] > 180 && d[i + 1] < 170 && d[i + 2] < 120 && d[i] - d[i + 2] > 90) { return Math.floor(i / 4 / n) / k; }
  }
  return p.height;
})`

// A spike of one sample is visible with the whole record shown, wherever it stands.
func TestSpikesStayVisible(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for _, c := range []struct {
		name string
		log  record
	}{{"3 h at 1 Hz", threeHours}, {"12 h at 10 Hz", twelve}} {
		t.Run(c.name, func(t *testing.T) {
			c.log.gap, c.log.spike = false, map[int]float64{}
			var rows []int
			for len(rows) < 12 { // at least a hundredth of the record apart, to be told apart
				row := c.log.rows/20 + r.IntN(c.log.rows*9/10)
				near := false
				for _, o := range rows {
					near = near || abs(o-row) < c.log.rows/60
				}
				if !near {
					rows = append(rows, row)
					c.log.spike[row] = 2.6
				}
			}
			b := open(t, desktop, c.log.page(t))
			b.settle()
			for _, row := range rows {
				u := float64(row) / float64(c.log.rows-1)
				top := b.number(fmt.Sprintf("%s(%v)", spikeTop, u))
				beside := b.number(fmt.Sprintf("%s(%v)", spikeTop, u-0.009))
				if !(top < beside-40) {
					t.Errorf("row %d: drawn up to %v px from the top, beside it up to %v px", row, top, beside)
				}
			}
		})
	}
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// Nothing is drawn across a gap, at any zoom.
func TestGapsStayOpen(t *testing.T) {
	b := open(t, desktop, hour.page(t))
	b.settle()
	const inGap = `%s(%v) === JSON.parse(document.getElementById('chart-data').textContent).charts.find(c => c.id === 'cells').panels[0].height`
	for zoom := 0; zoom < 3; zoom++ {
		from := b.number(`+/t=(-?[\d.]+),/.exec(location.hash)?.[1] || 0`)
		to := b.number(`+/t=-?[\d.]+,(-?[\d.]+)/.exec(location.hash)?.[1] || 3599`)
		u := (0.42*3600 - from) / (to - from)
		if !b.is(fmt.Sprintf(inGap, spikeTop, u)) {
			t.Errorf("zoom %d: cell 2 is drawn across the gap", zoom)
		}
		b.eval(fmt.Sprintf(`location.hash = '#t=%v,%v'`, 1512-400+zoom*150, 1512+400-zoom*150), nil)
		b.settle()
		b.settle()
	}
	b.quiet()
}

// A log of a single row, and one of nine cells that starts before zero, make
// pages that work.
func TestOddLogs(t *testing.T) {
	one := record{rows: 1, stepS: 1}
	b := open(t, desktop, one.page(t))
	b.settle()
	b.run(chromedp.Focus("#study"), chromedp.KeyEvent("+"), chromedp.KeyEvent(" "), chromedp.KeyEvent("0"))
	b.settle()
	b.quiet()

	var log strings.Builder
	log.WriteString("# loop-log: 1\ntime_s,depth_m")
	for c := 1; c <= 9; c++ {
		fmt.Fprintf(&log, ",cell%d_po2_bar", c)
	}
	log.WriteString("\n")
	for i := -200; i < 2000; i++ {
		fmt.Fprintf(&log, "%d,20.0", i)
		for c := 1; c <= 9; c++ {
			if i%97 == 0 && c == 4 {
				log.WriteString(",")
				continue
			}
			fmt.Fprintf(&log, ",%.2f", 1.2+0.06*float64(c%3)+0.02*noise(i, c))
		}
		log.WriteString("\n")
	}
	b = open(t, look{width: 390, height: 844}, pageOf(t, []byte(log.String()), report.Options{}))
	b.settle()
	if over := b.number(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		t.Errorf("the page is %v px wider than the window", over)
	}
	if s := b.text("#moment-body"); !strings.Contains(s, "mid-value") {
		t.Errorf("the moment says %q", s)
	}
	b.quiet()
}
