package scenario

import (
	"math"
	"math/rand/v2"
)

// heliumSensor measures the helium fraction in the head, late and not quite right.
type heliumSensor struct {
	spec    Helium
	lagged  float64
	bias    float64
	noise   *rand.Rand
	biasRnd *rand.Rand
}

func newHeliumSensor(s Spec, start float64) *heliumSensor {
	if s.Helium == nil {
		return nil
	}
	h := &heliumSensor{spec: *s.Helium, lagged: start, noise: newRand(s.Seed, streamHelium), biasRnd: newRand(s.Seed, streamHeliumBias)}
	h.bias = h.spec.BiasSigma * h.biasRnd.NormFloat64()
	return h
}

// basis turns the fraction of the dry gas into what the sensor sees: on the wet
// basis vapour dilutes it.
func (h Helium) basis(dry, pdBar, pBar float64) float64 {
	if h.Basis == "wet" {
		return dry * pdBar / pBar
	}
	return dry
}

func (h *heliumSensor) respond(fraction float64) {
	if h.spec.LagS == 0 {
		h.lagged = fraction
	} else {
		h.lagged += (fraction - h.lagged) * (1 - math.Exp(-stepS/h.spec.LagS))
	}
	h.bias = ornstein(h.bias, h.spec.BiasSigma, h.spec.BiasTauS, h.biasRnd)
}

func (h *heliumSensor) read() float64 {
	y := h.lagged + h.spec.Bias + h.bias + h.spec.NoiseSigma*h.noise.NormFloat64()
	return math.Max(0, math.Min(1, y))
}
