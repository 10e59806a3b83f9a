package metal

import (
	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// beadSection is a section of the gear with its teeth built up, before the flush
// program: within the faces, or out of them, where there is the bead alone.
func (f *Finish) beadSection(out bool) *replay.Section {
	is := finishKind{out: out}
	if f.known[is] != nil {
		return f.known[is]
	}
	a := &f.asm
	var beads, target geom.Region
	for _, p := range a.places {
		beads = append(beads, a.Bead.Turned(p.at*a.Job.Gear.Pitch())...)
		target = append(target, p.metal...)
	}
	st := &replay.Section{}
	f.known[is] = st
	if out {
		st.Waste = beads
		return st
	}
	for _, n := range a.standing {
		st.Keep = append(st.Keep, replay.Solid{Name: "tooth", Role: replay.Neighbour, Metal: n.metal, Outline: n.outline})
	}
	for _, p := range a.places {
		st.Keep = append(st.Keep, replay.Solid{Name: "new tooth", Role: replay.Target, Metal: p.metal, Outline: p.outline})
	}
	st.Keep = append(st.Keep, a.far)
	st.Waste = beads.Minus(target).Joined()
	return st
}
