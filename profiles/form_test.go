package profiles

import (
	"fmt"
	"math"
	"testing"

	"cogmend/profiles/geom"
)

// involuteForm is the involute as a form: what its support function gives must
// be what the involute's own formulas give.
func involuteForm(baseRadius, halfAngle float64) *Form {
	s := Shape{
		Zero:    halfAngle,
		Support: func(roll float64) Support { return Support{baseRadius * roll, baseRadius, baseRadius * roll} },
		Under: func(t float64) (geom.Vec, float64) { // radial
			return geom.Vec{Z: baseRadius * (1 - t*mostUnder)}, 0
		},
	}
	return &Form{Name: "involute", Right: s, Left: s, Alike: true}
}

// asForm is an involute gear whose flanks come from its support function.
func asForm(g Gear) Gear {
	f := g
	f.Form = involuteForm(g.BaseRadius(), g.BaseHalfAngle())
	f.Thinning = 0 // already in the half angle
	return f
}

// cycloidGear is a cycloidal gear of an interchangeable set with a least pinion
// of set teeth.
func cycloidGear(t testing.TB, teeth int, module float64, set int) Gear {
	t.Helper()
	g := Gear{Teeth: teeth, Module: module, Pressure: geom.Radians(20), Rack: Rack{Addendum: 1, Dedendum: 1.157, Fillet: 0.2}}
	q := SetCircle(module, set)
	form, err := Cycloid{PitchRadius: g.PitchRadius(), Addendum: q, Dedendum: q, HalfAngle: math.Pi / 2 / float64(teeth)}.Form()
	if err != nil {
		t.Fatal(err)
	}
	g.Form = form
	if err := g.Validate(); err != nil {
		t.Fatalf("%d teeth of the set of %d: %v", teeth, set, err)
	}
	return g
}

// cycloidGears are teeth of both sets, from the least pinions to large wheels.
func cycloidGears(t testing.TB) map[string]Gear {
	t.Helper()
	out := map[string]Gear{}
	for _, set := range []int{12, 15} {
		for _, teeth := range []int{set, 24, 60, 120} {
			out[fmt.Sprintf("%d teeth, set of %d", teeth, set)] = cycloidGear(t, teeth, 4, set)
		}
	}
	return out
}

// TestInvoluteAsForm: through its support function an involute gives what its
// own formulas give: leftovers, best facets, thickness, outline.
func TestInvoluteAsForm(t *testing.T) {
	for name, g := range facetGears(t) {
		f := asForm(g)
		if err := f.Validate(); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		tip := g.Roll(g.TipRadius())
		within(t, name+": roll at the tip", f.Roll(f.TipRadius()), tip, 1e-9)
		rolls := []float64{root.FormRoll + 0.2*(tip-root.FormRoll), root.FormRoll + 0.5*(tip-root.FormRoll), root.FormRoll + 0.85*(tip-root.FormRoll)}
		want, err := g.Leftovers(rolls)
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.Leftovers(rolls)
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(want); i++ { // the foot lies where the fillet does
			within(t, fmt.Sprintf("%s: left %d", name, i), got[i], want[i], 1e-9)
		}
		for i := range 20 {
			roll := root.FormRoll + (tip-root.FormRoll)*float64(i)/19
			within(t, name+": plane", f.Plane(roll), g.BaseRadius()*roll, 1e-9)
			r := g.RadiusAt(roll)
			if low, _ := f.Root(); r > low.FormRadius {
				within(t, name+": half angle", f.HalfAngle(r), g.HalfAngle(r), 1e-9)
			}
		}
		line, err := f.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		own, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		low, _ := f.Root()
		for _, p := range line {
			if r := p.Norm(); r > math.Max(low.FormRadius, root.FormRadius)+1e-6 {
				if d := geom.Distance(p, own); d > 2*OutlineTolerance {
					t.Errorf("%s: outline %.5f mm off at radius %.3f", name, d, r)
				}
			}
		}
		// Moved in, an involute is an involute.
		in, want2 := f.MovedIn(0.03), g.MovedIn(0.03)
		within(t, name+": moved in", in.HalfAngle(g.PitchRadius()), want2.HalfAngle(g.PitchRadius()), 1e-9)
		// Thinned, it is turned.
		f.Thinning, g.Thinning = f.Thinning+0.1, g.Thinning+0.1
		within(t, name+": thinned", f.HalfAngle(g.PitchRadius()), g.HalfAngle(g.PitchRadius()), 1e-9)
	}
}

