package hydro

// Params are the figures that the comparisons of pressures rest on.
type Params struct {
	// LeastRangeBar is the span of pressure over which two columns must have been
	// compared before a scale between them is given. Default 1 bar, ours: with depth
	// to 0.1 m that is 0.3 % of the scale.
	LeastRangeBar float64 `json:"least_range_bar"`
	// LeastBins is how many of the Bins steps of pressure must hold readings for a
	// scale. Default 6, ours.
	LeastBins int `json:"least_bins"`
	// Bins is into how many equal steps the span is cut; each counts as one point, so
	// that a long level stretch bends no line. Default 40, ours.
	Bins int `json:"bins"`
	// SurfaceForS is how long a stretch at the surface must last. Default 20 s, ours.
	SurfaceForS float64 `json:"surface_for_s"`
	// SteadyBar is how far pressure may move within a stretch that is presumed to be
	// the surface, where no depth was recorded beside it. Default 0.02 bar, ours: 0.2 m.
	SteadyBar float64 `json:"steady_bar"`
	// WeatherBar is by how much weather moves the surface pressure of a place, up or
	// down. Default 0.03 bar, common practice; sea-level records reach from 0.87 to
	// 1.08 bar (memory).
	WeatherBar float64 `json:"weather_bar"`
	// SaturatedRangeBar is how far another sensor must have gone on while one stood at
	// its own highest reading before that one is called saturated. Default 0.2 bar, ours.
	SaturatedRangeBar float64 `json:"saturated_range_bar"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params {
	return Params{LeastRangeBar: 1, LeastBins: 6, Bins: 40, SurfaceForS: 20, SteadyBar: 0.02, WeatherBar: 0.03, SaturatedRangeBar: 0.2}
}
