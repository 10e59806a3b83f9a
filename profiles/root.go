package profiles

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
)

// Root is the lower end of the tooth: where the involute ends and what curve
// joins it to the root circle.
//
// The curve is the trochoid left by the basic rack's rounded tip as the rack
// rolls on the pitch circle: the parallel, at the tip radius, of the path of
// the rounding's centre (construction of ISO 6336-3, 6.2, tooth root normal
// chord; the rack by ISO 53). With a rack whose tip reaches under the base
// tangent point the trochoid cuts into the involute: undercut.
type Root struct {
	FormRadius float64 // radius at which the involute ends
	FormRoll   float64 // its roll angle
	TipRadius  float64 // radius of the rack's rounding; less than the rack's when the space is too narrow for it
	Undercut   bool    // the trochoid cuts into the involute

	pitch  float64 // pitch radius
	depth  float64 // of the rounding's centre under the pitch line
	offset float64 // of the rounding's centre from the middle of the rack's tooth
	end    float64 // beta at the form radius
}

// Root returns the root of the tooth, or an error that wraps ErrRoot or
// ErrPointed.
func (g Gear) Root() (Root, error) {
	if g.Form != nil {
		return g.formRoot()
	}
	sin, cos := math.Sincos(g.Pressure)
	dedendum := g.Module * (g.Rack.Dedendum - g.Shift)
	half := (math.Pi*g.Module - g.PitchThickness()) / 2 // rack tooth's half width on the pitch line
	atTip := half - dedendum*sin/cos
	if !(atTip > 0) {
		return Root{}, fmt.Errorf("the rack's tooth is pointed %.3f mm above its tip: %w", -atTip*cos/sin, ErrRoot)
	}
	rho := math.Min(g.Module*g.Rack.Fillet, atTip*cos/(1-sin))
	r := Root{
		TipRadius: rho,
		pitch:     g.PitchRadius(),
		depth:     dedendum - rho,
		offset:    atTip - rho*(1-sin)/cos,
		end:       math.Pi/2 - g.Pressure,
	}
	if !(r.depth > 0) {
		return Root{}, fmt.Errorf("root circle %.3f mm is too near the pitch circle for a fillet of %.3f mm: %w", g.RootRadius(), rho, ErrRoot)
	}
	// The straight flank of the rack ends rho (1 - sin) above its tip; the
	// contact there lies that depth / sin behind the pitch point.
	rb := g.BaseRadius()
	length := r.pitch*sin - (dedendum-rho*(1-sin))/sin
	if length >= 0 {
		r.FormRoll = length / rb
		r.FormRadius = math.Hypot(rb, length)
		if r.FormRadius >= g.TipRadius() {
			return Root{}, fmt.Errorf("no involute is left below the tip circle: %w", ErrPointed)
		}
		return r, nil
	}
	return r.undercut(g)
}

// undercut ends the involute of a gear where the trochoid enters its tooth:
// downward from the top of the trochoid, the first place where it does.
func (r Root) undercut(g Gear) (Root, error) {
	r.Undercut = true
	rb := g.BaseRadius()
	const steps = 400
	gap := func(beta float64) (float64, float64) {
		rad, a := r.polar(beta)
		return g.Pitch()/2 - a - g.HalfAngle(rad), rad
	}
	hi := r.end
	for i := 1; i <= steps; i++ {
		lo := r.end * float64(steps-i) / steps
		d, rad := gap(lo)
		if rad <= rb {
			break
		}
		if d > 0 {
			hi = lo
			continue
		}
		_, r.end = geom.Bisect(lo, hi, (hi-lo)*0x1p-60, func(beta float64) bool {
			d, _ := gap(beta)
			return d > 0
		})
		_, r.FormRadius = gap(r.end)
		r.FormRoll = g.Roll(r.FormRadius)
		if r.FormRadius >= g.TipRadius() {
			return Root{}, fmt.Errorf("undercut removes the whole involute: %w", ErrPointed)
		}
		return r, nil
	}
	// The trochoid meets the tooth at the base circle.
	_, r.end = geom.Bisect(0, hi, 1e-14, func(beta float64) bool {
		_, rad := gap(beta)
		return rad > rb
	})
	r.FormRadius, r.FormRoll = rb, 0
	return r, nil
}

// polar returns the trochoid's point at beta, the angle of the contact normal
// from the radius: 0 on the root circle, r.end at the involute. The angle is
// from the middle of the tooth space, positive toward the tooth.
func (r Root) polar(beta float64) (radius, angle float64) {
	sin, cos := math.Sincos(beta)
	along := r.depth * sin / cos // rounding's centre from the pitch point
	p := geom.Vec{Y: along + r.TipRadius*sin, Z: r.pitch - r.depth - r.TipRadius*cos}
	return p.Norm(), p.Angle() - (along-r.offset)/r.pitch
}

