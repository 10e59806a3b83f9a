package geom

import "math"

// Track is a polyline prepared for many questions: its stretches have boxes,
// so that most of them need no look.
type Track struct {
	pts   []Vec
	boxes []Box // of each trackRun segments
}

// trackRun is how many segments share a box.
const trackRun = 8

// NewTrack prepares a polyline, which must not change afterwards.
func NewTrack(pts []Vec) Track {
	t := Track{pts: pts}
	for from := 0; from < len(pts); from += trackRun {
		t.boxes = append(t.boxes, Bounds(t.run(from/trackRun)))
	}
	return t
}

// run returns the points of a stretch, with the first of the next.
func (t *Track) run(i int) []Vec {
	from := i * trackRun
	return t.pts[from:min(len(t.pts), from+trackRun+1)]
}

// Nearest is geom.Nearest.
func (t *Track) Nearest(p Vec) (Vec, float64) {
	first, least := 0, math.Inf(1)
	for i, b := range t.boxes {
		if d := b.away(p); d < least {
			first, least = i, d
		}
	}
	if len(t.boxes) == 0 {
		return Nearest(p, nil)
	}
	at, best := Nearest(p, t.run(first))
	for i, b := range t.boxes {
		if i != first && b.away(p) < best*best {
			if q, d := Nearest(p, t.run(i)); d < best {
				at, best = q, d
			}
		}
	}
	return at, best
}

// Distance is geom.Distance; for a line farther away than atMost it may be any
// number from atMost up.
func (t *Track) Distance(p Vec, atMost float64) float64 {
	near := false
	for _, b := range t.boxes {
		near = near || b.away(p) < atMost*atMost
	}
	if !near {
		return atMost
	}
	_, d := t.Nearest(p)
	return d
}

// Highest is geom.Highest, for a line of two points and more.
func (t *Track) Highest(y0, y1 float64) float64 {
	top := math.Inf(-1)
	for i, b := range t.boxes {
		switch {
		case b.Hi.Z <= top || b.Hi.Y < y0 || b.Lo.Y > y1:
		case b.Lo.Y >= y0 && b.Hi.Y <= y1:
			top = b.Hi.Z
		default:
			top = max(top, Highest(t.run(i), y0, y1))
		}
	}
	return top
}

// away returns the square of the distance of p from the box.
func (b Box) away(p Vec) float64 {
	y, z := max(0, b.Lo.Y-p.Y, p.Y-b.Hi.Y), max(0, b.Lo.Z-p.Z, p.Z-b.Hi.Z)
	return y*y + z*z
}

// Segments are pieces of a polyline.
type Segments [][2]Vec

// NearestIn appends to buf the segments of the line that may be the nearest to
// a place within the box: for such places Segments.Distance is geom.Distance of
// the whole line, and for any other place no less.
func NearestIn(line []Vec, box Box, buf Segments) Segments {
	// From the middle of the box no place in it is farther than half its
	// diagonal, and so none is farther from the line than that and the middle's
	// own distance.
	half := box.Hi.Sub(box.Lo).Scale(0.5)
	most := Distance(box.Lo.Add(half), line) + half.Norm() + Eps
	for i, b := range line {
		a := b
		if i > 0 {
			a = line[i-1]
		}
		y := max(0, min(a.Y, b.Y)-box.Hi.Y, box.Lo.Y-max(a.Y, b.Y))
		z := max(0, min(a.Z, b.Z)-box.Hi.Z, box.Lo.Z-max(a.Z, b.Z))
		if y*y+z*z <= most*most {
			buf = append(buf, [2]Vec{a, b})
		}
	}
	return buf
}

// Distance returns the distance of p from the nearest segment; an infinite one
// when there is none.
func (s Segments) Distance(p Vec) float64 {
	best := math.Inf(1)
	for _, ab := range s {
		d := onSegment(p, ab[0], ab[1]).Sub(p)
		best = min(best, d.Dot(d))
	}
	return math.Sqrt(best)
}
