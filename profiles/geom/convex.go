package geom

import "math"

// Box is an upright rectangle.
type Box struct{ Lo, Hi Vec }

// EmptyBox holds nothing and can be grown.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Vec{inf, inf}, Vec{-inf, -inf}}
}

// Grow returns the box enlarged to hold v.
func (b Box) Grow(v Vec) Box {
	return Box{Vec{min(b.Lo.Y, v.Y), min(b.Lo.Z, v.Z)}, Vec{max(b.Hi.Y, v.Y), max(b.Hi.Z, v.Z)}}
}

// Union returns the least box that holds both.
func (b Box) Union(c Box) Box { return b.Grow(c.Lo).Grow(c.Hi) }

// Meets says whether the boxes share more than an edge.
func (b Box) Meets(c Box) bool {
	return b.Lo.Y < c.Hi.Y && c.Lo.Y < b.Hi.Y && b.Lo.Z < c.Hi.Z && c.Lo.Z < b.Hi.Z
}

// Contains says whether p lies in b or within Eps of it.
func (b Box) Contains(p Vec) bool {
	return p.Y >= b.Lo.Y-Eps && p.Y <= b.Hi.Y+Eps && p.Z >= b.Lo.Z-Eps && p.Z <= b.Hi.Z+Eps
}

// Bounds returns the box of the points, which must be numbers.
func Bounds(pts []Vec) Box {
	b := EmptyBox()
	for _, p := range pts {
		// Twice as fast as min and max, which look out for NaN.
		if p.Y < b.Lo.Y {
			b.Lo.Y = p.Y
		}
		if p.Y > b.Hi.Y {
			b.Hi.Y = p.Y
		}
		if p.Z < b.Lo.Z {
			b.Lo.Z = p.Z
		}
		if p.Z > b.Hi.Z {
			b.Hi.Z = p.Z
		}
	}
	return b
}

// Area returns the signed area of a ring, positive counter-clockwise (Y
// right, Z up).
func Area(ring []Vec) float64 {
	if len(ring) < 3 {
		return 0
	}
	// From a corner of its own: from the origin a small ring far away would
	// lose all its figures.
	var s float64
	last := ring[1].Sub(ring[0])
	for _, p := range ring[2:] {
		d := p.Sub(ring[0])
		s += last.Cross(d)
		last = d
	}
	return s / 2
}

// Convex is a convex polygon, counter-clockwise, with its box kept beside it.
type Convex struct {
	Pts []Vec
	Box Box
}

// NewConvex wraps points that are convex and counter-clockwise.
func NewConvex(pts ...Vec) Convex { return Convex{pts, Bounds(pts)} }

// Rect returns the upright rectangle between two corners.
func Rect(y0, z0, y1, z1 float64) Convex {
	return NewConvex(Vec{y0, z0}, Vec{y1, z0}, Vec{y1, z1}, Vec{y0, z1})
}

// Turned returns c turned by r.
func (c Convex) Turned(r Rotation) Convex {
	return NewConvex(r.ApplyAll(c.Pts)...)
}

// Breadth returns the area over half the perimeter: about the breadth of a thin
// piece, used to drop slivers.
func (c Convex) Breadth() float64 { return breadth(c.Pts) }

func breadth(ring []Vec) float64 {
	if len(ring) == 0 {
		return 0
	}
	var per float64
	last := ring[len(ring)-1]
	for _, p := range ring {
		per += p.Sub(last).Norm()
		last = p
	}
	if per == 0 {
		return 0
	}
	return 2 * Area(ring) / per
}

// thick says that the breadth of a convex ring is at least b. The ring is no
// longer than that of any box around it, so mostly its area is enough to tell.
func thick(ring []Vec, around Box, b float64) bool {
	size := around.Hi.Sub(around.Lo)
	return Area(ring) >= b*(size.Y+size.Z) || breadth(ring) >= b
}

// Probe visits the points at which a piece's distance from a curve is taken,
// which visit returns: its corners, its middle, the middle of each edge, and
// where the parabola through an edge's three distances is highest.
func (c Convex) Probe(visit func(Vec) float64) {
	last := c.Pts[len(c.Pts)-1]
	before := visit(last)
	var sum Vec
	for _, p := range c.Pts {
		after := visit(p)
		sum = sum.Add(p)
		mid := visit(last.Lerp(p, 0.5))
		if bend := 2*mid - before - after; bend > 0 {
			if t := 0.5 + (after-before)/(4*bend); t > 0 && t < 1 && t != 0.5 {
				visit(last.Lerp(p, t))
			}
		}
		last, before = p, after
	}
	visit(sum.Scale(1 / float64(len(c.Pts))))
}

