package report

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"html/template"
	"strings"
	"sync"
)

//go:embed assets/*.html assets/page.css assets/page.js
var assets embed.FS

//go:embed assets/echarts/echarts.common.min.js
var echartsScript string

//go:embed assets/echarts/VERSION
var echartsVersionFile string

// echartsVersion reads a field of assets/echarts/VERSION.
func echartsField(name string) string {
	for _, l := range strings.Split(echartsVersionFile, "\n") {
		if v, ok := strings.CutPrefix(l, name+": "); ok {
			return strings.TrimSpace(v)
		}
	}
	return ""
}

func asset(name string) string {
	b, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic("report: missing asset")
	}
	return string(b)
}

// styles is the page's style sheet with the colours of the lines filled in.
var styles = sync.OnceValue(func() string {
	var light, dark strings.Builder
	for _, c := range allInks() {
		light.WriteString("." + c.class() + " { stroke: " + c.light + "; color: " + c.light + "; }\n")
		dark.WriteString("  ." + c.class() + " { stroke: " + c.dark + "; color: " + c.dark + "; }\n")
	}
	return strings.Replace(asset("page.css"), "/* STROKES */\n",
		light.String()+"@media screen and (prefers-color-scheme: dark) {\n"+dark.String()+"}\n", 1)
})

var pageScript = sync.OnceValue(func() string { return asset("page.js") })

// policy is the page's content security policy: nothing may be loaded, and only
// our own style sheet and scripts, known by their digests, may be applied. A
// script that came in with a log could not run.
func policy(styles []string, scripts []string) string {
	p := "default-src 'none'; base-uri 'none'; form-action 'none'; style-src" + digests(styles)
	if len(scripts) > 0 {
		p += "; script-src" + digests(scripts)
	}
	return p
}

func digests(texts []string) string {
	var b strings.Builder
	for _, t := range texts {
		sum := sha256.Sum256([]byte(t))
		b.WriteString(" 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'")
	}
	return b.String()
}

var pagePolicy = sync.OnceValue(func() string {
	return policy([]string{styles()}, []string{echartsScript, pageScript()})
})

var indexPolicy = sync.OnceValue(func() string { return policy([]string{styles()}, nil) })

var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(words()).ParseFS(assets, "assets/*.html"))
})
