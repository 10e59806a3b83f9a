package repair

import (
	"cogmend/preview/sheet"
	"cogmend/toolpath"
)

// Estimator says what the estimates make of a planned job. They are worked out
// from the design alone, apart from the programs and their check.
type Estimator func(*toolpath.Plan) (Estimates, error)

// Estimates is what is estimated of a repair: strength, fit, mesh, and the
// sizes to be measured.
type Estimates struct {
	// Warnings are sentences without capital or full stop.
	Warnings []string
	// Against are the reasons why the insert should not be let in as the job has
	// it, sentences as Warnings are; none when the estimates allow it.
	Against []string
	// Fit is the estimate of the tight middle's stress in lines, FitData the
	// same for report.json.
	Fit     []string
	FitData map[string]any
	// Strength is the estimate of strength in lines; empty without a load.
	Strength []string
	// StrengthData is the same for report.json; nil without a load.
	StrengthData map[string]any
	// StrengthNotes is the same for the sheet: whole sentences.
	StrengthNotes []string
	// Measures is what is to be measured, with limits.
	Measures []sheet.Measure
}
