package chain

import (
	"bytes"
	"strings"
	"testing"

	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// planned is the demo's plan, and its programs as written.
func planned(t *testing.T) (*toolpath.Plan, []Program) {
	t.Helper()
	d, err := design.Of(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		t.Fatal(err)
	}
	all, err := All(plan)
	if err != nil {
		t.Fatal(err)
	}
	return plan, all
}

// TestBuildsOn: each program builds on the one whose metal it works on, and on none
// that comes after it; checked one after another all are clean, as they are when
// gear and insert are checked side by side.
func TestBuildsOn(t *testing.T) {
	plan, all := planned(t)
	for i := range all {
		if !all[i].Clean() {
			t.Fatalf("%s is not clean: %v", all[i].File(), all[i].Err)
		}
	}
	// The order of work, with what each stands on at once.
	next := map[toolpath.Purpose]toolpath.Purpose{
		toolpath.TrialProgram: toolpath.InsertProgram, toolpath.FitProgram: toolpath.TrialProgram,
		toolpath.FlushProgram: toolpath.FitProgram, toolpath.FacetsProgram: toolpath.FlushProgram,
	}
	for i := range all {
		p := &all[i]
		c := New(plan)
		for k := range i {
			q := &all[k]
			if q.Purpose == next[p.Purpose] || p.Purpose == toolpath.FlushProgram && q.Purpose == toolpath.SlotProgram {
				if !BuildsOn(p.Purpose, q.Purpose) {
					t.Errorf("%s is not said to build on %s", p.Purpose, q.Purpose)
				}
			}
			if _, err := c.Check(q.Program, q.File(), bytes.NewReader(q.Text)); err != nil {
				t.Fatal(err)
			}
		}
		for k := i; k < len(all); k++ {
			if q := &all[k]; BuildsOn(p.Purpose, q.Purpose) {
				t.Errorf("%s is said to build on %s, which does not come before it", p.Purpose, q.Purpose)
			}
		}
		if again, err := c.Check(p.Program, p.File(), bytes.NewReader(p.Text)); err != nil || !again.Clean() {
			t.Errorf("%s, checked one after another: %v", p.File(), err)
		}
	}
	if BuildsOn(toolpath.SlotProgram, toolpath.InsertProgram) || BuildsOn(toolpath.InsertProgram, toolpath.SlotProgram) || BuildsOn(toolpath.FitProgram, toolpath.SlotProgram) {
		t.Error("gear and insert are worked on apart before they meet")
	}
}

// TestCheckKeepsTheMetal: a program that is not a program leaves the metal before
// it, and says why.
func TestCheckKeepsTheMetal(t *testing.T) {
	plan, all := planned(t)
	c := New(plan)
	bad, err := c.Check(all[0].Program, "x.nc", strings.NewReader("G1 X\n"))
	if err != nil || bad.Err == nil || bad.Clean() || !bad.Written() {
		t.Fatalf("%v, %v", err, bad.Err)
	}
	if len(c.slot) != len(bad.Before.Stations) {
		t.Errorf("%d stations after it, %d before", len(c.slot), len(bad.Before.Stations))
	}
}
