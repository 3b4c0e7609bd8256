package analysis

import (
	"fmt"
	"strings"

	"afterloop/analysis/wording"
)

// partReasons are reasons why nothing could be judged, by the numbers of the cells or
// valves that they hold for; what holds for no one part has the number 0.
type partReasons struct {
	order   []string
	numbers map[string][]string
}

func (p *partReasons) add(number int, reason string) {
	if p.numbers == nil {
		p.numbers = map[string][]string{}
	}
	if _, ok := p.numbers[reason]; !ok {
		p.order = append(p.order, reason)
		p.numbers[reason] = nil
	}
	if number > 0 {
		p.numbers[reason] = append(p.numbers[reason], fmt.Sprint(number))
	}
}

// text says each reason once, in the order in which they came, as in "valves 1 and 2: ...".
func (p *partReasons) text(one, many string) string {
	out := make([]string, len(p.order))
	for i, reason := range p.order {
		n := p.numbers[reason]
		out[i] = reason
		if len(n) > 0 {
			out[i] = plural(len(n), one, many) + " " + wording.And(n) + ": " + reason
		}
	}
	return strings.Join(out, "; ")
}
