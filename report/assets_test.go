package report

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"strings"
	"testing"
)

// echartsScript inflates the library, as the page does.
func echartsScript(t testing.TB) string {
	t.Helper()
	b, err := io.ReadAll(flate.NewReader(bytes.NewReader(echartsDeflated)))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// The carried library is the published one: its digest is the one that was
// written when it was fetched (go run ./report/assets/refresh).
func TestEChartsChecksum(t *testing.T) {
	sum := sha256.Sum256([]byte(echartsScript(t)))
	if got, want := hex.EncodeToString(sum[:]), echartsField("sha256"); got != want {
		t.Errorf("the script's digest is %s, VERSION says %s", got, want)
	}
	if v := echartsField("version"); v == "" || !strings.Contains(echartsScript(t), `t.version="`+v+`"`) {
		t.Errorf("the script is not version %q", v)
	}
}

func TestLicencesAreCarried(t *testing.T) {
	for name, want := range map[string]string{"LICENSE": "Apache License", "NOTICE": "Apache ECharts", "LICENSE-d3": "Mike Bostock"} {
		b, err := os.ReadFile("assets/echarts/" + name)
		if err != nil || !strings.Contains(string(b), want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if !strings.Contains(echartsScript(t)[:1000], "Licensed to the Apache Software Foundation") {
		t.Error("the script lost its notice")
	}
}

// What is put between script and style tags must not be able to end them.
func TestAssetsCannotEndTheirElement(t *testing.T) {
	for name, s := range map[string]string{"echarts": echartsScript(t), "page.js": pageScript(), "page.css": styles()} {
		for _, bad := range []string{"</script", "<!--", "</style"} {
			if strings.Contains(strings.ToLower(s), bad) {
				t.Errorf("%s holds %s", name, bad)
			}
		}
	}
	if strings.Contains(pageScript(), "innerHTML") || strings.Contains(pageScript(), "eval(") {
		t.Error("page.js writes markup or runs text")
	}
}
