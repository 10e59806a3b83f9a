package repair

import (
	"testing"

	"cogmend/toolpath/job"
)

// mostOverLeast is how much longer than the least time a program of the demo may
// take.
const mostOverLeast = 1.2

// TestMinutesNearLeast: no program of the demo wastes more than a sixth of its
// time, and none takes less than the least.
func TestMinutesNearLeast(t *testing.T) {
	r, err := Make(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	for i := range r.Programs {
		p := &r.Programs[i]
		report := p.Result.Report
		least := report.Least.Minutes()
		if report.Minutes < least || report.Minutes > mostOverLeast*least {
			t.Errorf("%s: %.2f minutes, %.2f at the least (%+v)", p.File(), report.Minutes, least, report.Least)
		}
	}
}
