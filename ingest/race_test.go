//go:build race

package ingest

// raceEnabled: times and sizes mean nothing under the race detector.
const raceEnabled = true
