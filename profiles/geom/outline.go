package geom

import (
	"errors"
	"math"
	"slices"
)

// ErrTangled says that an outline crosses or touches itself, so that it has
// no inside.
var ErrTangled = errors.New("outline crosses itself")

// Decompose cuts a simple outline, either way round, into convex pieces.
// It wraps no other error than ErrTangled.
//
// Ears are cut off (Meisters' two ears theorem: Polygons have ears, American
// Mathematical Monthly 82, 1975) and put together again across every diagonal
// that can be spared (Hertel and Mehlhorn, FCT 1983).
func Decompose(ring []Vec) (Region, error) {
	pts := clean(ring)
	if len(pts) < 3 || crosses(pts) {
		return nil, ErrTangled
	}
	if Area(pts) < 0 {
		slices.Reverse(pts)
	}
	triangles, err := triangulate(pts)
	if err != nil {
		return nil, err
	}
	return region(pts, merge(pts, triangles)), nil
}

// triangulate cuts ears off a ring that goes counter-clockwise.
func triangulate(pts []Vec) ([][]int, error) {
	idx := make([]int, len(pts))
	for i := range idx {
		idx[i] = i
	}
	// Only a corner that points inward can lie in an ear, and one that does
	// not never comes to: cutting ears off makes angles smaller.
	var inward []int
	for i, p := range pts {
		if turn(pts[(i+len(pts)-1)%len(pts)], p, pts[(i+1)%len(pts)]) <= 0 {
			inward = append(inward, i)
		}
	}
	out := make([][]int, 0, len(pts)-2)
	for at, misses := 0, 0; len(idx) > 3; {
		n := len(idx)
		if misses > n {
			return nil, ErrTangled
		}
		at %= n
		a, b, c := idx[(at+n-1)%n], idx[at], idx[(at+1)%n]
		if !isEar(pts, inward, a, b, c) {
			at++
			misses++
			continue
		}
		misses = 0
		out = append(out, []int{a, b, c})
		idx = slices.Delete(idx, at, at+1)
		if i := slices.Index(inward, b); i >= 0 {
			inward = slices.Delete(inward, i, i+1)
		}
	}
	return append(out, idx), nil
}

// merge puts pieces together across each edge they share, while that leaves
// them convex.
func merge(pts []Vec, pieces [][]int) [][]int {
	side := make(map[[2]int]int, 3*len(pieces)) // the piece to the left of an edge
	claim := func(ring []int, piece int) {
		for k, a := range ring {
			side[[2]int{a, ring[(k+1)%len(ring)]}] = piece
		}
	}
	for i, p := range pieces {
		claim(p, i)
	}
	for i := range pieces {
		for k := 0; k < len(pieces[i]); k++ {
			p := pieces[i]
			j, shared := side[[2]int{p[(k+1)%len(p)], p[k]}]
			if !shared || j == i {
				continue
			}
			if ring := across(pts, p, pieces[j], k); ring != nil {
				claim(ring, i)
				pieces[i], pieces[j] = ring, nil
				k = -1 // its edges have been set in another order
			}
		}
	}
	return slices.DeleteFunc(pieces, func(p []int) bool { return p == nil })
}

// across returns the ring of p and q without the edges they share, of which
// p's edge k is one; nil when it is not convex.
func across(pts []Vec, p, q []int, k int) []int {
	m := slices.Index(q, p[k])
	if m < 0 {
		return nil
	}
	// p goes along the shared edges from its corner k on, q comes back along
	// them to its corner m, the same.
	atP := func(i int) int { return p[(k+i+len(p))%len(p)] }
	atQ := func(i int) int { return q[(m+i+len(q))%len(q)] }
	most := min(len(p), len(q)) - 1
	n := 0
	for n < most && atP(n+1) == atQ(-n-1) {
		n++
	}
	// And p may come along some to its corner k, q go on from it.
	before := 0
	for n+before < most && atP(-1-before) == atQ(before+1) {
		before++
	}
	// Around p from where they part to where they meet, and back around q.
	ofP, ofQ := len(p)-before-n, len(q)-before-n
	size := ofP + ofQ
	if n == 0 || size < 3 {
		return nil
	}
	at := func(i int) int {
		if i %= size; i < ofP {
			return atP(n + i)
		}
		return atQ(before + i - ofP)
	}
	for _, i := range []int{0, ofP} {
		from, here, to := pts[at(i+size-1)], pts[at(i)], pts[at(i+1)]
		// Straight on is convex, straight back is not.
		if bend := turn(from, here, to); bend < 0 || bend == 0 && here.Sub(from).Dot(to.Sub(here)) < 0 {
			return nil
		}
	}
	ring := make([]int, size)
	for i := range ring {
		ring[i] = at(i)
	}
	return ring
}

