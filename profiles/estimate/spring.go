package estimate

import (
	"errors"
	"fmt"
	"math"

	"cogmend/profiles"
)

// forceRow is a point of the table of specific cutting force.
type forceRow struct{ chip, force float64 } // mm a tooth, MPa

// specificForce is the cutting force of a square millimetre of chip section
// over the thickness of the chip: mild steel of 520 MPa and grey iron of 200 HB
// (a cutter maker's open tables; read).
var specificForce = map[profiles.Material][]forceRow{
	profiles.MildSteel: {{0.1, 2200}, {0.2, 1950}, {0.3, 1820}},
	profiles.GreyIron:  {{0.1, 1750}, {0.2, 1400}, {0.3, 1240}},
}

// SpecificForce returns the specific cutting force of a material in MPa at a
// chip of the given thickness in mm, chip > 0. Between the points of the
// maker's table, and beyond its ends, it follows the power law through the
// nearest two: chips of small cutters are thinner than any the table has, and
// their force is told by that law alone. An unknown material is taken as
// steel.
func SpecificForce(work profiles.Material, chip float64) float64 {
	rows, ok := specificForce[work]
	if !ok {
		rows = specificForce[profiles.MildSteel]
	}
	i := 1
	for i < len(rows)-1 && chip > rows[i].chip {
		i++
	}
	a, b := rows[i-1], rows[i]
	power := math.Log(b.force/a.force) / math.Log(b.chip/a.chip)
	return a.force * math.Pow(chip/a.chip, power)
}

// CuttingPower returns the power at the motor in kW of a cut depth mm deep and
// width mm wide at a feed in mm/min, of a specific force in MPa, with the given
// efficiency (a cutter maker's open tables; read).
func CuttingPower(depth, width, feed, specific, efficiency float64) float64 {
	return depth * width * feed * specific / (60e6 * efficiency)
}

// Engagement is how a side cut meets the metal. Lengths mm.
type Engagement struct {
	Diameter float64           // of the cutter
	Teeth    int               // that cut in one turn
	Depth    float64           // along the cutter's axis
	Width    float64           // square to the feed and to the axis, at most Diameter
	Feed     float64           // a tooth
	Work     profiles.Material // the metal cut
}

// radialShare is the force toward the cutter's axis as a share of that along
// its edge (common practice, no source; between 0.3 and 0.5).
const radialShare = 0.5

// resultant turns the force along the edge into the whole sideways force.
var resultant = math.Hypot(1, radialShare)

// arc is the angle over which a tooth is in the metal, rad.
func (e Engagement) arc() float64 {
	share := max(0, min(1, e.Width/e.Diameter))
	return math.Acos(1 - 2*share)
}

// Mean returns the sideways force in N averaged over a turn. The chip's mean
// thickness gives the specific force, the metal removed in a turn over the way
// the edge runs in it gives the force. 0 when nothing is cut.
func (e Engagement) Mean() float64 {
	arc := e.arc()
	if !(arc > 0) || !(e.Depth > 0) || !(e.Feed > 0) {
		return 0
	}
	width := min(e.Width, e.Diameter)
	chip := e.Feed * 2 * width / (e.Diameter * arc) // mean of feed * sin over the arc
	// At one turn a minute: the power in kW over the edge's speed in m/min.
	power := CuttingPower(e.Depth, width, e.Feed*float64(e.Teeth), SpecificForce(e.Work, chip), 1)
	return resultant * power * 60e3 / (math.Pi * e.Diameter / 1000)
}

// Peak returns the greatest sideways force in N: as many teeth as the arc
// holds, each as if its chip were the thickest of the arc.
func (e Engagement) Peak() float64 {
	arc := e.arc()
	if !(arc > 0) || !(e.Depth > 0) || !(e.Feed > 0) {
		return 0
	}
	chip := e.Feed * math.Sin(min(arc, math.Pi/2))
	inCut := math.Ceil(arc * float64(e.Teeth) / (2 * math.Pi))
	return resultant * SpecificForce(e.Work, chip) * e.Depth * chip * max(1, inCut)
}

// Modulus of elasticity of cutters, MPa: the middle of 200 to 210 GPa for high
// speed steel and of 580 to 600 for carbide (open references of cutter makers;
// read).
const (
	steelModulus   = 205e3
	carbideModulus = 590e3
)

// Bending strength of cutters, MPa, the low end of makers' ranges (from
// memory: high speed steel 2500 to 4500, carbide 2500 to 4000 by ISO 3327).
const (
	steelBending   = 2500.0
	carbideBending = 2500.0
)

// fluteCore is the diameter of the round bar as stiff as the flutes, as a share
// of theirs (common practice; memory).
const fluteCore = 0.8

