// Package browsertest tries the report's pages in Chromium, from a file and with
// the network cut: that they load nothing, draw every spike and no gap, answer
// to mouse and keyboard, keep remarks, print, stay within their budgets, and
// have no violation that axe-core finds, contrast included.
//
// It is a module of its own, so that the tests of the main module need Go alone:
//
//	cd report/browsertest && go test ./...
//
// axe/ holds axe-core as published (Mozilla Public License 2.0), with its
// version and checksum.
package browsertest
