// Package geom is the plane geometry under cogmend: vectors, angles, convex
// pieces, outlines, distances and the tolerances they are compared with.
//
// The plane is the section across the gear axis: Y to the right and Z up, as
// seen from +X looking toward -X. Lengths are millimetres, angles radians.
// An angle is positive when it turns the top (+Z) toward +Y, which is also
// the sense of a positive A word (NISTIR 6556, 2.1.1.2: the tool relative to
// the work, so the work's top goes toward +Y).
package geom

import "math"

// Tolerances. They are lengths in millimetres unless said otherwise.
const (
	// Eps is the length below which two points are one. It is far above the
	// rounding of double arithmetic at the size of a machine (1 m: 1e-13)
	// and far below the last decimal that is written (1e-4).
	Eps = 1e-9
	// Sliver is the breadth below which a piece of metal is not kept: ten
	// nanometres, far less than what the check reports (2 um).
	Sliver = 1e-5
	// Overlap is the breadth below which two pieces do not overlap. It is far
	// under Sliver, so that what an overlap too thin to be cut away leaves
	// behind is always too thin to be kept.
	Overlap = 1e-8
)

// Vec is a point or a direction in the section plane.
type Vec struct{ Y, Z float64 }

// Add returns v + w.
func (v Vec) Add(w Vec) Vec { return Vec{v.Y + w.Y, v.Z + w.Z} }

// Sub returns v - w.
func (v Vec) Sub(w Vec) Vec { return Vec{v.Y - w.Y, v.Z - w.Z} }

// Scale returns v times k.
func (v Vec) Scale(k float64) Vec { return Vec{v.Y * k, v.Z * k} }

// Dot returns the scalar product.
func (v Vec) Dot(w Vec) float64 { return v.Y*w.Y + v.Z*w.Z }

// Cross returns the signed area of the parallelogram on v and w, positive
// when w lies counter-clockwise of v in the usual picture (Y right, Z up).
func (v Vec) Cross(w Vec) float64 { return v.Y*w.Z - v.Z*w.Y }

// Norm returns the length of v. Machines are far from the sizes at which the
// squares would overflow, so the plain root serves.
func (v Vec) Norm() float64 { return math.Sqrt(v.Y*v.Y + v.Z*v.Z) }

// Lerp returns the point the share t of the way from v to w.
func (v Vec) Lerp(w Vec, t float64) Vec {
	return Vec{v.Y + (w.Y-v.Y)*t, v.Z + (w.Z-v.Z)*t}
}

// Polar returns the point at radius r and angle a, measured from +Z toward +Y.
func Polar(r, a float64) Vec {
	s, c := math.Sincos(a)
	return Vec{r * s, r * c}
}

// Angle returns the angle of v from +Z toward +Y, in (-pi, pi].
func (v Vec) Angle() float64 { return math.Atan2(v.Y, v.Z) }

// Rotation turns the plane about the origin. The zero value is not a
// rotation; use Turn.
type Rotation struct{ sin, cos float64 }

// Turn returns the rotation by a radians, top toward +Y.
func Turn(a float64) Rotation {
	s, c := math.Sincos(a)
	return Rotation{s, c}
}

// Apply returns v turned.
func (r Rotation) Apply(v Vec) Vec {
	return Vec{v.Y*r.cos + v.Z*r.sin, v.Z*r.cos - v.Y*r.sin}
}

// ApplyAll returns all points turned, in a new slice.
func (r Rotation) ApplyAll(pts []Vec) []Vec {
	out := make([]Vec, len(pts))
	for i, p := range pts {
		out[i] = r.Apply(p)
	}
	return out
}

// Inverse returns the rotation the other way.
func (r Rotation) Inverse() Rotation { return Rotation{-r.sin, r.cos} }

// Degrees converts radians to degrees.
func Degrees(rad float64) float64 { return rad * 180 / math.Pi }

// Radians converts degrees to radians.
func Radians(deg float64) float64 { return deg * math.Pi / 180 }
