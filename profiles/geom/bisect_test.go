package geom

import (
	"math"
	"testing"
)

// Against closed forms: the roots of x^2 - 2 and of cos x, and a step of which
// both sides are told.
func TestBisect(t *testing.T) {
	if got := Root(0, 2, 1e-15, func(x float64) float64 { return x*x - 2 }); math.Abs(got-math.Sqrt2) > 1e-15 {
		t.Errorf("root of two: %.17g", got)
	}
	if got := Root(0, 3, 0, func(x float64) float64 { return -math.Cos(x) }); math.Abs(got-math.Pi/2) > 1e-15 {
		t.Errorf("half a turn: %.17g", got)
	}
	below, above := Bisect(0, 1, 0, func(x float64) bool { return x >= 0.3 })
	if above != 0.3 || below != math.Nextafter(0.3, 0) {
		t.Errorf("the step is between %.17g and %.17g", below, above)
	}
	if below, above = Bisect(1, 1, 0, func(float64) bool { t.Error("asked"); return true }); below != 1 || above != 1 {
		t.Errorf("nothing to halve: %g, %g", below, above)
	}
}
