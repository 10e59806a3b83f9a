package sheet

import (
	"fmt"
	"strings"

	"cogmend/toolpath"
	"cogmend/toolpath/design"
)

// Measures lists what is to be measured, by the program after which it can be:
// the same sizes, limits and names as the gauge command has.
func Measures(d *design.Design) ([]Measure, error) {
	s, _, err := d.Sheet(design.Gauging{Width: design.UsualWidth, Depth: design.UsualDepth})
	if err != nil {
		return nil, err
	}
	var out []Measure
	for _, i := range s.Items() {
		m := Measure{After: measuredAfter(i.Key), Name: i.Key, What: i.What, Pin: i.Pin, Nominal: i.Nominal, Low: i.Low, High: i.High, Note: i.Note}
		// The span's words say over how many teeth.
		if i.Pin > 0 || i.Height > 0 {
			m.With = i.With(d.Job.Units.Both)
		}
		if i.Key == "tooth.chord_facet" {
			m.Note = fmt.Sprintf("the better of the two: %s", i.Note)
		}
		out = append(out, m)
	}
	return out, nil
}

// measuredAfter is the program after which a size can be measured, "" for what
// is measured before any.
func measuredAfter(key string) toolpath.Purpose {
	part, _, _ := strings.Cut(key, ".")
	return map[string]toolpath.Purpose{"slot": toolpath.SlotProgram, "insert": toolpath.FitProgram, "tooth": toolpath.FacetsProgram}[part]
}