// Joined returns the region in fewer pieces: those that share an edge, corner
// for corner, are put together where that leaves them convex.
func (r Region) Joined() Region {
	number := map[Vec]int{}
	var pts []Vec
	pieces := make([][]int, len(r))
	for i, c := range r {
		for _, p := range c.Pts {
			n, known := number[p]
			if !known {
				n = len(pts)
				number[p] = n
				pts = append(pts, p)
			}
			pieces[i] = append(pieces[i], n)
		}
	}
	return region(pts, merge(pts, pieces))
}

// region makes pieces of numbered corners.
func region(pts []Vec, pieces [][]int) Region {
	r := make(Region, 0, len(pieces))
	for _, p := range pieces {
		q := make([]Vec, len(p))
		for i, k := range p {
			q[i] = pts[k]
		}
		if c := NewConvex(q...); thick(q, c.Box, Overlap) {
			r = append(r, c)
		}
	}
	return r
}

// crosses says whether two edges of the ring cross. Cutting ears off does not
// always notice.
func crosses(ring []Vec) bool {
	n := len(ring)
	for i, a := range ring {
		b := ring[(i+1)%n]
		box := Bounds([]Vec{a, b})
		for j := i + 2; j < n; j++ {
			c, d := ring[j], ring[(j+1)%n]
			if !box.Meets(Bounds([]Vec{c, d})) || (j+1)%n == i {
				continue
			}
			if opposite(turn(a, b, c), turn(a, b, d)) && opposite(turn(c, d, a), turn(c, d, b)) {
				return true
			}
		}
	}
	return false
}

func opposite(a, b float64) bool { return a < 0 && b > 0 || a > 0 && b < 0 }

// clean drops repeated points.
func clean(ring []Vec) []Vec {
	var out []Vec
	for i, p := range ring {
		if p.Sub(ring[(i+len(ring)-1)%len(ring)]).Norm() > Eps {
			out = append(out, p)
		}
	}
	return out
}

func turn(a, b, c Vec) float64 { return b.Sub(a).Cross(c.Sub(b)) }

func isEar(pts []Vec, inward []int, a, b, c int) bool {
	pa, pb, pc := pts[a], pts[b], pts[c]
	if turn(pa, pb, pc) < 0 {
		return false
	}
	box := Bounds([]Vec{pa, pb, pc})
	for _, k := range inward {
		if k == a || k == b || k == c {
			continue
		}
		p := pts[k]
		if p.Y < box.Lo.Y || p.Y > box.Hi.Y || p.Z < box.Lo.Z || p.Z > box.Hi.Z {
			continue
		}
		if turn(pa, pb, p) >= 0 && turn(pb, pc, p) >= 0 && turn(pc, pa, p) >= 0 {
			return false
		}
	}
	return true
}

// Distance returns the distance from p to the nearest point of the polyline.
func Distance(p Vec, line []Vec) float64 {
	_, d := Nearest(p, line)
	return d
}

// Nearest returns the point of the polyline nearest to p, and its distance;
// an infinite one when the line has no points.
func Nearest(p Vec, line []Vec) (Vec, float64) {
	best, at := math.Inf(1), Vec{}
	for i, b := range line {
		a := b
		if i > 0 {
			a = line[i-1]
		}
		q := onSegment(p, a, b)
		d := q.Sub(p)
		if s := d.Dot(d); s < best {
			best, at = s, q
		}
	}
	return at, math.Sqrt(best)
}

