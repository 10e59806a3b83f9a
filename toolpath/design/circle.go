package design

import "cogmend/toolpath/job"

// Hole circles that plates have: our own rule, a little beyond those sold.
const (
	leastHoles = 15
	mostHoles  = 150
)

// CircleFor returns the hole circle with the fewest holes that brings every place
// of the gear to top dead centre by whole holes on the job's head; 0 when
// none that a plate has does.
func CircleFor(g *job.Gear, ratio int) int {
	for c := leastHoles; c <= mostHoles; c++ {
		if onGrid(g.Places, g.Pitch(), HeadStep(job.Index{Ratio: ratio}, c)) {
			return c
		}
	}
	return 0
}
