package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// Duty is what a repaired gear carries, however its tooth came back. Lengths mm.
type Duty struct {
	Tooth      profiles.Gear // the new tooth
	Neighbours profiles.Gear // the standing teeth, with their own thinning
	Face       float64       // width of the face

	Torque  float64 // N m on this gear; 0 when Power is given
	Power   float64 // W; 0 when Torque is given
	Rpm     float64 // rev/min of this gear; 0: not given, the load is static
	Service float64 // service factor, 1 or more; 0 means 1.5

	RimUnder       float64           // metal under what carries the tooth
	Casting        profiles.Material // of the gear
	CastingTensile float64           // MPa, of a known grade; 0: the weakest
}

// iron is the casting's strength, with its grade where that is known.
func (d Duty) iron() profiles.Strength {
	s := d.Casting.Strength()
	if d.CastingTensile > 0 {
		s.Limit, s.LimitSource = d.CastingTensile, statedWithLoad
	}
	return s
}

// service is the service factor.
func (d Duty) service() float64 {
	if d.Service == 0 {
		return defaultService
	}
	return d.Service
}

// begin starts an estimate: force, form factors and rim, and what they assume.
func (d Duty) begin() (r LoadResult, assumed []profiles.Assumption, err error) {
	r.NotFor = append([]string(nil), notForRepair...)
	r.force(d)
	var source, sourceN string
	if r.Y, source, err = TipFormFactor(d.Tooth); err != nil {
		return LoadResult{}, nil, err
	}
	if r.YNeighbours, sourceN, err = TipFormFactor(d.Neighbours); err != nil {
		return LoadResult{}, nil, err
	}
	r.BackupRatio = d.backupRatio()
	if r.Rim, err = RimFactor(r.BackupRatio); err != nil {
		return LoadResult{}, nil, err
	}
	return r, []profiles.Assumption{
		{Name: "service factor", Value: d.service(), Source: "of the job, or own rule 1.5"},
		{Name: "velocity factor (3 + v)/3", Value: r.VelocityShare, Source: "Barth; Jindal, Machine Design, ex. 25-3"},
		{Name: "form factor of the new tooth, loaded at its tip", Value: r.Y, Source: source},
		{Name: "form factor of the neighbours", Value: r.YNeighbours, Source: sourceN},
		{Name: "rim factor", Value: r.Rim, Source: "AGMA 2001-D04 as in Shigley 14-16, from memory"},
		{Name: "teeth that share the load", Value: 1, Source: profiles.OwnRule},
	}, nil
}

// force works the design force out.
func (r *LoadResult) force(d Duty) {
	r.Torque = d.Torque
	if d.Power > 0 {
		r.Torque = d.Power / (2 * math.Pi * d.Rpm / 60)
	}
	r.Tangential = r.Torque * 1000 / d.Tooth.PitchRadius()
	r.PitchSpeed = PitchLineSpeed(d.Tooth, d.Rpm)
	r.VelocityShare = VelocityFactor(r.PitchSpeed)
	r.Design = r.Tangential * d.service() * r.VelocityShare
}

// DesignForce is the force on the pitch circle with its factors, N per mm of
// face; 0 for a case without a load.
func (d Duty) DesignForce() float64 {
	var r LoadResult
	r.force(d)
	return r.Design / d.Face
}

// addNeighbour judges the standing teeth beside the new one.
func (r *LoadResult) addNeighbour(d Duty) {
	iron := d.iron()
	r.add(LoadItem{Key: "neighbour.lewis", What: "bending in its neighbours (Lewis, rim factor)",
		Value: LewisStress(r.Design*r.Rim, d.Tooth.Module, d.Face, r.YNeighbours), Unit: "MPa",
		Allowable: iron.SafeStatic, Source: iron.SafeStaticSource, Decides: true})
}

// backupRatio is the rim under what carries the tooth over its whole depth.
func (d Duty) backupRatio() float64 { return d.RimUnder / d.Tooth.WholeDepth() }

// warnings tells what is exceeded, and what makes the estimate weak; under names
// what the rim lies under.
func (d Duty) warnings(r LoadResult, under string) []string {
	var w []string
	for _, i := range r.Items {
		if i.Use > 1 {
			w = append(w, fmt.Sprintf("%s: %.3g %s is beyond %.3g", i.What, i.Value, i.Unit, i.Allowable))
		}
	}
	if r.BackupRatio < FullBackup {
		w = append(w, fmt.Sprintf("rim under %s is %.2f of the whole depth: stresses beside it grow by %.2f", under, r.BackupRatio, r.Rim))
	}
	if d.Rpm == 0 {
		w = append(w, "no speed given: the load is taken as static")
	}
	return w
}

// validate checks the teeth, the face and the load.
func (d Duty) validate() error {
	for _, g := range []profiles.Gear{d.Tooth, d.Neighbours} {
		if err := g.Validate(); err != nil {
			return err
		}
	}
	switch {
	case (d.Torque != 0) == (d.Power != 0):
		return fmt.Errorf("give either a torque or a power, not both and not neither")
	case d.Torque != 0 && !positive(d.Torque):
		return fmt.Errorf("torque %g N m: it must be positive", d.Torque)
	case d.Power != 0 && (!positive(d.Power) || !positive(d.Rpm)):
		return fmt.Errorf("power %g W at %g rev/min: both must be positive", d.Power, d.Rpm)
	case !(d.Rpm >= 0):
		return fmt.Errorf("speed %g rev/min: it must not be negative", d.Rpm)
	case d.Service != 0 && !(d.Service >= 1):
		return fmt.Errorf("service factor %g: it must be 1 or more", d.Service)
	case !positive(d.Face):
		return fmt.Errorf("face width %.6g mm: it must be positive", d.Face)
	}
	return nil
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 0) }
