package profiles

import (
	"errors"
	"fmt"
	"math"
)

// Gear is an external spur gear: involute, unless Form says otherwise. Lengths
// mm, angles rad.
type Gear struct {
	Teeth    int     // z
	Module   float64 // m = 25.4 / diametral pitch
	Pressure float64 // alpha, at the reference pitch circle
	Rack     Rack    // the basic rack, in modules
	Shift    float64 // profile shift coefficient x, in modules
	Thinning float64 // how much thinner the tooth is at the pitch circle than the standard one, or than its Form

	// Form is the form of a tooth that is no involute, nil for one that is. Such
	// a gear's module and pressure angle are those of the involute nearest to
	// it: they serve where a size or a strength is estimated, its flanks come
	// from the form.
	Form  *Form
	Inset float64 // how far the flanks of a Form are moved in along their normals
}

// Inv is the involute function tan(a) - a.
func Inv(a float64) float64 { return math.Tan(a) - a }

// InvInverse returns the angle whose involute function is v >= 0, by Newton's
// method from a start that is right in the limits v -> 0 and v -> infinity.
func InvInverse(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	// inv a ~ a^3/3 for small a; beyond about 1 the tangent rules.
	a := math.Cbrt(3 * v)
	if a > 1 {
		a = math.Atan(v + math.Pi/2)
	}
	for range 60 {
		t := math.Tan(a)
		d := (t - a - v) / (t * t)
		a -= d
		if math.Abs(d) < 1e-16 {
			break
		}
	}
	return a
}

// PitchRadius is r_p = z m / 2.
func (g Gear) PitchRadius() float64 { return float64(g.Teeth) * g.Module / 2 }

// BaseRadius is r_b = r_p cos(alpha).
func (g Gear) BaseRadius() float64 { return g.PitchRadius() * math.Cos(g.Pressure) }

// TipRadius is r_a = r_p + m (ha + x).
func (g Gear) TipRadius() float64 { return g.PitchRadius() + g.Module*(g.Rack.Addendum+g.Shift) }

// RootRadius is r_f = r_p - m (hf - x).
func (g Gear) RootRadius() float64 { return g.PitchRadius() - g.Module*(g.Rack.Dedendum-g.Shift) }

// WholeDepth is r_a - r_f.
func (g Gear) WholeDepth() float64 { return g.TipRadius() - g.RootRadius() }

// Pitch is the angle from tooth to tooth, tau = 2 pi / z.
func (g Gear) Pitch() float64 { return 2 * math.Pi / float64(g.Teeth) }

// PitchThickness is the arc s = pi m / 2 + 2 x m tan(alpha) - thinning of one
// tooth on the pitch circle (ISO 21771, tooth thickness; thinning ours).
func (g Gear) PitchThickness() float64 {
	if g.Form != nil {
		return g.PitchRadius() * (g.HalfAngle(g.PitchRadius()) + g.Mirrored().HalfAngle(g.PitchRadius()))
	}
	return math.Pi*g.Module/2 + 2*g.Shift*g.Module*math.Tan(g.Pressure) - g.Thinning
}

// BaseHalfAngle is psi_b, half the angular thickness of the tooth at the base
// circle: s / (2 r_p) + inv(alpha). A gear turned by roll - BaseHalfAngle shows
// the flank's tangent at that roll upright, whatever its form.
func (g Gear) BaseHalfAngle() float64 {
	if g.Form != nil {
		return g.Form.Right.Zero - g.Thinning/(2*g.PitchRadius())
	}
	return g.PitchThickness()/(2*g.PitchRadius()) + Inv(g.Pressure)
}

// HalfAngle is psi(r), the angle of the +Y flank at radius r from the tooth's
// middle: half the angular thickness of an involute tooth, for which r >= r_b.
func (g Gear) HalfAngle(r float64) float64 {
	if g.Form != nil {
		return g.formHalfAngle(r)
	}
	rb := g.BaseRadius()
	if r <= rb {
		return g.BaseHalfAngle()
	}
	return g.BaseHalfAngle() - Inv(math.Acos(rb/r))
}

// Roll returns the roll angle phi = tan(alpha_r) of the involute at radius r.
func (g Gear) Roll(r float64) float64 {
	if g.Form != nil {
		return g.formRoll(r)
	}
	rb := g.BaseRadius()
	if r <= rb {
		return 0
	}
	return math.Sqrt(r*r-rb*rb) / rb
}

// RadiusAt returns the radius of the flank at roll angle phi.
func (g Gear) RadiusAt(phi float64) float64 {
	if g.Form != nil {
		return g.formPoint(phi).Norm()
	}
	return g.BaseRadius() * math.Hypot(1, phi)
}

// BasePitch is the distance of two like flanks along the base tangent,
// pi m cos(alpha). Wear and profile shift do not change it.
func (g Gear) BasePitch() float64 { return math.Pi * g.Module * math.Cos(g.Pressure) }

// RackTip is the radius of the rack's rounded tip that the root is formed by, in
// modules: Rack.Fillet, or less where the rack's tooth is narrower at its tip, as
// at great pressure angles. 0 for a gear that is not valid.
func (g Gear) RackTip() float64 {
	root, err := g.Root()
	if err != nil {
		return 0
	}
	return root.TipRadius / g.Module
}

// Errors that Validate wraps.
var (
	// ErrPointed: the two flanks meet below the tip circle.
	ErrPointed = errors.New("tooth is pointed")
	// ErrRoot: the root circle or the rack's rounded tip is not possible.
	ErrRoot = errors.New("root is not possible")
)

// Validate says whether the tooth can exist: positive sizes, a tip land, a
// root above the axis and a space between the teeth. It wraps ErrPointed or
// ErrRoot.
func (g Gear) Validate() error {
	switch {
	case g.Teeth < 5:
		return fmt.Errorf("%d teeth: %w", g.Teeth, ErrRoot)
	case !(g.RootRadius() > 0):
		return fmt.Errorf("root radius %.3f mm: %w", g.RootRadius(), ErrRoot)
	case g.Form != nil:
		return g.validateForm()
	case !(g.TipRadius() > g.BaseRadius()):
		return fmt.Errorf("tip radius %.3f mm lies inside the base circle %.3f mm: %w", g.TipRadius(), g.BaseRadius(), ErrRoot)
	case !(g.HalfAngle(g.TipRadius()) > 0):
		return fmt.Errorf("tip radius %.3f mm: %w", g.TipRadius(), ErrPointed)
	case !(g.HalfAngle(math.Max(g.BaseRadius(), g.RootRadius())) < g.Pitch()/2):
		return fmt.Errorf("teeth %.3f mm thick leave no space: %w", g.PitchThickness(), ErrRoot)
	}
	_, err := g.Root()
	return err
}
