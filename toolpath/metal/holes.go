package metal

import (
	"math"
	"slices"

	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
)

// edgeShare is how near a hole's edge counts as at it, as a share of the radius:
// nearer, the rounding of a written number along X, 0.00127 mm for an inch's,
// may widen the hole by more than the check allows.
const edgeShare = 0.2

// holeChord is half the width of a hole of the given radius at x, 0 where there
// is none. At its edge it is that at the inner end of the edge.
func holeChord(x float64, holes []float64, radius float64) (half float64, edge bool) {
	for _, at := range holes {
		u := math.Abs(x - at)
		if u >= (1+edgeShare)*radius {
			continue
		}
		edge = u > (1-edgeShare)*radius
		u = min(u, (1-edgeShare)*radius)
		// Rounded, so that it is the same on both sides.
		return math.Round(1e9*math.Sqrt(radius*radius-u*u)) / 1e9, edge
	}
	return 0, false
}

// holeStations returns where holes are looked at: on the axis, beside it, and on
// both sides of the ends of their edges.
func holeStations(holes []float64, radius float64) (xs []float64) {
	for _, at := range holes {
		xs = append(xs, at)
		for _, side := range []float64{-1, 1} {
			xs = append(xs, at+side*radius/2)
			for _, u := range []float64{1 - edgeShare, 1 + edgeShare} {
				x := at + side*u*radius
				xs = append(xs, x-faceIn/2, x+faceIn/2)
			}
		}
	}
	return xs
}

// between returns those of the places that lie between lo and hi.
func between(xs []float64, lo, hi float64) []float64 {
	return slices.DeleteFunc(xs, func(x float64) bool { return x <= lo || x >= hi })
}

// holeAt is the outline of the insert's hole for the lock at station x; nil where
// there is none. Beside its axis the drill's point cuts a hyperbola. At its edge
// it is what it is at the edge's inner end.
func holeAt(d *design.Design, x float64) (line []geom.Vec, edge bool) {
	const steps = 96 // even, for the vertex; within 0.0002 mm of the hyperbola for common drills
	r := d.Job.Lock.Point / 2
	h, edge := holeChord(x, d.HolesInInsert(), r)
	if h == 0 {
		return nil, false
	}
	u, slope := math.Sqrt(max(0, r*r-h*h)), d.PointSlope()
	line = []geom.Vec{{Y: -h, Z: 0}}
	// Close to the axis the hyperbola is nearly a corner: its points lie closer
	// there, evenly in the parameter t of y = u sinh t.
	u = max(u, 1e-9)
	end := math.Asinh(h / u)
	for i := range steps + 1 {
		y := min(h, max(-h, u*math.Sinh(end*(2*float64(i)/steps-1))))
		line = append(line, geom.Vec{Y: y, Z: -d.Job.Lock.PointDepth - (r-math.Hypot(y, u))*slope})
	}
	return append(line, geom.Vec{Y: h, Z: 0}), edge
}

// holeLimit is what may seem to stay in a hole beside its axis, mm: there the
// replay takes the drill's point by chords.
const holeLimit = 0.02
