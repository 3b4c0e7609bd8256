package tracking

// TightBar and LooseBar are the two bands whose shares of time [Track] reports.
// They are part of what the figures are called and therefore no parameters. Ours.
const (
	TightBar = 0.05
	LooseBar = 0.10
)

// tolBar is the rounding allowance of every comparison of pressures with a limit.
const tolBar = 1e-6

// tolS is the rounding allowance of comparisons of times.
const tolS = 1e-9

// Params are the thresholds of this package, in time and physical units.
// METHODS in a source means the project's own page of definitions.
type Params struct {
	// RateWindowS is the length over which the rate of depth change is taken, s.
	// Default 30, METHODS.
	RateWindowS float64 `json:"rate_window_s"`
	// DescentMMin and AscentMMin are the rates beyond which a row counts as
	// descent or ascent, m/min. Default 3 each, METHODS.
	DescentMMin float64 `json:"descent_m_min"`
	AscentMMin  float64 `json:"ascent_m_min"`
	// SurfaceM is the depth above which the diver is at the surface before the
	// first and after the last submersion, m. Default 0.5, METHODS.
	SurfaceM float64 `json:"surface_m"`
	// StopS is how long a stop must be level, s. Default 60, METHODS.
	StopS float64 `json:"stop_s"`
	// StopDepthFraction of the greatest depth so far is where stops begin.
	// Default 0.75, METHODS.
	StopDepthFraction float64 `json:"stop_depth_fraction"`
	// FlickerS is the longest stretch of another kind inside a phase that is
	// taken for the noise of the rate, s. Default 10, ours.
	FlickerS float64 `json:"flicker_s"`

	// ChangeMinBar is the smallest change of set point that counts, bar.
	// Default 0.02, ours: below it there is no response to measure.
	ChangeMinBar float64 `json:"change_min_bar"`
	// ChangeJoinS joins steps of the set point that follow one another within
	// this time, s. Default 10, ours.
	ChangeJoinS float64 `json:"change_join_s"`
	// ChangeWindowS is how long the response to a change is watched at most, s.
	// Default 300, ours: the limit for sluggishness and time to settle.
	ChangeWindowS float64 `json:"change_window_s"`
	// ChangeDepthM is the depth change within the window beyond which a change of
	// set point is not assessed, m. Default 1, METHODS.
	ChangeDepthM float64 `json:"change_depth_m"`
	// SettleBar and SettleForS define settled: within the band for that time.
	// Default 0.05 bar for 30 s, METHODS.
	SettleBar  float64 `json:"settle_bar"`
	SettleForS float64 `json:"settle_for_s"`
	// OvershootBar is the overshoot worth a finding, bar. Default 0.10, METHODS.
	OvershootBar float64 `json:"overshoot_bar"`
	// SluggishS is the time to come within SettleBar of a new set point, s.
	// Default 180, METHODS.
	SluggishS float64 `json:"sluggish_s"`

	// HalfWaveBarS is the area from which a half-wave counts, bar s. Default 1, METHODS.
	HalfWaveBarS float64 `json:"half_wave_bar_s"`
	// HalfWaves is how many of them within OscillationWindowS are an oscillation.
	// Default 6 in 600 s, METHODS.
	HalfWaves          int     `json:"half_waves"`
	OscillationWindowS float64 `json:"oscillation_window_s"`

	// NotHeldBar for NotHeldS is a set point that was not held. Default 0.10 bar
	// for 60 s, METHODS.
	NotHeldBar float64 `json:"not_held_bar"`
	NotHeldS   float64 `json:"not_held_s"`
	// NotHeldReturnS: a return inside NotHeldBar, or a hole in the record, that is
	// shorter than this does not split an excursion, s. Default 15, ours.
	NotHeldReturnS float64 `json:"not_held_return_s"`
}

// DefaultParams are the documented defaults.
func DefaultParams() Params {
	return Params{
		RateWindowS: 30, DescentMMin: 3, AscentMMin: 3, SurfaceM: 0.5,
		StopS: 60, StopDepthFraction: 0.75, FlickerS: 10,
		ChangeMinBar: 0.02, ChangeJoinS: 10, ChangeWindowS: 300, ChangeDepthM: 1,
		SettleBar: 0.05, SettleForS: 30, OvershootBar: 0.10, SluggishS: 180,
		HalfWaveBarS: 1, HalfWaves: 6, OscillationWindowS: 600,
		NotHeldBar: 0.10, NotHeldS: 60, NotHeldReturnS: 15,
	}
}
