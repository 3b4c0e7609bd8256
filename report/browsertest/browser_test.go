package browsertest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// tab is one page in a browser, with what it said and asked for.
type tab struct {
	t         *testing.T
	ctx       context.Context
	downloads string

	mu       sync.Mutex
	said     []string
	requests []string
}

// look says how a page is looked at.
type look struct {
	width, height int64
	media         map[string]string // media features, such as prefers-color-scheme
	scripts       string            // "off" for none
}

var desktop = look{width: 1280, height: 900}

// chromium finds the browser, or skips and says so.
func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	t.Skip("SKIPPED: no Chromium on this machine; the pages were not tried in a browser")
	return ""
}

// blank starts a browser with an empty tab; no name resolves in it.
func blank(t *testing.T, l look) *tab {
	t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium(t)), chromedp.NoSandbox,
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND"), chromedp.Flag("disable-quic", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(alloc)
	t.Cleanup(end)
	ctx, cancel := context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx, downloads: t.TempDir()}
	chromedp.ListenTarget(ctx, b.hear)
	features := []*emulation.MediaFeature{}
	for name, value := range l.media {
		features = append(features, &emulation.MediaFeature{Name: name, Value: value})
	}
	b.run(network.Enable(), log.Enable(), chromedp.EmulateViewport(l.width, l.height), emulation.SetEmulatedMedia().WithFeatures(features),
		emulation.SetScriptExecutionDisabled(l.scripts == "off"),
		browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllow).WithDownloadPath(b.downloads))
	return b
}

// open opens a file and waits until the charts are drawn.
func open(t *testing.T, l look, file string) *tab {
	t.Helper()
	b := blank(t, l)
	b.visit(file)
	return b
}

func (b *tab) visit(file string) {
	b.t.Helper()
	b.run(chromedp.Navigate("file://" + file))
	b.wait(`document.documentElement.matches('.ready, .failed')`)
	if b.is(`document.documentElement.matches('.failed')`) {
		b.t.Fatalf("the page says: %s", b.text("#trouble"))
	}
}

// hear keeps what the console says, what is thrown, and what is asked for.
func (b *tab) hear(ev any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		for _, a := range e.Args {
			b.said = append(b.said, string(a.Value)+a.Description)
		}
	case *runtime.EventExceptionThrown:
		b.said = append(b.said, e.ExceptionDetails.Error())
	case *log.EventEntryAdded:
		b.said = append(b.said, e.Entry.Text)
	case *network.EventRequestWillBeSent:
		if !strings.HasPrefix(e.Request.URL, "file:///") || e.Type != network.ResourceTypeDocument {
			b.requests = append(b.requests, e.Request.URL)
		}
	}
}

// quiet asserts that the page neither complained nor asked for anything.
func (b *tab) quiet() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, s := range b.said {
		if strings.HasPrefix(s, "Canvas2D: Multiple readback") { // the tests read pixels
			continue
		}
		b.t.Errorf("the console says: %s", s)
	}
	for _, r := range b.requests {
		if !strings.HasPrefix(r, "blob:") { // a file that is saved
			b.t.Errorf("the page asked for %s", r)
		}
	}
}

func (b *tab) run(a ...chromedp.Action) {
	b.t.Helper()
	if err := chromedp.Run(b.ctx, a...); err != nil {
		b.t.Fatal(err)
	}
}

// eval runs script in the page and puts its result into out.
func (b *tab) eval(script string, out any) {
	b.t.Helper()
	if err := chromedp.Run(b.ctx, chromedp.Evaluate(script, out)); err != nil {
		b.t.Fatalf("%v in %s", err, script)
	}
}

func (b *tab) is(script string) bool {
	b.t.Helper()
	var yes bool
	b.eval(script, &yes)
	return yes
}

func (b *tab) number(script string) float64 {
	b.t.Helper()
	var n float64
	b.eval(script, &n)
	return n
}

func (b *tab) text(selector string) string {
	b.t.Helper()
	var s string
	b.eval(fmt.Sprintf(`document.querySelector(%q).textContent`, selector), &s)
	return s
}

func (b *tab) wait(script string) {
	b.t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if b.is(script) {
			return
		}
	}
	b.t.Fatalf("never came true: %s", script)
}

// settle lets two frames pass, so that what was asked for is drawn.
func (b *tab) settle() {
	b.t.Helper()
	var ok bool
	b.run(chromedp.Evaluate(`new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`, &ok,
		func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
}

// click clicks by script what a hand would click.
func (b *tab) click(selector string) {
	b.t.Helper()
	b.eval(fmt.Sprintf(`document.querySelector(%q).click()`, selector), nil)
	b.settle()
}

// downloaded waits for a saved file and returns its path.
func (b *tab) downloaded(name string) string {
	b.t.Helper()
	path := filepath.Join(b.downloads, name)
	for end := time.Now().Add(15 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if st, err := os.Stat(path); err == nil && st.Size() > 0 {
			return path
		}
	}
	b.t.Fatalf("%s was not saved", name)
	return ""
}

func navigate(path string) chromedp.Action { return chromedp.Navigate("file://" + path) }
