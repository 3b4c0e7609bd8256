package browsertest

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterloop/report"
)

// One cursor for all charts: the pointer over one of them moves it in all, and
// the figures follow, in the keys and in words.
func TestCursor(t *testing.T) {
	b := open(t, desktop, hour.page(t))
	b.eval(`document.getElementById('chart-cells').scrollIntoView({ block: 'center' })`, nil)
	var box [2]float64
	b.eval(`(() => { const r = document.getElementById('chart-cells').getBoundingClientRect(); return [r.left + 300, r.top + 100]; })()`, &box)
	b.run(chromedp.MouseEvent("mouseMoved", box[0], box[1]))
	b.settle()
	var at []float64
	b.eval(`[...document.querySelectorAll('.over-cursor:not([hidden])')].map(e => e.getBoundingClientRect().left)`, &at)
	if len(at) < 6 || float64(len(at)) != b.number(`document.querySelectorAll('.plot').length`) {
		t.Fatalf("cursor in %d charts", len(at))
	}
	for _, x := range at {
		if x < box[0]-1 || x > box[0]+1 {
			t.Errorf("pointer at %v, cursors at %v", box[0], at)
		}
	}
	if s := b.text(".key output"); !strings.Contains(s, "m") {
		t.Errorf("the key says %q", s)
	}
	if s := b.text("#moment-body"); !strings.Contains(s, "bar") || !strings.Contains(s, "worst-first") {
		t.Errorf("the moment says %q", s)
	}
	// A drag zooms all charts.
	b.run(chromedp.MouseEvent("mousePressed", box[0], box[1], chromedp.ButtonLeft), chromedp.MouseEvent("mouseMoved", box[0]+100, box[1], chromedp.ButtonLeft),
		chromedp.MouseEvent("mouseReleased", box[0]+100, box[1], chromedp.ButtonLeft))
	b.settle()
	if s := b.text("#window"); !strings.HasPrefix(s, "Shown: 0:") {
		t.Errorf("after a drag: %q", s)
	}
	b.quiet()
}

// Everything that the pointer does, keys do.
func TestKeyboardAlone(t *testing.T) {
	b := open(t, desktop, hour.page(t))
	b.run(chromedp.Focus("#study"))
	at := func() string { b.settle(); return b.text("#moment-log") }
	press := func(k string) { b.run(chromedp.KeyEvent(k)) }
	press(kb.Home)
	first := at()
	if !strings.Contains(first, "row at 0 s") {
		t.Errorf("Home goes to %q", first)
	}
	press(kb.ArrowRight)
	if s := at(); !strings.Contains(s, "row at 1 s") {
		t.Errorf("one row on is %q", s)
	}
	press("n")
	if s := at(); s == first {
		t.Error("n does not go to a finding")
	}
	press("0")
	press("+")
	b.settle()
	if s := b.text("#window"); !strings.HasPrefix(s, "Shown:") {
		t.Errorf("after +: %q", s)
	}
	press(kb.Home)
	press("a")
	press(kb.End)
	press("b")
	b.settle()
	if s := b.text("#between"); !strings.Contains(s, "integral") || !strings.Contains(s, "B − A") {
		t.Errorf("between the marks: %q", s)
	}
	press(kb.Home)
	press(" ")
	b.wait(`document.getElementById('play').getAttribute('aria-pressed') === 'true'`)
	b.wait(`!document.getElementById('moment-log').textContent.includes('row at 0 s')`)
	press(" ")
	b.wait(`document.getElementById('play').getAttribute('aria-pressed') === 'false'`)
	// The focus shows, and Tab reaches every control.
	if b.is(`getComputedStyle(document.getElementById('study')).outlineStyle === 'none'`) {
		t.Error("the focus does not show")
	}
	b.quiet()
}

