package estimate

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

// pressSection is the proof press: 54 teeth, 8 DP, a slot of 5 x 6.25.
func pressSection() Section {
	rack, _ := profiles.RackByName("old-full-depth")
	g := profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Thinning: 0.08}
	return sectionOf(g, 69, 5, 6.25, 8.4)
}

// sectionOf is a slot of 15 degrees included, 0.05 deeper than the insert, with
// its seat 0.2 below the root circle.
func sectionOf(g profiles.Gear, inner, mouth, depth, body float64) Section {
	seat := g.RootRadius() - 0.2
	return Section{Neighbours: g, Tooth: g, Inner: inner, Seat: seat, Bottom: seat - depth, Floor: seat - depth - 0.05,
		MouthHalf: mouth / 2, HalfAngle: geom.Radians(7.5), BodyHalf: body / 2, PocketHalf: body/2 + 0.05,
		Casting: profiles.GreyIron, Insert: profiles.MildSteel}
}

// fitted solves a fit alone on a mesh of some fineness.
func fitted(t *testing.T, s Section, interference, fine float64) (*model, Stressed, float64) {
	t.Helper()
	m, err := s.mesh(fine)
	if err != nil {
		t.Fatal(err)
	}
	st, err := m.contact.Solve(m.sys.NewLoad(), m.gaps(interference))
	if err != nil {
		t.Fatal(err)
	}
	// The greatest first principal stress 2 mm from the floor's corner.
	const far = 2
	stress := m.sys.Stresses(st.Displacement)
	corner := geom.Vec{Y: s.halfAt(s.Floor), Z: s.Floor}
	near := m.sys.Within(castingBody, corner, far)
	best := 0.0
	for i := range 72 {
		if x, ok := m.sys.At(stress, near, corner.Add(geom.Polar(far, float64(i)*math.Pi/36))); ok {
			best = max(best, x.First())
		}
	}
	return m, m.stressed(st), best
}

// TestStressTable holds the figures of others. Neither modulus nor, for the
// second gear, the rim is stated there: with 80 GPa, the middle of the handbooks'
// 66 to 97, and a rim of 20 mm they agree with ours.
func TestStressTable(t *testing.T) {
	rack, _ := profiles.RackByName("iso-a")
	second := profiles.Gear{Teeth: 60, Module: 2, Pressure: geom.Radians(20), Rack: rack}
	_, press, pressFar := fitted(t, pressSection(), 0.03, 1)
	_, two, twoFar := fitted(t, sectionOf(second, 37, 3, 3.75, 5.6), 0.03, 1)
	for _, r := range published.Table(t, "stress.csv") {
		got, ok := map[string]float64{
			"press floor": press.Floor, "press corner": pressFar, "press pressure": press.Pressure,
			"module2 tension": max(two.Floor, twoFar), "module2 pressure": two.Pressure,
			"iron L":    2 * pointDistance(toughnessAt(weakTensile), weakTensile),
			"hole edge": holeFactor(2, 1e-9), "hole radius": holeFactor(2, 2),
		}[r.Fields["case"]+" "+r.Fields["quantity"]]
		if !ok {
			t.Errorf("unknown case %v", r.Fields)
		}
		r.Near(got, r.Num("value"), r.Num("tolerance"))
	}
}

// TestStressRefined: meshes twice and three times as fine, four and eight times the
// elements, carried on to none by Richardson's extrapolation of second order (the
// order of stresses in six-node triangles; Zienkiewicz and Taylor, The Finite
// Element Method, from memory): what the estimate's own mesh says lies within 2 %
// of it in the floor and 3 % at the corners, and never on the unsafe side.
func TestStressRefined(t *testing.T) {
	const fine, finer = 0.5, 0.35
	for name, s := range sections(t) {
		_, own, _ := fitted(t, s, 0.02, 1)
		_, a, _ := fitted(t, s, 0.02, fine)
		m, b, _ := fitted(t, s, 0.02, finer)
		for _, v := range []struct {
			what           string
			own, a, b, off float64
		}{
			{"floor", own.Floor, a.Floor, b.Floor, 0.02},
			{"corner", own.Corner, a.Corner, b.Corner, 0.03},
			{"greatest", own.Greatest.Stress, a.Greatest.Stress, b.Greatest.Stress, 0.03},
		} {
			limit := v.b - (v.a-v.b)*finer*finer/(fine*fine-finer*finer)
			if d := v.own/limit - 1; d > v.off || d < -0.002 {
				t.Errorf("%s, %s: %.2f MPa, on finer meshes %.2f and %.2f, which go to %.2f (%+.1f %%)", name, v.what, v.own, v.a, v.b, limit, 100*d)
			}
		}
		if m.metal < 2000 {
			t.Errorf("%s: only %d nodes on the finest mesh", name, m.metal)
		}
	}
}

