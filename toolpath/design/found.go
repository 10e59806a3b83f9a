package design

import (
	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// Found is a joint as it was found on the work: from the step of the trial cuts
// that slid in first, or from sizes over pins. Lengths mm.
type Found struct {
	Step     int                      // number of the trial cut; 0: from pins
	Slot     *measure.DovetailReading // between pins; nil: from a step
	Insert   *measure.DovetailReading // over pins, as it is now, against the sliding size; nil: not measured
	Measured bool                     // by what the job says was measured
	Joint    estimate.JointFit        // the joint the estimates take
}

// FindByStep is the joint of a step of the trial cuts, with a dovetail cutter of
// the radius tip at its wide end.
func (d *Design) FindByStep(step int, tip float64) (Found, error) {
	l := &d.Job.Fit
	joint, err := estimate.FitFromLadder(d.Slot(), l.TrialFirst, l.TrialStep, step)
	f := Found{Step: step, Joint: joint}
	if err == nil {
		err = d.tighten(&f.Joint, tip)
	}
	return f, err
}

// FindMeasured is the joint whose sliding size the job's measured sizes give
// (as_cut, or fit.play).
func (d *Design) FindMeasured() (Found, error) {
	f, err := d.Fitted()
	return Found{Measured: true, Joint: f}, err
}

// FindByPins is the joint of a slot measured between pins, in which the insert
// shall have some play.
func (d *Design) FindByPins(slot measure.DovetailReading, play, tip float64) (Found, error) {
	cut := d.Slot()
	cut.Mouth = slot.Mouth
	joint, err := estimate.FitFromPins(cut, play)
	f := Found{Slot: &slot, Joint: joint}
	if err == nil {
		err = d.tighten(&f.Joint, tip)
	}
	return f, err
}

// Sliding is the insert's dovetail at its sliding size.
func (d *Design) Sliding(f Found) profiles.DovetailSize {
	return profiles.DovetailSize{Mouth: f.Joint.Sliding, Depth: d.Job.Slot.Depth, HalfAngle: d.Job.Slot.HalfAngle}
}

// tighten puts into a joint what the job says of it, and its tight middle: where
// none is asked for, the greatest that this joint allows, which is better known
// than the trial cuts the design goes by.
func (d *Design) tighten(f *estimate.JointFit, tip float64) error {
	if err := d.JoinIn(f, tip); err != nil {
		return err
	}
	f.Tight = d.Tight()
	if d.Job.Fit.TightMiddle != job.TightBest {
		return nil
	}
	best, err := f.DefaultTight()
	f.Tight = best
	return err
}