// Contains says whether p lies in c or within Eps of it.
func (c Convex) Contains(p Vec) bool {
	for i, a := range c.Pts {
		b := c.Pts[(i+1)%len(c.Pts)]
		d := b.Sub(a)
		if d.Cross(p.Sub(a)) < -Eps*d.Norm() {
			return false
		}
	}
	return true
}

// half is a half plane: the points p with n.p >= d, n of length 1.
type half struct {
	n Vec
	d float64
}

// edge returns the half plane to the left of a -> b, and false for a point.
func edge(a, b Vec) (half, bool) {
	t := b.Sub(a)
	l := t.Norm()
	if l < Eps {
		return half{}, false
	}
	n := Vec{-t.Z / l, t.Y / l}
	return half{n, n.Dot(a)}, true
}

// span returns how far inside h the box reaches at least and at most.
func (h half) span(b Box) (least, most float64) {
	lo, hi := b.Lo, b.Hi
	if h.n.Y < 0 {
		lo.Y, hi.Y = hi.Y, lo.Y
	}
	if h.n.Z < 0 {
		lo.Z, hi.Z = hi.Z, lo.Z
	}
	return h.n.Dot(lo) - h.d, h.n.Dot(hi) - h.d
}

// apart says that the box lies outside one of the half planes.
func apart(b Box, edges []half) bool {
	for _, h := range edges {
		if _, most := h.span(b); most < Eps {
			return true
		}
	}
	return false
}

// sides appends on which side of h each corner lies: how far inside, 0 within
// Eps of the line. It also returns the least and the greatest.
func (h half) sides(ring []Vec, dst []float64) (sides []float64, least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, p := range ring {
		s := h.n.Y*p.Y + h.n.Z*p.Z - h.d
		if s < Eps && s > -Eps {
			s = 0
		}
		dst = append(dst, s)
		if s < least {
			least = s
		}
		if s > most {
			most = s
		}
	}
	return dst, least, most
}

// cut appends to in the part of ring inside a half plane, to out the rest;
// sides are of its corners. A corner on the line goes to both.
func cut(ring []Vec, sides []float64, in, out []Vec) ([]Vec, []Vec) {
	last, ls := ring[len(ring)-1], sides[len(sides)-1]
	for i, p := range ring {
		s := sides[i]
		if ls*s < 0 {
			x := last.Lerp(p, ls/(ls-s))
			in = append(in, x)
			out = append(out, x)
		}
		if s >= 0 {
			in = append(in, p)
		}
		if s <= 0 {
			out = append(out, p)
		}
		last, ls = p, s
	}
	return in, out
}

// Scratch is working memory for cutting pieces, reused from call to call.
type Scratch struct {
	a, b, out []Vec
	ends      []int // of the rings in out
	side      []float64
	planes    []half
	fresh     []Convex
	slab      []Vec // for pieces that stay
}

// edges returns the half planes that bound k.
func (s *Scratch) edges(k Convex) []half {
	s.planes = s.planes[:0]
	for i := range k.Pts {
		if h, ok := edge(k.Pts[i], k.Pts[(i+1)%len(k.Pts)]); ok {
			s.planes = append(s.planes, h)
		}
	}
	return s.planes
}

// split returns the part of c inside all half planes, nil when it is thinner
// than Overlap. What lies outside them is left in s.out, ring by ring. All of
// it is only good until s is used again.
func (s *Scratch) split(c Convex, edges []half) []Vec {
	s.out, s.ends = s.out[:0], s.ends[:0]
	cur := c.Pts
	for _, h := range edges {
		if least, _ := h.span(c.Box); least > Eps {
			continue
		}
		var least, most float64
		s.side, least, most = h.sides(cur, s.side[:0])
		if most <= 0 {
			return nil
		}
		if least >= 0 {
			continue
		}
		s.b, s.out = cut(cur, s.side, s.b[:0], s.out)
		s.ends = append(s.ends, len(s.out))
		s.a, s.b = s.b, s.a
		cur = s.a
		if len(cur) < 3 {
			return nil
		}
	}
	if len(s.ends) == 0 || thick(cur, c.Box, Overlap) {
		return cur
	}
	return nil
}

