package sheet

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// The box of a set-up's view: two side by side fill a printed page's width.
const setupWide, setupHigh = 340.0, 216.0

// sketches draws the set-up of a program; nothing when the gear's outline
// cannot be had.
func (s *sheet) sketches(p *toolpath.Program) []sketch {
	if len(p.Ops) == 0 {
		return nil
	}
	if p.Setup == toolpath.InsertSetup {
		if p.Purpose == toolpath.FitProgram {
			return nil // as for the trial cuts
		}
		return []sketch{s.blockAcross(p), s.blockAlong(p)}
	}
	line, err := s.job.Gear.Standing().RightFlank()
	if err != nil {
		return nil
	}
	near := []sketch{s.heldAlong(p), s.gearAcross(p, line)}
	if p.Purpose == toolpath.FacetsProgram {
		return near // held as for the program before
	}
	return append([]sketch{s.heldAcross(line)}, near...)
}

// gearAcross shows the gap from +X.
func (s *sheet) gearAcross(p *toolpath.Program, flank []geom.Vec) sketch {
	j, d := s.job, s.Plan.Sizes
	g := j.Gear.Standing()
	tau, tip := g.Pitch(), d.TipTop
	reach := 1.7
	for _, q := range j.Gear.Places {
		if math.Abs(q) < float64(len(j.Gear.Places)) {
			reach = max(reach, math.Abs(q)+1.7)
		}
	}
	wide := tip * math.Sin(min(reach*tau, math.Pi/3))
	high := max(wide*1.15, tip-d.Floor+6)
	v := sketchOf("Seen from +X", setupWide, setupHigh, geom.Vec{Y: -wide, Z: tip - high*0.72}, geom.Vec{Y: wide, Z: tip + high*0.4})
	var pts []geom.Vec
	count := int(reach) + 3
	for k := -2 * count; k <= 2*count; k++ {
		at := float64(k) / 2
		if math.Abs(math.Remainder(at-j.Gear.Places[0], 1)) > 0.1 || math.Abs(at) > float64(count) {
			continue
		}
		turn := geom.Turn(at * tau)
		if !design.IsPlace(j.Gear.Places, at) {
			pts = append(pts, turn.ApplyAll(geom.BothSides(flank))...)
			continue
		}
		for i := -4; i <= 4; i++ {
			pts = append(pts, geom.Polar(g.RootRadius(), at*tau+tau/2*float64(i)/4))
		}
		if p.Purpose == "slot" {
			w := g.HalfAngle(g.PitchRadius()) * g.PitchRadius()
			v.shape("stub", turn.Apply(geom.Vec{Y: -w, Z: g.RootRadius() - 0.5}), turn.Apply(geom.Vec{Y: -w, Z: d.StubTop}),
				turn.Apply(geom.Vec{Y: w, Z: d.StubTop}), turn.Apply(geom.Vec{Y: w, Z: g.RootRadius() - 0.5}))
			continue
		}
		if s.letsIn() {
			s.insertIn(v, turn, s.insertTop(p))
		} else {
			s.beadIn(v, turn, s.insertTop(p))
		}
	}
	low := geom.Vec{Z: v.lo.Z - 5}
	pts = append(pts, geom.Vec{Y: pts[len(pts)-1].Y, Z: low.Z}, geom.Vec{Y: pts[0].Y, Z: low.Z})
	v.under("metal", pts...)
	s.touchingGap(v, p)
	z := s.Plan.Shift
	if z > v.lo.Z {
		v.zero(geom.Vec{Z: z})
		v.label(geom.Vec{Z: z}, 14, -6, "start", "Y0 Z0")
	} else {
		v.base("Z0: gear axis")
	}
	s.turning(v, tip)
	v.axes("Y", "Z")
	return v.sketch
}

// insertIn draws the insert in its place.
func (s *sheet) insertIn(v *view, turn geom.Rotation, top float64) {
	d := s.Plan.Sizes
	var pts []geom.Vec
	for _, q := range []geom.Vec{{Y: d.FloorHalf, Z: d.Bottom}, {Y: d.MouthHalf, Z: d.Seat}, {Y: d.BodyHalf, Z: d.Seat},
		{Y: d.BodyHalf, Z: d.Bottom + d.SideDepth}, {Y: d.BlockHalf, Z: d.Bottom + d.SideDepth}, {Y: d.BlockHalf, Z: top}} {
		if q.Z <= top {
			pts = append(pts, q)
		}
	}
	v.shape("insert", turn.ApplyAll(geom.BothSides(pts))...)
}

// touchingGap draws the first cutter at both neighbours, for the slot.
func (s *sheet) touchingGap(v *view, p *toolpath.Program) {
	if p.Purpose != "slot" {
		return
	}
	c := p.Ops[0].Cutter
	gap, ok := s.job.Gear.Gap()
	if !ok {
		return
	}
	depth, ok := s.touchDepth(gap)
	if !ok {
		return
	}
	z := gap.TipHeight() - depth
	width, err := gap.WidthAt(z)
	if err != nil || width < c.Diameter+touchRoom {
		return
	}
	top := v.lo.Z + v.H/v.scale + 5
	for _, side := range []float64{-1, 1} {
		y := side * (width - c.Diameter) / 2
		v.rect("touch", y-c.Radius(), z, y+c.Radius(), top)
	}
	v.corner(false, fmt.Sprintf("T%d: left,", c.Number), "then right")
}

