package profiles

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
)

// What a Gear with a Form answers.

// FormName is the form of the flanks as a job file writes it.
func (g Gear) FormName() string {
	if g.Form == nil {
		return "involute"
	}
	return g.Form.Name
}

// Mirrored returns the gear as seen from the other side: what its -Y flank is
// becomes the +Y one. For a gear whose flanks are alike it is the same.
func (g Gear) Mirrored() Gear {
	if g.Form == nil || g.Form.Alike {
		return g
	}
	f := g.Form
	f.lock.Lock()
	defer f.lock.Unlock()
	if f.mirror == nil {
		f.mirror = &Form{Name: f.Name, Right: f.Left, Left: f.Right, mirror: f}
	}
	g.Form = f.mirror
	return g
}

// MovedIn returns the gear with each flank moved in by c mm along its normal.
// An involute so moved is the involute of the same base circle with its origin
// c/r_b nearer the middle.
func (g Gear) MovedIn(c float64) Gear {
	if g.Form != nil {
		g.Inset += c
		return g
	}
	g.Thinning += 2 * g.PitchRadius() * c / g.BaseRadius()
	return g
}

// Plane returns how far from the axis the +Y flank's tangent at a roll stands,
// mm: r_b phi for an involute, down to the roll at which it ends.
func (g Gear) Plane(roll float64) float64 {
	return g.SupportAt(roll).H
}

// TipHalf is half the angle of the tip land, of its wider half where the flanks
// differ, rad.
func (g Gear) TipHalf() float64 {
	return max(g.HalfAngle(g.TipRadius()), g.Mirrored().HalfAngle(g.TipRadius()))
}

// SupportAt returns the +Y flank's support function at a roll: below the roll at
// which the flank ends, that of its end. For a gear that is not valid it is zero.
func (g Gear) SupportAt(roll float64) Support {
	if g.Form == nil {
		k, err := g.involute()
		if err != nil {
			return Support{}
		}
		if roll < k.form {
			s, c := math.Sincos(k.form - roll)
			return Support{k.support(roll), k.rb * (k.form*s + c), 0}
		}
		return Support{k.rb * roll, k.rb, k.rb * roll}
	}
	b, err := g.flankOf()
	if err != nil {
		return Support{}
	}
	return b.support(roll)
}

// Foot returns the lowest point of the +Y flank that facets make, the tooth
// centred on +Z: where its fillet begins, or its hollow.
func (g Gear) Foot() (geom.Vec, error) {
	if g.Form == nil {
		root, err := g.Root()
		return g.FlankPoint(root.FormRoll), err
	}
	b, err := g.flankOf()
	if err != nil {
		return geom.Vec{}, err
	}
	return b.upright(b.rest), nil
}

// Hollow says how far the +Y flank stands out, at its foot, over the lowest
// tangent of its convex part, mm: what no facet makes, and the corner of a
// cutter must. 0 where the flank is convex all the way.
func (g Gear) Hollow() float64 {
	if g.Form == nil {
		return 0
	}
	b, err := g.flankOf()
	if err != nil || !b.hollow {
		return 0
	}
	return b.foot.Dot(normal(b.low)) - b.smooth(b.low).H
}

// RunsWith returns the gear of so many teeth, with a profile shift and a thinning of
// its own, that is made to run with g: of the same rack, or of the same cycloidal
// set. A copied form tells nothing of its mate.
func (g Gear) RunsWith(teeth int, shift, thinning float64) (Gear, error) {
	n := g
	n.Teeth, n.Shift, n.Thinning = teeth, shift, thinning
	if g.Form == nil {
		return n, n.Validate()
	}
	c := g.Form.Cycloid
	if c == nil {
		return n, fmt.Errorf("a %s tooth tells nothing of its mate's", g.FormName())
	}
	other := Cycloid{PitchRadius: n.PitchRadius(), Addendum: c.Dedendum, Dedendum: c.Addendum, HalfAngle: n.Pitch() / 4}
	var err error
	if n.Form, err = other.Form(); err != nil {
		return n, err
	}
	return n, n.Validate()
}

