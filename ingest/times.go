package ingest

import (
	"bytes"
	"math"
)

const (
	secondsPerDay  = 86400
	secondsPerHour = 3600
)

// parseClock reads "mm:ss" or "h:mm:ss" as seconds; the seconds may have
// decimals. Minutes of the first form may pass 59.
func parseClock(b []byte) (tS float64, decimals int, ok bool) {
	b = trimBlank(b)
	last := bytes.LastIndexByte(b, ':')
	if last < 0 {
		return 0, 0, false
	}
	sec, decimals, ok := clockPart(b[last+1:], true)
	if !ok || sec >= 60 {
		return 0, 0, false
	}
	head := b[:last]
	hours := 0.0
	if colon := bytes.IndexByte(head, ':'); colon >= 0 {
		if hours, _, ok = clockPart(head[:colon], false); !ok {
			return 0, 0, false
		}
		head = head[colon+1:]
	}
	min, _, ok := clockPart(head, false)
	if !ok || (len(head) < last && min >= 60) {
		return 0, 0, false
	}
	return hours*secondsPerHour + min*60 + sec, decimals, true
}

// clockPart is a number without a sign or exponent, and without a point unless allowed.
func clockPart(b []byte, point bool) (float64, int, bool) {
	for _, c := range b {
		if c-'0' > 9 && (c != '.' || !point) {
			return 0, 0, false
		}
	}
	if len(b) > 9 && !point {
		return 0, 0, false
	}
	return parseDecimal(b)
}

// unwrap adds the whole days that bring a clock time nearest to the row before,
// so that 0:00:03 after 23:59:58 is five seconds later. Only a step back of more
// than half a day is taken for midnight.
func unwrap(tS, previousS float64) float64 {
	days := math.Round((previousS - tS) / secondsPerDay)
	if !(days > 0) {
		return tS
	}
	return tS + days*secondsPerDay
}