// OutlineTolerance is how far the chords of an outline may stand from the
// true curve, in mm: a fifth of what the check must see (2 um).
const OutlineTolerance = 0.0004

// RightFlank returns the +Y side of a tooth centred on +Z, from the corner of
// the tip land down to the middle of the tooth space: involute, fillet, root
// circle. Chords keep within OutlineTolerance of the curve.
func (g Gear) RightFlank() ([]geom.Vec, error) {
	if g.Form != nil {
		return g.formFlank()
	}
	root, err := g.Root()
	if err != nil {
		return nil, err
	}
	rb, rf := g.BaseRadius(), g.RootRadius()
	tip := g.Roll(g.TipRadius())
	// The chord over a roll step d of an involute stands r_b phi d^2/8 off:
	// equal for equal steps of phi^(3/2).
	var pts []geom.Vec
	low, high := math.Pow(root.FormRoll, 1.5), math.Pow(tip, 1.5)
	n := 1 + int((high-low)*2/3*math.Sqrt(rb/(8*OutlineTolerance)))
	for i := range n + 1 {
		phi := math.Pow(high+(low-high)*float64(i)/float64(n), 2.0/3)
		switch i { // without rounding
		case 0:
			phi = tip
		case n:
			phi = root.FormRoll
		}
		pts = append(pts, g.FlankPoint(phi))
	}
	half := g.Pitch() / 2
	if root.FormRoll == 0 && root.FormRadius > 0 {
		if rad, a := root.polar(root.end); math.Abs(half-a-g.BaseHalfAngle()) > 1e-9 {
			pts = append(pts, geom.Polar(rad, half-a))
		}
	}
	// The fillet turns sharply only at its bottom: taken at steps fine enough
	// for all of it, most of its points can be spared.
	fillet := []geom.Vec{pts[len(pts)-1]}
	m := 2 + int(root.end*math.Sqrt((root.TipRadius+root.depth)/(8*OutlineTolerance*(1-filletShare))))
	for i := 1; i <= m; i++ {
		rad, a := root.polar(root.end * float64(m-i) / float64(m))
		fillet = append(fillet, geom.Polar(rad, half-a))
	}
	pts = append(pts, thinned(fillet, filletShare*OutlineTolerance)[1:]...)
	if arc := root.offset / root.pitch; arc > 1e-9 {
		k := 1 + int(arc*math.Sqrt(rf/(8*OutlineTolerance)))
		for i := 1; i <= k; i++ {
			pts = append(pts, geom.Polar(rf, half-arc*float64(k-i)/float64(k)))
		}
	}
	return pts, nil
}

// filletShare is the share of OutlineTolerance that sparing points may use.
const filletShare = 0.75

// thinned leaves out points of a smooth curve whose distance from the chord
// over them is within tol; the first and the last stay.
func thinned(pts []geom.Vec, tol float64) []geom.Vec {
	out := []geom.Vec{pts[0]}
	for from, to := 0, 2; to <= len(pts); to++ {
		if to < len(pts) && geom.Stray(pts[from+1:to], pts[from], pts[to]) <= tol {
			continue
		}
		out = append(out, pts[to-1])
		from = to - 1
	}
	return out
}

// FlankPoint returns the point of the +Y flank at roll angle phi, tooth
// centred on +Z.
func (g Gear) FlankPoint(phi float64) geom.Vec {
	if g.Form != nil {
		return g.formPoint(phi)
	}
	return geom.Polar(g.RadiusAt(phi), g.BaseHalfAngle()-(phi-math.Atan(phi)))
}

// TipArc returns the points of the tip land from its -Y to its +Y corner.
func (g Gear) TipArc() []geom.Vec {
	ra := g.TipRadius()
	half, other := g.HalfAngle(ra), g.Mirrored().HalfAngle(ra)
	n := 2 + int((half+other)*math.Sqrt(ra/(8*OutlineTolerance)))
	pts := make([]geom.Vec, n+1)
	for i := range pts {
		pts[i] = geom.Polar(ra, -other+(half+other)*float64(i)/float64(n))
	}
	return pts
}

// Tooth returns the outline of one tooth centred on +Z, from the middle of
// the space on its -Y side over the tip to the middle of the space on its +Y
// side.
func (g Gear) Tooth() ([]geom.Vec, error) {
	right, err := g.RightFlank()
	if err != nil {
		return nil, err
	}
	left := right
	if g.Form != nil {
		if left, err = g.Mirrored().RightFlank(); err != nil {
			return nil, err
		}
	}
	pts := append(geom.Reversed(geom.Mirrored(left[1:])), g.TipArc()...)
	return append(pts, right[1:]...), nil
}
