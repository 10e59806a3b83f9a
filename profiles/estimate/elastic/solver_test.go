package elastic

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
)

// round gives the middles of sides both of whose ends stand at one of the
// radii.
func round(radii ...float64) func(a, b geom.Vec) (geom.Vec, bool) {
	return func(a, b geom.Vec) (geom.Vec, bool) {
		for _, r := range radii {
			if math.Abs(a.Norm()-r) < 1e-9*r && math.Abs(b.Norm()-r) < 1e-9*r {
				m := a.Lerp(b, 0.5)
				return m.Scale(r / m.Norm()), true
			}
		}
		return geom.Vec{}, false
	}
}

func arc(r, from, to float64) []geom.Vec {
	var out []geom.Vec
	for i := range 91 {
		s, c := math.Sincos(from + (to-from)*float64(i)/90)
		out = append(out, geom.Vec{Y: r * c, Z: r * s})
	}
	return out
}

// onArc puts divided points of an arc back on it.
func onArc(r, from, to float64, size func(geom.Vec) float64) []geom.Vec {
	out := Divide(arc(r, from, to), size)
	for i, p := range out {
		out[i] = p.Scale(r / p.Norm())
	}
	return out
}

// quarterRing is the loop of a quarter of a ring, and a system of it with
// both its cuts held as planes of symmetry.
func quarterRing(t *testing.T, a, b, h float64) (*System, int) {
	t.Helper()
	even := func(geom.Vec) float64 { return h }
	inner := onArc(a, math.Pi/2, 0, even)
	loop := append([]geom.Vec(nil), inner[:len(inner)-1]...)
	loop = append(loop, Divide([]geom.Vec{{Y: a}, {Y: b}}, even)...)
	outer := onArc(b, 0, math.Pi/2, even)
	loop = append(loop, outer[1:]...)
	last := Divide([]geom.Vec{{Z: b}, {Z: a}}, even)
	loop = append(loop, last[1:len(last)-1]...)
	s := build(t, loop, even, round(a, b), true)
	symmetric(s, len(s.Nodes))
	return s, len(inner)
}

// symmetric holds the nodes on both axes.
func symmetric(s *System, _ int) {
	for i, p := range s.Nodes {
		switch {
		case math.Abs(p.Y) < 1e-9:
			s.Hold(int32(i), geom.Vec{Y: 1})
		case math.Abs(p.Z) < 1e-9:
			s.Hold(int32(i), geom.Vec{Z: 1})
		}
	}
}

func nodeAt(t *testing.T, s *System, p geom.Vec) int {
	t.Helper()
	for i, q := range s.Nodes {
		if q.Sub(p).Norm() < 1e-9 {
			return i
		}
	}
	t.Fatalf("no node at %v", p)
	return 0
}

// TestLame: hoop stress of a ring under inner pressure (Lame; computed).
func TestLame(t *testing.T) {
	const a, b, p = 10.0, 20.0, 7.0
	s, n := quarterRing(t, a, b, 1.5)
	l := s.NewLoad()
	for i := range int32(n - 1) {
		s.Press(l, i, i+1, func(q geom.Vec) geom.Vec { return q.Scale(p / q.Norm()) })
	}
	u, err := s.Solve(l)
	if err != nil {
		t.Fatal(err)
	}
	st := s.Stresses(u)
	e, nu := s.Materials[0].Elastic, s.Materials[0].Poisson
	within(t, "hoop at the bore", st[nodeAt(t, s, geom.Vec{Y: a})].ZZ, p*(b*b+a*a)/(b*b-a*a), 0.01)
	within(t, "hoop outside", st[nodeAt(t, s, geom.Vec{Y: b})].ZZ, 2*p*a*a/(b*b-a*a), 0.01)
	within(t, "growth of the bore", u[nodeAt(t, s, geom.Vec{Y: a})].Y, p*a/e*((b*b+a*a)/(b*b-a*a)+nu), 0.001)
}

