package cli

import (
	"slices"
	"testing"

	"cogmend/preview/sheet"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// TestEstimate: what make says beside the plan is there for the demo, each
// size under the program after which it can be measured.
func TestEstimate(t *testing.T) {
	t.Parallel()
	plan, err := toolpath.Make(designOf(t, job.Demo()))
	if err != nil {
		t.Fatal(err)
	}
	e, err := estimates(plan)
	if err != nil {
		t.Fatal(err)
	}
	for name, after := range map[string]toolpath.Purpose{
		"slot.between_pins": toolpath.SlotProgram, "insert.over_pins_tight": toolpath.FitProgram,
		"tooth.chord_facet": toolpath.FacetsProgram, "old.span": "",
	} {
		i := slices.IndexFunc(e.Measures, func(m sheet.Measure) bool { return m.Name == name })
		if i < 0 || e.Measures[i].After != after || !(e.Measures[i].Nominal > 0) {
			t.Errorf("%s is not among the sizes, or not after %q: %+v", name, after, e.Measures)
		}
	}
	if len(e.Strength) == 0 || len(e.StrengthNotes) == 0 || e.StrengthData == nil {
		t.Errorf("the demo has a load, and no estimate of strength: %+v", e)
	}
}
