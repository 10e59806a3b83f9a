package answer

import (
	"bytes"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
)

// TestUnitsFirst: the job's units come first. 1 MPa is 145.038 psi, 1 lbf 4.44822 N,
// 1 lbf ft 1.35582 N m (NIST SP 811, appendix B.8).
func TestUnitsFirst(t *testing.T) {
	r := estimate.LoadResult{Verdict: "carried", Torque: 13.5582, Tangential: 444.822, Design: 889.644,
		Items:       []estimate.LoadItem{{What: "bending", Value: 10, Allowable: 20, Unit: "MPa"}, {What: "wall", Value: 25.4, Allowable: 12.7, Unit: "mm", AtLeast: true}},
		Assumptions: []profiles.Assumption{{Name: "reach", Value: 2.54, Unit: "mm", Source: "own rule"}}}
	for units, want := range map[job.Units][]string{
		job.MM: {"torque 13.6 N m, force on the pitch circle 445 N (100 lbf); with service and velocity factors 890 N (200 lbf)",
			"10.0 MPa (1450 psi)", "25.400 mm (1.0000 in)", "reach: 2.54 mm (own rule)"},
		job.Inch: {"torque 10 lbf ft (13.6 N m), force on the pitch circle 100 lbf (445 N); with service and velocity factors 200 lbf (890 N)",
			"1450 psi (10.0 MPa)", "1.0000 in (25.400 mm)", "reach: 0.1000 in (2.540 mm) (own rule)"},
	} {
		var b bytes.Buffer
		Load(&b, units, r)
		for _, w := range want {
			if !strings.Contains(b.String(), w) {
				t.Errorf("no %q in\n%s", w, b.String())
			}
		}
	}
}
