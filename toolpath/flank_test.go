package toolpath

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
)

// TestCrossing: the planes of two facets meet at the height given.
func TestCrossing(t *testing.T) {
	const rb, a, b = 33.8, 0.2, 0.35
	z := crossing(rb*a, rb*b, b-a)
	// With the facet at b upright, that at a is turned back by b - a.
	if p := geom.Turn(a - b).Apply(geom.Vec{Y: rb * b, Z: z}); math.Abs(p.Y-rb*a) > 1e-9 {
		t.Errorf("crossing at %.6f: on the lower facet Y is %.6f, want %.6f", z, p.Y, rb*a)
	}
}
