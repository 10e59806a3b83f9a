package toolpath

import (
	"cogmend/toolpath/job"
)

// beadCautions are what hands must know of a tooth that was built up, before its
// bead is cut. Heat, hard spots and cracks beside the bead: common practice of
// those who braze and weld castings, no source.
func (p *planner) beadCautions() []string {
	b := &p.Job.Bead
	how := "brazed"
	if b.Material == job.MildSteel {
		how = "welded"
	}
	out := []string{
		"A built-up tooth, " + how + ": the casting is cold, and was heated and cooled slowly as a whole. Stress left in it may crack it in the cut.",
		"Look with penetrant for cracks beside the bead, in root, rim and web. A crack: do not cut.",
		"Iron at the joint may be chilled hard: carbide, and a file tried on it first. Where a file slips off, grind.",
		"The bead stands out nowhere more than: flanks " + p.len(b.Beside) + ", tip " + p.len(b.Top) + ", faces " + p.len(b.Ends) + ". Dress down what does, and all beyond the middle of the spaces beside it, on the sound teeth and under the root on the faces.",
	}
	return out
}
