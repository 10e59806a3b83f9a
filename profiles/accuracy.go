package profiles

import (
	"fmt"
	"math"
	"sort"
)

// Ranges of ISO 1328-1:1995, clause 6: module and reference diameter, mm.
var (
	isoModules   = []float64{0.5, 2, 3.5, 6, 10, 16, 25, 40, 70}
	isoDiameters = []float64{5, 20, 50, 125, 280, 560, 1000, 1600, 2500, 4000, 6000, 8000, 10000}
)

// finestGrade and coarsestGrade bound the grades of ISO 1328-1.
const (
	finestGrade   = 0
	coarsestGrade = 12
)

// ProfileTolerance returns the permitted total profile deviation F_alpha in
// micrometres of a grade 0 to 12 (ISO 1328-1:1995, from memory): for grade 5
//
//	F = 3.2 sqrt(m) + 0.22 sqrt(d) + 0.7
//
// at the geometric means of the ranges that hold the module m and reference
// diameter d in mm, each grade sqrt(2) coarser, rounded as the standard rounds.
func ProfileTolerance(grade int, module, diameter float64) (float64, error) {
	if grade < finestGrade || grade > coarsestGrade {
		return 0, fmt.Errorf("grade %d: ISO 1328-1 has 0 to 12", grade)
	}
	m, err := isoMean("module", isoModules, module)
	if err != nil {
		return 0, err
	}
	d, err := isoMean("diameter", isoDiameters, diameter)
	if err != nil {
		return 0, err
	}
	f := (3.2*math.Sqrt(m) + 0.22*math.Sqrt(d) + 0.7) * math.Pow(2, float64(grade-5)/2)
	switch {
	case f > 10:
		return math.Round(f), nil
	case f > 5:
		return math.Round(2*f) / 2, nil
	}
	return math.Round(10*f) / 10, nil
}

// isoMean returns the geometric mean of the range that holds v; an upper limit
// belongs to its range.
func isoMean(what string, limits []float64, v float64) (float64, error) {
	if !(v >= limits[0]) || v > limits[len(limits)-1] {
		return 0, fmt.Errorf("%s %.3f mm: ISO 1328-1 covers %g to %g", what, v, limits[0], limits[len(limits)-1])
	}
	i := max(sort.SearchFloat64s(limits, v), 1)
	return math.Sqrt(limits[i-1] * limits[i]), nil
}

// ProfileGrade returns the finest grade of ISO 1328-1 whose permitted total
// profile deviation holds a deviation in micrometres. ok is false when even
// grade 12 does not, or the size is outside the standard.
func ProfileGrade(deviation, module, diameter float64) (grade int, ok bool) {
	for grade = finestGrade; grade <= coarsestGrade; grade++ {
		f, err := ProfileTolerance(grade, module, diameter)
		if err != nil {
			return 0, false
		}
		if deviation <= f {
			return grade, true
		}
	}
	return coarsestGrade, false
}
