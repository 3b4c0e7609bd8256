package days

import (
	"strings"
)

// list names things by number: "dive 1", "dives 1, 2 and 3".
func list(thing string, numbers []string) string {
	if len(numbers) == 1 {
		return thing + " " + numbers[0]
	}
	last := len(numbers) - 1
	return thing + "s " + strings.Join(numbers[:last], ", ") + " and " + numbers[last]
}
