package main

import (
	"os"
	"syscall"
)

// peakMB is the largest resident memory of a finished process.
func peakMB(p *os.ProcessState) float64 {
	if u, ok := p.SysUsage().(*syscall.Rusage); ok {
		return float64(u.Maxrss) / 1024
	}
	return 0
}
