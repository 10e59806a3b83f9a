package cli

import (
	"fmt"
	"strings"

	"cogmend/cmd/internal/repair"
	"cogmend/preview/sheet"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
)

// estimates says what the commands load, fit, mesh and gauge would say of a
// planned job.
func estimates(plan *toolpath.Plan) (e repair.Estimates, err error) {
	d, j := plan.Design, plan.Job
	e.Against = d.Against()
	e.Fit, e.FitData = fitReport(d)
	if text := d.FitWarning(); text != "" && len(e.Against) == 0 {
		e.Warnings = append(e.Warnings, text)
	}
	lines, data, carried := loadReport(d)
	e.Strength, e.StrengthData = lines, data
	switch {
	case j.Load == nil:
		for _, i := range d.Room() {
			if i.Use > 1 || !(i.Value > 0) {
				e.Warnings = append(e.Warnings, fmt.Sprintf("%s: only %s, %s at least is wanted (%s)", i.What, amount(i.Value, i.Unit), amount(i.Allowable, i.Unit), i.Source))
			}
		}
		e.Warnings = append(e.Warnings, "strength was not estimated: the job has no [load] table; see 'cogmend load'")
	case !carried && len(e.Against) == 0:
		e.Warnings = append(e.Warnings, "the strength estimate speaks against this repair; see report.txt, or 'cogmend load'")
	}
	if text := d.MateWarning(); text != "" {
		e.Warnings = append(e.Warnings, text)
	}
	if j.Load != nil {
		if r, err := d.Loaded(); err != nil {
			e.StrengthNotes = []string{fmt.Sprintf("No estimate of strength: %v.", err)}
		} else {
			e.StrengthNotes = append([]string{"Strength, an estimate and no rating: " + r.Verdict + "."}, r.Warnings...)
		}
	}
	e.Measures, err = sheetMeasures(d)
	return e, err
}

// sheetMeasures lists what is to be measured, by the program after which it
// can be: the same sizes, limits and names as the gauge command has.
func sheetMeasures(d *design.Design) ([]sheet.Measure, error) {
	s, _, err := d.Sheet(design.Gauging{Width: design.UsualWidth, Depth: design.UsualDepth})
	if err != nil {
		return nil, err
	}
	var out []sheet.Measure
	for _, i := range s.Items() {
		m := sheet.Measure{After: measuredAfter(i.Key), Name: i.Key, What: i.What, Pin: i.Pin, Nominal: i.Nominal, Low: i.Low, High: i.High, Note: i.Note}
		// The span's words say over how many teeth.
		if i.Pin > 0 || i.Height > 0 {
			m.With = withWhat(i, d.Job.Units)
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
