package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Cycloidal teeth in mesh: the point of contact runs along the gear's generating
// circles, each of which is the mate's other one. What is measured along the line of
// action with involutes is measured along the pitch circles here: there it is square
// to the flanks.

// layoutCycloid is layout of two cycloidal gears. Start and End are how far the
// gear's flank, on its pitch circle, stands off the line of centres at both ends of
// the contact, rad.
func (m Mesh) layoutCycloid() (MeshResult, error) {
	g, n := m.Tooth, m.Mate
	switch {
	case g.Form == nil || n.Form == nil || g.Form.Cycloid == nil || n.Form.Cycloid == nil:
		return MeshResult{}, fmt.Errorf("a %s gear does not run with a %s one", g.FormName(), n.FormName())
	case math.Abs(g.Module/n.Module-1) > 1e-9:
		return MeshResult{}, fmt.Errorf("modules %.4f and %.4f mm differ: these gears do not run together", g.Module, n.Module)
	}
	c, d := g.Form.Cycloid, n.Form.Cycloid
	if math.Abs(c.Addendum-d.Dedendum) > geom.Eps || math.Abs(c.Dedendum-d.Addendum) > geom.Eps {
		return MeshResult{}, fmt.Errorf("generating circles differ: these gears are not of one set")
	}
	if len(m.Right) < 2 || m.Left != nil && len(m.Left) < 2 {
		return MeshResult{}, fmt.Errorf("the flank needs at least two points")
	}
	r1, r2, a := g.PitchRadius(), n.PitchRadius(), m.Centre
	if low := max(g.RootRadius(), r1-g.Module) + max(n.RootRadius(), r2-n.Module); !(a > low) || a > g.TipRadius()+n.TipRadius() {
		return MeshResult{}, fmt.Errorf("centre distance %.3f mm: the teeth meet between %.3f and %.3f mm", a, low, g.TipRadius()+n.TipRadius())
	}
	// The generating circle rolls through b from the pitch point to where the curve
	// ends: over a pitch circle r^2 = R^2 + 4 q (R + q) sin^2(b/2), under it r^2 = R^2 -
	// 4 q (R - q) sin^2(b/2).
	rolled := func(q, over, radius, under, foot float64) float64 {
		out := 2 * math.Asin(math.Sqrt(min(1, (radius*radius-over*over)/(4*q*(over+q)))))
		if flat := 4 * q * (under - q); flat > 0 {
			out = min(out, 2*math.Asin(math.Sqrt(min(1, max(0, under*under-foot*foot)/flat))))
		}
		return q * out // along the pitch circles
	}
	form, mateForm, err := m.formRadii()
	if err != nil {
		return MeshResult{}, err
	}
	recess := rolled(c.Addendum, r1, g.TipRadius(), r2, mateForm)
	approach := rolled(c.Dedendum, r2, n.TipRadius(), r1, form)
	r := MeshResult{
		WorkingAngle: g.Pressure, Path: recess + approach, ArcOfContact: recess + approach,
		Start: -approach / r1, End: recess / r1,
		GearTipGap: a - g.TipRadius() - n.RootRadius(), MateTipGap: a - n.TipRadius() - g.RootRadius(),
		IdealBacklash: m.play(m.Neighbours),
	}
	r.ContactRatio = r.Path / (math.Pi * g.Module)
	return m.held(r)
}

// working are the radii of the pitch circles in mesh: they divide the centre
// distance as the teeth do.
func (m Mesh) working() (gear, mate float64) {
	z1, z2 := float64(m.Tooth.Teeth), float64(m.Mate.Teeth)
	return m.Centre * z1 / (z1 + z2), m.Centre * z2 / (z1 + z2)
}

// play is the play of gear g with the mate along the pitch circles in mesh.
func (m Mesh) play(g profiles.Gear) float64 {
	r1, r2 := m.working()
	return r1*(g.Pitch()-g.HalfAngle(r1)-g.Mirrored().HalfAngle(r1)) - r2*2*m.Mate.HalfAngle(r2)
}

// kinematicsCycloid is kinematics of two cycloidal gears.
func (m Mesh) kinematicsCycloid(r MeshResult) kinematics {
	r1, r2 := m.working()
	return kinematics{
		m: m, rb1: r1, rb2: r2, lead: m.Tooth.HalfAngle(r1), atPitch: m.Tooth.HalfAngle(r1), matePitch: m.Mate.HalfAngle(r2),
		start: r.Start, end: r.End, ideal: m.play(m.Tooth),
		step: r1 * (m.Tooth.HalfAngle(r1) - m.Neighbours.HalfAngle(r1)),
		tip2: m.Mate.TipRadius(),
	}
}

// deviationCycloid is deviation over the part of the flank that is in contact.
func (m Mesh) deviationCycloid(r *MeshResult) float64 {
	g, c := m.Tooth, m.Tooth.Form.Cycloid
	flank, err := g.RightFlank()
	if err != nil {
		return 0
	}
	r1 := g.PitchRadius()
	s := math.Sin(-r.Start * r1 / c.Dedendum / 2)
	from := math.Sqrt(r1*r1 - 4*c.Dedendum*(r1-c.Dedendum)*s*s)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range geom.Spaced(m.Right, meshStep*g.Module) {
		rad := p.Norm()
		if rad < from || rad > g.TipRadius()-meshStep*g.Module {
			continue
		}
		over := math.Copysign(geom.Distance(p, flank), p.Angle()-g.HalfAngle(rad))
		lo, hi = min(lo, over), max(hi, over)
	}
	return max(0, hi-lo)
}
