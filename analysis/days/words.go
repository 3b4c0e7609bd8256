package days

import (
	"afterloop/analysis/wording"
)

// list names things by number: "dive 1", "dives 1, 2 and 3".
func list(thing string, numbers []string) string {
	if len(numbers) == 1 {
		return thing + " " + numbers[0]
	}
	return thing + "s " + wording.And(numbers)
}