// Clip returns the part of c inside k; its Pts are empty when their overlap is
// thinner than Overlap. The points are only good until buf is used again.
func (c Convex) Clip(k Convex, buf *Scratch) Convex {
	if !c.Box.Meets(k.Box) {
		return Convex{}
	}
	in := buf.split(c, buf.edges(k))
	if in == nil {
		return Convex{}
	}
	return NewConvex(in...)
}

// Region is metal: convex pieces that do not overlap.
type Region []Convex

// Area returns the region's area.
func (r Region) Area() float64 {
	var s float64
	for _, c := range r {
		s += Area(c.Pts)
	}
	return s
}

// Bounds returns the box of the region.
func (r Region) Bounds() Box {
	b := EmptyBox()
	for _, c := range r {
		b = b.Union(c.Box)
	}
	return b
}

// Edges returns the least and the greatest Y of the region at height z; the
// least is the greater one when the region does not come there.
func (r Region) Edges(z float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, c := range r {
		for i, a := range c.Pts {
			b := c.Pts[(i+1)%len(c.Pts)]
			if (a.Z-z)*(b.Z-z) <= 0 && a.Z != b.Z {
				y := a.Lerp(b, (z-a.Z)/(b.Z-a.Z)).Y
				least, most = min(least, y), max(most, y)
			}
		}
	}
	return least, most
}

// Subtract removes k from the region in place and returns what is left.
// Each removed piece is handed to removed, when that is not nil; the piece's
// points are only good until the next call.
func (r Region) Subtract(k Convex, buf *Scratch, removed func(Convex)) Region {
	edges := buf.edges(k)
	fresh := buf.fresh[:0]
	for i := 0; i < len(r); {
		if !r[i].Box.Meets(k.Box) || apart(r[i].Box, edges) {
			i++
			continue
		}
		in := buf.split(r[i], edges)
		if in == nil {
			i++
			continue
		}
		if removed != nil {
			removed(NewConvex(in...))
		}
		fresh = buf.keep(fresh)
		r[i] = r[len(r)-1]
		r = r[:len(r)-1]
	}
	buf.fresh = fresh
	return append(r, fresh...)
}

// keep appends to dst the rings in s.out that are no slivers.
func (s *Scratch) keep(dst []Convex) []Convex {
	from := 0
	for _, to := range s.ends {
		ring := s.out[from:to]
		from = to
		if len(ring) < 3 {
			continue
		}
		if c := NewConvex(ring...); thick(ring, c.Box, Sliver) {
			c.Pts = s.hold(ring)
			dst = append(dst, c)
		}
	}
	return dst
}

// slabSize is how many corners are set aside at once, at most; little work
// needs few.
const slabSize = 1024

// hold returns a copy of the ring, in memory that many share.
func (s *Scratch) hold(ring []Vec) []Vec {
	if cap(s.slab)-len(s.slab) < len(ring) {
		s.slab = make([]Vec, 0, max(min(2*cap(s.slab), slabSize), 32, len(ring)))
	}
	from := len(s.slab)
	s.slab = append(s.slab, ring...)
	return s.slab[from:len(s.slab):len(s.slab)]
}

// Overlaps visits the parts of the region inside k; each is only good until
// the next.
func (r Region) Overlaps(k Convex, buf *Scratch, visit func(Convex)) {
	edges := buf.edges(k)
	for i := range r {
		c := &r[i] // not copied: most are passed over
		if !c.Box.Meets(k.Box) || apart(c.Box, edges) {
			continue
		}
		if in := buf.split(*c, edges); in != nil {
			visit(NewConvex(in...))
		}
	}
}

// Intersect returns the parts of r inside the pieces of s.
func (r Region) Intersect(s Region) Region {
	var out Region
	var buf Scratch
	for _, k := range s {
		r.Overlaps(k, &buf, func(c Convex) {
			c.Pts = append([]Vec(nil), c.Pts...)
			out = append(out, c)
		})
	}
	return out
}

// Minus returns r less all pieces of s; r is not changed.
func (r Region) Minus(s Region) Region {
	out := append(Region(nil), r...)
	var buf Scratch
	for _, k := range s {
		out = out.Subtract(k, &buf, nil)
	}
	return out
}

// Turned returns the region turned by a radians.
func (r Region) Turned(a float64) Region {
	t := Turn(a)
	out := make(Region, len(r))
	for i, c := range r {
		out[i] = c.Turned(t)
	}
	return out
}
