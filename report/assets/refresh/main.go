// Command refresh replaces the copy of ECharts that the report carries:
//
//	go run ./report/assets/refresh [version]
//
// It needs npm. It fetches the published package, takes the "common" build (the
// smallest published one with line charts, mark areas, mark lines and an SVG
// painter; the "simple" build lacks them), its licence texts and notice, and writes
// them with a VERSION file that holds the version and the SHA-256 of the script.
// The script itself is kept deflated; a test of package report inflates it and
// compares the checksum.
package main

import (
	"archive/tar"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const (
	packageName    = "echarts"
	defaultVersion = "5.6.0"
	script         = "dist/echarts.common.min.js"
	target         = "report/assets/echarts"
)

// wanted maps a file of the published package to its name in our folder.
var wanted = map[string]string{
	script:                "echarts.common.min.js.deflate",
	"LICENSE":             "LICENSE",
	"NOTICE":              "NOTICE",
	"licenses/LICENSE-d3": "LICENSE-d3",
}

func main() {
	version := defaultVersion
	if len(os.Args) > 1 {
		version = os.Args[1]
	}
	if err := refresh(version); err != nil {
		fmt.Fprintln(os.Stderr, "refresh: error:", err)
		os.Exit(1)
	}
}

func refresh(version string) error {
	if _, err := os.Stat(target); err != nil {
		return fmt.Errorf("run this from the top of the module: %w", err)
	}
	archive, err := pack(version)
	if err != nil {
		return err
	}
	files, err := extract(archive)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(files[script])
	if files[script], err = deflated(files[script]); err != nil {
		return err
	}
	for from, to := range wanted {
		if err := os.WriteFile(filepath.Join(target, to), files[from], 0o644); err != nil {
			return err
		}
	}
	text := fmt.Sprintf("package: %s (npm)\nversion: %s\nbuild: %s\nsha256: %s\n",
		packageName, version, script, hex.EncodeToString(sum[:]))
	return os.WriteFile(filepath.Join(target, "VERSION"), []byte(text), 0o644)
}

// deflated is raw deflate (RFC 1951): a third of the size, which a page can
// inflate with what browsers have built in.
func deflated(b []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(b)
	err = errors.Join(err, w.Close())
	return out.Bytes(), err
}

// pack lets npm fetch the package and returns the archive's bytes.
func pack(version string) ([]byte, error) {
	dir, err := os.MkdirTemp("", "refresh")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	cmd := exec.Command("npm", "pack", "--silent", packageName+"@"+version)
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("npm pack: %w", err)
	}
	return os.ReadFile(filepath.Join(dir, filepath.Base(strings.TrimSpace(string(out)))))
}

// extract returns the wanted files of a package archive; each must be there.
func extract(archive []byte) (map[string][]byte, error) {
	zr, err := gzip.NewReader(bytes.NewReader(archive))
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	tr := tar.NewReader(zr)
	for {
		h, err := tr.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		name := strings.TrimPrefix(h.Name, "package/")
		if _, ok := wanted[name]; !ok {
			continue
		}
		if files[name], err = io.ReadAll(tr); err != nil {
			return nil, err
		}
	}
	for name := range wanted {
		if len(files[name]) == 0 {
			return nil, fmt.Errorf("the package has no %s", name)
		}
	}
	return files, nil
}
