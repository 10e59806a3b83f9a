package toolpath

import (
	"testing"

	"cogmend/toolpath/job"
)

// TestLeftIn: the order of tools spares touching a cutter off again where the
// work stays as it is: the trial and fit programs begin with the cutter the
// insert's block ends with, the facets with that of the flush program; the gear
// is taken out between slot and flush. No program takes up a cutter twice.
func TestLeftIn(t *testing.T) {
	p, err := makeOf(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	want := map[Purpose]Purpose{TrialProgram: InsertProgram, FitProgram: TrialProgram, FacetsProgram: FlushProgram}
	for i := range p.Programs {
		prog := &p.Programs[i]
		got := Purpose("")
		if before := p.LeftIn(prog); before != nil {
			got = before.Purpose
		}
		if got != want[prog.Purpose] {
			t.Errorf("%s: its first cutter is left in by %q, want %q", prog.File(), got, want[prog.Purpose])
		}
		taken := map[int]bool{}
		for _, op := range prog.Ops {
			if taken[op.Cutter.Number] {
				t.Errorf("%s takes up T%d twice", prog.File(), op.Cutter.Number)
			}
			taken[op.Cutter.Number] = true
		}
	}
}
