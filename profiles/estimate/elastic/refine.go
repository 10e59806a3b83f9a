package elastic

import (
	"math"

	"cogmend/profiles/geom"
)

// Shape of the triangles: a side of an equilateral triangle is 1.73 times its
// circle's radius.
const (
	mostRadius  = 0.72 // of the size: a greater circle gets a point in its middle
	mostSlender = 1.35 // circle's radius over the least side: least angle 21.7 degrees
	leastApart  = 0.55 // of the size: no two points are put nearer
)

// refine puts points into the middles of circles that are too great or of
// triangles that are too slender.
func (t *triangulation) refine(size func(geom.Vec) float64) {
	for range 12 {
		added := false
		for k := range int32(len(t.tri)) {
			if t.tri[k].outside {
				continue
			}
			if q, ok := t.wanted(k, size); ok {
				added = t.add(k, q, size) || added
			}
		}
		if !added {
			return
		}
	}
}

// wanted says whether triangle k should be divided, and where.
func (t *triangulation) wanted(k int32, size func(geom.Vec) float64) (geom.Vec, bool) {
	v := t.tri[k].v
	a, b, c := t.p[v[0]], t.p[v[1]], t.p[v[2]]
	by, bz, cy, cz := b.Y-a.Y, b.Z-a.Z, c.Y-a.Y, c.Z-a.Z
	d := 2 * (by*cz - bz*cy)
	if d <= 0 {
		return geom.Vec{}, false
	}
	b2, c2 := by*by+bz*bz, cy*cy+cz*cz
	off := geom.Vec{Y: (cz*b2 - bz*c2) / d, Z: (by*c2 - cy*b2) / d}
	r := off.Norm()
	least := math.Sqrt(min(b2, c2, sq(c.Y-b.Y)+sq(c.Z-b.Z)))
	mid := geom.Vec{Y: (a.Y + b.Y + c.Y) / 3, Z: (a.Z + b.Z + c.Z) / 3}
	h := size(mid)
	if r <= mostRadius*h && r <= mostSlender*least {
		return geom.Vec{}, false
	}
	return a.Add(off), true
}

// add puts a point at q, or in the middle of triangle k when q is hidden
// behind a fixed side; a point too near to others is not put.
func (t *triangulation) add(k int32, q geom.Vec, size func(geom.Vec) float64) bool {
	in, ok := t.locate(k, q)
	if !ok || t.tri[in].outside {
		v := t.tri[k].v
		q = geom.Vec{Y: (t.p[v[0]].Y + t.p[v[1]].Y + t.p[v[2]].Y) / 3, Z: (t.p[v[0]].Z + t.p[v[1]].Z + t.p[v[2]].Z) / 3}
		in = k
	}
	near := leastApart * size(q)
	if !t.clear(in, q, near) {
		return false
	}
	i := int32(len(t.p))
	t.p = append(t.p, q)
	t.insert(i, in)
	return true
}

// clear says whether no corner of triangle k or of those beside it is nearer
// than near to q, and no fixed side nearer than half of that.
func (t *triangulation) clear(k int32, q geom.Vec, near float64) bool {
	ok := func(n int32) bool {
		tr := &t.tri[n]
		for i := range 3 {
			if t.p[tr.v[i]].Sub(q).Norm() < near {
				return false
			}
			if !tr.fixed[i] {
				continue
			}
			a, b := t.p[tr.v[(i+1)%3]], t.p[tr.v[(i+2)%3]]
			l := b.Sub(a).Norm()
			if turn(a, b, q)/l < 0.7*min(near, 0.55*l) {
				return false
			}
		}
		return true
	}
	if !ok(k) {
		return false
	}
	for i, nb := range t.tri[k].next {
		if nb != none && !t.tri[k].fixed[i] && !ok(nb) {
			return false
		}
	}
	return true
}

// smooth moves the points inside toward the middle of those around them where
// that turns no triangle over, and flips sides again.
func (t *triangulation) smooth(fixed int) {
	for range 3 {
		for i := int32(fixed) + 3; int(i) < len(t.p); i++ {
			var sum geom.Vec
			n := 0
			t.around(i, func(k int32, c int) bool {
				sum = sum.Add(t.p[t.tri[k].v[(c+1)%3]])
				n++
				return false
			})
			was := t.p[i]
			t.p[i] = geom.Vec{Y: sum.Y / float64(n), Z: sum.Z / float64(n)}
			good := true
			t.around(i, func(k int32, _ int) bool {
				good = t.quality(k) > 0.35
				return !good
			})
			if !good {
				t.p[i] = was
			}
		}
		t.flips = t.flips[:0]
		for k := range int32(len(t.tri)) {
			if !t.tri[k].outside {
				for _, v := range t.tri[k].v {
					t.flips = append(t.flips, [2]int32{k, v})
				}
			}
		}
		t.legalise()
	}
}

// quality is 1 for an equilateral triangle and 0 for a flat one.
func (t *triangulation) quality(k int32) float64 {
	v := t.tri[k].v
	a, b, c := t.p[v[0]], t.p[v[1]], t.p[v[2]]
	l := sq(b.Y-a.Y) + sq(b.Z-a.Z) + sq(c.Y-b.Y) + sq(c.Z-b.Z) + sq(a.Y-c.Y) + sq(a.Z-c.Z)
	return 2 * math.Sqrt(3) * turn(a, b, c) / l
}

// result leaves out the great triangle and what lies outside.
func (t *triangulation) result() ([]geom.Vec, [][3]int32, error) {
	var tris [][3]int32
	name := make([]int32, len(t.p))
	for i := range name {
		name[i] = none
	}
	for k := range t.tri {
		if !t.tri[k].outside {
			if t.quality(int32(k)) <= 1e-6 {
				return nil, nil, ErrMesh
			}
			tris = append(tris, t.tri[k].v)
		}
	}
	// The points of the loop come first and are all used; the corners of the
	// great triangle are not.
	used := make([]bool, len(t.p))
	for _, v := range tris {
		used[v[0]], used[v[1]], used[v[2]] = true, true, true
	}
	var pts []geom.Vec
	for i, p := range t.p {
		if used[i] {
			name[i] = int32(len(pts))
			pts = append(pts, p)
		}
	}
	for i, v := range tris {
		tris[i] = [3]int32{name[v[0]], name[v[1]], name[v[2]]}
	}
	return pts, tris, nil
}
