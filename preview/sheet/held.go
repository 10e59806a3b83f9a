package sheet

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// gearRing is the whole gear's outline as it stands, without the teeth to be
// made.
func (s *sheet) gearRing(flank []geom.Vec) []geom.Vec {
	g := s.job.Gear
	var out []geom.Vec
	first := math.Round(g.Places[0]*2) / 2
	for k := range g.Teeth {
		at := first + float64(k)
		turn := geom.Turn(at * g.Pitch())
		if s.missing(at) {
			out = append(out, turn.Apply(geom.Polar(g.RootRadius(), -g.Pitch()/2)), turn.Apply(geom.Polar(g.RootRadius(), g.Pitch()/2)))
			continue
		}
		out = append(out, turn.ApplyAll(geom.BothSides(flank))...)
	}
	return out
}

// missing says whether the tooth at a position is to be made, all round.
func (s *sheet) missing(at float64) bool {
	n := float64(s.job.Gear.Teeth)
	for _, q := range s.job.Gear.Places {
		if math.Abs(math.Remainder(at-q, n)) < 0.1 {
			return true
		}
	}
	return false
}

// heldAcross shows how the whole gear is held, from +X.
func (s *sheet) heldAcross(flank []geom.Vec) sketch {
	j, d := s.job, s.Plan.Sizes
	r := d.TipTop
	v := sketchOf("Held, seen from +X", setupWide, setupHigh, geom.Vec{Y: -1.7 * r, Z: -1.12 * r}, geom.Vec{Y: 1.7 * r, Z: 1.16 * r})
	v.Alt = "The whole gear on its arbor with the gap on top; supports under the rim on both sides of the gap."
	v.shape("metal", s.gearRing(flank)...)
	bore := j.Gear.Bore / 2
	if d.RimInner > 1.6*bore {
		v.circle("paper", geom.Vec{}, d.RimInner)
		hub := max(1.7*bore, 0.22*d.RimInner)
		v.circle("metal", geom.Vec{}, hub)
		const spokes = 4
		for k := range spokes {
			at := math.Pi/4 + 2*math.Pi*float64(k)/spokes
			turn, w := geom.Turn(at), 0.09*d.RimInner
			v.shape("metal", turn.Apply(geom.Vec{Y: -w, Z: hub * 0.95}), turn.Apply(geom.Vec{Y: w, Z: hub * 0.95}),
				turn.Apply(geom.Vec{Y: w * 0.8, Z: d.RimInner * 1.005}), turn.Apply(geom.Vec{Y: -w * 0.8, Z: d.RimInner * 1.005}))
		}
		// Jacks from the hub's height up to the rim, clear of the holes.
		for _, side := range []float64{-1, 1} {
			y0, y1 := side*0.13*d.RimInner, side*0.27*d.RimInner
			z := math.Sqrt(d.RimInner*d.RimInner-y1*y1) - 0.01*r
			v.rect("support", y0, hub*0.9, y1, z)
		}
	}
	v.circle("steel", geom.Vec{}, bore)
	for _, k := range j.KeepOuts {
		if k.Setup == "gear" { // behind the gear or before it: the side view tells
			v.under("keep", corners(k.Y[0], k.Z[0]+s.Plan.Shift, k.Y[1], k.Z[1]+s.Plan.Shift)...)
		}
	}
	if st, ok := s.stops(); ok {
		for _, b := range []struct {
			side float64
			at   stop
		}{{1, st.Right}, {-1, st.Left}} {
			v.rect("support", b.side*b.at.End, -b.at.Below-min(b.at.Thick, 0.05*r), b.side*1.5*r, -b.at.Below)
			v.rect("support", b.side*1.12*r, -1.1*r, b.side*1.5*r, -b.at.Below)
		}
	}
	v.line("centre", geom.Vec{Z: -1.08 * r}, geom.Vec{Z: 1.08 * r})
	v.corner(false, "gap on top")
	v.corner(true, s.deviceWords())
	v.axes("Y", "Z")
	return v.sketch
}

// deviceWords names what turns the gear.
func (s *sheet) deviceWords() string {
	switch s.job.Index.Device {
	case job.Head:
		return "dividing head behind"
	case job.Teeth:
		return "rests on two stops"
	}
	return "rotary axis behind"
}

