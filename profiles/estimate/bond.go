package estimate

import (
	"fmt"

	"cogmend/profiles"
)

// BondCase is a gear with a tooth built up by brazing or welding, and what it
// carries. Lengths mm.
type BondCase struct {
	Duty // RimUnder: metal under the root circle

	Stub float64           // sound iron of the old tooth over the root circle, under what was laid
	Bead profiles.Material // what was laid
	// Known figures, MPa; 0: the weakest, or our own rule.
	Strength float64 // of what was laid
	Bond     float64 // that the joint may bear
}

// bondShare is what the joint of bead and iron may bear where nobody answers for
// more, as a share of the casting's tensile strength: the stress left by the heat
// and the chilled iron beside it are in this. Own rule.
const bondShare = 0.25

// bondShear is what it may bear in shear as a share of what it may in tension: as
// the greatest shear stress theory has it for a ductile metal.
const bondShear = 0.5

// strengths are the figures of casting and bead, with those that are known.
func (c BondCase) strengths() (casting, bead profiles.Strength) {
	casting, bead = c.iron(), c.Bead.Strength()
	if c.Strength > 0 {
		bead.SafeStatic *= c.Strength / bead.Limit
		bead.SafeStaticSource += ", in proportion to the strength stated"
		bead.Limit, bead.LimitSource = c.Strength, "stated by the job"
	}
	return casting, bead
}

// bond is what the joint may bear in tension, MPa, and whence that is known.
func (c BondCase) bond() (mpa float64, source string) {
	if c.Bond > 0 {
		return c.Bond, "stated by the job, for whoever laid it"
	}
	iron := c.iron()
	return bondShare * iron.Limit, fmt.Sprintf("%s: %.2g of the casting's tensile strength; %s", profiles.OwnRule, bondShare, iron.LimitSource)
}

// Joint is the section of the joint between bead and iron, taken as flat.
type Joint struct {
	Radius    float64 // of its ends, mm
	Thickness float64 // across the tooth, mm
	Arm       float64 // from where the load's line crosses the middle of the tooth, mm
}

// Joint returns where the joint bears: at the top of the stub, but no lower than
// the tooth's weakest section: below that the tooth only grows.
func (c BondCase) Joint() (Joint, error) {
	g := c.Tooth
	form, err := FormFactorAt(g, g.TipRadius())
	if err != nil {
		return Joint{}, err
	}
	j := Joint{Radius: form.Radius, Thickness: form.Thickness, Arm: form.Arm}
	r := g.RootRadius() + c.Stub
	if r <= form.Radius {
		return j, nil
	}
	flank, err := g.RightFlank()
	if err != nil {
		return Joint{}, err
	}
	vertex := g.LoadLine(g.TipRadius())
	for i := 1; i < len(flank); i++ {
		if a, b := flank[i-1], flank[i]; a.Norm() >= r && b.Norm() < r {
			p := a.Lerp(b, (a.Norm()-r)/(a.Norm()-b.Norm()))
			return Joint{Radius: r, Thickness: 2 * p.Y, Arm: max(0, vertex-p.Z)}, nil
		}
	}
	return j, nil
}

// Load estimates the stresses in a built-up tooth, in its joint with the casting
// and in the iron under it. One tooth carries the whole load at its tip.
func (c BondCase) Load() (LoadResult, error) {
	if err := c.validate(); err != nil {
		return LoadResult{}, err
	}
	r, first, err := c.begin()
	if err != nil {
		return LoadResult{}, err
	}
	r.NotFor = append([]string{"not where penetrant shows a crack in or beside the bead"}, r.NotFor...)
	joint, err := c.Joint()
	if err != nil {
		return LoadResult{}, err
	}
	r.addBond(c, joint)
	r.decide()
	r.Assumptions = append(first, c.assumptions(joint)...)
	r.Warnings = append(c.warnings(r, "the root"), "the estimate takes the bond as whole and flat: pores, slag or a cold joint in it are not seen")
	return r, nil
}

func (r *LoadResult) addBond(c BondCase, joint Joint) {
	iron, bead := c.strengths()
	m, l := c.Tooth.Module, c.Face
	mpa := func(key, what string, v, allow float64, source string) {
		r.add(LoadItem{Key: key, What: what, Value: v, Unit: "MPa", Allowable: allow, Source: source, Decides: true})
	}
	mpa("tooth.lewis", "bending in the new tooth (Lewis)", LewisStress(r.Design, m, l, r.Y), bead.SafeStatic, bead.SafeStaticSource)
	r.addNeighbour(c.Duty)
	area := l * joint.Thickness
	allow, from := c.bond()
	// A flat section in bending: 6 M / (b t^2).
	mpa("bond.tension", "pull at the edge of the bond, from bending", 6*r.Design*joint.Arm/(area*joint.Thickness), allow, from)
	mpa("bond.shear", "shear in the bond, its whole area bearing", r.Design/area, bondShear*allow, from+"; half of it in shear")
	mpa("root.lewis", "bending in the iron at the tooth's foot (Lewis, rim factor)",
		LewisStress(r.Design*r.Rim, m, l, r.Y), iron.SafeStatic, iron.SafeStaticSource)
	r.addBackup(c.backupRatio(), "rim left under the root over the whole depth")
}

// Room returns what the estimate asks of the metal under the tooth, whatever the
// load is: its Use is over 1 where it is not there.
func (c BondCase) Room() []LoadItem {
	var r LoadResult
	r.addBackup(c.backupRatio(), "rim left under the root over the whole depth")
	return r.Items
}

func (c BondCase) assumptions(joint Joint) []profiles.Assumption {
	_, bead := c.strengths()
	allow, from := c.bond()
	return []profiles.Assumption{
		{Name: "strength of the " + c.Bead.String(), Value: bead.Limit, Unit: "MPa", Source: bead.LimitSource},
		{Name: "pull that the bond may bear", Value: allow, Unit: "MPa", Source: from},
		{Name: "bond, across the tooth", Value: joint.Thickness, Unit: "mm", Source: "flat, at the top of the old stub or at the tooth's weakest section, the higher of the two"},
		{Name: "area of the bond", Value: joint.Thickness * c.Face, Unit: "mm^2", Source: "across the tooth x face"},
	}
}

func (c BondCase) validate() error {
	if err := c.Duty.validate(); err != nil {
		return err
	}
	switch most := c.Tooth.WholeDepth(); {
	case !(c.Stub >= 0 && c.Stub <= most):
		return fmt.Errorf("stub of %.6g mm: it must be 0 to %.3f mm", c.Stub, most)
	case !(c.RimUnder > 0):
		return fmt.Errorf("rim under the root %.6g mm: it must be positive", c.RimUnder)
	case !(c.CastingTensile >= 0 && c.Strength >= 0 && c.Bond >= 0):
		return fmt.Errorf("strengths %g, %g and %g MPa: they must not be negative", c.CastingTensile, c.Strength, c.Bond)
	}
	return nil
}
