// Command afterloop debriefs what a closed-circuit rebreather recorded: see
// README.md, or run it with --help.
package main

import (
	"io"
	"os"
	"runtime/debug"
)

// softMemoryBytes is where the collector begins to work harder: a long log has
// many columns that live at once, and laptops on boats are small.
const softMemoryBytes = 300 << 20

// heapGrowthPercent lets the heap of an ordinary log grow further between
// collections than Go's 100: it is small against softMemoryBytes, and a run that
// lasts a tenth of a second spends less of it on collecting.
const heapGrowthPercent = 300

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(heapGrowthPercent)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softMemoryBytes)
	}
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run is the whole program with its inputs and outputs as arguments, so that a
// test can call it. It returns the exit status.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot(streams{in: stdin, out: stdout, err: stderr})
	root.SetArgs(args)
	return finish(stderr, root.Execute())
}
