package design

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// LockHole is how far down the drill of the lock goes in the gear, the place at
// top dead centre. Heights are over the axis, mm.
type LockHole struct {
	Full float64 // lowest height at which the hole is as wide as the drill
	Tip  float64 // lowest height of the drill's point
	// Blind says that the hole stops short of the bore, in which the arbor is: the
	// rest is drilled by hand with the gear off its arbor.
	Blind bool
}

const (
	// holeOut is how far the drill's full diameter goes beyond the edge of a hole
	// that comes out under the rim, mm: for the rounding of written numbers and a
	// length touched off a little short.
	holeOut = 0.1
	// arborAir is how far over the bore a drill's point stays that would come out
	// on the arbor, mm (own rule).
	arborAir = 0.5
)

// LockHole returns how deep a drill goes for the lock. Where the rim reaches
// down to the bore there is no air under it: the arbor fills the bore.
func (d *Design) LockHole(c *profiles.Cutter) LockHole {
	r := c.Radius()
	point := r / math.Tan(c.PointAngle/2)
	if bore := d.Job.Gear.Bore / 2; d.Sizes.RimInner <= bore+geom.Eps {
		return LockHole{Full: bore + arborAir + point, Tip: bore + arborAir, Blind: true}
	}
	rim := d.Sizes.RimInner
	// The edge of the hole comes out last.
	full := math.Sqrt(max(0, rim*rim-r*r)) - holeOut
	return LockHole{Full: full, Tip: full - point}
}
