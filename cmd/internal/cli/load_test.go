package cli

import (
	"strings"
	"testing"

	"cogmend/profiles/estimate"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// designOf works a job out.
func designOf(t *testing.T, j *job.Job) *design.Design {
	t.Helper()
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The fit command, what make minds of the fit, and the load estimate speak of
// one joint: as deep as the insert bears, however much deeper the slot is.
func TestOneJoint(t *testing.T) {
	j := job.Demo()
	j.Slot.Deeper, j.Fit.TightMiddle = 0.5, 0.05
	o := fitOptions{gearFlags: gearFlags{Job: j, file: "demo"}}
	d := designOf(t, j)
	f, _, _, err := o.joint(d)
	if err != nil {
		t.Fatal(err)
	}
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
	if mind := d.FitWarning(); (r.Verdict != estimate.FitSafe) != (mind != "") || !strings.Contains(mind, r.Verdict.String()) {
		t.Errorf("fit says %s, make minds %q", r.Verdict, mind)
	}
	if pins := d.Slot().Depth; pins != j.Slot.Depth+0.5 {
		t.Errorf("pins lie in a slot %.3f mm deep", pins)
	}
}
