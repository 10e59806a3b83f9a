package repair

import (
	"fmt"
	"strings"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// TestNewNecks makes the jobs that new proposes, from module 0.8 to 12: their
// programs are clean, so that no shank touches a good tooth, and no dovetail cutter
// bends to 75 % of its strength, or the job says so.
func TestNewNecks(t *testing.T) {
	for i, module := range []float64{0.8, 0.9, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 4, 5, 6, 8, 10, 12} {
		if testing.Short() && i%3 != 0 {
			continue
		}
		for _, units := range []job.Units{job.MM, job.Inch} {
			t.Run(fmt.Sprintf("%g, units %d", module, units), func(t *testing.T) {
				t.Parallel()
				teeth := 24 + 8*(i%4)
				text, err := job.Starter(job.Start{Units: units, Teeth: teeth, Module: module, Pressure: geom.Radians(20), Face: 8 * module, Bore: 6})
				if err != nil {
					t.Fatal(err)
				}
				j, err := job.Decode("new.toml", text, nil)
				if err != nil {
					t.Fatal(err)
				}
				r, err := Make(j)
				if err != nil {
					t.Fatal(err)
				}
				if !r.Clean() {
					var b strings.Builder
					r.Findings(&b)
					t.Errorf("%s", b.String())
				}
				worst := 0.0
				for k := range r.Plan.Programs {
					for _, op := range r.Plan.Programs[k].Ops {
						for _, pass := range op.Passes {
							if op.Cutter.Name == "dovetail" {
								worst = max(worst, pass.Spring.Share)
							}
						}
					}
				}
				t.Logf("dovetail at %.0f %%", 100*worst)
				if said := strings.Contains(string(text), "no room"); worst <= 0 || worst > 0.75 && !said {
					t.Errorf("bends to %.0f %% of its strength, said: %t", 100*worst, said)
				}
			})
		}
	}
}
