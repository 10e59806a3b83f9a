package replay

import (
	"math"
	"slices"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// sweep takes the tool along one straight piece of path, frame coordinates.
func (r *runner) sweep(m *machine.Motion, a, b machine.Position) {
	low := min(a.Z, b.Z)
	for i := range r.tool.Parts {
		p := &r.tool.Parts[i]
		if m.Kind == machine.Rapid && p.Cuts && low+p.Z0 < r.setup.Top+rapidClear {
			r.rapidNear(m, p, a, b)
		}
		if low+p.Z0 >= r.setup.Top {
			break
		}
		from, to := r.shapes(m, p, a, b)
		if from >= to {
			continue
		}
		if !p.Cuts || m.Kind == machine.Rapid {
			r.pass(m, p, from, to)
			continue
		}
		r.regroup(from, to)
		for _, g := range r.visited {
			r.cut(m, g)
		}
		r.bitten(from, to)
		r.rejoin(from, to)
	}
}

// shapes works out what the part takes at each station that it reaches, and
// returns the first of these and the one after the last.
func (r *runner) shapes(m *machine.Motion, p *Part, a, b machine.Position) (from, to int) {
	lo, hi, reach := min(a.X, b.X), max(a.X, b.X), max(p.R0, p.R1)
	from, to = r.reached(lo-reach, hi+reach)
	if from >= to {
		return from, to
	}
	r.work += to - from
	section := p.section
	if m.Kind == machine.Rapid && axes(a, b) > 1 {
		section = p.anyWay
	}
	level := a.Y == b.Y && a.Z == b.Z
	ramp := a.Z != b.Z && (a.X != b.X || a.Y != b.Y)
	r.arena = r.arena[:0]
	at := func(x float64) []geom.Vec {
		if x < lo-reach || x > hi+reach {
			return nil
		}
		n := len(r.arena)
		r.arena = section(a, b, x, r.arena)
		r.work += sectionWork
		if ramp {
			r.work += rampWork
		}
		if p.R0 != p.R1 || ramp {
			r.work += cornerWork * (len(r.arena) - n)
		}
		return r.arena[n:len(r.arena):len(r.arena)]
	}
	var full []geom.Vec
	for k := from; k < to; k++ {
		s := &r.live[k]
		s.most = nil
		switch {
		case s.Half > 0:
		case level && s.X >= lo && s.X <= hi:
			if full == nil {
				full = at(s.X)
			}
			s.shape = full
		default:
			s.shape = at(s.X)
		}
	}
	slope := a.X != b.X && !level
	for k := from; k < to; k++ {
		s := &r.live[k]
		if s.Half == 0 {
			continue
		}
		before, after := &r.live[k-1], &r.live[k+1]
		s.shape = r.common(before.shape, after.shape)
		ends := within(a.X, before.X, after.X) || within(b.X, before.X, after.X)
		if !slope && !ends || s.X+s.Half < lo-reach || s.X-s.Half > hi+reach {
			continue
		}
		pts := slices.Concat(before.shape, after.shape, at(s.X))
		for _, x := range [2]float64{a.X, b.X} {
			if within(x, before.X, after.X) {
				pts = append(pts, at(x)...)
			}
		}
		s.most = hull(pts)
		r.work += cornerWork * len(pts)
	}
	return from, to
}

// The work of one section, in looks at one piece of metal; what a ramp asks more,
// and each corner of a shape that is not plain.
const (
	sectionWork = 40
	rampWork    = 6000
	cornerWork  = 100
	depthWork   = 200 // of a depth below a surface, for each of its corners
)

// axes counts the axes that move.
func axes(a, b machine.Position) (n int) {
	for _, moves := range [3]bool{a.X != b.X, a.Y != b.Y, a.Z != b.Z} {
		if moves {
			n++
		}
	}
	return n
}

// within says that x lies between the two, and at neither.
func within(x, lo, hi float64) bool { return x > lo+leastApart && x < hi-leastApart }

// common returns what two sections of one sweep share. A sweep along a straight
// line is convex, so all sections between the two hold it.
func (r *runner) common(a, b []geom.Vec) []geom.Vec {
	switch {
	case len(a) < 3 || len(b) < 3:
		return nil
	case samePoints(a, b):
		return a
	}
	r.work += 2 * len(a) * len(b)
	switch {
	case inside(a, b):
		return a
	case inside(b, a):
		return b
	}
	from := len(r.arena)
	r.arena = append(r.arena, geom.NewConvex(a...).Clip(geom.NewConvex(b...), &r.buf).Pts...)
	return r.arena[from:len(r.arena):len(r.arena)]
}

// inside says that a lies in b, which is convex.
func inside(a, b []geom.Vec) bool {
	k := geom.Convex{Pts: b}
	for _, p := range a {
		if !k.Contains(p) {
			return false
		}
	}
	return true
}

// inGear turns a section of the sweep into the gear's own frame. Its points
// are good until the next call.
func (r *runner) inGear(pts []geom.Vec) geom.Convex {
	if r.setup.Turns {
		r.pts = r.pts[:0]
		for _, v := range pts {
			r.pts = append(r.pts, r.toGear.Apply(v))
		}
		pts = r.pts
	}
	return geom.Convex{Pts: pts, Box: geom.Bounds(pts)}
}

// pass looks for metal in the way of a part that must not cut, from one station up
// to another: once where the same part passes the same metal.
func (r *runner) pass(m *machine.Motion, p *Part, from, to int) {
	clear(r.passed)
	for k := from; k < to; k++ {
		s := &r.live[k]
		if len(s.shape) < 3 && len(s.most) < 3 {
			continue
		}
		if len(s.most) < 3 {
			is := passing{s.group, &s.shape[0]}
			if r.passed[is] {
				continue
			}
			r.passed[is] = true
		}
		r.metalWork(s.Section)
		if len(s.most) >= 3 {
			switch d := r.depths(s.Section, r.inGear(s.most)); {
			case p.Cuts:
				r.overcut(m, s.X, d)
			case max(d[0], d[1]) >= r.setup.cutLimit():
				r.touch(m, p, s.X, max(d[0], d[1]), d)
			}
		}
		if len(s.shape) < 3 {
			continue
		}
		k := r.inGear(s.shape)
		if amount := r.met(s.Section, k); amount >= r.setup.cutLimit() {
			r.touch(m, p, s.X, amount, r.depths(s.Section, k))
		}
	}
}

// passing is a shape that passes a group of stations.
type passing struct {
	group int
	shape *geom.Vec // its first corner: one shape is kept once
}

// metalWork counts a look at all metal of a section.
func (r *runner) metalWork(s *Section) {
	r.work += len(s.Waste)
	for i := range s.Keep {
		r.work += len(s.Keep[i].Metal)
	}
}

// cut takes the flutes' shape out of one group of stations.
func (r *runner) cut(m *machine.Motion, g int) {
	if r.groups[g].first < 0 {
		return // nothing reaches them
	}
	first := &r.live[r.groups[g].first]
	s, x := r.groups[g].section, first.X
	if len(first.shape) < 3 && len(first.most) < 3 {
		return
	}
	r.metalWork(s)
	if len(first.most) >= 3 {
		r.overcut(m, x, r.depths(s, r.inGear(first.most)))
	}
	if len(first.shape) < 3 {
		return
	}
	k := r.inGear(first.shape)
	r.remove(g, k)
	r.walls(g, first.shape)
	r.overcut(m, x, r.depths(s, k))
	r.near(m, k, x)
}

// clearSlack forgives rounding of the written numbers and of outlines, mm.
const clearSlack = 0.005

// near finds flutes that come nearer to a sound tooth than the job asks.
func (r *runner) near(m *machine.Motion, k geom.Convex, x float64) {
	want := r.setup.Clear
	if want == 0 {
		return
	}
	lo, hi := k.Box.Lo.Sub(geom.Vec{Y: want, Z: want}), k.Box.Hi.Add(geom.Vec{Y: want, Z: want})
	least := want - clearSlack - r.setup.Rounding
	found := false
	for _, q := range r.setup.Sound {
		if q.Y < lo.Y || q.Y > hi.Y || q.Z < lo.Z || q.Z > hi.Z {
			continue
		}
		d := 0.0
		if !k.Contains(q) {
			d = geom.Distance(q, append(slices.Clone(k.Pts), k.Pts[0]))
		}
		if d < least {
			least, found = d, true
		}
	}
	if found {
		r.find(TooNear, m.Line, want-least, "", "tool %d comes within %.3f mm of a standing tooth at X %.3f, and the job asks for %.3f: a slip of the machine marks it", r.tool.Number, least, x, want)
	}
}

// taken is the metal that one cut takes at one station: its area and how far
// it extends, cutter upright.
type taken struct {
	area float64
	box  geom.Box
}

// add counts a piece. Skins that rounding left between two passes do not load
// the cutter; rounding is the set-up's.
func (t *taken) add(c geom.Convex, upright geom.Rotation, rounding float64) {
	t.area += geom.Area(c.Pts)
	if c.Breadth() < grazing+2*rounding {
		return
	}
	for _, p := range c.Pts {
		t.box = t.box.Grow(upright.Apply(p))
	}
}

// nothing says that the cut loads no cutter.
func (t *taken) nothing() bool { return t.area == 0 || math.IsInf(t.box.Lo.Y, 1) }

// remove cuts k out of the group's waste and notes how much that was.
func (r *runner) remove(g int, k geom.Convex) {
	s := r.groups[g].section
	if r.groups[g].shared {
		meets := false
		s.Waste.Overlaps(k, &r.buf, func(geom.Convex) { meets = true })
		if !meets {
			return
		}
		s = r.ownSection(g)
	}
	got := taken{box: geom.EmptyBox()}
	back := r.toGear.Inverse()
	s.Waste = s.Waste.Subtract(k, &r.buf, func(c geom.Convex) { got.add(c, back, r.setup.Rounding) })
	if got.nothing() {
		return
	}
	h := &r.groups[g]
	if h.cut != r.round {
		h.got = taken{box: geom.EmptyBox()}
	}
	h.cut = r.round
	h.got.area += got.area
	h.got.box = h.got.box.Union(got.box)
}

// depths returns how deep k reaches into the station's solids, by role.
func (r *runner) depths(s *Section, k geom.Convex) (depth [2]float64) {
	for i := range s.Keep {
		solid := &s.Keep[i]
		d := solid.depth(k, grazing+2*r.setup.Rounding, &r.buf)
		r.work += len(solid.Metal)
		if d > 0 {
			r.work += depthWork * len(solid.Outline)
		}
		depth[solid.Role] = max(depth[solid.Role], d)
	}
	return depth
}

// depth returns how deep k reaches into the solid's metal: the greatest
// distance from the solid's surface that is found in the overlap, and the
// greatest way out of k of any corner of the surface inside it.
func (s *Solid) depth(k geom.Convex, thin float64, buf *geom.Scratch) float64 {
	var deepest float64
	var near geom.Segments
	touched := false
	s.Metal.Overlaps(k, buf, func(in geom.Convex) {
		if in.Breadth() < thin {
			return
		}
		touched = true
		near = geom.NearestIn(s.Outline, in.Box, near[:0])
		deepest = max(deepest, farthest(in, near))
	})
	if !touched {
		return 0
	}
	for _, p := range s.Outline {
		if k.Box.Contains(p) && k.Contains(p) {
			out := math.Inf(1)
			for i, a := range k.Pts {
				out = min(out, geom.Distance(p, []geom.Vec{a, k.Pts[(i+1)%len(k.Pts)]}))
			}
			deepest = max(deepest, out)
		}
	}
	return deepest
}

// farthest returns the greatest distance from the segments that is found in c.
// Where a cut goes right through, that point lies in its midst: from the best
// probe the search goes on in steps that grow shorter.
func farthest(c geom.Convex, line geom.Segments) float64 {
	var at geom.Vec
	best := 0.0
	c.Probe(func(p geom.Vec) float64 {
		d := line.Distance(p)
		if d > best {
			best, at = d, p
		}
		return d
	})
	if best <= CutLimit {
		return best // too little to tell of
	}
	size := c.Box.Hi.Sub(c.Box.Lo)
	for step := max(size.Y, size.Z) / 4; step > best/50; step /= 2 {
		for better := true; better; {
			better = false
			for turn := range 8 {
				p := at.Add(geom.Polar(step, float64(turn)*math.Pi/4))
				// A gain too small for the step is not worth following.
				if !c.Contains(p) {
					continue
				}
				if d := line.Distance(p); d > best+step/50 {
					best, at, better = d, p, true
				}
			}
		}
	}
	return best
}

func (r *runner) overcut(m *machine.Motion, x float64, depth [2]float64) {
	rep := r.report
	rep.NeighbourCut = max(rep.NeighbourCut, depth[Neighbour])
	rep.TargetCut = max(rep.TargetCut, depth[Target])
	if d := depth[Neighbour]; d > r.setup.cutLimit() {
		r.find(CutNeighbour, m.Line, d, "", "tool %d cuts %.3f mm into a standing tooth at X %.3f", r.tool.Number, d, x)
	}
	if d := depth[Target]; d > r.setup.cutLimit() {
		r.find(CutTarget, m.Line, d, "", "tool %d cuts %.3f mm into the finished part at X %.3f", r.tool.Number, d, x)
	}
}

// met returns how much metal of any kind k overlaps, as a breadth.
func (r *runner) met(s *Section, k geom.Convex) (amount float64) {
	meet := func(metal geom.Region) {
		metal.Overlaps(k, &r.buf, func(in geom.Convex) { amount = max(amount, in.Breadth()) })
	}
	meet(s.Waste)
	for i := range s.Keep {
		meet(s.Keep[i].Metal)
	}
	return amount
}

// touch tells of metal in the way of a part that must not cut.
func (r *runner) touch(m *machine.Motion, p *Part, x, amount float64, depth [2]float64) {
	if !p.Cuts {
		r.find(NotFlutes, m.Line, amount, p.Name, "the %s of tool %d runs into metal at X %.3f", p.Name, r.tool.Number, x)
	}
	if m.Kind == machine.Rapid {
		r.find(RapidInMetal, m.Line, amount, "", "tool %d goes at rapid through metal at X %.3f", r.tool.Number, x)
	}
	if m.Kind == machine.Rapid && p.Cuts {
		r.overcut(m, x, depth)
	}
}
