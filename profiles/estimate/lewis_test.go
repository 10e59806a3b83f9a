package estimate

import (
	"math"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

func TestLewisTable(t *testing.T) {
	for _, r := range published.Table(t, "lewis.csv") {
		z := r.Int("teeth")
		if z == 0 {
			z = 1e9
		}
		y, err := LewisY(z)
		if err != nil {
			t.Fatal(err)
		}
		r.Near(y, r.Num("y"), 1e-6)
	}
	if _, err := LewisY(11); err == nil {
		t.Error("11 teeth were accepted")
	}
	last := 0.0
	for z := 12; z < 2000; z++ {
		y, _ := LewisY(z)
		if y <= last {
			t.Fatalf("Y does not rise at %d teeth", z)
		}
		last = y
	}
}

// The outline's own parabola must agree with Lewis's printed forms: table
// 14-2 (Shigley), and for the others the formulae y = 0.124 - 0.684/z (14.5),
// 0.175 - 0.841/z (20 stub), Y = pi y (Khurmi & Gupta, Machine Design; from
// memory). The fillet is not the same in all of them, so 10 %.
func TestFormFactorAgainstLewis(t *testing.T) {
	full := func(z float64) float64 { y, _ := LewisY(int(z)); return y }
	for _, c := range []struct {
		rack    string
		degrees float64
		y       func(z float64) float64
	}{
		{"iso-a", 20, full},
		{"old-full-depth", 14.5, func(z float64) float64 { return math.Pi * (0.124 - 0.684/z) }},
		{"stub", 20, func(z float64) float64 { return math.Pi * (0.175 - 0.841/z) }},
	} {
		rack, _ := profiles.RackByName(c.rack)
		for _, z := range []int{17, 20, 30, 54, 100, 200} {
			if c.degrees == 14.5 && z < 20 {
				continue
			}
			g := profiles.Gear{Teeth: z, Module: 3, Pressure: geom.Radians(c.degrees), Rack: rack, Shift: 0, Thinning: 0}
			f, err := FormFactorAt(g, g.TipRadius())
			if err != nil {
				t.Error(err)
				continue
			}
			want := c.y(float64(z))
			if math.Abs(f.Y/want-1) > 0.10 {
				t.Errorf("%s %d teeth: Y %.4f from the outline, %.4f printed", c.rack, z, f.Y, want)
			}
		}
	}
}
