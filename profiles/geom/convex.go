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

// Bounds returns the box of the points.
func Bounds(pts []Vec) Box {
	b := EmptyBox()
	for _, p := range pts {
		b = b.Grow(p)
	}
	return b
}

// Area returns the signed area of a ring, positive counter-clockwise (Y
// right, Z up).
func Area(ring []Vec) float64 {
	var s float64
	for i, p := range ring {
		s += p.Cross(ring[(i+1)%len(ring)])
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
	pts := make([]Vec, len(c.Pts))
	for i, p := range c.Pts {
		pts[i] = r.Apply(p)
	}
	return NewConvex(pts...)
}

// Breadth returns the area over half the perimeter: about the breadth of a thin
// piece, used to drop slivers.
func (c Convex) Breadth() float64 {
	var per float64
	for i, p := range c.Pts {
		per += c.Pts[(i+1)%len(c.Pts)].Sub(p).Norm()
	}
	if per == 0 {
		return 0
	}
	return 2 * Area(c.Pts) / per
}

// Probes returns the points at which a piece's distance from a curve is taken:
// its corners, the middles of its edges and its own middle.
func (c Convex) Probes(dst []Vec) []Vec {
	dst = append(dst, c.Pts...)
	var sum Vec
	for i, p := range c.Pts {
		dst = append(dst, p.Lerp(c.Pts[(i+1)%len(c.Pts)], 0.5))
		sum = sum.Add(p)
	}
	return append(dst, sum.Scale(1/float64(len(c.Pts))))
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

// cut appends to in the part of ring inside h and to out the rest. A point
// within Eps of the line counts as on it, and goes to both.
func (h half) cut(ring []Vec, in, out []Vec) ([]Vec, []Vec) {
	last := ring[len(ring)-1]
	ls := h.side(last)
	for _, p := range ring {
		s := h.side(p)
		if (ls < 0 && s > 0) || (ls > 0 && s < 0) {
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

func (h half) side(p Vec) float64 {
	s := h.n.Dot(p) - h.d
	if s < Eps && s > -Eps {
		return 0
	}
	return s
}

// Clip returns the part of c inside k; its Pts are empty when their overlap is
// thinner than Overlap. The points are only good until buf is used again.
func (c Convex) Clip(k Convex, buf *Scratch) Convex {
	if !c.Box.Meets(k.Box) {
		return Convex{}
	}
	return c.clip(buf.edges(k), buf)
}

// clip is Clip by half planes.
func (c Convex) clip(edges []half, buf *Scratch) Convex {
	cur := append(buf.a[:0], c.Pts...)
	spare := buf.b[:0]
	for _, h := range edges {
		spare, buf.c = h.cut(cur, spare[:0], buf.c[:0])
		cur, spare = spare, cur
		if len(cur) < 3 {
			buf.a, buf.b = cur, spare
			return Convex{}
		}
	}
	buf.a, buf.b = cur, spare
	p := NewConvex(cur...)
	if p.Breadth() < Overlap {
		return Convex{}
	}
	return p
}

// Scratch is working memory for cutting pieces, reused from call to call.
type Scratch struct {
	a, b, c []Vec
	h       []half
}

// edges returns the half planes that bound k.
func (s *Scratch) edges(k Convex) []half {
	s.h = s.h[:0]
	for i := range k.Pts {
		if h, ok := edge(k.Pts[i], k.Pts[(i+1)%len(k.Pts)]); ok {
			s.h = append(s.h, h)
		}
	}
	return s.h
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

// Subtract removes k from the region in place and returns what is left.
// Each removed piece is handed to removed, when that is not nil; the piece's
// points are only good until the next call.
func (r Region) Subtract(k Convex, buf *Scratch, removed func(Convex)) Region {
	var fresh []Convex
	edges := buf.edges(k)
	for i := 0; i < len(r); {
		if !r[i].Box.Meets(k.Box) {
			i++
			continue
		}
		in := r[i].clip(edges, buf)
		if len(in.Pts) == 0 {
			i++
			continue
		}
		if removed != nil {
			removed(in)
		}
		fresh = split(r[i], edges, buf, fresh)
		r[i] = r[len(r)-1]
		r = r[:len(r)-1]
	}
	return append(r, fresh...)
}

// split appends to dst the convex parts of c outside the half planes.
func split(c Convex, edges []half, buf *Scratch, dst []Convex) []Convex {
	rest, spare := append(buf.a[:0], c.Pts...), buf.b[:0]
	for _, h := range edges {
		var outside []Vec
		spare, outside = h.cut(rest, spare[:0], buf.c[:0])
		rest, spare, buf.c = spare, rest, outside
		if len(outside) >= 3 {
			if p := (Convex{Pts: outside}); p.Breadth() >= Sliver {
				dst = append(dst, NewConvex(append([]Vec(nil), outside...)...))
			}
		}
	}
	buf.a, buf.b = rest, spare
	return dst
}

// Overlaps visits the parts of the region inside k; each is only good until
// the next.
func (r Region) Overlaps(k Convex, buf *Scratch, visit func(Convex)) {
	edges := buf.edges(k)
	for _, c := range r {
		if !c.Box.Meets(k.Box) {
			continue
		}
		if in := c.clip(edges, buf); len(in.Pts) > 0 {
			visit(in)
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
