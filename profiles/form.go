package profiles

import (
	"fmt"
	"math"
	"sync"

	"cogmend/profiles/geom"
)

// Support is a convex flank's support function at one angle, and its first
// derivatives. All mm.
//
// The tooth turned so that a point of its +Y flank has a vertical tangent, that
// tangent stands at y = H, the point is at the height Slope, and the flank's
// radius of curvature there is Rho = H + H”.
type Support struct{ H, Slope, Rho float64 } // mm

// Shape is one flank of a tooth that is no involute, +Y side, in the frame in
// which the roll 0 stands upright. Roll is the angle the tooth is turned by from
// there, as for the involute, whose roll 0 touches the base circle.
type Shape struct {
	Zero    float64                    // half angle: a tooth centred on +Z stands at roll Zero
	Support func(roll float64) Support // of the convex part, from roll From up; smooth beyond the tip
	From    float64                    // least roll of the convex part
	// Under is how the flank goes on below the convex part: the point at the
	// share t of the way, and the roll of its normal. It ends well under any root.
	Under func(t float64) (p geom.Vec, roll float64)
}

// Form is a tooth form other than the involute: copied from a good tooth, or
// cycloidal. A Gear that has one takes its tip and root circles from its rack's
// proportions, its flanks from the form.
type Form struct {
	Name        string   // as a job file writes it
	Right, Left Shape    // flanks, each as if it were the +Y one
	Cycloid     *Cycloid // of a cycloidal form; else nil
	Alike       bool     // both flanks are the same: Left is Right

	lock   sync.Mutex
	built  map[builtKey]*builtFlank
	mirror *Form
}

// builtKey is what a flank cut out of a shape depends on.
type builtKey struct {
	turn, inset             float64
	tip, root, fillet, half float64
}

// builtFlank is a shape between its tip circle and its root circle.
type builtFlank struct {
	shape  Shape
	inset  float64
	zero   float64 // Shape.Zero less what thinning turns the flank by
	tip    float64 // roll at the tip circle
	ra     float64
	foot   geom.Vec // where the fillet begins, in the frame of roll 0
	end    float64  // how far down the flank that is: 0 to 1 the convex part, 1 to 2 what is under it
	low    float64  // roll of the lowest tangent
	rest   geom.Vec // the lowest point that facets make
	hollow bool     // under the convex part the flank is hollow
	fillet float64  // radius of the fillet
	centre geom.Vec
	err    error
}

// flankOf returns the +Y flank of a gear that has a form.
func (g Gear) flankOf() (*builtFlank, error) {
	f := g.Form
	key := builtKey{g.Thinning / (2 * g.PitchRadius()), g.Inset, g.TipRadius(), g.RootRadius(), g.Module * g.Rack.Fillet, g.Pitch() / 2}
	f.lock.Lock()
	defer f.lock.Unlock()
	b := f.built[key]
	if b == nil {
		b = buildFlank(f.Right, key)
		if f.built == nil {
			f.built = map[builtKey]*builtFlank{}
		}
		f.built[key] = b
	}
	return b, b.err
}

// rollNarrow is how near a roll is sought, rad.
const rollNarrow = 1e-13

// farRoll is how far over its lowest roll a flank is followed, rad.
const farRoll = 1.2

func buildFlank(s Shape, key builtKey) *builtFlank {
	b := &builtFlank{shape: s, inset: key.inset, zero: s.Zero - key.turn, ra: key.tip}
	over := func(roll float64) float64 { return b.point(roll).Norm() - b.ra }
	if over(s.From) > 0 || over(s.From+farRoll) < 0 {
		b.err = fmt.Errorf("the flank does not reach the tip circle of %.3f mm: %w", key.tip, ErrRoot)
		return b
	}
	b.tip = geom.Root(s.From, s.From+farRoll, rollNarrow, over)
	if corner := b.upright(b.point(b.tip)); corner.Angle() <= 0 {
		b.err = fmt.Errorf("tip radius %.3f mm: %w", key.tip, ErrPointed)
		return b
	}
	b.setFillet(key.root, key.fillet, key.half)
	if b.err != nil {
		return b
	}
	// Facets go down to the foot, or where the flank goes on hollow under its
	// convex part, to the end of that.
	b.low, b.rest = s.From, b.foot
	if b.end <= 1 {
		b.low = b.tip + (s.From-b.tip)*b.end
	} else if b.foot.Dot(normal(b.low))-b.smooth(b.low).H > geom.Eps {
		b.hollow, b.rest = true, b.point(b.low)
	}
	return b
}

// normal is the outward normal at a roll, in the frame of roll 0.
func normal(roll float64) geom.Vec {
	s, c := math.Sincos(roll)
	return geom.Vec{Y: c, Z: s}
}

// smooth is the support function of the convex part, moved in by the inset.
func (b *builtFlank) smooth(roll float64) Support {
	s := b.shape.Support(roll)
	s.H -= b.inset
	s.Rho -= b.inset
	return s
}

