package sheet

import (
	"fmt"
	"math"
	"strings"

	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// sketch is a small view of a set-up: what stands where, the zeros, and
// where the cutter touches. It is drawn as lines in the page, in the page's
// own ink, so it follows dark screens and grey print.
type sketch struct {
	Title  string
	W, H   float64
	Shapes []shape
	Labels []label
}

// shape is an outline; its class says what it is.
type shape struct{ Class, D string }

// label is a word at a place. Anchor is start, middle or end.
type label struct {
	X, Y         float64
	Anchor, Text string
}

const (
	sketchWide = 340.0 // about a phone's width, so that the letters keep their size there
	sketchHigh = 216.0
)

// sketchView maps a window of the world, mm, to a sketch.
type sketchView struct {
	sketch
	lo    geom.Vec // lower left corner; Y is whatever runs to the right
	scale float64
}

// sketchOf opens a view that shows at least the window, centred.
func sketchOf(title string, lo, hi geom.Vec) *sketchView {
	v := &sketchView{sketch: sketch{Title: title, W: sketchWide, H: sketchHigh}}
	v.scale = min(sketchWide/(hi.Y-lo.Y), sketchHigh/(hi.Z-lo.Z))
	v.lo = geom.Vec{Y: (lo.Y+hi.Y)/2 - sketchWide/v.scale/2, Z: (lo.Z+hi.Z)/2 - sketchHigh/v.scale/2}
	return v
}

func (v *sketchView) at(p geom.Vec) (x, y float64) {
	return (p.Y - v.lo.Y) * v.scale, sketchHigh - (p.Z-v.lo.Z)*v.scale
}

func (v *sketchView) shape(class string, pts ...geom.Vec) { v.draw(class, true, pts) }
func (v *sketchView) line(class string, pts ...geom.Vec)  { v.draw(class, false, pts) }

func (v *sketchView) draw(class string, closed bool, pts []geom.Vec) {
	var b strings.Builder
	for i, p := range pts {
		x, y := v.at(p)
		fmt.Fprintf(&b, "%c%.1f %.1f", "ML"[min(i, 1)], x, y)
	}
	if closed {
		b.WriteString("Z")
	}
	v.Shapes = append(v.Shapes, shape{class, b.String()})
}

func (v *sketchView) rect(class string, y0, z0, y1, z1 float64) {
	v.shape(class, geom.Vec{Y: y0, Z: z0}, geom.Vec{Y: y1, Z: z0}, geom.Vec{Y: y1, Z: z1}, geom.Vec{Y: y0, Z: z1})
}

// corner writes lines in an upper corner.
func (v *sketchView) corner(right bool, lines ...string) {
	x, anchor := 8.0, "start"
	if right {
		x, anchor = sketchWide-8, "end"
	}
	for i, text := range lines {
		v.Labels = append(v.Labels, label{x, float64(19 + 16*i), anchor, text})
	}
}

// label writes beside a point, dx and dy away on the page.
func (v *sketchView) label(p geom.Vec, dx, dy float64, anchor, text string) {
	x, y := v.at(p)
	v.Labels = append(v.Labels, label{math.Round(x + dx), math.Round(y + dy), anchor, text})
}

// zero marks a work zero: a cross in a ring.
func (v *sketchView) zero(p geom.Vec) {
	x, y := v.at(p)
	v.Shapes = append(v.Shapes, shape{"zero", fmt.Sprintf("M%.1f %.1fa6 6 0 1 0 12 0a6 6 0 1 0 -12 0M%.1f %.1fh22M%.1f %.1fv22", x-6, y, x-11, y, x, y-11)})
}

// axes draws two arrows in the lower left corner.
func (v *sketchView) axes(right, up string) {
	const x, y, long = 14.0, sketchHigh - 14, 30.0
	v.Shapes = append(v.Shapes, shape{"axis", fmt.Sprintf("M%g %gv%gm-4 8l4 -8l4 8M%g %gh%gm-8 -4l8 4l-8 4", x, y, -long, x, y, long)})
	v.Labels = append(v.Labels, label{x + long + 4, y + 4, "start", right}, label{x, y - long - 5, "middle", up})
}

// sketches draws the set-up of a program; nothing when the gear's outline
// cannot be had.
func (s *sheet) sketches(p *toolpath.Program) []sketch {
	if len(p.Ops) == 0 {
		return nil
	}
	if p.Setup == toolpath.InsertSetup {
		return []sketch{s.blockAcross(p), s.blockAlong(p)}
	}
	line, err := s.job.Gear.Standing().RightFlank()
	if err != nil {
		return nil
	}
	return []sketch{s.gearAcross(p, line), s.gearAlong(p)}
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
	v := sketchOf("Seen from +X", geom.Vec{Y: -wide, Z: tip - high*0.72}, geom.Vec{Y: wide, Z: tip + high*0.4})
	var pts []geom.Vec
	count := int(reach) + 3
	for k := -2 * count; k <= 2*count; k++ {
		at := float64(k) / 2
		if math.Abs(math.Remainder(at-j.Gear.Places[0], 1)) > 0.1 || math.Abs(at) > float64(count) {
			continue
		}
		turn := geom.Turn(at * tau)
		if !design.IsPlace(j.Gear.Places, at) {
			for i := len(flank) - 1; i >= 0; i-- {
				pts = append(pts, turn.Apply(geom.Vec{Y: -flank[i].Y, Z: flank[i].Z}))
			}
			for _, q := range flank {
				pts = append(pts, turn.Apply(q))
			}
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
		s.insertIn(v, turn, p)
	}
	low := geom.Vec{Z: v.lo.Z - 5}
	pts = append(pts, geom.Vec{Y: pts[len(pts)-1].Y, Z: low.Z}, geom.Vec{Y: pts[0].Y, Z: low.Z})
	v.draw("metal", true, pts)
	// The metal is laid under what was drawn before it.
	v.Shapes = append(v.Shapes[len(v.Shapes)-1:], v.Shapes[:len(v.Shapes)-1]...)
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
func (s *sheet) insertIn(v *sketchView, turn geom.Rotation, p *toolpath.Program) {
	d := s.Plan.Sizes
	top := d.InsertTop
	if p.Purpose == "facets" {
		top = d.TipTop
	}
	var pts []geom.Vec
	for _, q := range []geom.Vec{{Y: d.FloorHalf, Z: d.Bottom}, {Y: d.MouthHalf, Z: d.Seat}, {Y: d.BodyHalf, Z: d.Seat},
		{Y: d.BodyHalf, Z: d.Bottom + d.SideDepth}, {Y: d.BlockHalf, Z: d.Bottom + d.SideDepth}, {Y: d.BlockHalf, Z: top}} {
		if q.Z <= top {
			pts = append(pts, q)
		}
	}
	ring := make([]geom.Vec, 0, 2*len(pts))
	for _, q := range pts {
		ring = append(ring, turn.Apply(q))
	}
	for i := len(pts) - 1; i >= 0; i-- {
		ring = append(ring, turn.Apply(geom.Vec{Y: -pts[i].Y, Z: pts[i].Z}))
	}
	v.shape("insert", ring...)
}

// touchingGap draws the first cutter at both neighbours, for the slot.
func (s *sheet) touchingGap(v *sketchView, p *toolpath.Program) {
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
	top := v.lo.Z + sketchHigh/v.scale + 5
	for _, side := range []float64{-1, 1} {
		y := side * (width - c.Diameter) / 2
		v.rect("touch", y-c.Radius(), z, y+c.Radius(), top)
	}
	v.corner(false, fmt.Sprintf("T%d: left,", c.Number), "then right")
}

// turning shows which way the gear's positive angle goes.
func (s *sheet) turning(v *sketchView, tip float64) {
	name := "turns +"
	if s.job.Index.Device == job.Rotary {
		name = "A+"
		if s.job.Machine.RotarySign < 0 {
			name = "A−"
		}
	}
	r := tip + 0.09*sketchWide/v.scale
	half := 0.3 * sketchWide / v.scale / r
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

// gearAlong shows the gear from the front, X to the right, with what the job
// says stands beside it.
func (s *sheet) gearAlong(p *toolpath.Program) sketch {
	j, d := s.job, s.Plan.Sizes
	c := p.Ops[0].Cutter
	tip, face := d.TipTop, j.Gear.Face
	side := max(c.Diameter*2.2, 0.45*face)
	lo, hi := geom.Vec{Y: -side, Z: tip - 0.8*face}, geom.Vec{Y: face + side*1.2, Z: tip + 0.35*face}
	// A piece of what stands beside the gear, when it is not far.
	far, piece := 1.5*face, 0.35*face
	for _, k := range j.KeepOuts {
		if top := k.Z[1] + s.Plan.Shift; k.Setup == "gear" && top > tip-far && k.X[0] < face+far && k.X[1] > -far {
			lo.Z, hi.Z = min(lo.Z, top-piece), max(hi.Z, min(top, tip+far))
			lo.Y, hi.Y = min(lo.Y, k.X[1]-piece), max(hi.Y, k.X[0]+piece)
		}
	}
	v := sketchOf("Seen from the front", lo, hi)
	low := v.lo.Z - 5
	for _, k := range j.KeepOuts {
		if k.Setup == "gear" {
			v.rect("keep", k.X[0], k.Z[0]+s.Plan.Shift, k.X[1], k.Z[1]+s.Plan.Shift)
			v.named(k.Name, k.X[0], k.X[1], k.Z[1]+s.Plan.Shift)
		}
	}
	v.rect("metal", 0, low, face, s.Plan.Shift+s.zOnTips())
	z := s.Plan.Shift + s.zOnTips() - 0.15*face
	v.rect("touch", -c.Diameter, z, 0, v.lo.Z+sketchHigh/v.scale+5)
	if p.Purpose == "slot" {
		v.line("hidden", geom.Vec{Y: 0, Z: d.StubTop}, geom.Vec{Y: face, Z: d.StubTop})
	} else {
		v.rect("insert", -j.Insert.Over, d.Bottom, face+j.Insert.Over, s.insertTop(p))
	}
	v.corner(true, fmt.Sprintf("T%d on the front face:", c.Number), "type X "+s.size(-c.Radius()).Main)
	if s.Plan.Shift > v.lo.Z {
		v.zero(geom.Vec{Z: s.Plan.Shift})
	}
	v.label(geom.Vec{Y: face / 2, Z: tip - 0.5*face}, 0, 0, "middle", "gear")
	v.label(geom.Vec{Y: face / 2, Z: tip - 0.5*face}, 0, 16, "middle", s.coarse(face).Main)
	v.axes("X", "Z")
	return v.sketch
}

// insertTop is the height of the insert's end before a program.
func (s *sheet) insertTop(p *toolpath.Program) float64 {
	if p.Purpose == "facets" {
		return s.Plan.Sizes.TipTop
	}
	return s.Plan.Sizes.InsertTop
}

// base writes in the lower right corner.
func (v *sketchView) base(name string) {
	v.Labels = append(v.Labels, label{sketchWide - 8, sketchHigh - 10, "end", short(name)})
}

// short keeps a name the person gave from running over the sketch.
func short(name string) string {
	const most = 14
	if r := []rune(name); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return name
}

// named writes a box's name inside it, as far as it is in view.
func (v *sketchView) named(name string, x0, x1, top float64) {
	a, b := max(x0, v.lo.Y), min(x1, v.lo.Y+sketchWide/v.scale)
	if a >= b {
		return
	}
	v.label(geom.Vec{Y: (a + b) / 2, Z: min(top, v.lo.Z+sketchHigh/v.scale)}, 0, 18, "middle", short(name))
}

// blockAcross shows the block from its back end, that is from +X.
func (s *sheet) blockAcross(p *toolpath.Program) sketch {
	j, d := s.job, s.Plan.Sizes
	c := p.Ops[0].Cutter
	v := sketchOf("Seen from +X", geom.Vec{Y: -d.BlockHalf - 2.2*c.Diameter, Z: -d.Height - 3}, geom.Vec{Y: d.BlockHalf + 2.2*c.Diameter, Z: j.Insert.TopCut + 0.4*d.Height})
	s.jaws(v, func(k job.KeepOut) [2]float64 { return k.Y })
	half := d.BlockHalf
	touch := -d.SideDepth / 3
	if p.Purpose == "insert" {
		v.rect("metal", -half, -d.Height, half, j.Insert.TopCut)
		s.dovetailIn(v, "hidden")
	} else {
		s.dovetailIn(v, "metal")
		half, touch = d.BodyHalf, -(j.Slot.Depth+d.SideDepth)/2
	}
	v.rect("touch", -half-c.Diameter, touch, -half, v.lo.Z+sketchHigh/v.scale+5)
	v.zero(geom.Vec{})
	v.label(geom.Vec{}, 14, -8, "start", "Y0 Z0")
	v.corner(true, fmt.Sprintf("T%d: type", c.Number), "Y "+s.size(-half-c.Radius()).Main)
	v.axes("Y", "Z")
	return v.sketch
}

// dovetailIn draws the insert's finished outline in the block.
func (s *sheet) dovetailIn(v *sketchView, class string) {
	d, j := s.Plan.Sizes, s.job
	right := []geom.Vec{{Y: d.MouthHalf + j.Slot.Depth*d.Slope, Z: 0}, {Y: d.MouthHalf, Z: -j.Slot.Depth}, {Y: d.BodyHalf, Z: -j.Slot.Depth},
		{Y: d.BodyHalf, Z: -d.SideDepth}, {Y: d.BlockHalf, Z: -d.SideDepth}, {Y: d.BlockHalf, Z: -d.Height}}
	ring := append([]geom.Vec(nil), right...)
	for i := len(right) - 1; i >= 0; i-- {
		ring = append(ring, geom.Vec{Y: -right[i].Y, Z: right[i].Z})
	}
	v.shape(class, ring...)
}

// jaws draws what the job says stands in the insert's set-up; without it, the
// jaws as the clamping asks.
func (s *sheet) jaws(v *sketchView, across func(job.KeepOut) [2]float64) {
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
	v.rect("keep", v.lo.Y-5, v.lo.Z-5, v.lo.Y+sketchWide/v.scale+5, top)
	v.base("vice")
}

// blockAlong shows the block from the front, X to the right.
func (s *sheet) blockAlong(p *toolpath.Program) sketch {
	j, d := s.job, s.Plan.Sizes
	c := p.Ops[0].Cutter
	side := max(2.2*c.Diameter, 0.2*d.Length)
	v := sketchOf("Seen from the front", geom.Vec{Y: -side, Z: -d.Height - 3}, geom.Vec{Y: d.Length + side, Z: j.Insert.TopCut + 0.4*d.Height})
	s.jaws(v, func(k job.KeepOut) [2]float64 { return k.X })
	top := 0.0
	if p.Purpose == "insert" {
		top = j.Insert.TopCut
	}
	v.rect("metal", 0, -d.Height, d.Length, top)
	v.line("hidden", geom.Vec{Z: -j.Slot.Depth}, geom.Vec{Y: d.Length, Z: -j.Slot.Depth})
	v.rect("touch", -c.Diameter, -0.3*d.Height, 0, v.lo.Z+sketchHigh/v.scale+5)
	v.zero(geom.Vec{})
	v.label(geom.Vec{}, 14, -8, "start", "X0 Z0, front end")
	v.corner(true, fmt.Sprintf("T%d: type", c.Number), "X "+s.size(-c.Radius()).Main)
	v.axes("X", "Z")
	return v.sketch
}
