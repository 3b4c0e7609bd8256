package lesson

import (
	"slices"
	"testing"
)

func TestCounted(t *testing.T) {
	if got, want := counted([]string{"a", "b", "a", "c", "a"}), []string{"a 3 times", "b", "c"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
