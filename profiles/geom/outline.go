package geom

import (
	"errors"
	"math"
)

// ErrTangled says that an outline crosses or touches itself, so that it has
// no inside.
var ErrTangled = errors.New("outline crosses itself")

// Decompose cuts a simple outline, either way round, into convex pieces.
// It wraps no other error than ErrTangled.
//
// Ears are cut off (Meisters' two ears theorem: Polygons have ears, American
// Mathematical Monthly 82, 1975) and glued back to the neighbouring piece
// while that stays convex (Hertel and Mehlhorn, FCT 1983).
func Decompose(ring []Vec) (Region, error) {
	pts := clean(ring)
	if len(pts) < 3 || crosses(pts) {
		return nil, ErrTangled
	}
	if Area(pts) < 0 {
		for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
			pts[i], pts[j] = pts[j], pts[i]
		}
	}
	idx := make([]int, len(pts))
	for i := range idx {
		idx[i] = i
	}
	var pieces [][]int
	for at, misses := 0, 0; len(idx) > 3; {
		n := len(idx)
		if misses > n {
			return nil, ErrTangled
		}
		at %= n
		a, b, c := idx[(at+n-1)%n], idx[at], idx[(at+1)%n]
		if !isEar(pts, idx, a, b, c) {
			at++
			misses++
			continue
		}
		misses = 0
		pieces = glue(pts, pieces, a, b, c)
		idx = append(idx[:at], idx[at+1:]...)
	}
	pieces = glue(pts, pieces, idx[0], idx[1], idx[2])
	region := make(Region, 0, len(pieces))
	for _, p := range pieces {
		q := make([]Vec, len(p))
		for i, k := range p {
			q[i] = pts[k]
		}
		if c := NewConvex(q...); c.Breadth() >= Overlap {
			region = append(region, c)
		}
	}
	return region, nil
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

func isEar(pts []Vec, idx []int, a, b, c int) bool {
	pa, pb, pc := pts[a], pts[b], pts[c]
	if turn(pa, pb, pc) < 0 {
		return false
	}
	box := Bounds([]Vec{pa, pb, pc})
	for _, k := range idx {
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

// glue adds the triangle to the last piece when they share an edge and stay
// convex together, else as a piece of its own.
func glue(pts []Vec, pieces [][]int, a, b, c int) [][]int {
	tri := [3]int{a, b, c}
	if len(pieces) > 0 {
		last := pieces[len(pieces)-1]
		for i := range last {
			u, v := last[i], last[(i+1)%len(last)]
			for k := range tri {
				if tri[k] != v || tri[(k+1)%3] != u {
					continue
				}
				grown := make([]int, 0, len(last)+1)
				grown = append(grown, last[:i+1]...)
				grown = append(grown, tri[(k+2)%3])
				grown = append(grown, last[i+1:]...)
				if isConvex(pts, grown) {
					pieces[len(pieces)-1] = grown
					return pieces
				}
			}
		}
	}
	return append(pieces, tri[:])
}

func isConvex(pts []Vec, ring []int) bool {
	n := len(ring)
	for i := range ring {
		if turn(pts[ring[i]], pts[ring[(i+1)%n]], pts[ring[(i+2)%n]]) < 0 {
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
		if a.Y < y0 {
			a = a.Lerp(b, (y0-a.Y)/(b.Y-a.Y))
		}
		if b.Y > y1 && b.Y > a.Y {
			b = a.Lerp(b, (y1-a.Y)/(b.Y-a.Y))
		}
		top = max(top, a.Z, b.Z)
	}
	return top
}
