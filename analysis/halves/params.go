package halves

// Params are the limits of the alignment. "ours" means that no source states the number.
type Params struct {
	StepS   float64 `json:"step_s"`   // s; 1, ours: both series are put on even steps of this length
	SmoothS float64 `json:"smooth_s"` // s; 6, ours: half the width of the triangle that smooths both alike, at least twice the usual interval

	MinRangeM   float64 `json:"min_range_m"`   // m; 3, ours: depth must change by this much within the common stretch
	MinOverlapS float64 `json:"min_overlap_s"` // s; 300, ours: shortest common stretch
	MinShare    float64 `json:"min_share"`     // 0.5, ours: share of the shorter record that must be common

	AgreeM           float64 `json:"agree_m"`            // m; 1, ours: depths nearer than this agree; at shallow depth less:
	AgreeShare       float64 `json:"agree_share"`        // 0.05, ours: this share of the range of depth, but no less than
	AgreeLeastM      float64 `json:"agree_least_m"`      // m; 0.3, ours
	MinAgree         float64 `json:"min_agree"`          // 0.95, ours: share of the common time in which depths must agree
	MinAgreeMoving   float64 `json:"min_agree_moving"`   // 0.9, ours: the same of the time in which depth changed by either log
	MovingMS         float64 `json:"moving_m_s"`         // m/s; 0.05, 3 m/min, METHODS: from here on depth changes
	MaxDepthFactor   float64 `json:"max_depth_factor"`   // 0.15, ours: k may differ from 1 by this much
	AmbiguousRatio   float64 `json:"ambiguous_ratio"`    // 4, ours: another shift that agrees, with less than so many times the residual, is as good
	ApartS           float64 `json:"apart_s"`            // s; 30, ours: shifts nearer than this are one
	DriftSDPPM       float64 `json:"drift_sd_ppm"`       // ppm; 500, ours: what is believed of a drift before the depths are seen; crystals keep within 100 (memory)
	MaxDriftPPM      float64 `json:"max_drift_ppm"`      // ppm; 1000, ours: two clocks that run so differently are none, or one was set meanwhile
	BlockS           float64 `json:"block_s"`            // s; 60, ours: rows within a block share their errors
	TimeOfRowShare   float64 `json:"time_of_row_share"`  // 0.1, ours: what a recorder calls the time of a row is known to this share of the coarser interval
	ResidualFloorM   float64 `json:"residual_floor_m"`   // m; 0.1, ours: two sensors agree no better
	MaxLagCandidates int     `json:"max_lag_candidates"` // 8, ours: shifts that are tried in full
}

// DefaultParams are the defaults named at each field.
func DefaultParams() Params {
	return Params{StepS: 1, SmoothS: 6, MinRangeM: 3, MinOverlapS: 300, MinShare: 0.5, AgreeM: 1, AgreeShare: 0.05, AgreeLeastM: 0.3,
		MinAgree: 0.95, MinAgreeMoving: 0.9, MovingMS: 0.05, MaxDepthFactor: 0.15, AmbiguousRatio: 4, ApartS: 30, DriftSDPPM: 500,
		MaxDriftPPM: 1000, BlockS: 60, TimeOfRowShare: 0.1, ResidualFloorM: 0.1, MaxLagCandidates: 8}
}