// BreakShare is the share of a cutter's bending strength beyond which a pass
// is refused: an edge that chips or a hard spot doubles the force (own rule).
const BreakShare = 0.5

// stretch is a part of a round bar: from and to are distances from its tip.
type stretch struct{ from, to, diameter float64 }

// beam is a stepped round bar held at the far end of its last stretch. mm, MPa.
type beam struct {
	parts   []stretch
	modulus float64
}

// ErrNoCantilever is wrapped by CutterSpring when a cutter's lengths make no
// bar that stands out of a holder.
var ErrNoCantilever = errors.New("no cantilever")

// beamOf returns the bar a cutter is: flutes at 0.8 of their diameter, neck,
// shank up to the holder.
func beamOf(c *profiles.Cutter) (beam, error) {
	b := beam{modulus: steelModulus}
	if c.Carbide {
		b.modulus = carbideModulus
	}
	core, from := fluteCore*c.Diameter, 0.0
	if c.Kind == profiles.Dovetail {
		// The flanks narrow to the neck; the neck is what bends.
		core = min(core, c.NeckDiameter())
	}
	add := func(to, diameter float64) {
		to = min(to, c.StickOut)
		if to > from {
			b.parts = append(b.parts, stretch{from, to, diameter})
			from = to
		}
	}
	add(c.FluteLength, core)
	if c.Neck > 0 {
		add(c.NeckLength, c.Neck)
	}
	add(c.StickOut, c.Shank)
	if len(b.parts) == 0 {
		return b, fmt.Errorf("cutter %q stands out %g mm: %w", c.Name, c.StickOut, ErrNoCantilever)
	}
	for _, p := range b.parts {
		if !(p.diameter > 0) {
			return b, fmt.Errorf("cutter %q is %g mm thick %g mm from its tip: %w", c.Name, p.diameter, p.from, ErrNoCantilever)
		}
	}
	return b, nil
}

// tip returns how far the tip gives way, mm, to a force of 1 N at the distance
// a from it: the integral of M m / (E I), M = x - a of the force and m = x of a
// unit force at the tip (Castigliano's theorem).
func (b beam) tip(a float64) float64 {
	var sum float64
	for _, p := range b.parts {
		lo := max(p.from, a)
		if p.to <= lo {
			continue
		}
		part := func(x float64) float64 { return x * x * (x/3 - a/2) }
		sum += (part(p.to) - part(lo)) * 64 / (math.Pi * math.Pow(p.diameter, 4))
	}
	return sum / b.modulus
}

// stress returns the greatest bending stress in MPa of a force of 1 N at the
// distance a from the tip: 32 M / (pi d^3) where each stretch ends.
func (b beam) stress(a float64) float64 {
	var worst float64
	for _, p := range b.parts {
		worst = max(worst, 32*max(0, p.to-a)/(math.Pi*math.Pow(p.diameter, 3)))
	}
	return worst
}

// Spring is what one cut does to the cutter. An estimate: runout, dull edges
// and hard spots come on top.
type Spring struct {
	Force      float64 // mean sideways force, N
	Peak       float64 // greatest sideways force, N
	Deflection float64 // of the tip under the mean force, mm
	Share      float64 // of the bending strength under the greatest force; 1 breaks
}

// CutterSpring returns how far a cutter bends in a cut, the force taken at half
// the depth of the cut and square to the flank. It fails when the cutter's
// lengths make no bar.
func CutterSpring(c *profiles.Cutter, e Engagement) (Spring, error) {
	b, err := beamOf(c)
	if err != nil {
		return Spring{}, err
	}
	strength := steelBending
	if c.Carbide {
		strength = carbideBending
	}
	s := Spring{Force: e.Mean(), Peak: e.Peak()}
	s.Deflection = s.Force * b.tip(e.Depth/2)
	s.Share = s.Peak * b.stress(e.Depth/2) / strength
	return s, nil
}

// Behind returns how far a cutter stays behind where it is sent, mm, in a cut of
// the given engagement: what it leaves on the flank. The bar's push is then in
// balance with the force of what it really takes, which is the width less that.
// It fails when the cutter's lengths make no bar.
func Behind(c *profiles.Cutter, e Engagement) (float64, error) {
	if _, err := beamOf(c); err != nil {
		return 0, err
	}
	lo, hi := 0.0, max(0, e.Width)
	for range 40 {
		mid := (lo + hi) / 2
		taken := e
		taken.Width = e.Width - mid
		s, err := CutterSpring(c, taken)
		if err != nil {
			return 0, err
		}
		if s.Deflection > mid {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, nil
}
