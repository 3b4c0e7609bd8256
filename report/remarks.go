package report

// RemarksFormat is the version of a [RemarksFile].
const RemarksFormat = "afterloop-remarks/1"

// RemarksFile is what the page's script writes as remarks and reads again
// (assets/js/13-remarks.js): it refuses other keys, another format, and the remarks of
// another log.
type RemarksFile struct {
	Format string `json:"format" jsonschema:"enum=afterloop-remarks/1"`
	// LogSHA256 is the digest of the log that the remarks are about.
	LogSHA256 string   `json:"log_sha256"`
	Remarks   []Remark `json:"remarks" jsonschema:"maxItems=500"`
}

// Remark is what somebody said of a moment.
type Remark struct {
	AtS  float64 `json:"at_s"` // on the log's own axis
	Who  string  `json:"who" jsonschema:"maxLength=60"`
	Text string  `json:"text" jsonschema:"minLength=1,maxLength=2000"`
}
