// Package design works out what follows from a job, once: sizes, the teeth
// and their roots, the facets the index device allows, gauges, strength and
// mesh. The plan, the check's set-ups, the pictures and the commands are handed
// the Design and work none of it out again.
//
// Lengths are mm and angles rad. Heights of the gear are from its axis, the place
// at top dead centre; of the insert from its faced top, which becomes the bottom
// of the dovetail.
package design

import (
	"fmt"
	"slices"
	"sync"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Design is what follows from one job. It is not changed after Of.
type Design struct {
	Job      *job.Job         // the job all of it follows from
	Sizes    Sizes            // of gear, slot and insert
	Shift    float64          // height over the axis of Z0 of the gear's programs, mm
	True     Tooth            // the tooth to be made, without its facets
	Standing Tooth            // the fattest of the teeth that stand: nothing may touch it
	Flanks   Flanks           // the facets of the new tooth
	Target   Tooth            // what nothing may cut into; thinner than True where half of the facets' error is taken off
	Dovetail *profiles.Cutter // nil when the job has none
	Bead     geom.Region      // of a built-up tooth, the most there may be, from the root circle up; the place on top

	stress func() (*estimate.Casting, error)
	tight  func() (float64, error)
	fit    func() (Fitting, error)
	loaded func() (estimate.LoadResult, error)
}

// Tooth is one tooth centred on +Z at the gear's axis.
type Tooth struct {
	profiles.Gear
	Root    profiles.Root // the fillet under the flanks
	Flank   []geom.Vec    // the +Y side, from the corner of the tip land down to the middle of the space
	Outline []geom.Vec    // from the middle of the space on its -Y side over the tip to that on its +Y side
	left    []geom.Vec    // the -Y side as Flank, mirrored; Flank itself where they are alike
}

// Seen returns the tooth as seen with a side for the +Y one: itself for +1, for
// -1 its mirror image, which differs where its flanks are not alike.
func (t *Tooth) Seen(side int) *Tooth {
	other := t.Mirrored()
	if side > 0 || other == t.Gear {
		return t
	}
	root, _ := other.Root() // both were worked out with the tooth
	outline := geom.Mirrored(t.Outline)
	slices.Reverse(outline)
	return &Tooth{Gear: other, Root: root, Flank: t.left, Outline: outline, left: t.Flank}
}

// toothOf works a tooth out; its error wraps profiles.ErrRoot or ErrPointed.
func toothOf(g profiles.Gear) (t Tooth, err error) {
	t.Gear = g
	if t.Root, err = g.Root(); err != nil {
		return t, err
	}
	if t.Flank, err = g.RightFlank(); err != nil {
		return t, err
	}
	if t.left, err = g.Mirrored().RightFlank(); err != nil {
		return t, err
	}
	t.Outline, err = g.Tooth()
	return t, err
}

// Of works out what follows from a job. No error comes of a job that was
// checked.
//
// Where metal has been measured the design is that of the job as made; but the
// tight middle, where the job leaves it to the estimate, stays that of the
// design: what is wanted does not move because something was measured.
func Of(j *job.Job) (*Design, error) {
	made := j.AsMade()
	d, err := ofJob(made)
	if err != nil || made == j || made.Fit.TightMiddle != job.TightBest {
		return d, err
	}
	designed, err := ofJob(made.Designed())
	if err != nil {
		return nil, err
	}
	d.tight = designed.tight
	return d, nil
}

// ofJob is Of the job as it stands.
func ofJob(j *job.Job) (*Design, error) {
	d := &Design{Job: j, Dovetail: dovetailCutter(j)}
	d.stress = sync.OnceValues(func() (*estimate.Casting, error) {
		s := d.Section()
		return estimate.NewCasting(s, d.lock(s))
	})
	d.tight = sync.OnceValues(d.findTight)
	d.fit, d.loaded = sync.OnceValues(d.findFit), sync.OnceValues(d.findLoaded)
	var err error
	if d.Sizes, err = sizesOf(j); err != nil {
		return nil, fmt.Errorf("sizes: %w", err)
	}
	d.Shift = ZeroHeight(&j.Gear, j.Gear.Zero)
	if d.True, err = toothOf(j.Gear.Gear); err != nil {
		return nil, fmt.Errorf("the tooth to be made: %w", err)
	}
	if j.BuiltUp() {
		if d.Bead, err = beadOf(j, &d.True); err != nil {
			return nil, fmt.Errorf("the bead: %w", err)
		}
		d.Sizes.ofBead(j, d.Bead)
	} else {
		d.Sizes.bearing(d.True.Flank)
	}
	if d.Standing, err = toothOf(j.Gear.Standing()); err != nil {
		return nil, fmt.Errorf("the standing teeth: %w", err)
	}
	if d.Flanks, err = flanksOf(j); err != nil {
		return nil, fmt.Errorf("facets: %w", err)
	}
	d.Target = d.True
	if d.Flanks.Allowance != 0 {
		if d.Target, err = toothOf(j.Gear.MovedIn(d.Flanks.Allowance)); err != nil {
			return nil, fmt.Errorf("the tooth with its facets: %w", err)
		}
	}
	return d, nil
}

// dovetailCutter returns the cutter the dovetails are cut with, nil when the
// job has none.
func dovetailCutter(j *job.Job) *profiles.Cutter {
	for i := range j.Cutters {
		c := &j.Cutters[i]
		if c.Kind == profiles.Dovetail && (j.Slot.Dovetail == "" || c.Name == j.Slot.Dovetail) {
			return c
		}
	}
	return nil
}

// DovetailRadius is that of the dovetail cutter at its wide end, mm; 0 without one.
func (d *Design) DovetailRadius() float64 {
	if d.Dovetail == nil {
		return 0
	}
	return d.Dovetail.Radius()
}
