package report

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf8"

	"afterloop/analysis"
)

// WriteJSON writes the debrief as indented JSON that ends with a newline. Keys
// stand in the order of the types; what is not known is null. Control
// characters that JSON would let pass (DEL and the C1 set, some of which a
// terminal obeys) are escaped, so that the file can be shown anywhere.
func WriteJSON(w io.Writer, d *analysis.Debrief, o Options) error {
	b, err := json.MarshalIndent(o.of(d), "", "  ")
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if err := escapeControls(out, append(b, '\n')); err != nil {
		return err
	}
	return out.Flush()
}

// escapeControls copies JSON text and writes runes U+007F to U+009F as \u00XX.
// Outside strings they do not occur.
func escapeControls(w *bufio.Writer, b []byte) error {
	start := 0
	for i := 0; i < len(b); {
		if b[i] < utf8.RuneSelf && b[i] != 0x7f {
			i++
			continue
		}
		r, size := utf8.DecodeRune(b[i:])
		if r >= 0x7f && r <= 0x9f {
			w.Write(b[start:i])
			fmt.Fprintf(w, `\u%04x`, r)
			start = i + size
		}
		i += size
	}
	_, err := w.Write(b[start:])
	return err
}
