package ingest

// Bounds on what is read. They are far beyond any dive and keep a damaged or
// hostile file from eating memory; what passes one is an error or is said.
const (
	// DefaultMaxBytes bounds the file, and what a gzip file unpacks to: 256 MiB.
	// Ten hours at ten rows a second with four cells are 30 MB.
	DefaultMaxBytes = 256 << 20
	// MaxColumns bounds the header.
	MaxColumns = 1024
	// MaxFields bounds rows times columns. A number takes 8 bytes.
	MaxFields = 50_000_000
	// MaxCells is the number of cells, so that who is in can be a set of 64 bits.
	MaxCells = 64
	// MaxLineBytes bounds a line, and a field that spans lines.
	MaxLineBytes = 1 << 20
	// MaxQuotedLines bounds the lines of one quoted field.
	MaxQuotedLines = 100
	// MaxProblems bounds the list of problems; one record more tells of the rest.
	MaxProblems = 10_000
)

// GapParams says when two rows have a gap between them: more than MinS seconds
// and more than Factor times the usual interval (the median). Both are of the
// format (see README.md).
type GapParams struct {
	MinS   float64 `json:"min_s"`  // s, default 30
	Factor float64 `json:"factor"` // of the usual interval, default 2.5
}

// DefaultGapParams are those of the format.
func DefaultGapParams() GapParams { return GapParams{MinS: 30, Factor: 2.5} }

// Bounds of one reading of a clock that only a broken recorder passes.
const maxAbsTimeS = 1e11

// Repairs that have a measure; all are ours.
const (
	// maxBackwardsFraction and minBackwardsRows: beyond both, time that runs
	// backwards is a second dive or a clock that was set, and no repair is honest.
	maxBackwardsFraction = 0.10
	minBackwardsRows     = 3
	// minAmbientBar: less than this is no pressure that a person was in.
	minAmbientBar = 0.05
	// minSeenRows: a column that is -1 throughout is "not recorded" from so many rows on.
	minSeenRows = 10
)
