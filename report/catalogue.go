package report

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
)

// catalogueText holds the page's words by key, in one file, so that a
// translation is a file: keys stay, values change. {0}, {1} ... are filled in.
// Titles, observations and advice of findings, and the definitions, come with
// the debrief.
//
//go:embed assets/text.en.json
var catalogueText []byte

var catalogue = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	if err := json.Unmarshal(catalogueText, &m); err != nil {
		panic("report: text.en.json: " + err.Error()) // our own file; a test reads it
	}
	return m
})

// say is the text of a key with its arguments filled in. A key that is not in
// the catalogue is shown as it is; a test finds those.
func say(key string, args ...any) string {
	text, ok := catalogue()[key]
	if !ok {
		return key
	}
	pairs := make([]string, 0, 2*len(args))
	for i, a := range args {
		pairs = append(pairs, fmt.Sprintf("{%d}", i), fmt.Sprint(a))
	}
	// One pass: what is filled in is not looked at again.
	return strings.NewReplacer(pairs...).Replace(text)
}

// pageText is the part of the catalogue that the page's script speaks.
func pageText() map[string]string {
	m := map[string]string{}
	for k, v := range catalogue() {
		if strings.HasPrefix(k, "page.") {
			m[k] = v
		}
	}
	return m
}