// The integral between two marks: PO2 of 1.3 bar about a saw-tooth over a known time.
func TestBetweenTheMarks(t *testing.T) {
	b := open(t, desktop, hour.page(t)+"#t=0,3599&at=1000&a=600&b=1200")
	var row []string
	b.wait(`document.querySelector('#between tbody') !== null`)
	b.eval(`[...document.querySelectorAll('#between tbody tr')].filter(r => r.cells[0].textContent.startsWith('Set point')).map(r => [...r.cells].map(c => c.textContent))[0]`, &row)
	if strings.Join(row, "|") != "Set point, bar|1.30|1.30|0.00|1.30|13.0 bar min" {
		t.Errorf("set point between the marks: %q", row)
	}
}

// The state is in the address, and the address brings it back.
func TestAddress(t *testing.T) {
	file := hour.page(t)
	b := open(t, desktop, file+"#t=900,1500&at=1234&a=1000&b=1100")
	b.settle()
	if s := b.text("#moment-log"); !strings.Contains(s, "row at 1234 s") {
		t.Errorf("cursor: %q", s)
	}
	if s := b.text("#window"); s != "Shown: 0:15:00 to 0:25:00" {
		t.Errorf("window: %q", s)
	}
	b.run(chromedp.Focus("#study"), chromedp.KeyEvent(kb.ArrowRight))
	b.wait(`location.hash === '#t=900,1500&at=1235&a=1000&b=1100'`)
	for _, bad := range []string{"#t=5,1", "#t=NaN,3", "#t=1,2&at=x", "#t=1e9,2e9", "#%3Cscript%3E", "#t=-99999999999,99999999999&at=99999999999999999999"} {
		b = open(t, desktop, file+bad)
		b.settle()
		b.quiet()
	}
}

// Each finding moves all charts to its moment; every link of the page leads somewhere.
func TestLinks(t *testing.T) {
	b := open(t, desktop, hour.page(t))
	if n := b.number(`document.querySelectorAll('a.goto').length`); n == 0 {
		t.Fatal("no finding to go to")
	}
	b.click("a.goto")
	if !b.is(`document.getElementById('window').textContent.startsWith('Shown') || +document.querySelector('a.goto').dataset.to - +document.querySelector('a.goto').dataset.from > 1500`) {
		t.Errorf("the window is %q", b.text("#window"))
	}
	if !b.is(`[...document.querySelectorAll('.over-cursor:not([hidden])')].length === document.querySelectorAll('.plot').length && Math.abs(document.getElementById('study').getBoundingClientRect().top) < 200`) {
		t.Error("the charts are not shown")
	}
	// Every explanation opens, with its small chart.
	b.eval(`document.querySelectorAll('details.explain').forEach(d => { d.open = true; })`, nil)
	b.settle()
	if !b.is(`[...document.querySelectorAll('details.explain')].every(d => d.querySelectorAll('dd').length === 4 && d.querySelector('svg.reference'))`) {
		t.Error("an explanation stays empty")
	}
	b.eval(`document.querySelectorAll('details.asdata').forEach(d => { d.open = true; })`, nil)
	b.settle()
	if !b.is(`[...document.querySelectorAll('details.asdata')].every(d => d.querySelectorAll('tbody tr').length > 10)`) {
		t.Error("a table stays empty")
	}
	// A link into a folded part brings it back.
	b.click(`#moment-body a[href="#vote-mean"]`)
	if !b.is(`document.getElementById('vote-mean').closest('details').open`) {
		t.Error("the rule of a policy is not shown")
	}
	b.eval(`document.querySelectorAll('details').forEach(d => { d.open = true; })`, nil)
	b.settle()
	var lost []string
	b.eval(`[...document.querySelectorAll('a[href^="#"]')].map(a => a.getAttribute('href').slice(1)).filter(id => !document.getElementById(id))`, &lost)
	if len(lost) > 0 {
		t.Errorf("links lead nowhere: %v", lost)
	}
	b.quiet()
}

