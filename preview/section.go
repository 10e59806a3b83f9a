package preview

import (
	"fmt"
	"math"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/metal"
)

// sectionFigure is the section across X: stock before and after, what stays,
// the cutter at its deepest, and every pass.
func (s Scene) sectionFigure() *Figure {
	part := ""
	if s.Program.Purpose == "facets" {
		part = "section"
	}
	f := s.page(part, s.Program.Title)
	i := s.show()
	x := s.Before.Stations[i].X
	p := f.Panel(fmt.Sprintf("Section at X %s, seen from +X", s.len(x)), Whole())
	main := s.mainOp()
	s.frameWork(p, main)
	s.metalAt(p, i)
	at, ok := deepest(main)
	if ok {
		s.cutterAt(p, at)
	}
	s.toothToCome(p)
	s.passMarks(p)
	s.sizes(p)
	p.Zero(geom.Vec{Z: s.shift()}, "Y0 Z0")
	if ok {
		p.Label(edgeOf(at, 0.7), s.cutterName(at.cutter)).Toward(geom.Vec{Y: 1, Z: 0.2})
	}
	f.Notes = append(s.toolNotes(), s.verdict()...)
	return f
}

// mainOp is the operation whose cutter goes deepest, drills aside.
func (s Scene) mainOp() *toolpath.Op {
	ops := s.Program.Ops
	best, low := 0, math.Inf(1)
	for i := range ops {
		if at, ok := deepest(&ops[i]); ok && ops[i].Cutter.Kind != profiles.Drill && at.at.Z <= low {
			best, low = i, at.at.Z
		}
	}
	return &ops[best]
}

// frameWork sets the window: the work, the cutter up to the holder's nose, and
// the ground below.
func (s Scene) frameWork(p *Panel, op *toolpath.Op) {
	d, j := s.Plan.Dims, s.Plan.Job
	at, _ := deepest(op)
	nose := at.at.Z + op.Cutter.StickOut
	if !s.gear() {
		wide := d.BlockHalf + 1.2*max(op.Cutter.Diameter, op.Cutter.Shank)
		low := -min(d.Height, d.SideDepth+3)
		p.Window(-wide, low, wide, max(nose+3, j.Insert.TopCut+2))
		return
	}
	pitch := j.Gear.Pitch()
	half := 0.0
	for _, q := range j.Gear.Places {
		if near := q * pitch; math.Abs(near) < 1 {
			half = max(half, math.Abs(near))
		}
	}
	wide := (half + 1.75*pitch) * d.GearTop
	low := max(d.Floor-2.5, d.RimInner-1)
	p.Window(-wide, low, wide, max(nose+3, d.TipTop+2))
}

// metalAt draws the metal of a station: what there was, what is left of it,
// what stays, and the good teeth.
func (s Scene) metalAt(p *Panel, i int) {
	before := s.Before.Stations[i]
	p.Region(Removed, pieces(before.Waste))
	s.kept(p, before)
	left := s.stations()[i].Waste
	style := MetalLeft
	if s.Program.Purpose == "flush" {
		style = Insert
		p.Name(Insert, "insert")
	}
	if len(s.After) == len(s.Before.Stations) && left.Area() > leastShown {
		p.Region(style, pieces(left))
	}
	s.keepOuts(p, before.X)
}

// leastShown is the area below which leftovers are rounding, mm^2.
const leastShown = 1e-6

// kept draws the solids of a station.
func (s Scene) kept(p *Panel, st replay.Station) {
	bodies := map[Style][][]geom.Vec{}
	for _, k := range st.Keep {
		bodies[s.styleOf(k)] = append(bodies[s.styleOf(k)], pieces(k.Metal)...)
	}
	for _, style := range []Style{Stock, Insert, Target, Neighbour} {
		if len(bodies[style]) > 0 {
			p.Region(style, bodies[style])
		}
	}
	p.Name(Stock, "casting that stays")
	if !s.gear() {
		p.Name(Insert, "insert")
	}
}

// turned returns solids turned by an angle.
func turned(keep []replay.Solid, angle float64) []replay.Solid {
	out := make([]replay.Solid, len(keep))
	for i, k := range keep {
		k.Metal = k.Metal.Turned(angle)
		out[i] = k
	}
	return out
}

// styleOf returns how a solid is drawn.
func (s Scene) styleOf(k replay.Solid) Style {
	switch {
	case k.Role == replay.Neighbour:
		return Neighbour
	case !s.gear() || k.Name == "dovetail":
		return Insert
	case k.Name == "gear":
		return Stock
	}
	return Target
}

// pieces returns a region's polygons.
func pieces(r geom.Region) [][]geom.Vec {
	out := make([][]geom.Vec, len(r))
	for i, c := range r {
		out[i] = c.Pts
	}
	return out
}

