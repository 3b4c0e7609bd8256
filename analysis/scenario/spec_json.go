package scenario

import (
	"encoding/json"
	"fmt"
	"io"
)

// ReadSpec reads a spec from JSON. An unknown field is an error, so that a
// mistyped name is not quietly ignored. It does not validate.
func ReadSpec(r io.Reader) (Spec, error) {
	var s Spec
	d := json.NewDecoder(r)
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return Spec{}, fmt.Errorf("scenario: reading a spec: %w", err)
	}
	return s, nil
}
