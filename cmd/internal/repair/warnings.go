package repair

import "slices"

// Warnings is what one should know of a repair before cutting, one sentence
// each without capital or full stop: the same on the terminal, in the report
// and on the sheet.
func (r *Repair) Warnings() []string {
	return slices.Concat(r.Plan.Warnings, r.Estimates.Warnings)
}
