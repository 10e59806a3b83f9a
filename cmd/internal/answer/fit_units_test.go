package answer

import (
	"strings"
	"testing"

	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
)

// TestStressUnits: the table of stresses has the job's unit first. 100 MPa is
// 14 504 psi (NIST SP 811, appendix B: 1 psi = 6.894 757 kPa).
func TestStressUnits(t *testing.T) {
	var one estimate.StressCase
	one.What, one.Floor, one.Corner, one.Limit, one.Decides = "the fit alone", 10, 50, 100, true
	cases := []estimate.StressCase{one}
	for units, want := range map[job.Units][]string{
		job.MM:   {"casting, MPa:", " 10 ", " 50 ", " 100 "},
		job.Inch: {"casting, psi (MPa):", " 1450 (10) ", " 7252 (50) ", " 14504 (100) "},
	} {
		var b strings.Builder
		Stresses(&b, units, cases)
		for _, w := range want {
			if !strings.Contains(b.String(), w) {
				t.Errorf("%s: no %q in\n%s", units.Name(), w, b.String())
			}
		}
	}
}
