package elastic

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
)

func within(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s: %.5g, want %.5g within %.2g %%", what, got, want, 100*share)
	} else {
		t.Logf("%s: %.5g, want %.5g (%+.3f %%)", what, got, want, 100*(got/want-1))
	}
}

// split divides the sides of a polygon by a size.
func split(corners []geom.Vec, size func(geom.Vec) float64) []geom.Vec {
	var out []geom.Vec
	for i, a := range corners {
		out = append(out, Divide([]geom.Vec{a, corners[(i+1)%len(corners)]}, size)...)
		out = out[:len(out)-1]
	}
	return out
}

func build(t *testing.T, loop []geom.Vec, size func(geom.Vec) float64, curve func(a, b geom.Vec) (geom.Vec, bool), planeStress bool) *System {
	t.Helper()
	p, tris, err := Triangulate(loop, size)
	if err != nil {
		t.Fatal(err)
	}
	var m Mesh
	m.Corners(p)
	m.Add(tris, 0, curve)
	return NewSystem(m, []Material{{Elastic: 80000, Poisson: 0.25}}, planeStress)
}

// TestPatch: a linear displacement at the border gives the same strain
// everywhere (B. M. Irons's patch test; from memory).
func TestPatch(t *testing.T) {
	even := func(geom.Vec) float64 { return 0.21 }
	loop := split([]geom.Vec{{}, {Y: 1}, {Y: 1.3, Z: 0.9}, {Y: 0.4, Z: 1.2}, {Y: -0.1, Z: 0.5}}, even)
	for _, planeStress := range []bool{false, true} {
		s := build(t, loop, even, nil, planeStress)
		a, b, g := s.Materials[0].law(planeStress)
		const ey, ez, gm = 1e-3, -2e-3, 5e-4
		want := Stress{a*ey + b*ez, b*ey + a*ez, g * gm}
		// The border's tractions, and three displacements against free motion.
		l := s.NewLoad()
		s.Fix(0)
		s.Hold(1, geom.Vec{Z: 1}) // node 1 lies on the Y axis from node 0
		n := int32(len(loop))
		for i := range n {
			p, q := s.Nodes[i], s.Nodes[(i+1)%n]
			d := q.Sub(p)
			out := geom.Vec{Y: d.Z, Z: -d.Y}.Scale(1 / d.Norm())
			s.Press(l, i, (i+1)%n, func(geom.Vec) geom.Vec {
				return geom.Vec{Y: want.YY*out.Y + want.YZ*out.Z, Z: want.YZ*out.Y + want.ZZ*out.Z}
			})
		}
		u, err := s.Solve(l)
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range s.Stresses(u) {
			if d := math.Abs(x.YY-want.YY) + math.Abs(x.ZZ-want.ZZ) + math.Abs(x.YZ-want.YZ); d > 1e-8 {
				t.Fatalf("node %d: stress %+v, want %+v", i, x, want)
			}
		}
	}
}
