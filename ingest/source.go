package ingest

import (
	"bytes"
	"compress/flate"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
)

// loaded is a file in memory, unpacked, without its byte-order mark.
type loaded struct {
	source Source
	data   []byte
	// packedCut is true where a gzip file ends too early.
	packedCut bool
	// tail is true where bytes follow the end of the gzip data.
	tail bool
}

var (
	gzipMagic = []byte{0x1f, 0x8b}
	bom       = []byte{0xef, 0xbb, 0xbf}
)

// load reads everything from r, at most maxBytes, and unpacks gzip, at most to
// maxBytes again.
func load(r io.Reader, name string, maxBytes int64) (loaded, error) {
	l := loaded{source: Source{File: name}}
	raw, err := readAtMost(r, maxBytes, sizeOf(r))
	if err != nil {
		return l, loadError(name, maxBytes, err)
	}
	sum := sha256.Sum256(raw)
	l.source.SHA256 = hex.EncodeToString(sum[:])
	l.source.Bytes = int64(len(raw))
	l.data = raw
	if bytes.HasPrefix(raw, gzipMagic) {
		l.source.Gzip = true
		if err := l.unpack(maxBytes); err != nil {
			return l, loadError(name, maxBytes, err)
		}
	}
	l.data = bytes.TrimPrefix(l.data, bom)
	return l, nil
}

// Unpacked reads a file as it is and unpacks gzip; maxBytes of 0 is
// [DefaultMaxBytes]. Of what is cut off it gives what there is.
func Unpacked(r io.Reader, name string, maxBytes int64) ([]byte, error) {
	if maxBytes <= 0 {
		maxBytes = DefaultMaxBytes
	}
	l, err := load(r, name, maxBytes)
	return l.data, err
}

// unpack replaces the data by what it unpacks to, the members of the file one
// after the other. A file that ends early gives what could be unpacked; one that
// is damaged gives an error, because nothing then tells good bytes from bad.
func (l *loaded) unpack(maxBytes int64) error {
	packed := bytes.NewReader(l.data)
	z, err := gzip.NewReader(packed)
	l.data = nil
	for err == nil {
		z.Multistream(false)
		var part []byte
		part, err = readAtMost(z, maxBytes-int64(len(l.data)), 0)
		if l.data == nil {
			l.data = part
		} else {
			l.data = append(l.data, part...)
		}
		if err != nil || packed.Len() == 0 {
			break
		}
		if z.Reset(packed) != nil {
			l.tail = true
			return nil //nolint:nilerr // what follows the packed part is no gzip: told by tail
		}
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		l.packedCut = true
		return nil //nolint:nilerr // a cut is no failure: what was unpacked is read, and the cut is said
	}
	return err
}

var errTooLarge = errors.New("too large")

// readAtMost reads r to its end; hint is its size where known.
func readAtMost(r io.Reader, maxBytes, hint int64) ([]byte, error) {
	if hint > maxBytes {
		return nil, errTooLarge
	}
	var b bytes.Buffer
	b.Grow(int(hint) + bytes.MinRead)
	n, err := b.ReadFrom(io.LimitReader(r, maxBytes+1))
	if n > maxBytes {
		return nil, errTooLarge
	}
	return b.Bytes(), err
}

// sizeOf is the size of a regular file or a buffer, 0 where it is not known.
func sizeOf(r io.Reader) int64 {
	switch r := r.(type) {
	case *os.File:
		if info, err := r.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	case interface{ Len() int }:
		return int64(r.Len())
	}
	return 0
}

// loadError makes a problem of what went wrong with the bytes; trouble with the
// disk or the pipe stays an error of its own.
func loadError(name string, maxBytes int64, err error) error {
	l := problemList{file: name}
	switch {
	case errors.Is(err, errTooLarge):
		return l.fatal(0, "too-large", fmt.Sprintf("more than %d bytes", maxBytes), "no loop log",
			fmt.Sprintf("at most %d bytes, unpacked too", maxBytes))
	case isDamage(err):
		return l.fatal(0, "damaged-gzip", err.Error(), "a damaged file, of which nothing can be trusted", "an undamaged gzip file")
	}
	return fmt.Errorf("ingest: reading %s: %w", clean(name), err)
}

// isDamage tells whether the packed bytes contradict themselves.
func isDamage(err error) bool {
	var corrupt flate.CorruptInputError
	return errors.Is(err, gzip.ErrChecksum) || errors.Is(err, gzip.ErrHeader) || errors.As(err, &corrupt)
}