// Remarks are kept in a copy of the page and in a file; what is hostile stays text.
func TestRemarks(t *testing.T) {
	b := open(t, desktop, hour.page(t)+"#t=900,1500&at=1234")
	const evil = `</script><script>document.documentElement.dataset.owned=1</script><img src=x onerror=alert(1)>`
	b.eval(fmt.Sprintf(`document.getElementById('remark-box').open = true; document.getElementById('remark-who').value = 'M. <b>'; document.getElementById('remark-text').value = %q`, evil), nil)
	b.click("#remark-add")
	if n := b.number(`document.querySelectorAll('#remark-list li').length`); n != 1 {
		t.Fatalf("%v remarks", n)
	}
	b.click("#remark-file")
	file := b.downloaded("remarks.json")
	b.click("#remark-page")
	saved := b.downloaded("debrief-with-remarks.html")

	c := open(t, desktop, saved)
	if s := c.text("#remark-list"); !strings.Contains(s, evil) || !strings.Contains(s, "0:20:34") {
		t.Errorf("the saved page holds %q", s)
	}
	if c.is(`'owned' in document.documentElement.dataset`) {
		t.Error("a remark was run")
	}
	if n := c.number(`document.querySelectorAll('.plot canvas').length`); n < 6 || n != c.number(`document.querySelectorAll('.plot').length`) {
		t.Errorf("the saved page draws %v charts", n)
	}
	c.quiet()

	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	refuseRemarks(t, hour.page(t), text)
	b.quiet()
}

