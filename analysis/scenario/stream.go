package scenario

import "math/rand/v2"

// stream is the number of a stream of random numbers, one for each part of the
// simulation, so that a change in one part does not reshuffle the others.
type stream uint64

const (
	streamDraw stream = iota + 1
	streamProfile
	streamWander
	streamDepthSensor
	streamHelium
	streamHeliumBias
	streamDrawFault
	streamDrawWork
	streamDrawProfile
	streamDrawUnit
	streamSupply
	streamCell    stream = 100 // + cell: white noise
	streamWalk    stream = 200 // + cell: correlated noise
	streamErratic stream = 300 // + cell: jumps
)

// newRand starts a stream. The multiplier spreads small seeds over all 64 bits
// (Steele and others, SplitMix64, 2014).
func newRand(seed uint64, s stream) *rand.Rand {
	return rand.New(rand.NewPCG(seed*0x9E3779B97F4A7C15+1, uint64(s)*0xBF58476D1CE4E5B9))
}

// uniform draws from lo to hi.
func uniform(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// pick draws one of the values.
func pick[T any](r *rand.Rand, values ...T) T { return values[r.IntN(len(values))] }
