package profiles

import "math"

// CommonCircles returns the hole circles of the usual set of plates of a
// dividing head (Machinery's Handbook, simple indexing).
func CommonCircles() []int {
	return []int{15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49}
}

// HoleStep returns the turn of the spindle, rad, that one hole of a circle
// gives on a head whose crank turns ratio times for one turn of the spindle.
func HoleStep(ratio, circle int) float64 { return 2 * math.Pi / float64(ratio*circle) }

// Crank returns how the crank of such a head is moved to turn the spindle by
// an angle in rad, 0 or more: whole turns and holes of the circle beyond them,
// to the nearest hole (plain or simple indexing: Machinery's Handbook; US Army
// OD1644).
func Crank(ratio, circle int, angle float64) (turns, holes int) {
	n := int(math.Round(angle / HoleStep(ratio, circle)))
	return n / circle, n % circle
}