// sections are jobs of all sorts.
func sections(t *testing.T) map[string]Section {
	t.Helper()
	iso, _ := profiles.RackByName("iso-a")
	gear := func(z int, m, x float64) profiles.Gear {
		return profiles.Gear{Teeth: z, Module: m, Pressure: geom.Radians(20), Rack: iso, Shift: x}
	}
	twin := pressSection()
	twin.Open = []float64{1}
	triple := pressSection()
	triple.Open = []float64{-1, 1}
	return map[string]Section{
		"press":     pressSection(),
		"twin":      twin,
		"triple":    triple,
		"solid":     sectionOf(gear(36, 3, 0), 12.5, 4.5, 5.6, 8),
		"pinion":    sectionOf(gear(12, 3, 0.3), 5, 3.4, 4.25, 7),
		"small":     sectionOf(gear(80, 0.8, 0), 28, 1.2, 1.5, 2),
		"large":     sectionOf(gear(120, 10, 0), 550, 16, 20, 27),
		"thin":      sectionOf(gear(100, 4, 0), 185, 6, 7.5, 10),
		"no relief": func() Section { s := pressSection(); s.Floor = s.Bottom; return s }(),
	}
}

// TestStressBalance: the forces of each case are in balance on the insert and
// the work they do is the energy the metal holds.
func TestStressBalance(t *testing.T) {
	for name, s := range sections(t) {
		m, err := s.mesh(1)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		const load, push = 20.0, 5.0
		l, err := m.toothLoad(load, false)
		if err != nil {
			t.Fatal(err)
		}
		if f, turn := m.resultant(l); f.Norm() > 1e-9*load || math.Abs(turn) > 1e-9*load*s.Seat {
			t.Errorf("%s: the load is out of balance by %v and %.3g", name, f, turn)
		}
		for i, v := range m.screwLoad(push) {
			l[i] += v
		}
		st, err := m.contact.Solve(l, m.gaps(0.01))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		// Pairs and loads on the insert.
		var sum geom.Vec
		turn := 0.0
		for n, f := range m.sys.Forces(l) {
			if n >= m.metal {
				sum = sum.Add(f)
				turn += m.sys.Nodes[n].Cross(f)
			}
		}
		press := 0.0
		for i, f := range st.Force {
			if f < 0 {
				t.Errorf("%s: pair %d pulls", name, i)
			}
			v := m.pairs[i].Normal.Scale(f)
			sum = sum.Add(v)
			turn += m.sys.Nodes[m.pairs[i].A].Cross(v)
			press += f
		}
		if sum.Norm() > 1e-5*press || math.Abs(turn) > 1e-5*press*s.Seat {
			t.Errorf("%s: the insert is out of balance by %v and %.3g, pressed by %.4g", name, sum, turn, press)
		}
		// No pair overlaps, and the metal holds half of what loads and
		// interference did.
		u, gap := st.Displacement, m.gaps(0.01)
		work := 0.0
		for n, f := range m.sys.Forces(l) {
			work += f.Dot(u[n]) / 2
		}
		for i, f := range st.Force {
			work -= f * gap[i] / 2
		}
		if e := m.sys.Energy(u); math.Abs(e/work-1) > 1e-5 {
			t.Errorf("%s: the metal holds %.6g N mm, the work done is %.6g", name, e, work)
		}
		for i, p := range m.pairs {
			if d := gap[i] + u[p.B].Sub(u[p.A]).Dot(p.Normal); d < -1e-7 {
				t.Errorf("%s: pair %d overlaps by %.3g", name, i, -d)
			}
		}
	}
}

// TestStressGrows: in proportion to the interference, more in the floor of a
// thinner rim, less in a softer iron; another slot four pitches off, the last
// that is looked at, hardly matters.
func TestStressGrows(t *testing.T) {
	base := pressSection()
	_, r, _ := fitted(t, base, 0.02, 1)
	_, twice, _ := fitted(t, base, 0.04, 1)
	if d := twice.Greatest.Stress/r.Greatest.Stress - 2; math.Abs(d) > 1e-6 {
		t.Errorf("twice the interference: %.4f times the stress", 2+d)
	}
	thin := base
	thin.Inner = 72
	_, x, _ := fitted(t, thin, 0.02, 1)
	if !(x.Floor > r.Floor) || !(x.Pressure < r.Pressure) {
		t.Errorf("a thinner rim: floor %.1f, pressure %.1f; before %.1f, %.1f", x.Floor, x.Pressure, r.Floor, r.Pressure)
	}
	far := base
	far.Open = []float64{4}
	_, x, _ = fitted(t, far, 0.02, 1)
	if d := x.Greatest.Stress/r.Greatest.Stress - 1; math.Abs(d) > 0.02 {
		t.Errorf("a slot four pitches off: %+.2f %%", 100*d)
	}
	soft := base
	soft.Elastic = 66000
	_, x, _ = fitted(t, soft, 0.02, 1)
	if !(x.Floor < r.Floor) {
		t.Errorf("a softer iron: floor %.1f, before %.1f", x.Floor, r.Floor)
	}
}

