package elastic

import (
	"errors"
	"math"

	"cogmend/profiles/geom"
)

// ErrMesh: the loop crosses itself or is too thin to be filled with triangles.
var ErrMesh = errors.New("the section cannot be divided into triangles")

// triangle has its corners anticlockwise; next[i] is the triangle across the
// side opposite corner i, or none; a fixed side belongs to the loop.
type triangle struct {
	v, next [3]int32
	fixed   [3]bool
	outside bool
}

const none = int32(-1)

// triangulation is a Delaunay triangulation whose fixed sides are never
// flipped.
type triangulation struct {
	p     []geom.Vec
	tri   []triangle
	at    []int32 // of each point, one triangle that has it
	last  int32
	eps   float64 // a point this far beyond a side is taken to lie on it
	flips [][2]int32
}

// Triangulate fills a simple anticlockwise loop with triangles whose sides are
// about size long. The points of the loop come first in the points returned,
// and each of its sides is a side of one triangle: it is divided as finely as
// the caller divided it.
func Triangulate(loop []geom.Vec, size func(geom.Vec) float64) ([]geom.Vec, [][3]int32, error) {
	t, err := newTriangulation(loop)
	if err != nil {
		return nil, nil, err
	}
	t.refine(size)
	t.smooth(len(loop))
	t.refine(size)
	t.smooth(len(loop))
	return t.result()
}

