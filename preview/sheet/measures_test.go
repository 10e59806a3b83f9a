package sheet

import (
	"slices"
	"testing"

	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// TestMeasures: the demo's sizes are there, each under the program after which
// it can be measured.
func TestMeasures(t *testing.T) {
	d, err := design.Of(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	list, err := Measures(d)
	if err != nil {
		t.Fatal(err)
	}
	for name, after := range map[string]toolpath.Purpose{
		"slot.between_pins": toolpath.SlotProgram, "insert.over_pins_tight": toolpath.FitProgram,
		"tooth.chord_facet": toolpath.FacetsProgram, "old.span": "",
	} {
		i := slices.IndexFunc(list, func(m Measure) bool { return m.Name == name })
		if i < 0 || list[i].After != after || !(list[i].Nominal > 0) {
			t.Errorf("%s is not among the sizes, or not after %q: %+v", name, after, list)
		}
	}
}