// traced is the cycloid's addendum as its generating circle traces it, point by
// point, with no formula but the rolling itself.
func traced(r, q, b float64) geom.Vec {
	a := b * q / r // the circles roll over equal arcs
	centre := geom.Polar(r+q, -a)
	// Rolled by b against the line of centres, which has turned by a.
	return centre.Add(geom.Turn(-(a + b)).Apply(geom.Vec{Z: -q}))
}

// TestCycloidCurves: the support function against points traced by the rolling
// circle; the radius of curvature against 4 q (R + q)/(R + 2 q) sin(b/2)
// (check value computed from the curves; the form stands in Rankine's account of
// Willis, read in part).
func TestCycloidCurves(t *testing.T) {
	const r, q = 120.0, 12.0
	form, err := Cycloid{PitchRadius: r, Addendum: q, Dedendum: q, HalfAngle: 0.02}.Form()
	if err != nil {
		t.Fatal(err)
	}
	s := form.Right
	for i := 1; i < 12; i++ {
		b := 0.12 * float64(i)
		roll := b * (0.5 + q/r)
		got := s.Support(roll)
		p, n := traced(r, q, b), normal(roll)
		within(t, "h", got.H, p.Dot(n), 1e-10)
		within(t, "height of touch", got.Slope, p.Dot(geom.Vec{Y: -n.Z, Z: n.Y}), 1e-10)
		within(t, "radius of curvature", got.Rho, 4*q*(r+q)/(r+2*q)*math.Sin(b/2), 1e-10)
		// No point of the curve stands out of the tangent.
		for k := range 200 {
			if out := traced(r, q, 0.01*float64(k)).Dot(n) - got.H; out > 1e-12 {
				t.Fatalf("the curve stands %.2g mm out of its tangent at roll %.3f", out, roll)
			}
		}
		// Three points of the hypocycloid give its radius of curvature.
		const d = 1e-4
		p0, _ := hypocycloid(r, q, b-d)
		p1, _ := hypocycloid(r, q, b)
		p2, _ := hypocycloid(r, q, b+d)
		u, v := p1.Sub(p0), p2.Sub(p1)
		circle := u.Norm() * v.Norm() * p2.Sub(p0).Norm() / (2 * math.Abs(u.Cross(v)))
		within(t, "hypocycloid's radius of curvature", circle, 4*q*(r-q)/(r-2*q)*math.Sin(b/2), 1e-3)
	}
	// A circle rolled once around inside comes back to the pitch circle, an arc
	// of its own girth further.
	end, _ := hypocycloid(r, q, 2*math.Pi)
	within(t, "a whole turn, radius", end.Norm(), r, 1e-9)
	within(t, "a whole turn, arc", end.Angle()*r, 2*math.Pi*q, 1e-9)
}

