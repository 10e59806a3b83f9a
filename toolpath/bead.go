package toolpath

import (
	"slices"
	"strings"

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
	return []string{
		"A built-up tooth, " + how + ": the casting is cold, and was heated and cooled slowly as a whole. Stress left in it may crack it in the cut.",
		"Look with penetrant for cracks beside the bead, in root, rim and web. A crack: do not cut.",
		"Iron at the joint may be chilled hard: carbide, and a file tried on it first. Where a file slips off, grind.",
		"The bead stands out nowhere more than: flanks " + p.len(b.Beside) + ", tip " + p.len(b.Top) + ", faces " + p.len(b.Ends) + ". Dress down what does, and all beyond the middle of the spaces beside it, on the sound teeth and under the root on the faces.",
	}
}

// tellBead warns of what no check sees in a built-up tooth, and of cutters that chilled
// iron blunts.
func (p *planner) tellBead() {
	if !p.Job.BuiltUp() {
		return
	}
	p.Warnings = append(p.Warnings, "a built-up tooth: the heat may have left stress, hard spots and cracks beside the bead, which no check here sees")
	var soft []string
	for i := range p.Programs {
		for _, op := range p.Programs[i].Ops {
			if name := "cutter." + op.Cutter.Name; !op.Cutter.Carbide && !slices.Contains(soft, name) {
				soft = append(soft, name)
			}
		}
	}
	if len(soft) > 0 {
		p.Warnings = append(p.Warnings, strings.Join(soft, ", ")+": high speed steel is blunted by iron chilled hard at the joint; carbide is safer")
	}
}