// plate is a quarter of a plate of half width w and half length h with a hole
// of radius a, pulled along Z by 1 MPa.
func plate(t *testing.T, a, w, h, fine float64) (*System, Displacement) {
	t.Helper()
	size := func(p geom.Vec) float64 { return min(fine*a+0.25*max(0, p.Norm()-a), w/4) }
	inner := onArc(a, math.Pi/2, 0, size)
	loop := append([]geom.Vec(nil), inner[:len(inner)-1]...)
	for _, leg := range [][]geom.Vec{{{Y: a}, {Y: w}}, {{Y: w}, {Y: w, Z: h}}, {{Y: w, Z: h}, {Z: h}}, {{Z: h}, {Z: a}}} {
		d := Divide(leg, size)
		loop = append(loop, d[:len(d)-1]...)
	}
	s := build(t, loop, size, round(a), true)
	symmetric(s, 0)
	l := s.NewLoad()
	for i := range int32(len(loop)) {
		j := (i + 1) % int32(len(loop))
		if s.Nodes[i].Z == h && s.Nodes[j].Z == h {
			s.Press(l, i, j, func(geom.Vec) geom.Vec { return geom.Vec{Z: 1} })
		}
	}
	u, err := s.Solve(l)
	if err != nil {
		t.Fatal(err)
	}
	return s, u
}

// TestKirsch: a small hole triples the pull beside it and takes it away, as a
// push of once the pull, before and behind it (Kirsch; computed). The plate is
// 40 holes wide, which changes the factor by less than 0.2 %.
func TestKirsch(t *testing.T) {
	s, u := plate(t, 1, 40, 40, 0.12)
	st := s.Stresses(u)
	within(t, "beside the hole", st[nodeAt(t, s, geom.Vec{Y: 1})].ZZ, 3, 0.02)
	within(t, "before the hole", st[nodeAt(t, s, geom.Vec{Z: 1})].YY, -1, 0.02)
	// A radius off: (2 + 1/4 + 3/16)/2.
	x, ok := s.At(st, s.Within(0, geom.Vec{Y: 2, Z: 1e-6}, 0.1), geom.Vec{Y: 2, Z: 1e-6})
	if !ok {
		t.Fatal("no metal a radius beside the hole")
	}
	within(t, "a radius beside", x.ZZ, 1+1./8+3./32, 0.01)
}

// TestStripWithHole: net section factor of a finite strip, d/W = 0.5
// (Peterson's Stress Concentration Factors, from memory: 3 - 3.13 r +
// 3.66 r^2 - 1.53 r^3).
func TestStripWithHole(t *testing.T) {
	const r = 0.5
	s, u := plate(t, 5, 10, 40, 0.12)
	st := s.Stresses(u)
	within(t, "net section", st[nodeAt(t, s, geom.Vec{Y: 5})].ZZ*(1-r), 3-3.13*r+3.66*r*r-1.53*r*r*r, 0.02)
}

// TestBeam: a cantilever's end sinks by F L^3/(3 E I) (1 + 0.6 (1+nu) (h/L)^2)
// and its root carries 6 F L/h^2 (beam theory with shear, Timoshenko and
// Goodier, Theory of Elasticity, art. 21; from memory).
func TestBeam(t *testing.T) {
	const length, h, f = 40.0, 4.0, 10.0
	even := func(geom.Vec) float64 { return 1 }
	loop := split([]geom.Vec{{}, {Y: length}, {Y: length, Z: h}, {Z: h}}, even)
	s := build(t, loop, even, nil, true)
	e, nu := s.Materials[0].Elastic, s.Materials[0].Poisson
	for i, p := range s.Nodes {
		switch {
		case math.Abs(p.Y) < 1e-9 && math.Abs(p.Z-h/2) < 1e-9:
			s.Fix(int32(i))
		case math.Abs(p.Y) < 1e-9:
			s.Hold(int32(i), geom.Vec{Y: 1})
		}
	}
	l := s.NewLoad()
	shear := func(q geom.Vec) geom.Vec { return geom.Vec{Z: -6 * f / (h * h * h) * q.Z * (h - q.Z)} }
	for i := range int32(len(loop)) {
		j := (i + 1) % int32(len(loop))
		switch a, b := s.Nodes[i], s.Nodes[j]; {
		case a.Y == length && b.Y == length:
			s.Press(l, i, j, shear)
		case a.Y == 0 && b.Y == 0:
			s.Press(l, i, j, func(q geom.Vec) geom.Vec { return shear(q).Scale(-1) })
		}
	}
	u, err := s.Solve(l)
	if err != nil {
		t.Fatal(err)
	}
	inertia := h * h * h / 12
	sink := f * length * length * length / (3 * e * inertia)
	shear12 := 0.6 * (1 + nu) * (h / length) * (h / length) // 1.2 F L/(G h) beside it
	st := s.Stresses(u)
	x, ok := s.At(st, s.Within(0, geom.Vec{Y: length / 2, Z: h - 1e-9}, 0.1), geom.Vec{Y: length / 2, Z: h - 1e-9})
	if !ok {
		t.Fatal("no metal in the beam's middle")
	}
	within(t, "stress in the middle's upper fibre", x.YY, 6*f*length/2/(h*h), 0.01)
	within(t, "sinking of the end", -u[nodeAt(t, s, geom.Vec{Y: length, Z: h / 2})].Z, sink*(1+shear12), 0.01)
	work := 0.0
	for n, v := range u {
		a := s.axis[n]
		work += a.Dot(v)*l[2*n] + a.Cross(v)*l[2*n+1]
	}
	within(t, "energy and half the work", s.Energy(u), work/2, 1e-6)
}

