package design

import (
	"math"
	"strings"
	"testing"

	"cogmend/profiles/estimate"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// The fit of a step, the warning of the fit, and the load estimate speak of one
// joint: as deep as the insert bears, however much deeper the slot is.
func TestOneJoint(t *testing.T) {
	j := job.Demo()
	j.Slot.Deeper, j.Fit.TightMiddle = 0.5, 0.05
	d, err := Of(j)
	if err != nil {
		t.Fatal(err)
	}
	found, err := d.FindByStep(j.Fit.Step, d.DovetailRadius())
	if err != nil {
		t.Fatal(err)
	}
	f := found.Joint
	c, err := d.LoadCase()
	if err != nil || f.Slot != c.Slot || f.Stress != c.Stress {
		t.Errorf("fit has %+v, load %+v, %v", f.Slot, c.Slot, err)
	}
	if got, want := f.Slot.Depth, j.Slot.Depth; got != want {
		t.Errorf("the joint is %.3f mm deep, the insert's dovetail %.3f", got, want)
	}
	r, err := f.Fit()
	if err != nil {
		t.Fatal(err)
	}
	if warning := d.FitWarning(); (r.Verdict != estimate.FitSafe) != (warning != "") || !strings.Contains(warning, r.Verdict.String()) {
		t.Errorf("fit says %s, the warning is %q", r.Verdict, warning)
	}
	if pins := d.Slot().Depth; pins != j.Slot.Depth+0.5 {
		t.Errorf("pins lie in a slot %.3f mm deep", pins)
	}
}

// A slot measured between pins as wide as it was meant gives the joint of a step
// that slides there: the sliding size is the mouth less the play.
func TestFindByPins(t *testing.T) {
	d, err := Of(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	const play = 0.01
	slot := d.Slot()
	found, err := d.FindByPins(measure.DovetailReading{Mouth: slot.Mouth}, play, d.DovetailRadius())
	if err != nil {
		t.Fatal(err)
	}
	if got, want := found.Joint.Sliding, slot.Mouth-play; math.Abs(got-want) > 1e-12 || found.Step != 0 {
		t.Errorf("it slides at %.4f mm, want %.4f; from step %d", got, want, found.Step)
	}
	if got := d.Sliding(found); got.Mouth != found.Joint.Sliding || got.Depth != d.Job.Slot.Depth {
		t.Errorf("the sliding insert is %+v", got)
	}
	if _, err := d.FindByPins(measure.DovetailReading{Mouth: slot.Mouth}, -play, d.DovetailRadius()); err == nil {
		t.Error("a play below nothing is taken")
	}
}
