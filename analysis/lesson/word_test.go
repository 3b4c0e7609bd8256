package lesson

import (
	"bytes"
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

// TestVeil: twice is as it was; another word or sheet does not open it.
func TestVeil(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SliceOfN(rapid.Byte(), 8, 200).Draw(t, "b")
		v := Veil("00ff", "abcd-efgh", b)
		if !bytes.Equal(Veil("00ff", "abcd-efgh", v), b) {
			t.Fatal("it does not come back")
		}
		if bytes.Equal(Veil("00ff", "abcd-efgj", v), b) || bytes.Equal(Veil("00fe", "abcd-efgh", v), b) {
			t.Fatal("another word or sheet opens it")
		}
	})
}

// TestSecondWord: a word of letters that are read aloud well, another one for each class.
func TestSecondWord(t *testing.T) {
	a, b := Key{Lesson: "healthy", Seed: 1}.SecondWord(), Key{Lesson: "healthy", Seed: 2}.SecondWord()
	if a == b || !regexp.MustCompile(`^[0-9a-hjkmnp-tv-z]{4}-[0-9a-hjkmnp-tv-z]{4}$`).MatchString(a) {
		t.Errorf("%q, %q", a, b)
	}
}
