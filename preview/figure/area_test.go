package figure

import (
	"image"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// covered is the sum of what an area covers, in pixels.
func covered(a *area) float64 {
	total := 0.0
	for y := range a.h {
		sum := 0.0
		for _, v := range a.cover[y*(a.w+2):][:a.w] {
			sum += float64(v)
			total += math.Min(1, math.Abs(sum))
		}
	}
	return total
}

func ringArea(rings ...[]xy) *area {
	s := newShape()
	for _, r := range rings {
		s.ring(1, r...)
	}
	a := &area{}
	a.reset(40, 30)
	for _, e := range s.edges {
		a.edge(e)
	}
	return a
}

func TestAreaKnown(t *testing.T) {
	for _, c := range []struct {
		name  string
		rings [][]xy
		want  float64
	}{
		{"whole pixels", [][]xy{rect{2, 3, 12, 8}.ring()}, 50},
		{"parts of pixels", [][]xy{rect{2.25, 3.5, 4.75, 5}.ring()}, 3.75},
		{"triangle", [][]xy{{{0, 0}, {10, 0}, {0, 10}}}, 50},
		{"flat triangle", [][]xy{{{0, 5}, {40, 5.5}, {0, 6}}}, 20},
		{"two that touch", [][]xy{rect{1, 1, 3.5, 9}.ring(), rect{3.5, 1, 6, 9}.ring()}, 40},
		{"two that overlap", [][]xy{rect{1, 1, 5, 9}.ring(), rect{3, 1, 6, 9}.ring()}, 40},
		{"beyond every side", [][]xy{rect{-5, -5, 60, 60}.ring()}, 1200},
		{"all outside", [][]xy{rect{-9, 40, -2, 50}.ring()}, 0},
	} {
		if got := covered(ringArea(c.rings...)); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("%s: %g pixels, want %g", c.name, got, c.want)
		}
	}
}

// TestAreaCutInTwo: a triangle and the two parts of it beside a cut through one
// corner cover the same, and it is the area by the shoelace formula.
func TestAreaCutInTwo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		point := func(name string) xy {
			return xy{rapid.Float64Range(0, 40).Draw(t, name+" x"), rapid.Float64Range(0, 30).Draw(t, name+" y")}
		}
		p, q, r := point("p"), point("q"), point("r")
		m := lerp(q, r, rapid.Float64Range(0, 1).Draw(t, "cut"))
		d, e := q.minus(p), r.minus(p)
		want := math.Abs(d.x*e.y-d.y*e.x) / 2
		// Single precision sums over at most 70 rows and columns.
		const tol = 2e-3
		if got := covered(ringArea([]xy{p, q, r})); math.Abs(got-want) > tol {
			t.Fatalf("one piece covers %g, want %g", got, want)
		}
		if got := covered(ringArea([]xy{p, q, m}, []xy{p, m, r})); math.Abs(got-want) > tol {
			t.Fatalf("two pieces cover %g, want %g", got, want)
		}
	})
}

func TestAreaPaints(t *testing.T) {
	im := image.NewRGBA(image.Rect(0, 0, 60, 50))
	c := newCanvas(im, 1)
	c.clear(rgb(panelRGB))
	ringArea(rect{2, 2, 10.5, 10}.ring()).paint(im, image.Pt(10, 10), rgb(inkRGB))
	for _, s := range []struct {
		x, y int
		want float64 // share of ink
	}{{11, 15, 0}, {12, 12, 1}, {19, 19, 1}, {20, 15, 0.5}, {21, 15, 0}, {15, 20, 0}} {
		want := mix(rgb(panelRGB), rgb(inkRGB), s.want)
		if got := im.RGBAAt(s.x, s.y); got != want {
			t.Errorf("pixel %d,%d is %v, want %v", s.x, s.y, got, want)
		}
	}
}
