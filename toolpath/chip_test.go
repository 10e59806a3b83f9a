package toolpath

import (
	"math"
	"slices"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/toolpath/job"
)

// TestDovetailCuts: with the demo's cutter of high speed steel every chip of a
// dovetail cut is thick enough to be cut, by the planned feed and speed.
func TestDovetailCuts(t *testing.T) {
	p, err := makeOf(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i := range p.Programs {
		for _, op := range p.Programs[i].Ops {
			if op.Cutter == p.Dovetail {
				seen++
				share := p.Job.Slot.RadialCut / op.Cutter.Diameter
				if thick := op.Feed / op.Rpm * 2 * math.Sqrt(share*(1-share)); thick < profiles.LeastChip {
					t.Errorf("%s, %s: a chip of %.4f mm", p.Programs[i].File(), op.Name, thick)
				}
			}
		}
	}
	if seen != 4 {
		t.Errorf("%d operations of the dovetail cutter", seen)
	}
}

// TestNothingRubs: an end mill of high speed steel takes a chip of a hundredth a tooth
// at its full width (common practice, no source; within the makers' 0.01 to 0.06 mm
// for small cutters, read), or it is told that it would rub: one of 1.2 mm, whose
// chip by the makers' table is 0.0048.
func TestNothingRubs(t *testing.T) {
	check := func(name string, p *Plan) (told int) {
		for i := range p.Programs {
			for _, op := range p.Programs[i].Ops {
				c := op.Cutter
				if c.Kind != profiles.EndMill || c.Carbide || c.Feed > 0 {
					continue
				}
				chip := op.Feed / (op.Rpm * float64(c.Flutes))
				warned := slices.ContainsFunc(p.Warnings, func(w string) bool { return strings.HasPrefix(w, "cutter."+c.Name+": of high speed steel") })
				if chip < 0.01 && !warned {
					t.Errorf("%s, %s, %s: a chip of %.4f mm a tooth, and no word of it", name, p.Programs[i].File(), op.Name, chip)
				}
				if chip < 0.01 {
					told++
				}
			}
		}
		return told
	}
	for name, p := range plans(t) {
		check(name, p)
	}
	j := job.Demo()
	for i := range j.Cutters {
		if j.Cutters[i].Name == "end2" {
			j.Cutters[i].Diameter, j.Cutters[i].Neck, j.Cutters[i].Carbide, j.Cutters[i].Rpm = 1.2, 1.1, false, 0
		}
	}
	p, err := makeOf(j)
	if err != nil {
		t.Fatal(err)
	}
	if check("demo with a thin cutter", p) == 0 {
		t.Error("no cutter of 1.2 mm rubs")
	}
}
