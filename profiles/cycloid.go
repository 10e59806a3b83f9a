package profiles

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
)

// Cycloid describes a cycloidal tooth: over the pitch circle an epicycloid,
// under it a hypocycloid, each traced by a point of a circle that rolls on it.
// Lengths mm.
type Cycloid struct {
	PitchRadius float64 // of the gear's pitch circle
	Addendum    float64 // radius of the generating circle of the tooth over the pitch circle
	Dedendum    float64 // of that under it
	HalfAngle   float64 // of the tooth at the pitch circle, rad
}

// SetCircle returns the radius of the generating circle of an interchangeable
// set: half the pitch radius of the set's least pinion, whose flanks under the
// pitch circle are then radial (Willis's sets of 12 and of 15 teeth: F. Reuleaux,
// The Kinematics of Machinery, section 36).
func SetCircle(module float64, least int) float64 { return module * float64(least) / 4 }

// Form returns the tooth's form. The normal turns by the angle b (1/2 + q/R)
// while the circle of radius q rolls through b on the pitch circle of radius R;
// then, with the pitch point on +Z at roll 0,
//
//	h = (R + 2 q) sin(b/2),  h' = R cos(b/2),  rho = 4 q (R + q)/(R + 2 q) sin(b/2)
//
// (computed from the curve; the form 4 q sin(b/2) stands in Rankine's account of
// Willis). The hypocycloid's normal turns the other way, by b (1/2 - q/R): it is
// hollow where q < R/2, and a straight radial line where q = R/2.
func (c Cycloid) Form() (*Form, error) {
	r, q, p := c.PitchRadius, c.Addendum, c.Dedendum
	switch {
	case !(r > 0) || !(q > 0) || !(p > 0):
		return nil, fmt.Errorf("pitch radius %.3f mm and generating circles of radius %.3f and %.3f mm: they must be positive", r, q, p)
	case p > r/2+geom.Eps:
		return nil, fmt.Errorf("a generating circle of radius %.3f mm under the pitch circle is more than half of its radius %.3f mm: the tooth would be undercut", p, r)
	}
	s := Shape{
		Zero: c.HalfAngle,
		Support: func(roll float64) Support {
			sin, cos := math.Sincos(roll * r / (r + 2*q))
			return Support{(r + 2*q) * sin, r * cos, 4 * q * (r + q) / (r + 2*q) * sin}
		},
		Under: func(t float64) (geom.Vec, float64) { return hypocycloid(r, p, t*mostHypocycloid(r, p)) },
	}
	return &Form{Name: "cycloidal", Cycloid: &c, Right: s, Left: s, Alike: true}, nil
}

// hypocycloid returns the point a circle of radius q, rolling inside one of
// radius r toward +Y through the angle b, has traced from the pitch point, and
// the roll of its normal.
func hypocycloid(r, q, b float64) (geom.Vec, float64) {
	sin, cos := math.Sincos(b * q / r)
	s, c := math.Sincos(b - b*q/r)
	return geom.Vec{Y: (r-q)*sin - q*s, Z: (r-q)*cos + q*c}, b * (0.5 - q/r)
}

// mostHypocycloid is how far the circle is rolled: to under any root, or to
// where the curve is lowest.
func mostHypocycloid(r, q float64) float64 {
	// The distance from the axis squared falls from r^2 by 4 q (r - q) sin^2(b/2).
	if drop := r * r * (1 - (1-mostUnder)*(1-mostUnder)) / (4 * q * (r - q)); drop < 1 {
		return 2 * math.Asin(math.Sqrt(drop))
	}
	return math.Pi
}