// newTriangulation is the constrained triangulation of the loop's own points.
func newTriangulation(loop []geom.Vec) (*triangulation, error) {
	n := len(loop)
	t := &triangulation{p: append(make([]geom.Vec, 0, 4*n), loop...), at: make([]int32, n+3, 4*n)}
	lo, hi := loop[0], loop[0]
	for _, p := range loop {
		lo = geom.Vec{Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = geom.Vec{Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	t.eps = 1e-11 * max(hi.Y-lo.Y, hi.Z-lo.Z)
	d := 20 * max(hi.Y-lo.Y, hi.Z-lo.Z)
	mid := geom.Vec{Y: (lo.Y + hi.Y) / 2, Z: (lo.Z + hi.Z) / 2}
	t.p = append(t.p, geom.Vec{Y: mid.Y - d, Z: mid.Z - d}, geom.Vec{Y: mid.Y + d, Z: mid.Z - d}, geom.Vec{Y: mid.Y, Z: mid.Z + d})
	a := int32(n)
	t.tri = append(t.tri, triangle{v: [3]int32{a, a + 1, a + 2}, next: [3]int32{none, none, none}})
	for i := range n {
		at, ok := t.locate(t.last, t.p[i])
		if !ok {
			return nil, ErrMesh
		}
		t.insert(int32(i), at)
	}
	for i := range n {
		if !t.recover(int32(i), int32((i+1)%n)) {
			return nil, ErrMesh
		}
	}
	// What can be reached from the great triangle without crossing the loop
	// is outside.
	stack := []int32{t.at[a]}
	t.tri[t.at[a]].outside = true
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for i, nb := range t.tri[k].next {
			if nb != none && !t.tri[k].fixed[i] && !t.tri[nb].outside {
				t.tri[nb].outside = true
				stack = append(stack, nb)
			}
		}
	}
	return t, nil
}

// turn is twice the area of a, b, c: positive when they run anticlockwise.
func turn(a, b, c geom.Vec) float64 {
	return (b.Y-a.Y)*(c.Z-a.Z) - (b.Z-a.Z)*(c.Y-a.Y)
}

// inCircle is positive when d lies inside the circle through a, b, c, which
// run anticlockwise.
func inCircle(a, b, c, d geom.Vec) float64 {
	ay, az, by, bz, cy, cz := a.Y-d.Y, a.Z-d.Z, b.Y-d.Y, b.Z-d.Z, c.Y-d.Y, c.Z-d.Z
	return (ay*ay+az*az)*(by*cz-cy*bz) - (by*by+bz*bz)*(ay*cz-cy*az) + (cy*cy+cz*cz)*(ay*bz-by*az)
}

// locate walks from triangle k to the one that holds q, never across a fixed
// side; false when one stands in the way.
func (t *triangulation) locate(k int32, q geom.Vec) (int32, bool) {
	for range 4*len(t.tri) + 8 {
		tr := &t.tri[k]
		best, side := -t.eps, -1
		for i := range 3 {
			a, b := t.p[tr.v[(i+1)%3]], t.p[tr.v[(i+2)%3]]
			if s := turn(a, b, q) / math.Hypot(b.Y-a.Y, b.Z-a.Z); s < best {
				best, side = s, i
			}
		}
		if side < 0 {
			return k, true
		}
		if tr.next[side] == none || tr.fixed[side] {
			return k, false
		}
		k = tr.next[side]
	}
	return k, false
}

// link makes b the neighbour of a in place of old.
func (t *triangulation) link(a, old, b int32) {
	if a == none {
		return
	}
	for i, n := range t.tri[a].next {
		if n == old {
			t.tri[a].next[i] = b
			return
		}
	}
}

// insert puts point i into triangle k and restores Delaunay's property.
func (t *triangulation) insert(i, k int32) {
	tr := t.tri[k]
	a, b := int32(len(t.tri)), int32(len(t.tri))+1
	v, nx, fx := tr.v, tr.next, tr.fixed
	part := func(o int) triangle { // the side opposite corner o, and the point
		return triangle{v: [3]int32{i, v[(o+1)%3], v[(o+2)%3]}, next: [3]int32{nx[o], none, none}, fixed: [3]bool{fx[o]}, outside: tr.outside}
	}
	p0, p1, p2 := part(0), part(1), part(2) // sides v1v2, v2v0, v0v1
	p0.next[1], p0.next[2] = a, b           // across v2-i lies p1, across i-v1 lies p2
	p1.next[1], p1.next[2] = b, k
	p2.next[1], p2.next[2] = k, a
	t.tri[k] = p0
	t.tri = append(t.tri, p1, p2)
	t.link(nx[1], k, a)
	t.link(nx[2], k, b)
	for int(i) >= len(t.at) {
		t.at = append(t.at, none)
	}
	t.at[i], t.at[v[0]], t.at[v[1]], t.at[v[2]] = k, a, k, k
	t.last = k
	t.flips = append(t.flips[:0], [2]int32{k, i}, [2]int32{a, i}, [2]int32{b, i})
	t.legalise()
}

// legalise flips sides opposite the waiting points until no circle holds a
// point that can be seen from it.
func (t *triangulation) legalise() {
	for len(t.flips) > 0 {
		f := t.flips[len(t.flips)-1]
		t.flips = t.flips[:len(t.flips)-1]
		k := f[0]
		i := corner(&t.tri[k], f[1])
		if i < 0 {
			continue
		}
		nb := t.tri[k].next[i]
		if nb == none || t.tri[k].fixed[i] {
			continue
		}
		o := t.opposite(nb, k)
		tr := &t.tri[k]
		a, b, c, d := t.p[tr.v[0]], t.p[tr.v[1]], t.p[tr.v[2]], t.p[t.tri[nb].v[o]]
		if turn(a, b, c) > 0 && inCircle(a, b, c, d) <= 1e-12*sq(sq(d.Y-a.Y)+sq(d.Z-a.Z)) || !t.convex(k, i) {
			continue
		}
		t.flip(k, i)
		t.flips = append(t.flips, [2]int32{k, f[1]}, [2]int32{nb, f[1]})
	}
}

func sq(x float64) float64 { return x * x }

func corner(tr *triangle, v int32) int {
	for i, w := range tr.v {
		if w == v {
			return i
		}
	}
	return -1
}

// opposite returns the corner of nb that faces triangle k.
func (t *triangulation) opposite(nb, k int32) int {
	for i, n := range t.tri[nb].next {
		if n == k {
			return i
		}
	}
	return 0
}

// convex says whether the two triangles at side i of k make a convex figure,
// so that the side can be flipped.
func (t *triangulation) convex(k int32, i int) bool {
	nb := t.tri[k].next[i]
	tr := &t.tri[k]
	a, b, c := t.p[tr.v[i]], t.p[tr.v[(i+1)%3]], t.p[tr.v[(i+2)%3]]
	d := t.p[t.tri[nb].v[t.opposite(nb, k)]]
	scale := 1e-12 * (sq(d.Y-a.Y) + sq(d.Z-a.Z))
	return turn(a, b, d) > scale && turn(a, d, c) > scale
}

// flip turns side i of triangle k: of a, b, c and d across bc are made a, b, d
// (still k) and a, d, c (still the neighbour).
func (t *triangulation) flip(k int32, i int) {
	nb := t.tri[k].next[i]
	o := t.opposite(nb, k)
	x, y := t.tri[k], t.tri[nb]
	j, l := (i+1)%3, (i+2)%3
	a, b, c, d := x.v[i], x.v[j], x.v[l], y.v[o]
	// In nb, anticlockwise from d: d, c, b.
	oc, ob := (o+1)%3, (o+2)%3
	t.tri[k] = triangle{v: [3]int32{a, b, d}, next: [3]int32{y.next[oc], nb, x.next[l]},
		fixed: [3]bool{y.fixed[oc], false, x.fixed[l]}, outside: x.outside}
	t.tri[nb] = triangle{v: [3]int32{a, d, c}, next: [3]int32{y.next[ob], x.next[j], k},
		fixed: [3]bool{y.fixed[ob], x.fixed[j], false}, outside: x.outside}
	t.link(y.next[oc], nb, k)
	t.link(x.next[j], k, nb)
	t.at[a], t.at[b], t.at[c], t.at[d] = k, k, nb, k
}

// around calls f for each triangle that has point i, until f says stop.
func (t *triangulation) around(i int32, f func(k int32, c int) bool) {
	start := t.at[i]
	for k := start; k != none; {
		c := corner(&t.tri[k], i)
		if f(k, c) {
			return
		}
		if k = t.tri[k].next[(c+1)%3]; k == start {
			return
		}
	}
	// A rim of the great triangle was met: the other way round.
	for k := t.tri[start].next[(corner(&t.tri[start], i)+2)%3]; k != none; {
		c := corner(&t.tri[k], i)
		if f(k, c) {
			return
		}
		k = t.tri[k].next[(c+2)%3]
	}
}

// recover makes the side from point a to point b a fixed one, by flipping what
// crosses it (S. W. Sloan, A fast algorithm for generating constrained
// Delaunay triangulations, Computers & Structures 47, 1993; from memory).
func (t *triangulation) recover(a, b int32) bool {
	for range 4 * len(t.tri) {
		if t.fix(a, b) {
			return true
		}
		if !t.uncross(a, b) {
			return false
		}
	}
	return false
}

// fix marks the side from a to b where it exists.
func (t *triangulation) fix(a, b int32) (found bool) {
	t.around(a, func(k int32, c int) bool {
		for _, s := range [2]int{1, 2} { // the other end at corner c+s
			if t.tri[k].v[(c+s)%3] != b {
				continue
			}
			side := (c + 3 - s) % 3
			t.tri[k].fixed[side] = true
			if nb := t.tri[k].next[side]; nb != none {
				t.tri[nb].fixed[t.opposite(nb, k)] = true
			}
			found = true
		}
		return found
	})
	return found
}

// uncross walks along a-b and flips the first side across it that can be
// flipped.
func (t *triangulation) uncross(a, b int32) (ok bool) {
	pa, pb := t.p[a], t.p[b]
	k, side := none, 0
	t.around(a, func(n int32, c int) bool {
		u, w := t.p[t.tri[n].v[(c+1)%3]], t.p[t.tri[n].v[(c+2)%3]]
		if turn(pa, pb, u) < 0 && turn(pa, pb, w) > 0 && turn(u, w, pb) < 0 {
			k, side = n, c
			return true
		}
		return false
	})
	for k != none {
		if t.tri[k].fixed[side] {
			return false
		}
		if t.convex(k, side) {
			t.flip(k, side)
			return true
		}
		// On to the next side that a-b crosses.
		nb := t.tri[k].next[side]
		if nb == none {
			return false
		}
		o := t.opposite(nb, k)
		apex := t.tri[nb].v[o]
		if apex == b {
			return false
		}
		// nb runs apex, c, b: apex right of a-b leaves by the side apex-left.
		if turn(pa, pb, t.p[apex]) < 0 {
			o = t.leftSide(nb, o, pa, pb, true)
		} else {
			o = t.leftSide(nb, o, pa, pb, false)
		}
		k, side = nb, o
	}
	return false
}

// leftSide returns the side of triangle nb at its corner o that a-b leaves by:
// its other end lies left of a-b when left is true, else right.
func (t *triangulation) leftSide(nb int32, o int, pa, pb geom.Vec, left bool) int {
	for _, s := range [2]int{1, 2} {
		if (turn(pa, pb, t.p[t.tri[nb].v[(o+s)%3]]) > 0) == left {
			return (o + 3 - s) % 3 // opposite the corner that is not on it
		}
	}
	return o
}