// keepOuts draws the boxes that the section at x passes through.
func (s Scene) keepOuts(p *Panel, x float64) {
	for _, k := range s.Before.KeepOuts {
		if x >= k.X[0] && x <= k.X[1] {
			p.Rect(KeepOut, geom.Vec{Y: k.Y[0], Z: k.Z[0] + s.shift()}, geom.Vec{Y: k.Y[1], Z: k.Z[1] + s.shift()})
		}
	}
}

// cutterAt draws a cutter where it stands. In gear set-ups the picture is the
// gear's, so it is the cutter that leans.
func (s Scene) cutterAt(p *Panel, at spot) {
	turn := geom.Turn(-at.angle)
	for _, q := range metal.Parts(at.cutter) {
		style := Cutter
		switch {
		case q.Name == "holder":
			style = Holder
		case !q.Cuts:
			style = Shank
		}
		var ring []geom.Vec
		for _, c := range []geom.Vec{{Y: -q.R0, Z: q.Z0}, {Y: q.R0, Z: q.Z0}, {Y: q.R1, Z: q.Z1}, {Y: -q.R1, Z: q.Z1}} {
			ring = append(ring, turn.Apply(at.at.Add(c)))
		}
		p.Polygon(style, ring...)
	}
}

// edgeOf returns a point on the right edge of the cutting part, a share of the
// way up it.
func edgeOf(at spot, share float64) geom.Vec {
	for _, q := range metal.Parts(at.cutter) {
		if q.Cuts && q.R1 > 0 && q.R0 > 0 {
			r, z := q.R0+(q.R1-q.R0)*share, q.Z0+(q.Z1-q.Z0)*share
			return geom.Turn(-at.angle).Apply(at.at.Add(geom.Vec{Y: r, Z: z}))
		}
	}
	return at.inGear()
}

// cutterName is a cutter in a few words.
func (s Scene) cutterName(c *profiles.Cutter) string {
	kind := "end mill"
	switch c.Kind {
	case profiles.Dovetail:
		kind = "dovetail cutter"
	case profiles.Drill:
		kind = "drill"
	}
	return fmt.Sprintf("T%d %s %s", c.Number, kind, s.len(c.Diameter))
}

// toolNotes lists the cutters with their stick-out.
func (s Scene) toolNotes() []string {
	var out []string
	seen := map[int]bool{}
	for _, op := range s.Program.Ops {
		if c := op.Cutter; !seen[c.Number] {
			seen[c.Number] = true
			out = append(out, fmt.Sprintf("%s, stick-out %s.", s.cutterName(c), s.len(c.StickOut)))
		}
	}
	return out
}

// toothToCome draws the outline of the finished tooth at every place.
func (s Scene) toothToCome(p *Panel) {
	if !s.gear() || s.Program.Purpose == "facets" {
		return
	}
	for _, line := range s.targets() {
		p.Line(Alternative, line...)
	}
	p.Name(Alternative, "tooth to come")
}

// targets returns the finished outline at every place, gear at A0.
func (s Scene) targets() [][]geom.Vec {
	g := s.Plan.Flanks.Target(s.Plan.Job)
	line, err := g.Tooth()
	if err != nil {
		return nil // the plan was made with the same tooth
	}
	var out [][]geom.Vec
	for _, at := range s.Plan.Job.Gear.Places {
		turn := geom.Turn(at * g.Pitch())
		ring := make([]geom.Vec, len(line))
		for i, v := range line {
			ring[i] = turn.Apply(v)
		}
		out = append(out, ring)
	}
	return out
}

// passMarks draws where the tip of the cutter stands in every cut along X, in
// the gear's own frame, and names each operation once.
func (s Scene) passMarks(p *Panel) {
	type key [2]int
	seen := map[key]bool{}
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		var at []geom.Vec
		each(op, func(q spot) {
			v := q.inGear()
			k := key{int(math.Round(v.Y * 100)), int(math.Round(v.Z * 100))}
			if !seen[k] {
				seen[k] = true
				at = append(at, v)
			}
		})
		p.Cross(Pass, at...)
	}
	p.Name(Pass, "middle of the cutter's end, one a cut")
}

// sizes draws the dimensions a person checks.
func (s Scene) sizes(p *Panel) {
	d, j := s.Plan.Dims, s.Plan.Job
	v := func(y, z float64) geom.Vec { return geom.Vec{Y: y, Z: z} }
	switch s.Program.Purpose {
	case "slot":
		if len(j.Gear.Places) > 1 || j.Gear.Places[0] != 0 {
			return
		}
		p.Dim(v(-d.FloorHalf, d.Floor), v(d.FloorHalf, d.Floor), -34, s.len(2*d.FloorHalf))
		p.Dim(v(d.FloorHalf, d.Floor), v(d.PocketHalf, d.Seat), -90, s.len(d.Seat-d.Floor))
	case "insert":
		p.Dim(v(-d.BodyHalf, -d.SideDepth), v(d.BodyHalf, -d.SideDepth), -34, s.len(2*d.BodyHalf))
		p.Dim(v(d.BodyHalf, -j.Slot.Depth), v(d.Step(j), 0), -60, s.len(j.Slot.Depth))
	}
}