// heldAlong shows the gear from the front, X to the right: how it is held, and
// where the first cutter touches it for X.
func (s *sheet) heldAlong(p *toolpath.Program) sketch {
	j, d := s.job, s.Plan.Sizes
	face, r, bore := j.Gear.Face, d.TipTop, j.Gear.Bore/2
	c := p.Ops[0].Cutter
	v := sketchOf("Seen from the front", setupWide, setupHigh, geom.Vec{Y: -1.25 * r, Z: -1.12 * r}, geom.Vec{Y: 1.25*r + face, Z: 1.3 * r})
	v.Alt = "The gear on its arbor between clamping nuts, what turns it behind its back face, the cutter touching its front face."
	front, back := -0.95*r, face+0.62*r
	for _, k := range j.KeepOuts {
		if k.Setup == "gear" {
			v.rect("keep", k.X[0], k.Z[0]+s.Plan.Shift, k.X[1], k.Z[1]+s.Plan.Shift)
			v.named(k.Name, k.X[0], k.X[1], k.Z[0]+s.Plan.Shift+24/v.scale)
		}
	}
	v.rect("steel", front, -bore, back, bore)
	v.rect("metal", 0, -r, face, r)
	if p.Purpose != toolpath.SlotProgram {
		v.rect("insert", -j.Over(), d.Bottom, face+j.Over(), s.insertTop(p))
	}
	nut := min(0.16*r, 0.5*face)
	v.rect("steel", -nut, -1.7*bore, 0, 1.7*bore)
	v.rect("steel", face, -1.7*bore, face+nut, 1.7*bore)
	v.rect("support", front-0.1*r, -1.1*r, front+0.22*r, 0.35*bore)
	// What turns the gear keeps clear of the boxes the job gives.
	for _, k := range j.KeepOuts {
		if k.Setup == "gear" && k.X[0] >= face {
			back = max(back, k.X[1])
		}
	}
	switch j.Index.Device {
	case job.Head:
		v.rect("steel", back, -1.1*r, back+0.5*r, 0.45*r)
		v.rect("steel", back+0.5*r, -0.35*r, back+0.57*r, 0.35*r)
		v.label(geom.Vec{Y: v.right(), Z: 0.45 * r}, -6, -8, "end", "head, plate")
	case job.Teeth:
		v.rect("support", back-0.2*r, -1.1*r, back+0.12*r, 0.35*bore)
	default:
		v.rect("steel", back, -1.1*r, back+0.45*r, 0.5*r)
		v.label(geom.Vec{Y: v.right(), Z: 0.5 * r}, -6, -8, "end", "rotary axis")
	}
	v.line("centre", geom.Vec{Y: front - 0.15*r}, geom.Vec{Y: back + 0.6*r})
	z := d.GearTop - 0.3*(d.GearTop-d.Floor)
	if p.Purpose != toolpath.SlotProgram {
		z = d.Floor - 0.3*(d.GearTop-d.Floor)
	}
	v.rect("touch", -max(c.Diameter, 6/v.scale), z, 0, v.top()+5)
	v.zero(geom.Vec{Z: max(s.Plan.Shift, v.lo.Z)})
	v.corner(false, fmt.Sprintf("T%d at X0:", c.Number), "X "+s.size(-c.Radius()).Main)
	v.axes("X", "Z")
	return v.sketch
}

// stopSketches draws the two stops: the whole and the end of the right one.
func (s *sheet) stopSketches(t stops) []sketch {
	flank, err := s.Plan.Worn().RightFlank()
	if err != nil {
		return nil
	}
	return []sketch{s.stopsWhole(t, flank), s.stopEnd(t, flank, t.Right, t.phase, 1)}
}