// support is that of what facets make: below its lowest roll the lowest point.
func (b *builtFlank) support(roll float64) Support {
	if roll >= b.low {
		return b.smooth(roll)
	}
	n := normal(roll)
	return Support{b.rest.Dot(n), b.rest.Dot(geom.Vec{Y: -n.Z, Z: n.Y}), 0}
}

// point is the point of the convex part at a roll, in the frame of roll 0.
func (b *builtFlank) point(roll float64) geom.Vec {
	s, n := b.smooth(roll), normal(roll)
	return n.Scale(s.H).Add(geom.Vec{Y: -n.Z, Z: n.Y}.Scale(s.Slope))
}

// upright turns a point of the frame of roll 0 into that of a tooth centred on
// +Z.
func (b *builtFlank) upright(p geom.Vec) geom.Vec { return geom.Turn(b.zero).Apply(p) }

// along returns the point at a place of the flank, and its outward normal: 0 at
// the tip circle, 1 at the lower end of the convex part, 2 at the end.
func (b *builtFlank) along(u float64) (geom.Vec, geom.Vec) {
	if u <= 1 {
		roll := b.tip + (b.shape.From-b.tip)*u
		return b.point(roll), normal(roll)
	}
	p, roll := b.shape.Under(u - 1)
	n := normal(roll)
	return p.Sub(n.Scale(b.inset)), n
}

// footSteps is how finely the flank is looked at for where its fillet begins.
const footSteps = 200

// setFillet finds the arc that joins the flank to the root circle: its centre
// stands its radius off the flank and as far over the root circle. Where the
// space is too narrow for it, it is the one whose centre lies in the middle.
func (b *builtFlank) setFillet(root, fillet, half float64) {
	find := func(radius float64) (u float64, centre geom.Vec, ok bool) {
		at := func(u float64) geom.Vec {
			p, n := b.along(u)
			return p.Add(n.Scale(radius))
		}
		over := func(u float64) float64 { return root + radius - at(u).Norm() }
		if over(0) > 0 {
			return 0, at(0), false
		}
		for i := 1; i <= footSteps; i++ {
			if hi := 2 * float64(i) / footSteps; over(hi) > 0 {
				u = geom.Root(hi-2.0/footSteps, hi, 1e-14, over)
				return u, at(u), true
			}
		}
		return 0, geom.Vec{}, false
	}
	u, centre, ok := find(fillet)
	fits := func() bool { return b.upright(centre).Angle() <= half+1e-9 }
	if !ok || !fits() {
		fillet, _ = geom.Bisect(0, fillet, fillet*0x1p-60, func(f float64) bool {
			_, centre, ok = find(f)
			return !ok || !fits()
		})
		if u, centre, ok = find(fillet); !ok || !fits() {
			b.err = fmt.Errorf("the flank does not come down to the root circle of %.3f mm within its half of the space: %w", root, ErrRoot)
			return
		}
	}
	b.end, b.centre, b.fillet = u, centre, fillet
	b.foot, _ = b.along(u)
}

// atRadius returns the place along the flank at which it has a radius, between
// its tip and its foot.
func (b *builtFlank) atRadius(r float64) float64 {
	if r >= b.ra {
		return 0
	}
	if r <= b.foot.Norm() {
		return b.end
	}
	return geom.Root(0, b.end, 1e-14, func(u float64) float64 {
		p, _ := b.along(u)
		return r - p.Norm()
	})
}

// chordPoints are points along the flank from u0 to u1, so close that their
// chords keep within tol of it.
func (b *builtFlank) chordPoints(u0, u1, tol float64) []geom.Vec {
	const most = 400
	pts := make([]geom.Vec, 0, most+1)
	for i := range most + 1 {
		p, _ := b.along(u0 + (u1-u0)*float64(i)/most)
		pts = append(pts, p)
	}
	return thinned(pts, tol)
}

// outline returns the flank from the corner of the tip land down to the middle
// of the space, the tooth centred on +Z.
func (b *builtFlank) outline(root, half float64) []geom.Vec {
	const tol = filletShare * OutlineTolerance
	pts := b.chordPoints(0, min(1, b.end), tol)
	if b.end > 1 {
		pts = append(pts, b.chordPoints(1, b.end, tol)[1:]...)
	}
	for i, p := range pts {
		pts[i] = b.upright(p)
	}
	// The arc bulges into the tooth: from the foot to where it meets the root
	// circle, toward the axis from its centre.
	c := b.upright(b.centre)
	from, to := pts[len(pts)-1].Sub(c), c.Scale(-b.fillet/c.Norm())
	if b.fillet > geom.Eps {
		turn := math.Remainder(to.Angle()-from.Angle(), 2*math.Pi)
		n := 1 + int(math.Abs(turn)*math.Sqrt(b.fillet/(8*tol)))
		for i := 1; i <= n; i++ {
			pts = append(pts, c.Add(geom.Turn(turn*float64(i)/float64(n)).Apply(from)))
		}
	}
	low := pts[len(pts)-1].Angle()
	if arc := half - low; arc > 1e-9 {
		n := 1 + int(arc*math.Sqrt(root/(8*tol)))
		for i := 1; i <= n; i++ {
			pts = append(pts, geom.Polar(root, low+arc*float64(i)/float64(n)))
		}
	}
	return pts
}
