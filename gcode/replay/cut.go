package replay

import (
	"math"
	"sort"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// sweep takes the tool along one straight piece of path, frame coordinates.
//
// Most motions pass all stations alike. Stations that have been cut alike from
// like stock are twins: what is done to the first holds for the others, until
// a motion meets them differently.
func (r *runner) sweep(m *machine.Motion, a, b machine.Position) {
	low := min(a.Z, b.Z)
	for i := range r.tool.Parts {
		p := &r.tool.Parts[i]
		if low+p.Z0 >= r.setup.Top {
			break
		}
		for j := range r.stations {
			r.sections[j] = p.section(a, b, r.stations[j].X, r.sections[j][:0])
			if first := r.twin[j]; first >= 0 && !samePoints(r.sections[first], r.sections[j]) {
				r.part(j)
			}
		}
		for j := range r.stations {
			if len(r.sections[j]) < 3 {
				continue
			}
			if r.twin[j] >= 0 {
				r.bite.also(r.twin[j], r.stations[j].X)
				continue
			}
			r.cut(m, p, j)
		}
		r.between(m, p, a, b)
	}
}

// rounding is how far a written X may be from the place it stands for, mm: half
// the last decimal of inches, and a little.
const rounding = 0.0002

// between looks at what the cutter meets where there is no station: at a motion
// whose axis meets none, which would be deepest between two of them, and at a
// slope, whose deepest place may lie between any two. What it would meet there
// is what both hold. Only finds; it removes nothing.
func (r *runner) between(m *machine.Motion, p *Part, a, b machine.Position) {
	lo, hi := min(a.X, b.X)-rounding, max(a.X, b.X)+rounding
	after := sort.Search(len(r.stations), func(i int) bool { return r.stations[i].X >= lo })
	slope := a.X != b.X && (a.Y != b.Y || a.Z != b.Z)
	if !slope {
		if after > 0 && after < len(r.stations) && r.stations[after].X > hi {
			r.gap(m, p, a, b, after)
		}
		return
	}
	for ; after < len(r.stations); after++ {
		if after > 0 {
			from, to := r.stations[after-1].X+rounding, r.stations[after].X-rounding
			if from < max(a.X, b.X) && to > min(a.X, b.X) && from < to {
				r.gap(m, p, along(a, b, from, to), along(b, a, from, to), after)
			}
		}
		if r.stations[after].X > hi {
			return
		}
	}
}

// along returns the place on the way from a to b that is nearest to a with its
// X within lo..hi.
func along(a, b machine.Position, lo, hi float64) machine.Position {
	x := max(lo, min(hi, a.X))
	t := (x - a.X) / (b.X - a.X)
	return machine.Position{X: x, Y: a.Y + (b.Y-a.Y)*t, Z: a.Z + (b.Z-a.Z)*t}
}

// gap looks at a motion between station after and the one before it. What both
// hold does not change along X there, so the motion meets it as its shadow
// along X does.
func (r *runner) gap(m *machine.Motion, p *Part, a, b machine.Position, after int) {
	k := r.inGear(p.shadow(a, b))
	if len(k.Pts) < 3 {
		return
	}
	x := (a.X + b.X) / 2 // where it is lowest, if anywhere
	switch {
	case a.Z < b.Z:
		x = a.X
	case b.Z < a.Z:
		x = b.X
	}
	amount := math.Inf(1)
	depth := [2]float64{math.Inf(1), math.Inf(1)}
	least := taken{area: math.Inf(1)}
	back := r.toGear.Inverse()
	for _, j := range []int{after - 1, after} {
		s := r.stations[j]
		if first := r.twin[j]; first >= 0 {
			s.Waste = r.stations[first].Waste
		}
		d := r.depths(&s, k)
		depth = [2]float64{min(depth[0], d[0]), min(depth[1], d[1])}
		amount = min(amount, r.met(&s, k))
		got := taken{box: geom.EmptyBox()}
		s.Waste.Overlaps(k, &r.buf, func(c geom.Convex) { got.add(c, back) })
		if got.area < least.area {
			least = got
		}
	}
	if p.Cuts && m.Kind != machine.Rapid {
		r.overcut(m, x, depth)
		if r.bite.area == 0 && !least.nothing() {
			r.bite.note(least, x)
		}
		return
	}
	if amount >= CutLimit {
		r.touch(m, p, x, amount, depth)
	}
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

// cut takes one part's section out of one station.
func (r *runner) cut(m *machine.Motion, p *Part, j int) {
	s, k := &r.stations[j], r.inGear(r.sections[j])
	if !p.Cuts || m.Kind == machine.Rapid {
		if amount := r.met(s, k); amount >= CutLimit {
			r.touch(m, p, s.X, amount, r.depths(s, k))
		}
		return
	}
	r.remove(j, k)
	r.overcut(m, s.X, r.depths(s, k))
}

func samePoints(a, b []geom.Vec) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// taken is the metal that one cut takes at one station: its area and how far
// it extends, cutter upright.
type taken struct {
	area float64
	box  geom.Box
}

// add counts a piece. Skins that rounding left between two passes do not load
// the cutter.
func (t *taken) add(c geom.Convex, upright geom.Rotation) {
	t.area += geom.Area(c.Pts)
	if c.Breadth() < grazing {
		return
	}
	for _, p := range c.Pts {
		t.box = t.box.Grow(upright.Apply(p))
	}
}

// nothing says that the cut loads no cutter.
func (t *taken) nothing() bool { return t.area == 0 || math.IsInf(t.box.Lo.Y, 1) }

// remove cuts k out of the station's waste and notes how much that was.
func (r *runner) remove(j int, k geom.Convex) {
	s := &r.stations[j]
	got := taken{box: geom.EmptyBox()}
	back := r.toGear.Inverse()
	s.Waste = s.Waste.Subtract(k, &r.buf, func(c geom.Convex) { got.add(c, back) })
	if got.nothing() {
		return
	}
	r.bite.note(got, s.X)
	r.bite.at = append(r.bite.at, j)
}

// note counts what was taken at x.
func (t *bite) note(got taken, x float64) {
	t.area = max(t.area, got.area)
	t.depth = max(t.depth, got.box.Hi.Z-got.box.Lo.Z)
	t.width = max(t.width, got.box.Hi.Y-got.box.Lo.Y)
	t.xlo, t.xhi = min(t.xlo, x), max(t.xhi, x)
}

// also notes that a twin of station first, at x, was cut like it.
func (t *bite) also(first int, x float64) {
	for _, j := range t.at {
		if j == first {
			t.xlo, t.xhi = min(t.xlo, x), max(t.xhi, x)
		}
	}
}

// depths returns how deep k reaches into the station's solids, by role.
func (r *runner) depths(s *Station, k geom.Convex) (depth [2]float64) {
	for i := range s.Keep {
		solid := &s.Keep[i]
		d := solid.depth(k, &r.buf)
		depth[solid.Role] = max(depth[solid.Role], d)
	}
	return depth
}

// depth returns how deep k reaches into the solid's metal: the greatest
// distance from the solid's surface that is found in the overlap, and the
// greatest way out of k of any corner of the surface inside it.
func (s *Solid) depth(k geom.Convex, buf *geom.Scratch) float64 {
	var deepest float64
	touched := false
	s.Metal.Overlaps(k, buf, func(in geom.Convex) {
		if in.Breadth() < grazing {
			return
		}
		touched = true
		deepest = max(deepest, farthest(in, s.Outline))
	})
	if !touched {
		return 0
	}
	for _, p := range s.Outline {
		if k.Contains(p) {
			out := math.Inf(1)
			for i, a := range k.Pts {
				out = min(out, geom.Distance(p, []geom.Vec{a, k.Pts[(i+1)%len(k.Pts)]}))
			}
			deepest = max(deepest, out)
		}
	}
	return deepest
}

// farthest returns the greatest distance from the line that is found in c.
// Where a cut goes right through, that point lies in its midst: from the best
// probe the search goes on in steps that grow shorter.
func farthest(c geom.Convex, line []geom.Vec) float64 {
	var at geom.Vec
	best := 0.0
	c.Probe(func(p geom.Vec) float64 {
		d := geom.Distance(p, line)
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
				if d := geom.Distance(p, line); d > best+step/50 && c.Contains(p) {
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
	if d := depth[Neighbour]; d > CutLimit {
		r.find(CutNeighbour, m.Line, d, "", "tool %d cuts %.3f mm into a standing tooth at X %.3f", r.tool.Number, d, x)
	}
	if d := depth[Target]; d > CutLimit {
		r.find(CutTarget, m.Line, d, "", "tool %d cuts %.3f mm into the finished part at X %.3f", r.tool.Number, d, x)
	}
}

// met returns how much metal of any kind k overlaps, as a breadth.
func (r *runner) met(s *Station, k geom.Convex) (amount float64) {
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

// judge looks at a whole motion: spindle, feed, depth.
func (r *runner) judge(m *machine.Motion) {
	if m.Kind == machine.Rapid {
		return
	}
	t, st, s, b := r.tool, m.State, r.setup, &r.bite
	switch {
	case st.Spindle == machine.Off:
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed with the spindle standing still", t.Number)
	case st.Spindle == machine.CCW:
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed with the spindle turning backwards", t.Number)
	case !(st.Speed > 0):
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed with no spindle speed stated", t.Number)
	case s.MaxRpm > 0 && st.Speed > s.MaxRpm+0.5 || s.MinRpm > 0 && st.Speed < s.MinRpm-0.5:
		r.find(NoSpeed, m.Line, 0, "", "spindle speed %.0f is outside the machine's %.0f to %.0f rev/min", st.Speed, s.MinRpm, s.MaxRpm)
	case t.MaxRpm > 0 && st.Speed > t.MaxRpm:
		r.find(NoSpeed, m.Line, 0, "", "spindle speed %.0f burns tool %d, good for %.0f rev/min", st.Speed, t.Number, t.MaxRpm)
	case s.HandSpeed && r.speed == 0:
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed before a stop at which the operator could set and start the spindle", t.Number)
	case s.HandSpeed && float64(r.speed) != st.Speed:
		r.find(NoSpeed, m.Line, 0, "", "the operator is told to set %d rev/min where the program counts on %.0f", r.speed, st.Speed)
	}
	if s.MaxFeed > 0 && m.Feed > s.MaxFeed+0.5 {
		r.find(NoFeed, m.Line, 0, "machine", "feed %.0f is more than the machine's %.0f mm/min", m.Feed, s.MaxFeed)
	}
	if b.area == 0 {
		return
	}
	sideways := m.Arc != nil || m.To.X != m.From.X || m.To.Y != m.From.Y
	if !sideways && b.drop > 0 && t.MaxDown > 0 && m.Feed > t.MaxDown {
		r.find(NoFeed, m.Line, 0, "down", "feed %.0f mm/min straight down is more than tool %d bears, %.0f", m.Feed, t.Number, t.MaxDown)
	}
	if t.MaxFeed > 0 && m.Feed > t.MaxFeed {
		r.find(NoFeed, m.Line, 0, "", "feed %.0f mm/min is more than tool %d bears, %.0f", m.Feed, t.Number, t.MaxFeed)
	} else if t.MaxChip > 0 && st.Speed > 0 && t.Teeth > 0 && m.Feed/(st.Speed*float64(t.Teeth)) > t.MaxChip {
		r.find(NoFeed, m.Line, 0, "", "a chip of %.3f mm a tooth is more than tool %d bears, %.3f", m.Feed/(st.Speed*float64(t.Teeth)), t.Number, t.MaxChip)
	}
	if t.NoPlunge && b.drop > 0 {
		r.find(TooDeep, m.Line, b.drop, "down", "tool %d cuts while it moves down, which it cannot", t.Number)
	}
	// A cut across X has its breadth along X.
	width := b.width
	if math.Abs(m.To.Y-m.From.Y) > math.Abs(m.To.X-m.From.X) {
		c, rad := max(m.To.X, m.From.X), t.Diameter/2
		width = min(c+rad-b.xlo, b.xhi-(min(m.To.X, m.From.X)-rad))
	}
	if sideways && t.MaxDepth > 0 && b.depth > t.MaxDepth+depthSlack && width > wideShare*t.Diameter {
		r.find(TooDeep, m.Line, b.depth, "", "tool %d takes %.3f mm deep and %.3f mm wide at once; its limit is %.3f", t.Number, b.depth, width, t.MaxDepth)
	}
	if side := b.area / b.depth; sideways && t.MaxSide > 0 && side > t.MaxSide+depthSlack {
		r.find(TooDeep, m.Line, side, "side", "tool %d takes %.3f mm sideways at once; its limit is %.3f", t.Number, side, t.MaxSide)
	}
	r.leastMinutes(m)
}

// keepOuts looks for any part of the tool in a box, program coordinates.
func (r *runner) keepOuts(m *machine.Motion, a, b machine.Position) {
	for i := range r.setup.KeepOuts {
		k := &r.setup.KeepOuts[i]
		low, high := min(a.Z, b.Z)-r.setup.ZShift, max(a.Z, b.Z)-r.setup.ZShift
		for j := range r.tool.Parts {
			p := &r.tool.Parts[j]
			// A ramp is taken as if it were at all its heights at once.
			if low+p.Z0 >= k.Z[1] || high+p.Z1 <= k.Z[0] {
				continue
			}
			if d := segmentToBox(a, b, k); d < max(p.R0, p.R1) {
				r.find(InKeepOut, m.Line, max(p.R0, p.R1)-d, k.Name, "the %s of tool %d enters %q", p.Name, r.tool.Number, k.Name)
			}
		}
	}
}

// segmentToBox is the plan distance of a straight path from the box.
func segmentToBox(a, b machine.Position, k *KeepOut) float64 {
	box := geom.Rect(k.X[0], k.Y[0], k.X[1], k.Y[1])
	p, q := geom.Vec{Y: a.X, Z: a.Y}, geom.Vec{Y: b.X, Z: b.Y}
	if box.Contains(p) || box.Contains(q) {
		return 0
	}
	path := []geom.Vec{p, q}
	d := math.Inf(1)
	ring := append(append([]geom.Vec(nil), box.Pts...), box.Pts[0])
	for _, c := range box.Pts {
		d = min(d, geom.Distance(c, path))
	}
	d = min(d, geom.Distance(p, ring), geom.Distance(q, ring))
	// Crossing paths have no near corner: look at where the path meets the box.
	for i := 1; i < len(ring); i++ {
		u, v := ring[i-1], ring[i]
		if q.Sub(p).Cross(u.Sub(p))*q.Sub(p).Cross(v.Sub(p)) < 0 && v.Sub(u).Cross(p.Sub(u))*v.Sub(u).Cross(q.Sub(u)) < 0 {
			return 0
		}
	}
	return d
}