// TestCastingCases: the cases agree with one another and with what is allowed.
func TestCastingCases(t *testing.T) {
	s := pressSection()
	c, err := NewCasting(s, Lock{Hole: 4.2, InTight: true, Push: s.ScrewPush(1, 4, 32)})
	if err != nil {
		t.Fatal(err)
	}
	const load = 34.0
	allowed, err := c.Allowed(load)
	if err != nil {
		t.Fatal(err)
	}
	cases, err := c.Cases(allowed/2, allowed, load)
	if err != nil || len(cases) != 5 {
		t.Fatalf("%d cases, %v", len(cases), err)
	}
	most := 0.0
	for _, x := range cases {
		t.Logf("%-30s interference %.4f: floor %.1f corner %.1f hole %.1f greatest %.1f %s, pressure %.1f, %.0f %% of %.0f", x.What, x.Interference, x.Floor, x.Corner, x.Hole, x.Greatest.Stress, x.Greatest.What, x.Pressure, 100*x.Use, x.Limit)
		if x.Decides {
			most = max(most, x.Use)
		}
	}
	if most > 1.0001 || most < 0.97 {
		t.Errorf("what is allowed uses %.3f of its limit", most)
	}
}

func BenchmarkCasting(b *testing.B) {
	s := pressSection()
	for b.Loop() {
		c, err := NewCasting(s, Lock{Hole: 4.2, InTight: true, Push: 20})
		if err != nil {
			b.Fatal(err)
		}
		if _, err = c.Cases(0.01, 0.02, 34); err != nil {
			b.Fatal(err)
		}
		if _, err = c.Allowed(34); err != nil {
			b.Fatal(err)
		}
	}
}

// TestStressOfAnySection: whatever the gear, its section is meshed, all its
// metal once, and solved; the contact settles, and the floor is pulled.
func TestStressOfAnySection(t *testing.T) {
	iso, _ := profiles.RackByName("iso-a")
	rapid.Check(t, func(t *rapid.T) {
		g := profiles.Gear{Teeth: rapid.IntRange(12, 150).Draw(t, "teeth"), Module: rapid.Float64Range(0.5, 12).Draw(t, "module"),
			Pressure: geom.Radians(rapid.SampledFrom([]float64{14.5, 20, 25}).Draw(t, "angle")), Rack: iso}
		if g.Validate() != nil {
			t.Skip("no such gear")
		}
		foot := g.Module * rapid.Float64Range(2.2, 2.75).Draw(t, "body")
		mouth := foot * rapid.Float64Range(0.4, 0.75).Draw(t, "mouth")
		depth := mouth * rapid.Float64Range(0.8, 1.6).Draw(t, "depth")
		s := sectionOf(g, 1, mouth, depth, foot)
		s.HalfAngle = geom.Radians(rapid.Float64Range(3, 30).Draw(t, "lean"))
		s.Seat -= g.Module * rapid.Float64Range(0, 0.1).Draw(t, "seat")
		s.Bottom, s.Floor = s.Seat-depth, s.Seat-depth-rapid.SampledFrom([]float64{0, 0.01, 0.05, 0.3}).Draw(t, "deeper")
		if s.Floor <= 2*s.halfAt(s.Floor) || s.Floor-0.2*depth < 0.2*s.Floor {
			t.Skip("no room for the slot")
		}
		s.Inner = rapid.Float64Range(0.15*s.Floor, s.Floor-0.2*depth).Draw(t, "inner")
		s.Open = rapid.SampledFrom([][]float64{nil, nil, {1}, {-1, 1}, {3}}).Draw(t, "open")
		if len(s.Open) > 0 && s.halfAt(s.Floor)*2.2 > s.Floor*g.Pitch() {
			t.Skip("slots that meet")
		}
		m, err := s.mesh(1)
		if errors.Is(err, errNoShoulders) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		for _, load := range []float64{0, 10} {
			l, err := m.toothLoad(load, false)
			if err != nil {
				t.Fatal(err)
			}
			st, err := m.contact.Solve(l, m.gaps(0.01))
			if err != nil {
				t.Fatalf("%+v: %v", s, err)
			}
			r := m.stressed(st)
			if !(r.Greatest.Stress > 0) || math.IsInf(r.Greatest.Stress, 0) || !(r.Pressure > 0) || len(m.sys.Nodes) > 9000 {
				t.Fatalf("%+v: greatest %.3g, pressure %.3g, %d nodes", s, r.Greatest.Stress, r.Pressure, len(m.sys.Nodes))
			}
		}
	})
}

// BenchmarkFine: how the cost grows with the elements.
func BenchmarkFine(b *testing.B) {
	s := pressSection()
	for _, fine := range []float64{1, 0.5, 0.25} {
		m, err := s.mesh(fine)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("elements=%d", len(m.sys.Element)), func(b *testing.B) {
			for b.Loop() {
				m, err := s.mesh(fine)
				if err != nil {
					b.Fatal(err)
				}
				if _, err = m.contact.Solve(m.sys.NewLoad(), m.gaps(0.01)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
