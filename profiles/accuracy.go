package profiles

import (
	"fmt"
	"math"
	"sort"
)

// Edition is an edition of ISO 1328-1, flank tolerance classification. The two
// in use give one deviation different grades, so a grade is quoted with its
// edition.
type Edition int

// The editions.
const (
	ISO1328of1995 Edition = iota
	ISO1328of2013
)

// String reads "ISO 1328-1:2013".
func (e Edition) String() string {
	return [...]string{"ISO 1328-1:1995", "ISO 1328-1:2013"}[e]
}

// coverage is what an edition covers: grades, modules and reference diameters
// in mm, from memory.
type coverage struct {
	finest, coarsest int
	module, diameter [2]float64
}

var coverages = [...]coverage{
	ISO1328of1995: {0, 12, [2]float64{0.5, 70}, [2]float64{5, 10000}},
	ISO1328of2013: {1, 11, [2]float64{0.5, 70}, [2]float64{5, 15000}},
}

// Ranges of ISO 1328-1:1995, clause 6: module and reference diameter, mm.
var (
	isoModules   = []float64{0.5, 2, 3.5, 6, 10, 16, 25, 40, 70}
	isoDiameters = []float64{5, 20, 50, 125, 280, 560, 1000, 1600, 2500, 4000, 6000, 8000, 10000}
)

// ProfileTolerance returns the permitted total profile deviation F_alpha in
// micrometres of a grade, for a module m and reference diameter d in mm, each
// grade sqrt(2) coarser and rounded as the standard rounds. For grade 5, from
// memory,
//
//	1995:  F = 3.2 sqrt(m) + 0.22 sqrt(d) + 0.7  at the geometric means of the ranges
//	2013:  F = hypot(0.4 m + 0.001 d + 4, 0.55 m + 5)  slope and form together
//
// It is an error when the edition has no such grade or does not cover the size.
func (e Edition) ProfileTolerance(grade int, module, diameter float64) (float64, error) {
	c := coverages[e]
	if grade < c.finest || grade > c.coarsest {
		return 0, fmt.Errorf("grade %d: %v has %d to %d", grade, e, c.finest, c.coarsest)
	}
	for _, v := range []struct {
		what   string
		size   float64
		limits [2]float64
	}{{"module", module, c.module}, {"diameter", diameter, c.diameter}} {
		if !(v.size >= v.limits[0]) || v.size > v.limits[1] {
			return 0, fmt.Errorf("%s %.3f mm: %v covers %g to %g", v.what, v.size, e, v.limits[0], v.limits[1])
		}
	}
	f := math.Hypot(0.4*module+0.001*diameter+4, 0.55*module+5)
	if e == ISO1328of1995 {
		f = 3.2*math.Sqrt(isoMean(isoModules, module)) + 0.22*math.Sqrt(isoMean(isoDiameters, diameter)) + 0.7
	}
	f *= math.Pow(2, float64(grade-5)/2)
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
func isoMean(limits []float64, v float64) float64 {
	i := max(sort.SearchFloat64s(limits, v), 1)
	return math.Sqrt(limits[i-1] * limits[i])
}

// Graded is the grade that one edition gives a deviation.
type Graded struct {
	Edition Edition // of the standard
	Grade   int     // the finest that holds the deviation
	OK      bool    // false: even the coarsest does not, or the size is outside the standard
}

// ProfileGrade returns the finest grade of the edition whose permitted total
// profile deviation holds a deviation in micrometres.
func (e Edition) ProfileGrade(deviation, module, diameter float64) Graded {
	c := coverages[e]
	for grade := c.finest; grade <= c.coarsest; grade++ {
		f, err := e.ProfileTolerance(grade, module, diameter)
		if err != nil {
			return Graded{e, 0, false}
		}
		if deviation <= f {
			return Graded{e, grade, true}
		}
	}
	return Graded{e, c.coarsest, false}
}

// String reads "grade 8 of ISO 1328-1:2013".
func (g Graded) String() string {
	if !g.OK {
		return fmt.Sprintf("coarser than grade %d of %v, or outside it", coverages[g.Edition].coarsest, g.Edition)
	}
	return fmt.Sprintf("grade %d of %v", g.Grade, g.Edition)
}
