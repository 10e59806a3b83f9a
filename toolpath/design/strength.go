package design

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Worn returns the gear with the standing teeth's own thinning: as they are on
// the average, where Standing is the fattest that must not be touched.
func (d *Design) Worn() profiles.Gear {
	g := d.Job.Gear.Gear
	g.Thinning = d.Job.Gear.NeighbourThinning
	return g
}

// Slot is the dovetail in the gear as it is to be cut.
func (d *Design) Slot() profiles.DovetailSize {
	s := &d.Job.Slot
	return profiles.DovetailSize{Mouth: s.Mouth, Depth: s.Depth + s.Deeper, HalfAngle: s.HalfAngle}
}

// Joint is the slot's dovetail as far down as the insert bears on it; the slot
// is cut a little deeper.
func (d *Design) Joint() profiles.DovetailSize {
	s := d.Slot()
	s.Depth = d.Job.Slot.Depth
	return s
}

// WallBeside returns the metal beside the slot along Y, mm: at the floor's
// corner to the root circle, or to the next slot when another tooth is let in
// near by.
func (d *Design) WallBeside() float64 {
	s, places := &d.Sizes, d.Job.Gear.Places
	root := d.Job.Gear.RootRadius()
	wall := math.Sqrt(max(0, root*root-s.Floor*s.Floor)) - s.FloorHalf
	if s.Floor < s.RimInner {
		return 0
	}
	slot := []geom.Vec{{Y: -s.FloorHalf, Z: s.Floor}, {Y: s.FloorHalf, Z: s.Floor}, {Y: s.MouthHalf, Z: s.Seat}, {Y: -s.MouthHalf, Z: s.Seat}, {Y: -s.FloorHalf, Z: s.Floor}}
	for _, a := range places {
		for _, b := range places {
			if b <= a {
				continue
			}
			other := geom.Turn((b - a) * d.Job.Gear.Pitch()).ApplyAll(slot)
			// Two convex sections are nearest at a corner of one of them.
			for i := range slot {
				wall = min(wall, geom.Distance(slot[i], other), geom.Distance(other[i], slot))
			}
		}
	}
	return wall
}

// LoadCase is the repair under its load.
func (d *Design) LoadCase() estimate.LoadCase {
	j := d.Job
	c := estimate.LoadCase{
		Tooth: j.Gear.Gear, Neighbours: d.Worn(), Face: j.Gear.Face, Slot: d.Joint(),
		SeatBelow: j.Slot.SeatBelow, Body: j.Insert.Body, Wall: d.WallBeside(), RimUnder: d.Sizes.Floor - d.Sizes.RimInner,
		Casting: j.Gear.Material, Insert: j.Insert.Material,
	}
	if j.Load != nil {
		c.Torque, c.Rpm, c.Service = j.Load.Torque, j.Load.Rpm, j.Load.Service
	}
	switch j.Lock.Kind {
	case job.Screw:
		// The thread's core, or the ground point where that is thinner.
		c.Screws, c.Screw = len(j.Lock.Positions), j.Lock.Point
		if t, ok := profiles.ThreadByName(j.Lock.Thread); ok {
			c.Screw = min(c.Screw, t.Minor())
		}
	case job.Pin:
		c.Screws, c.Screw = len(j.Lock.Positions), min(j.Lock.TapDrill, j.Lock.Point)
	}
	return c
}

// JoinIn puts into a joint of known sliding size what the job says of it; tip
// is the dovetail cutter's radius at its wide end, mm.
func (d *Design) JoinIn(f *estimate.JointFit, tip float64) {
	j := d.Job
	f.Slot.Depth = d.Joint().Depth
	f.Tight, f.Length, f.Lead = j.Fit.TightMiddle, j.Gear.Face, j.Fit.Lead
	f.Casting, f.Insert = j.Gear.Material, j.Insert.Material
	f.CutterTip = tip
	f.CutterNeck = max(0, tip-j.Slot.Depth*d.Sizes.Slope)
	f.Wall = d.WallBeside()
}

// FitWarning speaks when the estimate does not find the fit that the job asks
// for safe, else it is "". While no step is known it takes the one of the
// slot's own size.
func (d *Design) FitWarning() string {
	j := d.Job
	step := j.Fit.Step
	if step == 0 {
		step = min(max(1, 1+int(math.Round(j.Fit.TrialFirst/j.Fit.TrialStep))), j.Fit.TrialCount)
	}
	f, err := estimate.FitFromLadder(d.Slot(), j.Fit.TrialFirst, j.Fit.TrialStep, step)
	if err != nil {
		return ""
	}
	d.JoinIn(&f, d.DovetailRadius())
	r, err := f.Fit()
	if err != nil || r.Verdict == estimate.FitSafe {
		return ""
	}
	return fmt.Sprintf("a tight middle of %s: %s; see 'cogmend fit'", j.Units.Length(j.Fit.TightMiddle), r.Verdict)
}
