package copied

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// trueFlank is a flank as it really is, by its support function over the tooth's
// angle, between two angles.
type trueFlank struct {
	name     string
	gear     profiles.Gear // for tip and root
	plane    func(angle float64) float64
	from, to float64 // angles of its foot, or pitch point, and its tip
}

func (f *trueFlank) slope(a float64) float64 {
	const d = 1e-6
	return (f.plane(a+d) - f.plane(a-d)) / (2 * d)
}

func (f *trueFlank) point(a float64) geom.Vec {
	return unit(a).Scale(f.plane(a)).Add(unit(a + math.Pi/2).Scale(f.slope(a)))
}

func (f *trueFlank) tooth(limit float64) Tooth {
	return Tooth{f.gear.TipRadius(), f.gear.RootRadius(), limit}
}

func rack(t testing.TB, name string) profiles.Rack {
	t.Helper()
	r, ok := profiles.RackByName(name)
	if !ok {
		t.Fatalf("no rack %q", name)
	}
	return r
}

// trueFlanks are involutes, involutes with a smooth loss of up to 0.3 mm, and
// cycloids of both interchangeable sets.
func trueFlanks(t testing.TB) []trueFlank {
	t.Helper()
	press := profiles.Gear{Teeth: 54, Module: 3.175, Pressure: geom.Radians(14.5), Rack: rack(t, "old-full-depth"), Thinning: 0.08}
	feed := profiles.Gear{Teeth: 30, Module: 4, Pressure: geom.Radians(20), Rack: rack(t, "full-depth"), Thinning: 0.1}
	var out []trueFlank
	for _, g := range []profiles.Gear{press, feed} {
		rb, zero := g.BaseRadius(), g.BaseHalfAngle()
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		from, to := root.FormRoll-zero, g.Roll(g.TipRadius())-zero
		out = append(out, trueFlank{"involute", g, func(a float64) float64 { return rb * (a + zero) }, from, to})
		for _, wear := range []struct {
			name string
			loss func(u float64) float64 // u from 0 at the foot to 1 at the tip
		}{
			{"worn toward its tip", func(u float64) float64 { return 0.1 * u * u * u }},
			{"worn beside the pitch", func(u float64) float64 { return 0.3 * math.Sin(math.Pi*u) }},
			{"worn at root and tip", func(u float64) float64 { return 0.25 + 0.04*(2*u-1)*(2*u-1) }},
			{"worn all over", func(u float64) float64 { return 0.3 - 0.05*u }},
		} {
			out = append(out, trueFlank{wear.name, g, func(a float64) float64 { return rb*(a+zero) - wear.loss((a-from)/(to-from)) }, from, to})
		}
	}
	for _, set := range []int{12, 15} {
		g := profiles.Gear{Teeth: 60, Module: 4, Pressure: geom.Radians(20), Rack: profiles.Rack{Addendum: 1, Dedendum: 1.157, Fillet: 0.2}}
		q := profiles.SetCircle(4, set)
		form, err := profiles.Cycloid{PitchRadius: g.PitchRadius(), Addendum: q, Dedendum: q, HalfAngle: g.Pitch() / 4}.Form()
		if err != nil {
			t.Fatal(err)
		}
		g.Form = form
		s, zero := form.Right, form.Right.Zero
		out = append(out, trueFlank{fmt.Sprintf("cycloid of the set of %d", set), g, func(a float64) float64 { return s.Support(a + zero).H }, -zero + 0.02, g.Roll(g.TipRadius()) - zero})
	}
	for i := range out {
		f := &out[i]
		// The tip circle may cut a worn flank earlier, and the root too.
		if root, err := f.gear.Root(); err == nil {
			for f.point(f.from).Norm() < root.FormRadius {
				f.from += 1e-4
			}
		}
		for f.point(f.to).Norm() > f.gear.TipRadius() {
			f.to -= 1e-4
		}
		// A flank that is not convex is no test.
		for k := range 100 {
			a := f.from + (f.to-f.from)*float64(k)/99
			const d = 1e-4
			if rho := f.plane(a) + (f.plane(a+d)-2*f.plane(a)+f.plane(a-d))/(d*d); rho < 0 {
				t.Fatalf("%s is hollow at %.3f: %.3f", f.name, a, rho)
			}
		}
	}
	return out
}

// touched are touches at angles from just over the foot to just under the tip,
// each off by no more than limit.
func (f *trueFlank) touched(n int, limit float64, rng *rand.Rand) []Touch {
	var out []Touch
	for i := range n {
		a := f.from + (f.to-f.from)*(0.02+0.95*float64(i)/float64(n-1))
		out = append(out, Touch{Name: fmt.Sprint(i + 1), Angle: a, Plane: f.plane(a) + limit*(2*rng.Float64()-1)})
	}
	return out
}

