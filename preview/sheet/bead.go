package sheet

import (
	"fmt"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// newMetal is what a tooth is cut from, in a word.
func (s *sheet) newMetal() string {
	if s.job.BuiltUp() {
		return "bead"
	}
	return "insert"
}

// beadTasks is what is looked at and measured on a built-up tooth before it is cut.
// Heat, slow cooling, hard spots and cracks: common practice, no source.
func (s *sheet) beadTasks() []task {
	b := &s.job.Bead
	out := do("Ask who laid the bead: the casting warmed through slowly as a whole before, and cooled slowly after, in ash or lime or under a blanket. Not so, or not known: reckon with stress in it.")
	out = append(out, halt(
		"The casting is cold. Penetrant on root, rim, web and spokes beside the bead, from both faces: heat cracks a casting there, also a day later. A crack, or a pore on the joint: do not cut.",
		"Try a file along the joint of bead and iron. Where it slips, the iron is chilled hard: no steel cutter there; take carbide, or grind it.")...)
	out = append(out, task{Do: fmt.Sprintf("Measure the bead at its highest: over the finished flank at most %s, over the tip at most %s, over each face at most %s. Its width at the tip is then %s at most.",
		s.both(b.Beside), s.both(b.Top), s.both(b.Ends), s.both(s.beadWidth())), Blanks: []string{"bead.beside", "bead.top", "bead.ends"}})
	out = append(out, halt("More than that anywhere: file or grind it down, or write what is there into the job and make again.")...)
	return append(out, do("Grind off spatter: on sound teeth, beyond the middle of the two spaces beside it, and what hangs down on the faces below the root.")...)
}

// beadWidth is the greatest width of a bead at the finished tip, mm.
func (s *sheet) beadWidth() float64 {
	g := s.Plan.True.Gear
	r := g.TipRadius()
	return 2*s.job.Bead.Beside + geom.Polar(r, g.HalfAngle(r)).Y + geom.Polar(r, g.Mirrored().HalfAngle(r)).Y
}

// beadMaterial is what to lay ready for a built-up tooth beside the cutters.
func (s *sheet) beadMaterial() []string {
	return []string{"penetrant and developer, a file and a grinder for the bead, marking blue, fine files, paper for touching off"}
}

// beadIn draws a bead in its place, up to a height.
func (s *sheet) beadIn(v *view, turn geom.Rotation, top float64) {
	half := func(side float64) []geom.Vec {
		var line []geom.Vec
		for _, q := range s.Plan.True.Seen(int(side)).Flank {
			if q.Norm() < s.Plan.Sizes.Seat+geom.Sliver && len(line) > 0 {
				break
			}
			line = append(line, geom.Vec{Y: side * (q.Y + s.job.Bead.Beside), Z: min(q.Z, top)})
		}
		return append([]geom.Vec{{Y: line[0].Y, Z: top}}, line...)
	}
	v.shape("insert", turn.ApplyAll(append(half(1), geom.Reversed(half(-1))...))...)
}

// beadLegend names the shapes of new metal as a built-up tooth's.
func (s *sheet) beadLegend(all []legend) []legend {
	for i := range all {
		if all[i].Class == "insert" && s.job.BuiltUp() {
			all[i].Text = "built up"
		}
	}
	return all
}

// letsIn says that an insert is let into the gear.
func (s *sheet) letsIn() bool { return s.job.By == job.ByInsert }
