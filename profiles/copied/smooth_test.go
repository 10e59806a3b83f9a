package copied

import (
	"math"
	"testing"
)

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestBasis: the splines add up to one, and at a knot the quartic's are 1 11 11 1
// of 24 (the Eulerian numbers, as any table of uniform B-splines has them; memory).
func TestBasis(t *testing.T) {
	for _, x := range []float64{0, 0.2, 0.7, 1} {
		sum := 0.0
		for _, b := range basis(x, degree) {
			sum += b
		}
		within(t, "sum", sum, 1, 1e-14)
	}
	for i, want := range []float64{1, 11, 11, 1, 0} {
		within(t, "at a knot", basis(0, degree)[i], want/24, 1e-15)
	}
}

// TestCurveFollows a sine, with its derivatives; and a parabola exactly, however
// stiff it is.
func TestCurveFollows(t *testing.T) {
	c := curve{lo: 0, step: 1.0 / pieces}
	var sine, parabola []want
	for i := range 40 {
		x := float64(i) / 39
		sine = append(sine, want{x: x, value: math.Sin(3 * x), weight: 1})
		parabola = append(parabola, want{x: x, value: 2 - x + 5*x*x, weight: 1})
	}
	if free, ok := c.solve(sine, len(sine), 1e-12); !ok || free < 20 {
		t.Fatalf("no curve, or too few free numbers: %g", free)
	}
	for _, x := range []float64{0.1, 0.33, 0.5, 0.9} {
		v, d, b := c.at(x)
		within(t, "value", v, math.Sin(3*x), 1e-6)
		within(t, "slope", d, 3*math.Cos(3*x), 1e-3)
		within(t, "bend", b, -9*math.Sin(3*x), 5e-2)
	}
	if free, ok := c.solve(parabola, len(parabola), 1e6); !ok || math.Abs(free-3) > 0.01 {
		t.Fatalf("no curve, or %g free numbers and not 3", free)
	}
	v, d, b := c.at(0.37)
	within(t, "parabola", v, 2-0.37+5*0.37*0.37, 1e-8)
	within(t, "parabola's slope", d, -1+10*0.37, 1e-6)
	within(t, "parabola's bend", b, 10, 1e-4)
	// Beyond its ends it is a line.
	v1, d1, _ := c.at(1)
	v2, d2, b2 := c.at(1.5)
	within(t, "beyond", v2, v1+0.5*d1, 1e-9)
	within(t, "beyond, slope", d2, d1, 1e-9)
	within(t, "beyond, bend", b2, 0, 0)
}
