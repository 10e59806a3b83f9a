package sheet

import (
	"math"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// assemblySketches draws how the insert is let in: turned over, across and
// from the front.
func (s *sheet) assemblySketches() []sketch {
	flank, err := s.job.Gear.Standing().RightFlank()
	if err != nil {
		return nil
	}
	return []sketch{s.turnedOver(), s.letInAcross(flank), s.letInAlong()}
}

// turnedOver shows the insert as it was milled, and as it enters the gear.
func (s *sheet) turnedOver() sketch {
	d, j := s.Plan.Sizes, s.job
	half := geom.BothSides([]geom.Vec{{Y: d.MouthHalf + j.Slot.Depth*d.Slope}, {Y: d.MouthHalf, Z: -j.Slot.Depth}, {Y: d.BodyHalf, Z: -j.Slot.Depth},
		{Y: d.BodyHalf, Z: -d.SideDepth}, {Y: d.BlockHalf, Z: -d.SideDepth}, {Y: d.BlockHalf, Z: -d.Height}})
	gap := 2.6 * d.Height
	v := sketchOf("Turned over about its length", setupWide, setupHigh, geom.Vec{Y: -0.5*gap - d.BlockHalf, Z: -1.25 * d.Height}, geom.Vec{Y: 0.5*gap + d.BlockHalf, Z: 0.3 * d.Height})
	v.Alt = "Left: the insert in the vice, dovetail up. Right: turned over, dovetail down. The tight flank changes sides."
	place := func(side float64, flip bool) {
		var ring []geom.Vec
		tight := make([]geom.Vec, 0, 2)
		move := func(q geom.Vec) geom.Vec {
			if flip {
				q = geom.Vec{Y: -q.Y, Z: -d.Height - q.Z}
			}
			return q.Add(geom.Vec{Y: side * gap / 2 * 0.72})
		}
		for _, q := range half {
			ring = append(ring, move(q))
		}
		for _, q := range []geom.Vec{{Y: d.MouthHalf + j.Slot.Depth*d.Slope}, {Y: d.MouthHalf, Z: -j.Slot.Depth}} {
			tight = append(tight, move(q))
		}
		v.shape("insert", ring...)
		v.line("edge", tight...)
		v.label(move(geom.Vec{Z: -d.Height * 0.72}), 0, 4, "middle", "front")
	}
	place(-1, false)
	place(1, true)
	v.label(geom.Vec{Y: -gap / 2 * 0.72, Z: 0.1 * d.Height}, 0, -2, "middle", "as milled")
	v.label(geom.Vec{Y: gap / 2 * 0.72, Z: 0.1 * d.Height}, 0, -2, "middle", "in the gear")
	v.line("axis", geom.Vec{Y: -0.12 * gap, Z: -0.5 * d.Height}, geom.Vec{Y: 0.1 * gap, Z: -0.5 * d.Height})
	v.line("axis", geom.Vec{Y: 0.06 * gap, Z: -0.44 * d.Height}, geom.Vec{Y: 0.1 * gap, Z: -0.5 * d.Height}, geom.Vec{Y: 0.06 * gap, Z: -0.56 * d.Height})
	v.Labels = append(v.Labels, label{v.W / 2, v.H - 10, "middle", "heavy line: the tight flank"})
	return v.sketch
}

// letInAcross is the joint across the axis, from +X.
func (s *sheet) letInAcross(flank []geom.Vec) sketch {
	d, l := s.Plan.Sizes, s.job.Lock
	wide := 1.5 * d.BlockHalf
	v := sketchOf("Let in, seen from +X", setupWide, setupHigh, geom.Vec{Y: -wide, Z: d.Floor - 0.6*d.Height}, geom.Vec{Y: wide, Z: d.InsertTop + 0.05*d.Height})
	v.Alt = "Section: the insert stands on the seat, its dovetail in the slot, the lock from below, adhesive on floor, flanks and seat."
	body := v.right() + 5
	var ring []geom.Vec
	ring = append(ring, geom.Vec{Y: -body, Z: v.lo.Z - 5})
	tau := s.job.Gear.Pitch()
	side := []geom.Vec{{Y: d.FloorHalf, Z: d.Floor}, {Y: d.MouthHalf, Z: d.Seat}, {Y: d.PocketHalf, Z: d.Seat}}
	turn := geom.Turn(tau)
	ring = append(ring, geom.BothSides(append(side, turn.ApplyAll(geom.BothSides(flank))...))...)
	ring = append(ring, geom.Vec{Y: body, Z: v.lo.Z - 5})
	v.shape("metal", ring...)
	s.insertIn(v, geom.Turn(0), d.InsertTop)
	if l.Kind != job.NoLock && len(l.Positions) > 0 {
		low := max(d.RimInner, v.lo.Z-2)
		v.rect("steel", -l.Major/2, low, l.Major/2, d.Floor)
		v.rect("steel", -l.Point/2, d.Floor, l.Point/2, d.Bottom+l.PointDepth)
		what := "pin"
		if l.Kind == job.Screw {
			what = l.Thread + ", snug"
		}
		v.note(geom.Vec{Y: l.Major / 2, Z: (low + d.Floor) / 2}, v.W-8, v.H-14, "end", what)
	}
	glue := []geom.Vec{{Y: d.FloorHalf, Z: d.Bottom}, {Y: d.MouthHalf, Z: d.Seat}, {Y: d.BodyHalf, Z: d.Seat}}
	v.line("glue", glue...)
	v.line("glue", geom.Vec{Y: -glue[0].Y, Z: glue[0].Z}, geom.Vec{Y: -glue[1].Y, Z: glue[1].Z}, geom.Vec{Y: -glue[2].Y, Z: glue[2].Z})
	v.line("glue", geom.Vec{Y: -d.FloorHalf, Z: (d.Floor + d.Bottom) / 2}, geom.Vec{Y: d.FloorHalf, Z: (d.Floor + d.Bottom) / 2})
	v.note(geom.Vec{Y: -(d.FloorHalf + d.MouthHalf) / 2, Z: (d.Bottom + d.Seat) / 2}, 8, v.H-34, "start", "tight flank")
	v.corner(false, "adhesive:", "heavy dashes")
	return v.sketch
}

// letInAlong is the joint from the front, with what is tight.
func (s *sheet) letInAlong() sketch {
	d, j := s.Plan.Sizes, s.job
	face, over := j.Gear.Face, j.Insert.Over
	v := sketchOf("Let in, seen from the front", setupWide, setupHigh, geom.Vec{Y: -0.35 * face, Z: d.Floor - 0.5*d.Height}, geom.Vec{Y: 1.35 * face, Z: d.InsertTop + 0.75*d.Height})
	v.Alt = "The insert in the gear with its front mark at the front face, the sliding ends and the tight middle."
	v.rect("metal", 0, v.lo.Z-5, face, d.Seat)
	v.rect("insert", -over, d.Seat, face+over, d.InsertTop)
	v.rect("hidden", -over, d.Bottom, face+over, d.Seat)
	for _, x := range j.Lock.Positions {
		if j.Lock.Kind != job.NoLock {
			v.rect("steel", x-j.Lock.Major/2, max(d.RimInner, v.lo.Z-5), x+j.Lock.Major/2, d.Floor)
		}
	}
	z := d.InsertTop + 0.18*d.Height
	long, _ := s.tightLength()
	v.across(geom.Vec{Y: (face - long) / 2, Z: d.InsertTop}, geom.Vec{Y: (face + long) / 2, Z: d.InsertTop}, z, "tight "+s.coarse(long).Main)
	v.corner(false, "slides at both ends")
	v.note(geom.Vec{Y: -over, Z: d.InsertTop - 0.2*d.Height}, 8, v.H*0.5, "start", "front mark")
	if over > 0 {
		v.note(geom.Vec{Y: face + over/2, Z: d.InsertTop - 0.5*d.Height}, v.W-8, v.H*0.5, "end", s.coarse(over).Main+" over")
	}
	v.axes("X", "Z")
	return v.sketch
}

// fileMap draws the faceted tooth at one scale, with what stands at each
// joint of the facets, and what no cutter reaches.
func (s *sheet) fileMap() *sketch {
	f, g := s.Plan.Flanks, s.Plan.True.Gear
	outline := s.Plan.True.Outline
	if len(outline) < 3 || len(f.Right.Rolls) == 0 {
		return nil
	}
	tip, root := s.Plan.Sizes.TipTop, s.Plan.Sizes.Seat
	high := tip - root
	v := sketchOf("What stands on the tooth, to file", 700, 220, geom.Vec{Y: -1.25 * high, Z: root - 0.04*high}, geom.Vec{Y: 1.25 * high, Z: tip + 0.04*high})
	v.Alt = "The new tooth at one scale with the metal left at each joint of its facets, and what is filed in the root."
	v.shape("insert", outline...)
	for _, side := range []struct {
		sign float64
		gear profiles.Gear
		set  profiles.FacetSet
		name string
	}{{1, g, f.Right, "right"}, {-1, g.Mirrored(), f.Left, "left"}} {
		left, err := side.gear.Leftovers(side.set.Rolls)
		if err != nil {
			continue
		}
		x, anchor := v.W-150, "start"
		if side.sign < 0 {
			x, anchor = 150, "end"
		}
		rolls := side.set.Rolls
		for i, amount := range left {
			var at geom.Vec
			switch {
			case i == 0 || i == len(left)-1:
				continue // the foot is cut as the root, the crest with the tip
			default:
				at = side.gear.FlankPoint((rolls[i-1] + rolls[i]) / 2)
			}
			at.Y *= side.sign
			_, y := v.at(at)
			v.note(at, x, math.Round(y+4), anchor, "joint: "+s.small(amount))
		}
	}
	for _, q := range s.Plan.FileThis {
		if q.Place != s.job.Gear.Places[0] {
			continue
		}
		at := geom.Polar((q.From+q.To)/2, float64(q.Side)*g.HalfAngle(max((q.From+q.To)/2, g.FlankFrom()*1.0001)))
		where := "root"
		if seen := s.Plan.Target.Seen(q.Side); g.Form != nil && q.To > seen.Root.FormRadius+0.1 {
			where = "flank and root"
		}
		x, anchor := v.W-10, "end"
		if q.Side < 0 {
			x, anchor = 10, "start"
		}
		v.note(at, x, v.H-14, anchor, where+": file up to "+s.size(q.Thick).Main)
	}
	v.Labels = append(v.Labels, label{v.W / 2, v.H - 30, "middle", figure.Number(v.scale*v.shown(), 1) + " to 1 when printed"})
	return &v.sketch
}

// shown is the printed size of a unit of a wide drawing's view box, mm: it is
// as wide as the print, 188 mm on A4.
func (v *view) shown() float64 { return 188 / v.W }

// small writes an error as finely as a file takes it.
func (s *sheet) small(mm float64) string {
	if s.job.Units == job.Inch {
		return figure.Number(mm/25.4, 4) + " in"
	}
	return figure.Number(mm, 3) + " mm"
}