// stopsWhole shows gear and both stops from +X, with the sizes to set them.
func (s *sheet) stopsWhole(t stops, flank []geom.Vec) sketch {
	r := s.Plan.Sizes.TipTop
	v := sketchOf("The stops, seen from +X", setupWide, 250, geom.Vec{Y: -1.75 * r, Z: -1.25 * r}, geom.Vec{Y: 1.75 * r, Z: 1.15 * r})
	v.Alt = "The gear at the stops' zero on its two stops, with their height under the axis and the distance of their ends."
	var ring []geom.Vec
	turn := geom.Turn(t.phase)
	for _, q := range s.gearRing(flank) {
		ring = append(ring, turn.Apply(q))
	}
	v.shape("metal", ring...)
	v.circle("steel", geom.Vec{}, s.job.Gear.Bore/2)
	for _, b := range []struct {
		side float64
		at   stop
	}{{1, t.Right}, {-1, t.Left}} {
		v.rect("support", b.side*b.at.End, -b.at.Below-b.at.Thick, b.side*1.35*r, -b.at.Below)
		v.rect("support", b.side*1.1*r, -1.2*r, b.side*1.35*r, -b.at.Below)
	}
	v.line("edge", geom.Vec{Y: -1.7 * r, Z: -1.2 * r}, geom.Vec{Y: 1.7 * r, Z: -1.2 * r})
	v.line("centre", geom.Vec{Y: -1.1 * r}, geom.Vec{Y: 1.65 * r})
	v.line("centre", geom.Vec{Z: -1.15 * r}, geom.Vec{Z: 1.1 * r})
	v.upright(geom.Vec{Y: 1.3 * r}, geom.Vec{Y: 1.3 * r, Z: -t.Right.Below}, 1.48*r, -1, "")
	v.label(geom.Vec{Y: 1.48 * r}, -6, -8, "end", s.size(t.Right.Below).Main)
	v.label(geom.Vec{Z: -1.2 * r}, 0, -5, "middle", "table")
	v.corner(false, "gap on top")
	return v.sketch
}

// stopEnd shows the end of a stop under its tooth, large.
func (s *sheet) stopEnd(t stops, flank []geom.Vec, b stop, phase, side float64) sketch {
	g := s.job.Gear
	m := g.Module
	mid := geom.Vec{Y: b.Bears + 0.6*m, Z: -b.Below}
	v := sketchOf("End of the right stop", setupWide, 250, mid.Sub(geom.Vec{Y: 5.2 * m, Z: 4.6 * m}), mid.Add(geom.Vec{Y: 5.4 * m, Z: 3.4 * m}))
	v.Alt = "The flat top of the stop bears on the lower flank of a tooth."
	turn := geom.Turn(phase)
	var ring []geom.Vec
	for _, q := range s.gearRing(flank) {
		if q = turn.Apply(q); q.Y > 0 && math.Abs(q.Z-mid.Z) < 9*m {
			ring = append(ring, q)
		}
	}
	if len(ring) > 2 {
		ring = append(ring, geom.Vec{Y: v.lo.Y - m, Z: ring[len(ring)-1].Z}, geom.Vec{Y: v.lo.Y - m, Z: ring[0].Z})
		v.shape("metal", ring...)
	}
	out := v.right() + m
	v.rect("support", b.End, -b.Below-b.Thick, out, -b.Below)
	if t.Packing > 0 {
		v.rect("hidden", b.End, -b.Below, out, -b.Below+t.Packing)
		v.upright(geom.Vec{Y: mid.Y + 3*m, Z: -b.Below}, geom.Vec{Y: mid.Y + 3*m, Z: -b.Below + t.Packing}, mid.Y+3.4*m, 1, "")
		v.label(geom.Vec{Y: mid.Y + 3.4*m, Z: -b.Below + t.Packing}, 0, -8, "middle", "packing "+s.size(t.Packing).Main)
	}
	v.line("centre", geom.Vec{Y: b.Bears, Z: v.lo.Z + 0.9*m}, geom.Vec{Y: b.Bears, Z: -b.Below + 2.6*m})
	v.label(geom.Vec{Y: b.Bears, Z: v.lo.Z + 0.9*m}, 6, 8, "start", "bears at "+s.size(b.Bears).Main)
	v.upright(geom.Vec{Y: b.End, Z: -b.Below}, geom.Vec{Y: b.End, Z: -b.Below - b.Thick}, mid.Y+2.2*m, 1, s.coarseUp(b.Thick)+" most")
	v.note(geom.Vec{Y: b.End, Z: -b.Below - 0.6*b.Thick}, 8, v.H-52, "start", "end at "+s.size(b.End).Main)
	v.corner(true, "top: "+s.size(b.Below).Main+" under the axis")
	return v.sketch
}

// coarseUp writes a limit to a tenth of a mm or five thousandths of an inch,
// rounded down.
func (s *sheet) coarseUp(mm float64) string {
	if s.job.Units == job.Inch {
		return s.coarse(math.Floor(mm/25.4/0.005) * 0.005 * 25.4).Main
	}
	return s.coarse(math.Floor(mm*10) / 10).Main
}
