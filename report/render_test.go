package report

import (
	"io"
	"testing"

	"afterloop/analysis"
	"afterloop/report/internal/reporttest"
)

func render(t testing.TB, d *analysis.Debrief) []byte {
	t.Helper()
	return reporttest.Bytes(t, func(w io.Writer) error { return WriteHTML(w, d, Options{}) })
}
