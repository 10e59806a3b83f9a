package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"cogmend/toolpath"
)

// TestFarTouch: with the gap filled the sheet says how deep to touch the far flanks
// and what comes out. Second method: the radius at which the tooth's own half angle
// brings its flank to that height, by halving.
func TestFarTouch(t *testing.T) {
	for _, name := range []string{"head", "teeth", "module4-mm"} {
		s, p := planned(t, name, nil)
		for i := range s.Plan.Programs {
			prog := &s.Plan.Programs[i]
			if prog.Purpose != toolpath.FlushProgram {
				continue
			}
			var z, y float64
			for _, task := range p.Programs[i].Touches {
				if _, rest, ok := strings.Cut(task.Do, "flank, then the right one's right, both at Z "); ok {
					fmt.Sscan(strings.Replace(rest, "−", "-", 1), &z)
					_, rest, _ = strings.Cut(task.Note, "Expect about ")
					fmt.Sscan(rest, &y)
				}
			}
			if y == 0 {
				t.Fatalf("%s: no place to touch the far flanks", name)
			}
			g, end := s.job.Gear.Standing(), z+s.Plan.Shift
			lo, hi := g.BaseRadius(), g.TipRadius()
			for range 60 {
				if r := (lo + hi) / 2; r*math.Cos(g.Pitch()+g.HalfAngle(r)) < end {
					lo = r
				} else {
					hi = r
				}
			}
			want := lo*math.Sin(g.Pitch()+g.HalfAngle(lo)) + prog.Ops[0].Cutter.Radius()
			if end < g.BaseRadius() || math.Abs(y-want) > 0.002 {
				t.Errorf("%s: at Z %.3f expect %.4f, by its half angle %.4f", name, z, y, want)
			}
		}
	}
}

// TestStopsAhead: a job on stops says before its first cut where they are drawn.
func TestStopsAhead(t *testing.T) {
	for name, want := range map[string]bool{"teeth": true, "head": false} {
		_, p := planned(t, name, nil)
		if got := strings.Contains(fmt.Sprint(p.Programs[0].Clamp), "The two stops are drawn"); got != want {
			t.Errorf("%s: the slot points to the stops: %t", name, got)
		}
	}
}
