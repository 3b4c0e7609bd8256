package report

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"html/template"
	"strings"
	"sync"
)

//go:embed assets/*.html assets/page.css assets/js/*.js
var assets embed.FS

// echartsDeflated is the published build as raw deflate: a third of its size.
// The page inflates it and runs it as a script that the policy knows by the
// digest of the published text.
//
//go:embed assets/echarts/echarts.common.min.js.deflate
var echartsDeflated []byte

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

// pageScript joins the parts of the page's script, in the order of their names,
// into one function, so that they share names with each other and with nothing else.
var pageScript = sync.OnceValue(func() string {
	parts, err := assets.ReadDir("assets/js")
	if err != nil {
		panic("report: missing asset")
	}
	var b strings.Builder
	b.WriteString("(function () {\n'use strict';\n")
	for _, p := range parts {
		b.WriteString(asset("js/" + p.Name()))
	}
	b.WriteString("}());\n")
	return b.String()
})

var echartsPacked = sync.OnceValue(func() string { return base64.StdEncoding.EncodeToString(echartsDeflated) })

// echartsDigest is the digest of the inflated script, as a policy writes it. A
// test makes sure that it is that of the text.
func echartsDigest() string {
	sum, err := hex.DecodeString(echartsField("sha256"))
	if err != nil {
		panic("report: VERSION") // our own file
	}
	return " 'sha256-" + base64.StdEncoding.EncodeToString(sum) + "'"
}

// policy is the page's content security policy: nothing may be loaded, and only
// our own style sheet and scripts, known by their digests, may be applied. A
// script that came in with a log could not run.
func policy(styles, scripts string) string {
	p := "default-src 'none'; base-uri 'none'; form-action 'none'; style-src" + styles
	if scripts != "" {
		p += "; script-src" + scripts
	}
	return p
}

func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

var pagePolicy = sync.OnceValue(func() string {
	return policy(digest(styles()), echartsDigest()+digest(pageScript()))
})

var indexPolicy = sync.OnceValue(func() string { return policy(digest(styles()), "") })

var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(words()).ParseFS(assets, "assets/*.html"))
})
