package ingest

import "afterloop/analysis/gas"

// Meta is what the lines before the header say; a field that the log leaves
// out is empty, nil or NaN.
type Meta struct {
	Dive, Diver, Unit string
	// Start is the RFC 3339 text of the time at time_s = 0.
	Start string
	// SurfacePressureBar is the stated surface pressure, or 1.013 with
	// SurfaceAssumed true.
	SurfacePressureBar float64
	SurfaceAssumed     bool
	// WaterDensityKgM3 is what the instrument assumed, or 1025 with DensityAssumed true.
	WaterDensityKgM3 float64
	DensityAssumed   bool
	Diluent          Gas
	OpenCircuitGas   Gas
	LoopVolumeL      float64
	OxygenFlowLMin   float64 // STPD while the valve is open
	OxygenCylinderL  float64
	Calibration      Calibration
	// LoopHeBasis is "dry", "wet" or empty.
	LoopHeBasis string
	// LoopHeSigma is the stated standard deviation of the helium fraction, or NaN.
	LoopHeSigma float64
	Halves      []Half
	// Other keeps keys that the format does not define, values that could not be
	// used, and remarks (with an empty key), in file order.
	Other []KeyValue
}

// Calibration is what the log says of how the cells were calibrated.
type Calibration struct {
	GasO2       float64 // fraction, NaN where not stated
	PressureBar float64
	TempC       float64
	Time        string
	// Humid is nil where the log does not say.
	Humid *bool
}

// Gas is a gas and whether the log states it.
type Gas struct {
	gas.Mix
	Known bool
}

// Half is what belongs to one half of doubled electronics.
type Half struct {
	Letter                   string
	Cells, Valves, Batteries []int
}

// KeyValue is one metadata line.
type KeyValue struct {
	Key, Value string
	Line       int
}
