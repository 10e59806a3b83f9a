package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"cogmend/toolpath"
)

// springs says in which passes the last cut is a light one because the cutter
// springs, and how near the program comes to breaking one; "" where nothing is
// known. Cuts made again are told over their operation.
func (s *sheet) springs(p *toolpath.Program) string {
	var out []string
	var light []int
	n := 0
	for _, op := range p.Ops {
		for _, pass := range op.Passes {
			n++
			if pass.Spring.Light > 0 {
				light = append(light, n)
			}
		}
	}
	if len(light) > 0 {
		out = append(out, fmt.Sprintf("The last cut of %s is a light one, so that the cutter springs less.", passes(light)))
	}
	if pass, number, tool, ok := p.WorstSpring(); ok {
		way := s.size(pass.Spring.First)
		out = append(out, fmt.Sprintf("Most is asked of T%d in pass %d: it gives way by about %s, at %.0f %% of its strength.", tool, number, way.both(), 100*pass.Spring.Share))
	}
	return strings.Join(out, " ")
}

// passes names passes by their numbers: "pass 3", "passes 3, 4 and 7".
func passes(n []int) string {
	if len(n) == 1 {
		return fmt.Sprintf("pass %d", n[0])
	}
	words := make([]string, len(n)-1)
	for i := range words {
		words[i] = strconv.Itoa(n[i])
	}
	return fmt.Sprintf("passes %s and %d", strings.Join(words, ", "), n[len(n)-1])
}
