package lesson

import "fmt"

// SecondWord is the word that opens the second look of a class. The instructor
// tells it once all have committed to their first answers; it can't be told from
// a student's files.
func (k Key) SecondWord() string {
	sum := digest("afterloop lesson word\n%s\n%d", k.Lesson, k.Seed)
	word := make([]byte, 8)
	for i := range word {
		word[i] = codeLetters[sum[i]%32]
	}
	return string(word[:4]) + "-" + string(word[4:])
}

// Veil covers bytes, or uncovers them, with a stream made of the sheet and the
// word: block i is the SHA-256 of
//
//	"afterloop second look\n" sheet "\n" word "\n" i
//
// so that every sheet has a stream of its own. The student's page does the same.
// It keeps a second look shut until the word is told; it is no cipher for more.
func Veil(sheet, word string, b []byte) []byte {
	out := make([]byte, len(b))
	var block [32]byte
	for i := range b {
		if i%len(block) == 0 {
			block = digest("%s", fmt.Sprintf("afterloop second look\n%s\n%s\n%d", sheet, word, i/len(block)))
		}
		out[i] = b[i] ^ block[i%len(block)]
	}
	return out
}