// NearestPressure returns the pressure angle, at the pitch circle, of the involute
// nearest to the convex part of the flanks: the one whose base radius is the
// slope of the line through their support functions (least squares), rad. Where
// that base circle is wider than the pitch circle it is 0. Of an involute gear it
// is the gear's own.
func (g Gear) NearestPressure() (float64, error) {
	if g.Form == nil {
		return g.Pressure, nil
	}
	rb := 0.0
	for _, side := range []Gear{g, g.Mirrored()} {
		b, err := side.flankOf()
		if err != nil {
			return 0, err
		}
		// At equal steps u from -1 to 1 the slope is sum(u h) / sum(u^2).
		var uh, uu float64
		half := (b.tip - b.low) / 2
		for i := range footSteps + 1 {
			u := 2*float64(i)/footSteps - 1
			uh, uu = uh+u*b.smooth(b.low+half*(1+u)).H, uu+u*u
		}
		rb += uh / uu / half / 2
	}
	return math.Acos(min(1, rb/g.PitchRadius())), nil
}

// TouchHeights are the least and the greatest height over the axis at which an
// upright tangent touches either flank, mm: turning the gear moves the flank by
// that times the angle. Both are the base radius of an involute.
func (g Gear) TouchHeights() (least, most float64) {
	if g.Form == nil {
		return g.BaseRadius(), g.BaseRadius()
	}
	least = math.Inf(1)
	for _, side := range []Gear{g, g.Mirrored()} {
		b, err := side.flankOf()
		if err != nil {
			return 0, 0
		}
		for i := range footSteps + 1 {
			high := b.smooth(b.low + (b.tip-b.low)*float64(i)/footSteps).Slope
			least, most = min(least, high), max(most, high)
		}
	}
	return least, most
}

// LoadLine returns the height over the axis at which the line of a load that acts
// on the +Y flank at radius r, square to it, crosses the middle of the tooth, mm:
// r_b/cos(phi - psi_b) for an involute.
func (g Gear) LoadLine(r float64) float64 {
	roll := g.Roll(r)
	return g.SupportAt(roll).Slope / math.Cos(roll-g.BaseHalfAngle())
}

// FlankFrom is the least radius of the +Y flank, mm: of an involute that of its
// base circle, of another form where its fillet begins.
func (g Gear) FlankFrom() float64 {
	if g.Form == nil {
		return g.BaseRadius()
	}
	b, err := g.flankOf()
	if err != nil {
		return 0
	}
	return b.foot.Norm()
}

func (g Gear) validateForm() error {
	for _, side := range []Gear{g, g.Mirrored()} {
		b, err := side.flankOf()
		if err != nil {
			return err
		}
		if at := b.upright(b.foot).Angle(); !(at < g.Pitch()/2) {
			return fmt.Errorf("teeth of %.3f deg leave no space: %w", 2*geom.Degrees(at), ErrRoot)
		}
		for i := range footSteps + 1 {
			roll := b.low + (b.tip-b.low)*float64(i)/footSteps
			if rho := b.smooth(roll).Rho; !(rho > -geom.Eps) {
				return fmt.Errorf("the flank is hollow %.3f mm from the axis: %w", b.point(roll).Norm(), ErrRoot)
			}
		}
	}
	return nil
}

func (g Gear) formHalfAngle(r float64) float64 {
	b, err := g.flankOf()
	if err != nil {
		return 0
	}
	p, _ := b.along(b.atRadius(r))
	return b.upright(p).Angle()
}

func (g Gear) formRoll(r float64) float64 {
	b, err := g.flankOf()
	if err != nil {
		return 0
	}
	u := b.atRadius(r)
	if u > 1 {
		return b.low
	}
	return max(b.low, b.tip+(b.shape.From-b.tip)*u)
}

func (g Gear) formRoot() (Root, error) {
	b, err := g.flankOf()
	if err != nil {
		return Root{}, err
	}
	return Root{FormRadius: b.foot.Norm(), FormRoll: b.low, TipRadius: b.fillet}, nil
}

func (g Gear) formFlank() ([]geom.Vec, error) {
	b, err := g.flankOf()
	if err != nil {
		return nil, err
	}
	return b.outline(g.RootRadius(), g.Pitch()/2), nil
}

func (g Gear) formPoint(roll float64) geom.Vec {
	b, err := g.flankOf()
	if err != nil {
		return geom.Vec{}
	}
	if roll < b.low {
		return b.upright(b.rest)
	}
	return b.upright(b.point(roll))
}

// mostUnder is the share of its radius by which a flank is carried on below
// its convex part.
const mostUnder = 0.6