// turning shows which way the gear's positive angle goes.
func (s *sheet) turning(v *view, tip float64) {
	name := "turns +"
	if s.job.Index.Device == job.Rotary {
		name = "A+"
		if s.job.Machine.RotarySign < 0 {
			name = "A−"
		}
	}
	r := tip + 0.09*v.W/v.scale
	half := 0.3 * setupWide / v.scale / r
	var arc []geom.Vec
	for i := 0; i <= 8; i++ {
		arc = append(arc, geom.Polar(r, half*(0.55+0.45*float64(i)/8)))
	}
	end := arc[len(arc)-1]
	head := 9 / v.scale
	v.line("axis", arc...)
	v.line("axis", end.Add(geom.Polar(head, half-2.2)), end, end.Add(geom.Polar(head, half-0.95)))
	v.label(end, 6, -6, "start", name)
}

// insertTop is the height of the insert's end before a program.
func (s *sheet) insertTop(p *toolpath.Program) float64 {
	if p.Purpose == "facets" {
		return s.Plan.Sizes.TipTop
	}
	return s.Plan.Sizes.InsertTop
}

// blockAcross shows the block from its back end, that is from +X.
func (s *sheet) blockAcross(p *toolpath.Program) sketch {
	j, d := s.job, s.Plan.Sizes
	c := p.Ops[0].Cutter
	v := sketchOf("Seen from +X", setupWide, setupHigh, geom.Vec{Y: -d.BlockHalf - 2.2*c.Diameter, Z: -d.Height - 3}, geom.Vec{Y: d.BlockHalf + 2.2*c.Diameter, Z: j.Insert.TopCut + 0.4*d.Height})
	s.jaws(v, func(k job.KeepOut) [2]float64 { return k.Y })
	half := d.BlockHalf
	touch := -d.SideDepth / 3
	if p.Purpose == "insert" {
		v.rect("insert", -half, -d.Height, half, j.Insert.TopCut)
		s.dovetailIn(v, "hidden")
	} else {
		s.dovetailIn(v, "insert")
		half, touch = d.BodyHalf, -(j.Slot.Depth+d.SideDepth)/2
	}
	v.rect("touch", -half-c.Diameter, touch, -half, v.lo.Z+v.H/v.scale+5)
	v.zero(geom.Vec{})
	v.label(geom.Vec{}, 14, -8, "start", "Y0 Z0")
	v.corner(true, fmt.Sprintf("T%d: type", c.Number), "Y "+s.size(-half-c.Radius()).Main)
	v.axes("Y", "Z")
	return v.sketch
}

// dovetailIn draws the insert's finished outline in the block.
func (s *sheet) dovetailIn(v *view, class string) {
	d, j := s.Plan.Sizes, s.job
	right := []geom.Vec{{Y: d.MouthHalf + j.Slot.Depth*d.Slope, Z: 0}, {Y: d.MouthHalf, Z: -j.Slot.Depth}, {Y: d.BodyHalf, Z: -j.Slot.Depth},
		{Y: d.BodyHalf, Z: -d.SideDepth}, {Y: d.BlockHalf, Z: -d.SideDepth}, {Y: d.BlockHalf, Z: -d.Height}}
	v.shape(class, geom.BothSides(right)...)
}

// jaws draws what the job says stands in the insert's set-up; without it, the
// jaws as the clamping asks.
func (s *sheet) jaws(v *view, across func(job.KeepOut) [2]float64) {
	found := false
	for _, k := range s.job.KeepOuts {
		if k.Setup == "insert" {
			found = true
			r := across(k)
			v.rect("keep", r[0], k.Z[0], r[1], k.Z[1])
			v.base(k.Name)
		}
	}
	if found {
		return
	}
	top := -s.Plan.Sizes.SideDepth - 1
	v.rect("keep", v.lo.Y-5, v.lo.Z-5, v.lo.Y+v.W/v.scale+5, top)
	v.base("vice")
}

// blockAlong shows the block from the front, X to the right.
func (s *sheet) blockAlong(p *toolpath.Program) sketch {
	j, d := s.job, s.Plan.Sizes
	c := p.Ops[0].Cutter
	side := max(2.2*c.Diameter, 0.2*d.Length)
	v := sketchOf("Seen from the front", setupWide, setupHigh, geom.Vec{Y: -side, Z: -d.Height - 3}, geom.Vec{Y: d.Length + side, Z: j.Insert.TopCut + 0.4*d.Height})
	s.jaws(v, func(k job.KeepOut) [2]float64 { return k.X })
	top := 0.0
	if p.Purpose == "insert" {
		top = j.Insert.TopCut
	}
	v.rect("insert", 0, -d.Height, d.Length, top)
	v.line("hidden", geom.Vec{Z: -j.Slot.Depth}, geom.Vec{Y: d.Length, Z: -j.Slot.Depth})
	v.rect("touch", -c.Diameter, -0.3*d.Height, 0, v.lo.Z+v.H/v.scale+5)
	v.zero(geom.Vec{})
	v.label(geom.Vec{}, 14, -8, "start", "X0 Z0, front end")
	v.corner(true, fmt.Sprintf("T%d: type", c.Number), "X "+s.size(-c.Radius()).Main)
	v.axes("X", "Z")
	return v.sketch
}