// finished is how far the flank that facets make of a copy stands out of the
// true one, least and greatest, from where it was read first up to an angle.
func (f *trueFlank) finished(t testing.TB, c *Flank, upto, tolerance float64) (least, most float64) {
	t.Helper()
	g := f.gear
	g.Form, g.Thinning = Form(c, c), 0
	if err := g.Validate(); err != nil {
		t.Fatalf("%s: %v", f.name, err)
	}
	set, ok, err := g.FewestFacets(tolerance)
	if err != nil || !ok {
		t.Fatalf("%s: %v %v", f.name, ok, err)
	}
	least, most = math.Inf(1), math.Inf(-1)
	for i := range 200 {
		a := c.first + (upto-c.first)*float64(i)/199
		p, n := f.point(a), unit(a)
		out := math.Inf(1)
		for _, roll := range set.Rolls {
			m := unit(roll - g.BaseHalfAngle())
			out = min(out, (g.Plane(roll)-p.Dot(m))/n.Dot(m))
		}
		least, most = min(least, out), max(most, out)
	}
	return least, most
}

// TestCopies: the finished flank against the true one, in many tries: within the
// stated bound every time, and within the readings' limit and the facets'
// tolerance in 95 of 100.
func TestCopies(t *testing.T) {
	const tries, tolerance = 8, 0.01
	flanks := trueFlanks(t)
	for _, limit := range []float64{0.005, 0.01, 0.02} {
		rng := rand.New(rand.NewPCG(15, uint64(1000*limit)))
		good, all := 0, 0
		for _, f := range flanks {
			near := 0
			for range tries {
				c, err := Touches(f.touched(18, limit, rng), f.tooth(limit))
				if err != nil {
					t.Errorf("%s, readings to %.3f mm: %v", f.name, limit, err)
					continue
				}
				least, most := f.finished(t, c, f.to, tolerance)
				bound := 0.0
				for _, g := range c.Gaps(f.gear.RootRadius(), f.gear.TipRadius()) {
					bound = max(bound, g.Off)
				}
				if -least > bound+1e-6 || most > bound+tolerance+1e-6 {
					t.Errorf("%s, readings to %.3f mm: the flank is off by %.4f to %.4f, stated %.4f", f.name, limit, least, most, bound)
				}
				if -least <= limit && most <= limit+tolerance {
					near++
				}
			}
			good, all = good+near, all+tries
			if near < tries*3/4 {
				t.Errorf("%s, %d teeth, readings to %.3f mm: only %d of %d within the limit and the tolerance", f.name, f.gear.Teeth, limit, near, tries)
			}
		}
		t.Logf("readings to %.3f mm: %d of %d within limit and tolerance", limit, good, all)
		if good < all*95/100 {
			t.Errorf("readings to %.3f mm: only %d of %d within the limit and the tolerance", limit, good, all)
		}
	}
}

// TestInvoluteRecovered from noiseless touches to 0.1 um, and from noisy ones to
// their noise.
func TestInvoluteRecovered(t *testing.T) {
	for _, f := range trueFlanks(t) {
		if f.name != "involute" {
			continue
		}
		g := f.gear
		rng := rand.New(rand.NewPCG(3, 7))
		for _, limit := range []float64{0, 0.005, 0.02} {
			c, err := Touches(f.touched(12, limit, rng), f.tooth(limit))
			if err != nil {
				t.Fatal(err)
			}
			if limit == 0 {
				within(t, "base radius", c.BaseRadius, g.BaseRadius(), 1e-4)
				within(t, "half angle over the base circle", g.BaseRadius()*(c.HalfAngle-g.BaseHalfAngle()), 0, 1e-4)
				within(t, "module", c.Module(g.Teeth, g.Pressure), g.Module, 1e-6)
			}
			for i := range 50 {
				a := f.from + (f.to-f.from)*float64(i)/49
				within(t, fmt.Sprintf("plane, readings to %.3f", limit), c.at(a).H, f.plane(a), max(limit, 1e-4))
			}
		}
	}
}

// TestBasePitch: the touches of successive level teeth of an involute gear step
// by the base pitch pi m cos a (check values: m 3.175, 14.5 deg: 9.6567; m 4, 20
// deg: 11.8085; computed from the formula).
func TestBasePitch(t *testing.T) {
	for _, tt := range []struct{ module, degrees, want float64 }{{3.175, 14.5, 9.6567}, {4, 20, 11.8085}} {
		g := profiles.Gear{Teeth: 54, Module: tt.module, Pressure: geom.Radians(tt.degrees), Rack: rack(t, "full-depth")}
		// The tooth's own outline, turned: the plane is its greatest Y.
		line, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		widest := func(a float64) float64 {
			y, turn := 0.0, geom.Turn(a)
			for _, p := range line {
				if p.Norm() >= root.FormRadius {
					y = max(y, turn.Apply(p).Y)
				}
			}
			return y
		}
		k := 1.0 // the first tooth that is touched over its form circle
		for k*g.Pitch()+g.BaseHalfAngle() < root.FormRoll {
			k++
		}
		within(t, "step", widest((k+1)*g.Pitch())-widest(k*g.Pitch()), tt.want, 2e-4+2*profiles.OutlineTolerance)
	}
}