// TestRadialFlanks: in an interchangeable set the flanks of the least pinion are
// radial (F. Reuleaux, The Kinematics of Machinery, section 36, for 12 teeth;
// read), those of larger wheels hollow.
func TestRadialFlanks(t *testing.T) {
	for name, g := range cycloidGears(t) {
		b, err := g.flankOf()
		if err != nil {
			t.Fatal(err)
		}
		at := g.HalfAngle(g.PitchRadius())
		within(t, name+": half of the pitch", at, g.Pitch()/4, 1e-12)
		root, _ := g.Root()
		low := g.HalfAngle(root.FormRadius)
		if g.Teeth <= 15 && b.shape.From == 0 && math.Abs(low-at) < 1e-9 {
			if g.Hollow() > 1e-9 {
				t.Errorf("%s: radial, yet hollow by %.4f", name, g.Hollow())
			}
			if foot, _ := g.Foot(); math.Abs(foot.Norm()-root.FormRadius) > 1e-9 || root.FormRoll > 1e-9 {
				t.Errorf("%s: the lowest facet of a radial flank is radial, not at roll %.4f", name, root.FormRoll)
			}
			continue
		}
		if g.Teeth <= 12 {
			t.Errorf("%s: flanks not radial: %.6f at the pitch circle, %.6f below", name, at, low)
		}
		if !(low > at) || !(g.Hollow() > 0.01) {
			t.Errorf("%s: a wheel's flanks spread toward the root; half angle %.5f at the pitch circle, %.5f at the foot, spread %.4f", name, at, low, g.Hollow())
		}
	}
}

// TestFormFacets: facets on a form touch it, and leave what is said: measured
// on the outline, which knows no support function.
func TestFormFacets(t *testing.T) {
	for name, g := range cycloidGears(t) {
		set, ok, err := g.FewestFacets(0.02)
		if err != nil || !ok {
			t.Fatalf("%s: %v %v", name, ok, err)
		}
		if set.GreatestError > 0.02 || set.GreatestError < 0.002 {
			t.Errorf("%s: %d facets leave %.4f", name, len(set.Rolls), set.GreatestError)
		}
		if len(set.Rolls) > 1 {
			fewer, err := g.BestFacets(len(set.Rolls) - 1)
			if err != nil || fewer.GreatestError <= 0.02 {
				t.Errorf("%s: one facet less leaves %.4f, %v", name, fewer.GreatestError, err)
			}
		}
		line, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		foot, _ := g.Foot()
		b, _ := g.flankOf()
		worst := 0.0
		for _, p := range line {
			if p.Norm() < foot.Norm()-1e-9 {
				continue
			}
			least := math.Inf(1)
			for _, roll := range set.Rolls {
				out := g.Plane(roll) - p.Dot(normal(roll-b.zero))
				least = min(least, out)
				if out < -1e-9 {
					t.Fatalf("%s: the facet at roll %.4f cuts %.6f into the flank", name, roll, -out)
				}
			}
			worst = max(worst, least)
		}
		within(t, name+": left, on the outline", worst, set.GreatestError, 2e-3)
	}
}

// TestFormOutline: it falls from the corner of the tip land to the middle of the
// space on the root circle, turns no corner and leaves the curve nowhere.
func TestFormOutline(t *testing.T) {
	gears := cycloidGears(t)
	for name, g := range facetGears(t) {
		gears["as a form: "+name] = asForm(g)
	}
	for name, g := range gears {
		line, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		last := line[len(line)-1]
		within(t, name+": tip radius", line[0].Norm(), g.TipRadius(), 1e-9)
		within(t, name+": root radius", last.Norm(), g.RootRadius(), 1e-9)
		within(t, name+": middle of the space", last.Angle(), g.Pitch()/2, 1e-9)
		for i := 1; i < len(line); i++ {
			if line[i].Norm() > line[i-1].Norm()+1e-6 {
				t.Errorf("%s: rises at radius %.4f", name, line[i].Norm())
			}
			if i > 1 {
				u, v := line[i-1].Sub(line[i-2]), line[i].Sub(line[i-1])
				if bend := math.Abs(math.Atan2(u.Cross(v), u.Dot(v))); bend > 0.45 {
					t.Errorf("%s: turns a corner of %.2f rad at radius %.4f", name, bend, line[i].Norm())
				}
			}
		}
		if tooth, err := g.Tooth(); err != nil || len(tooth) < 2*len(line) {
			t.Errorf("%s: tooth of %d points, %v", name, len(tooth), err)
		}
	}
}