// refuseRemarks reads remarks that are and are not well formed into a fresh page.
func refuseRemarks(t *testing.T, pageFile string, good []byte) {
	t.Helper()
	b := open(t, desktop, pageFile)
	change := func(f func(m map[string]any)) []byte {
		var m map[string]any
		if err := json.Unmarshal(good, &m); err != nil {
			t.Fatal(err)
		}
		f(m)
		out, err := json.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	remark := func(m map[string]any) map[string]any { return m["remarks"].([]any)[0].(map[string]any) }
	for name, c := range map[string]struct {
		text []byte
		says string
	}{
		"not JSON":       {[]byte("{"), "not JSON"},
		"a list":         {[]byte("[]"), "not a file of remarks"},
		"other version":  {change(func(m map[string]any) { m["format"] = "afterloop-remarks/9" }), "has the format"},
		"other log":      {change(func(m map[string]any) { m["log_sha256"] = "00" }), "another log"},
		"more keys":      {change(func(m map[string]any) { m["x"] = 1 }), "not a file of remarks"},
		"no text":        {change(func(m map[string]any) { remark(m)["text"] = "" }), "not well formed"},
		"text no string": {change(func(m map[string]any) { remark(m)["text"] = map[string]any{"toString": 1} }), "not well formed"},
		"outside":        {change(func(m map[string]any) { remark(m)["at_s"] = 1e9 }), "not well formed"},
		"prototype":      {[]byte(strings.Replace(string(good), `"remarks":`, `"__proto__": {}, "remarks":`, 1)), "not a file of remarks"},
		"good":           {good, "Remarks read: 1"},
	} {
		path := filepath.Join(t.TempDir(), "r.json")
		if err := os.WriteFile(path, c.text, 0o644); err != nil {
			t.Fatal(err)
		}
		b.eval(`document.getElementById('remark-status').textContent = ''`, nil)
		b.run(chromedp.SetUploadFiles("#remark-load", []string{path}, chromedp.ByQuery))
		b.wait(`document.getElementById('remark-status').textContent !== ''`)
		if s := b.text("#remark-status"); !strings.Contains(s, c.says) {
			t.Errorf("%s: %q", name, s)
		}
	}
	if n := b.number(`document.querySelectorAll('#remark-list li').length`); n != 1 {
		t.Errorf("%v remarks were taken", n)
	}
	b.quiet()
}

// A page whose remarks were damaged opens all the same, and says so.
func TestDamagedRemarksDoNotBreakThePage(t *testing.T) {
	file := hour.page(t)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	const open1 = `id="remarks">`
	if err := os.WriteFile(file, []byte(strings.Replace(string(text), open1, open1+`{"format": 3, "remarks": "<img src=x>"}`, 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	b := open(t, desktop, file)
	if s := b.text("#remark-status"); !strings.Contains(s, "could not be read") {
		t.Errorf("the page says %q", s)
	}
	b.quiet()
}

// Charts are saved as files that stand alone.
func TestSavedCharts(t *testing.T) {
	b := open(t, desktop, hour.page(t))
	b.click(`#figure-cells [data-save="svg"]`)
	svg, err := os.ReadFile(b.downloaded("chart-cells.svg"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<svg", "Readings of the cells", "cell 2", "<path"} {
		if !strings.Contains(string(svg), want) {
			t.Errorf("the SVG lacks %q", want)
		}
	}
	if strings.Contains(string(svg), "<script") {
		t.Error("the SVG holds a script")
	}
	b.click(`#figure-cells [data-save="png"]`)
	png, err := os.ReadFile(b.downloaded("chart-cells.png"))
	if err != nil || !strings.HasPrefix(string(png), "\x89PNG") || len(png) < 10_000 {
		t.Errorf("PNG of %d bytes: %v", len(png), err)
	}
	keep(t, "chart.svg", svg)
	keep(t, "chart.png", png)
	b.quiet()
}

// Hostile text in every text field of a log is text.
func TestHostileLog(t *testing.T) {
	const run = `document.documentElement.setAttribute('data-owned','1')`
	for _, text := range []string{
		`</script><script>` + run + `</script>`, `"><img src=x onerror="` + run + `">`, `</title></style><svg onload=` + run + `>`,
		"<!--<script>" + run + "//", "{{.}}`${" + run + "}`", "\u2028\u202e" + run,
	} {
		log := record{rows: 300, stepS: 1, text: text}
		b := open(t, desktop, log.page(t))
		b.settle()
		if b.is(`document.documentElement.hasAttribute('data-owned')`) {
			t.Errorf("%q was run", text)
		}
		b.quiet()
	}
}

// keep writes a file into the folder that AFTERLOOP_PRINTS names, to be looked at.
func keep(t *testing.T, name string, b []byte) {
	t.Helper()
	dir := os.Getenv("AFTERLOOP_PRINTS")
	if dir == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
		t.Fatal(err)
	}
}

// Both prints are whole: the summary has two pages.
func TestPrint(t *testing.T) {
	b := open(t, desktop, hour.page(t))
	pages := func() int {
		var pdf []byte
		b.run(chromedp.ActionFunc(func(ctx context.Context) (err error) {
			pdf, _, err = page.PrintToPDF().WithPreferCSSPageSize(true).WithPaperWidth(8.27).WithPaperHeight(11.69).WithPrintBackground(true).Do(ctx)
			return err
		}))
		keep(t, fmt.Sprintf("print-%d.pdf", len(pdf)), pdf)
		return len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(pdf, -1))
	}
	if n := pages(); n < 6 || n > 28 {
		t.Errorf("the full print has %d pages", n)
	} else {
		t.Logf("full print: %d pages", n)
	}
	b.eval(`document.documentElement.classList.add('summary')`, nil)
	if n := pages(); n != 2 {
		t.Errorf("the summary has %d pages", n)
	}
	b.quiet()
	// A demo with more findings.
	log, err := os.ReadFile("../../testdata/ombrel-two-limited.csv")
	if err != nil {
		t.Fatal(err)
	}
	b = open(t, desktop, pageOf(t, log, report.Options{}))
	b.eval(`document.documentElement.classList.add('summary')`, nil)
	if n := pages(); n != 2 {
		t.Errorf("the demo's summary has %d pages", n)
	}
}

// Without scripts the answer and the tables are there.
func TestWithoutScripts(t *testing.T) {
	b := blank(t, look{width: 1280, height: 900, scripts: "off"})
	b.run(chromedp.Navigate("file://" + hour.page(t)))
	var nodes []*cdp.Node
	b.run(chromedp.Nodes("table.data", &nodes, chromedp.ByQueryAll), chromedp.WaitVisible("#findings", chromedp.ByQuery), chromedp.WaitVisible("#safety", chromedp.ByQuery))
	if len(nodes) < 5 {
		t.Errorf("%d tables of charts", len(nodes))
	}
	b.quiet()
}
