package profiles

import (
	"fmt"
	"math"
	"slices"
)

// Head is a dividing head or a rotary table with a worm and hole plates, used
// for plain (simple) indexing: Ratio turns of the crank are one turn of the
// spindle. Source: Machinery's Handbook, simple indexing; US Army OD1644.
type Head struct {
	Ratio   int
	Circles []int // holes in each circle of the plates
}

// CommonCircles returns the hole circles of the two usual sets of plates
// (Machinery's Handbook, simple indexing).
func CommonCircles() (first, second []int) {
	return []int{15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49},
		[]int{24, 25, 28, 30, 34, 37, 38, 39, 41, 42, 43, 46, 47, 49, 51, 53, 54, 57, 58, 59, 62, 66}
}

// Setting is a place of the crank, counted in holes of one circle from the
// place where the gear's angle is 0.
type Setting struct {
	Circle int     // holes in the circle
	Count  int     // holes from zero, negative the other way
	Angle  float64 // of the spindle, rad
	Error  float64 // Angle less the angle asked for, rad
}

// Crank is a move of the crank as one counts it.
type Crank struct {
	Circle int
	Turns  int
	Holes  int
	Back   bool // turned the other way
}

// String reads "2 turns and 18 holes in the 27 circle".
func (c Crank) String() string {
	way := ""
	if c.Back {
		way = " back"
	}
	return fmt.Sprintf("%d turns and %d holes%s in the %d circle", c.Turns, c.Holes, way, c.Circle)
}

// Validate says whether the head can index at all.
func (h Head) Validate() error {
	if h.Ratio < 1 || h.Ratio > 1000 {
		return fmt.Errorf("worm ratio %d: it must be 1 to 1000", h.Ratio)
	}
	if len(h.Circles) == 0 {
		return fmt.Errorf("the dividing head has no hole circle")
	}
	for _, c := range h.Circles {
		if c < 1 || c > 1000 {
			return fmt.Errorf("hole circle of %d: it must be 1 to 1000", c)
		}
	}
	return nil
}

// Step returns the spindle's angle of one hole in a circle, rad.
func (h Head) Step(circle int) float64 { return 2 * math.Pi / float64(h.Ratio*circle) }

// NearestIn returns the setting in one circle that is nearest to the angle.
func (h Head) NearestIn(circle int, angle float64) Setting {
	step := h.Step(circle)
	n := int(math.Round(angle / step))
	a := float64(n) * step
	return Setting{circle, n, a, a - angle}
}

// Nearest returns the setting nearest to the angle over all circles; of equal
// ones that with the fewest holes in its circle.
func (h Head) Nearest(angle float64) Setting {
	var best Setting
	// Two circles may give the same angle by different roundings.
	const same = 1e-12
	for i, c := range h.Circles {
		s := h.NearestIn(c, angle)
		d := math.Abs(s.Error) - math.Abs(best.Error)
		if i == 0 || d < -same || d < same && c < best.Circle {
			best = s
		}
	}
	return best
}

// Reachable returns the settings of one circle with angles in [lo, hi],
// ascending.
func (h Head) Reachable(circle int, lo, hi float64) []Setting {
	step := h.Step(circle)
	// A hole exactly at an end belongs to the range in spite of rounding.
	const slack = 1e-9
	var out []Setting
	for n := int(math.Ceil(lo/step - slack)); n <= int(math.Floor(hi/step+slack)); n++ {
		out = append(out, Setting{Circle: circle, Count: n, Angle: float64(n) * step})
	}
	return out
}

// Divisions returns every exact way to divide a turn into n equal parts: the
// crank move from one part to the next, by ascending circles. It is empty
// when no circle does.
func (h Head) Divisions(n int) []Crank {
	var out []Crank
	if n < 1 {
		return nil
	}
	for _, c := range h.Circles {
		if h.Ratio*c%n == 0 {
			out = append(out, crank(c, h.Ratio*c/n))
		}
	}
	slices.SortFunc(out, func(a, b Crank) int { return a.Circle - b.Circle })
	return out
}

// From returns how the crank is moved from a setting to this one. ok is false
// when the two lie in different circles.
func (s Setting) From(last Setting) (move Crank, ok bool) {
	if s.Circle != last.Circle || s.Circle < 1 {
		return Crank{}, false
	}
	return crank(s.Circle, s.Count-last.Count), true
}

func crank(circle, count int) Crank {
	c := Crank{Circle: circle, Back: count < 0}
	if c.Back {
		count = -count
	}
	c.Turns, c.Holes = count/circle, count%circle
	return c
}