// TestMirroredForm: the flanks of a tooth may differ.
func TestMirroredForm(t *testing.T) {
	g := facetGears(t)["54 teeth 8 DP"]
	worn := g
	worn.Thinning += 0.4
	f := g
	f.Thinning = 0
	f.Form = &Form{Right: involuteForm(g.BaseRadius(), g.BaseHalfAngle()).Right, Left: involuteForm(g.BaseRadius(), worn.BaseHalfAngle()).Right}
	r := g.PitchRadius()
	within(t, "right", f.HalfAngle(r), g.HalfAngle(r), 1e-9)
	within(t, "left", f.Mirrored().HalfAngle(r), worn.HalfAngle(r), 1e-9)
	if f.Mirrored().Mirrored() != f {
		t.Error("mirrored twice it is another gear")
	}
	arc := f.TipArc()
	within(t, "tip land, right corner", arc[len(arc)-1].Angle(), g.HalfAngle(g.TipRadius()), 1e-9)
	within(t, "tip land, left corner", arc[0].Angle(), -worn.HalfAngle(g.TipRadius()), 1e-9)
}

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestFormAnswers: what estimates ask of a form is what the involute's formulas
// give for the involute; for a cycloidal tooth what its curve gives: it is touched
// at the pitch radius R on the pitch circle, at R cos(b/2) on the tip circle (the
// derivative of its support function, above).
func TestFormAnswers(t *testing.T) {
	for name, g := range facetGears(t) {
		f := asForm(g)
		pressure, err := f.NearestPressure()
		if err != nil {
			t.Fatal(err)
		}
		within(t, name+": pressure angle", pressure, g.Pressure, 1e-9)
		least, most := f.TouchHeights()
		within(t, name+": least height of the touch", least, g.BaseRadius(), 1e-9)
		within(t, name+": greatest", most, g.BaseRadius(), 1e-9)
		// The load's line leans against the middle by the roll less the half angle
		// and touches the base circle.
		want := g.BaseRadius() / math.Cos(g.Roll(g.TipRadius())-g.BaseHalfAngle())
		within(t, name+": load at the tip", f.LoadLine(f.TipRadius()), want, 1e-8)
		within(t, name+": load at the tip, involute", g.LoadLine(g.TipRadius()), want, 1e-12)
		roll := g.Roll(g.TipRadius())
		within(t, name+": radius", f.RadiusAt(roll), g.RadiusAt(roll), 1e-8)
	}
	for name, g := range cycloidGears(t) {
		r := g.PitchRadius()
		least, most := g.TouchHeights()
		within(t, name+": touched on the pitch circle", most, r, 1e-9)
		// Through b the circle of radius q climbs from the pitch circle to the tip.
		q := (g.TipRadius()*g.TipRadius() - r*r) / 4
		set := 15.0
		if name[len(name)-2:] == "12" {
			set = 12
		}
		gen := g.Module * set / 4
		b := 2 * math.Asin(math.Sqrt(q/(gen*(r+gen))))
		within(t, name+": touched on the tip circle", least, r*math.Cos(b/2), 1e-9)
		pressure, err := g.NearestPressure()
		if err != nil {
			t.Fatal(err)
		}
		if !(pressure > 0 && pressure < b/2) {
			t.Errorf("%s: nearest pressure angle %.4f, on the tip %.4f", name, pressure, b/2)
		}
	}
}

// BenchmarkCycloidFacets finds the best facets of a cycloidal flank.
func BenchmarkCycloidFacets(b *testing.B) {
	g := cycloidGear(b, 48, 5, 15)
	for b.Loop() {
		if _, ok, err := g.FewestFacets(0.02); err != nil || !ok {
			b.Fatal(ok, err)
		}
	}
}