// TestRings: pressure of two rings of different metals pressed together
// (Shigley 3-56, from memory; delta on the diameter, plane stress).
func TestRings(t *testing.T) {
	const ri, r, ro, delta = 5.0, 10.0, 20.0, 0.02
	iron, steel := Material{Elastic: 80000, Poisson: 0.25}, Material{Elastic: 206000, Poisson: 0.3}
	want := delta / (2 * r) / (1/iron.Elastic*((ro*ro+r*r)/(ro*ro-r*r)+iron.Poisson) + 1/steel.Elastic*((r*r+ri*ri)/(r*r-ri*ri)-steel.Poisson))
	outer, n := quarterRing(t, r, ro, 1)
	inner, _ := quarterRing(t, ri, r, 1)
	m := outer.Mesh
	first := m.Corners(nil)
	add := Mesh{Nodes: inner.Nodes}
	m.Nodes = append(m.Nodes, add.Nodes...)
	for _, e := range inner.Element {
		for i := range e {
			e[i] += first
		}
		m.Element = append(m.Element, e)
		m.Body = append(m.Body, 1)
	}
	s := NewSystem(m, []Material{iron, steel}, true)
	symmetric(s, 0)
	// Contact along the joint. A node on an axis slides along it, which is
	// also its normal: its other displacement is held instead.
	var pairs []Pair
	for i, p := range outer.Nodes {
		if math.Abs(p.Norm()-r) > 1e-9 {
			continue
		}
		j := nodeAt(t, inner, p) + int(first)
		normal := p.Scale(-1 / r)
		for _, k := range []int{i, j} {
			if s.held[2*k] {
				s.held[2*k], s.held[2*k+1] = false, true
			}
		}
		pairs = append(pairs, Pair{A: int32(i), B: int32(j), Normal: normal})
	}
	if len(pairs) != 2*n-1 {
		t.Fatalf("%d pairs on a joint of %d corners", len(pairs), n)
	}
	c, err := s.Touch(pairs)
	if err != nil {
		t.Fatal(err)
	}
	gap := make([]float64, len(pairs))
	for i := range gap {
		gap[i] = -delta / 2
	}
	st, err := c.Solve(s.NewLoad(), gap)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i, f := range st.Force {
		sum += f * -pairs[i].Normal.Y // the resultant across the plane of symmetry: p r
	}
	within(t, "pressure", sum/r, want, 0.01)
	if st.Touching != len(pairs) {
		t.Errorf("%d of %d pairs touch", st.Touching, len(pairs))
	}
	hoop := s.Stresses(st.Displacement)[nodeAt(t, outer, geom.Vec{Y: r})].ZZ
	within(t, "hoop at the joint", hoop, want*(ro*ro+r*r)/(ro*ro-r*r), 0.01)
	// Made smaller than the hole instead, the ring falls through it.
	for i := range gap {
		gap[i] = delta / 2
	}
	if st, err = c.Solve(s.NewLoad(), gap); err != nil || st.Touching != 0 {
		t.Errorf("a loose ring touches at %d pairs (%v)", st.Touching, err)
	}
}