func onSegment(p, a, b Vec) Vec {
	t := b.Sub(a)
	l := t.Dot(t)
	if l == 0 {
		return a
	}
	return a.Lerp(b, min(1, max(0, p.Sub(a).Dot(t)/l)))
}

// Stray returns the greatest distance of any of the points from the chord
// from a to b.
func Stray(pts []Vec, a, b Vec) float64 {
	most := 0.0
	for _, p := range pts {
		most = max(most, p.Sub(onSegment(p, a, b)).Norm())
	}
	return most
}

// Mirrored returns the line seen in a mirror along Z, its points in the same
// order.
func Mirrored(line []Vec) []Vec {
	out := make([]Vec, len(line))
	for i, p := range line {
		out[i] = Vec{-p.Y, p.Z}
	}
	return out
}

// Reversed returns the line from its end to its start, in a new slice.
func Reversed(line []Vec) []Vec {
	out := slices.Clone(line)
	slices.Reverse(out)
	return out
}

// BothSides returns the line that runs from the end of a half's mirror image
// along Z to its start, and on along the half to its end.
func BothSides(half []Vec) []Vec { return append(Reversed(Mirrored(half)), half...) }

// arcStep is the greatest turn between two points of a rounded corner, rad: at a
// clearance of 3 mm the chords lie 0.0004 mm inside the arc.
const arcStep = 1.0 / 32

// Offset returns the line at distance d on the upper side of a line that runs
// toward +Y, rounded about its corners and its ends: all that is nearer than d
// from above or from the sides lies under it. Where the line is hollow the
// result crosses itself, and its upper edge counts.
func Offset(line []Vec, d float64) []Vec {
	var out []Vec
	arc := func(at Vec, from, to float64) {
		n := math.Ceil((to - from) / arcStep)
		for k := range int(n) + 1 {
			out = append(out, at.Add(Polar(d, from+(to-from)*float64(k)/n)))
		}
	}
	first, before := true, 0.0
	for i := 1; i < len(line); i++ {
		along := line[i].Sub(line[i-1])
		if along.Norm() < Eps {
			continue
		}
		normal := Vec{-along.Z, along.Y}.Angle()
		switch turn := math.Remainder(normal-before, 2*math.Pi); {
		case first:
			arc(line[i-1], normal-math.Pi/2, normal)
		case turn > 0:
			arc(line[i-1], before, before+turn)
		default:
			out = append(out, line[i-1].Add(Polar(d, normal)))
		}
		out = append(out, line[i].Add(Polar(d, normal)))
		first, before = false, normal
	}
	if !first {
		arc(line[len(line)-1], before, before+math.Pi/2)
	}
	return out
}

// Spaced returns the line with points at most step apart.
func Spaced(line []Vec, step float64) []Vec {
	if len(line) == 0 {
		return nil
	}
	out := []Vec{line[0]}
	for i := 1; i < len(line); i++ {
		n := 1 + int(line[i].Sub(line[i-1]).Norm()/step)
		for s := 1; s <= n; s++ {
			out = append(out, line[i-1].Lerp(line[i], float64(s)/float64(n)))
		}
	}
	return out
}

// Inside says whether p lies in the ring, by counting crossings.
func Inside(p Vec, ring []Vec) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Z > p.Z) != (b.Z > p.Z) && p.Y < a.Y+(b.Y-a.Y)*(p.Z-a.Z)/(b.Z-a.Z) {
			in = !in
		}
	}
	return in
}

// Highest returns the greatest Z of the polyline over the band y0 <= Y <= y1,
// or -Inf when no part of it lies there.
func Highest(line []Vec, y0, y1 float64) float64 {
	top := math.Inf(-1)
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if a.Y > b.Y {
			a, b = b, a
		}
		if b.Y < y0 || a.Y > y1 {
			continue
		}
		from, to := a, b
		if a.Y < y0 {
			from = a.Lerp(b, (y0-a.Y)/(b.Y-a.Y))
		}
		if b.Y > y1 {
			to = b.Lerp(a, (b.Y-y1)/(b.Y-a.Y))
		}
		top = max(top, from.Z, to.Z)
	}
	return top
}