// TestCorners: touches on the tip's corner and below the flank are named.
func TestCorners(t *testing.T) {
	f := trueFlanks(t)[0]
	list := f.touched(10, 0.005, rand.New(rand.NewPCG(1, 1)))
	tip := f.point(f.to)
	for i := range 3 {
		a := f.to + 0.03*float64(i+1)
		list = append(list, Touch{Name: fmt.Sprintf("corner %d", i), Angle: a, Plane: tip.Dot(unit(a))})
	}
	c, err := Touches(list, f.tooth(0.005))
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, r := range c.Readings {
		if strings.HasPrefix(r.Name, "corner") {
			if r.Left != "it lies on the tip's corner" {
				t.Errorf("%s: %q", r.Name, r.Left)
			}
			named++
		} else if r.Left != "" {
			t.Errorf("touch %s: %q", r.Name, r.Left)
		}
	}
	if named != 3 {
		t.Errorf("%d corners named", named)
	}
	within(t, "base radius", c.BaseRadius, f.gear.BaseRadius(), 0.05)
}

// TestFaults: each mistake is told by the reading it lies with.
func TestFaults(t *testing.T) {
	f := trueFlanks(t)[0]
	good := func() []Touch { return f.touched(9, 0.004, rand.New(rand.NewPCG(2, 2))) }
	for _, tt := range []struct {
		name  string
		spoil func([]Touch) []Touch
		who   string
		says  string
	}{
		{"too few", func(l []Touch) []Touch { return l[:3] }, "", "too few"},
		{"one high", func(l []Touch) []Touch { l[4].Plane += 0.08; return l }, "5", "off"},
		{"one low", func(l []Touch) []Touch { l[4].Plane -= 0.15; return l }, "5", "off"},
		{"inch for mm", func(l []Touch) []Touch {
			l[3].Doubts = []Doubt{{"it was read in inches", l[3].Angle, l[3].Plane}}
			l[3].Plane /= 25.4
			return l
		}, "4", "read in inches"},
		{"wrong flank", func(l []Touch) []Touch {
			l[6].Doubts = []Doubt{{"it is of the other flank", l[6].Angle, l[6].Plane}}
			l[6].Angle, l[6].Plane = -l[6].Angle, -l[6].Plane-6
			return l
		}, "7", "other flank"},
		{"exchanged", func(l []Touch) []Touch { l[2].Plane, l[6].Plane = l[6].Plane, l[2].Plane; return l }, "", "same flank"},
		{"paper not counted", func(l []Touch) []Touch {
			l[5].Doubts = []Doubt{{"the paper was left out", l[5].Angle, l[5].Plane}}
			l[5].Plane += 0.09
			return l
		}, "6", "paper was left out"},
	} {
		_, err := Touches(tt.spoil(good()), f.tooth(0.004))
		var fault *Fault
		if !errors.As(err, &fault) {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if tt.name != "exchanged" && fault.Name != tt.who || !strings.Contains(fault.Text, tt.says) {
			t.Errorf("%s: touch %q: %s", tt.name, fault.Name, fault.Text)
		}
	}
}

// TestChords: a tooth vernier's readings give the flank they lie on.
func TestChords(t *testing.T) {
	for _, f := range trueFlanks(t) {
		if strings.HasPrefix(f.name, "cycloid") {
			continue
		}
		for _, limit := range []float64{0, 0.01} {
			rng := rand.New(rand.NewPCG(9, 9))
			var list []Chord
			for i := range 9 {
				p := f.point(f.from + (f.to-f.from)*(0.03+0.94*float64(i)/8))
				list = append(list, Chord{fmt.Sprint(i + 1), f.gear.TipRadius() - p.Z, 2*p.Y + limit*(2*rng.Float64()-1)})
			}
			c, err := Chords(list, f.tooth(limit), 0.95*f.gear.BaseRadius())
			if err != nil {
				t.Errorf("%s, %d teeth: %v", f.name, f.gear.Teeth, err)
				continue
			}
			for i := range 30 {
				a := f.from + (f.to-f.from)*(0.05+0.9*float64(i)/29)
				within(t, fmt.Sprintf("%s, %d teeth, to %.2f: plane", f.name, f.gear.Teeth, limit), c.at(a).H, f.plane(a), max(0.8*limit, 1.5e-3))
			}
		}
	}
}
