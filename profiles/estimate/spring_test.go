package estimate

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/internal/published"
)

// tester is a test, or a round of a property test.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
}

// within fails when got is farther than the share tol from want.
func within(t tester, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s: got %.6g, want %.6g within %g", what, got, want, tol)
	}
}

func TestSpecificForce(t *testing.T) {
	works := map[string]profiles.Material{"mild steel": profiles.MildSteel, "grey iron": profiles.GreyIron}
	at := map[string]map[float64]float64{"mild steel": {}, "grey iron": {}}
	for _, r := range published.Table(t, "cutting.csv") {
		if r.Fields["quantity"] != "force" {
			continue
		}
		work := r.Fields["work"]
		r.Near(SpecificForce(works[work], r.Num("at")), r.Num("value"), r.Num("tolerance"))
		at[work][r.Num("at")] = r.Num("value")
	}
	// A power law is straight in logarithms: half the chip raises the force as
	// much as the first half of the table does (computed).
	for name, work := range works {
		within(t, "thinner chips", SpecificForce(work, 0.05), at[name][0.1]*at[name][0.1]/at[name][0.2], 1e-12)
	}
}

// TestCuttingPower: a maker's worked example.
func TestCuttingPower(t *testing.T) {
	rpm := profiles.RpmFor(80, 250)
	seen := 0
	for _, r := range published.Table(t, "cutting.csv") {
		got, ok := map[string]float64{"rpm": rpm, "chip": 280 / (rpm * 12), "power": CuttingPower(2, 80, 280, 1800, 0.8)}[r.Fields["quantity"]]
		if ok {
			seen++
			r.Near(got, r.Num("value"), r.Num("tolerance"))
		}
	}
	if seen != 3 {
		t.Errorf("%d figures of the example", seen)
	}
}

// TestMeanForce holds the mean force, which comes from the formula of the
// published power, to the sum of the teeth's forces over a turn.
func TestMeanForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Engagement{
			Diameter: rapid.Float64Range(1, 20).Draw(t, "diameter"),
			Teeth:    rapid.IntRange(1, 6).Draw(t, "teeth"),
			Depth:    rapid.Float64Range(0.1, 10).Draw(t, "depth"),
			Feed:     rapid.Float64Range(0.002, 0.1).Draw(t, "feed"),
			Work:     profiles.Material(rapid.IntRange(0, 1).Draw(t, "work")),
		}
		e.Width = e.Diameter * rapid.Float64Range(0.01, 1).Draw(t, "width")
		arc := e.arc()
		chip := e.Feed * 2 * e.Width / (e.Diameter * arc)
		const steps = 20000
		var sum float64
		for i := range steps {
			phi := arc * (float64(i) + 0.5) / steps
			sum += SpecificForce(e.Work, chip) * e.Depth * e.Feed * math.Sin(phi) * arc / steps
		}
		within(t, "force from the teeth", e.Mean(), resultant*sum*float64(e.Teeth)/(2*math.Pi), 1e-4)
		if e.Peak() < e.Mean()*0.99 {
			t.Errorf("the greatest force %g is less than the mean %g", e.Peak(), e.Mean())
		}
	})
	if f := (Engagement{Diameter: 4, Teeth: 2, Depth: 1, Feed: 0.01}).Mean(); f != 0 {
		t.Errorf("a cut of no width has a force of %g N", f)
	}
}

// TestBeam holds the stepped bar to closed forms (F L^3 / (3 E I), I = pi d^4/64;
// open references of cutter makers; read) and to a plain sum along the bar.
func TestBeam(t *testing.T) {
	plain := beam{parts: []stretch{{0, 20, 6}}, modulus: 200e3}
	i := math.Pi * math.Pow(6, 4) / 64
	within(t, "uniform", plain.tip(0), math.Pow(20, 3)/(3*200e3*i), 1e-12)
	within(t, "stress", plain.stress(0), 20*3/i, 1e-12) // M c / I
	long := beam{parts: []stretch{{0, 40, 6}}, modulus: 200e3}
	within(t, "doubling the overhang: 8 times", long.tip(0)/plain.tip(0), 8, 1e-12)
	// A force at a bends the tip by F (L-a)^2 (2L+a) / (6 E I) (beam tables).
	within(t, "force inside", plain.tip(5), 15*15*(40+5)/(6*200e3*i), 1e-12)

	rapid.Check(t, func(t *rapid.T) {
		b := beam{modulus: rapid.Float64Range(1e5, 6e5).Draw(t, "modulus")}
		at := 0.0
		for range rapid.IntRange(1, 3).Draw(t, "parts") {
			to := at + rapid.Float64Range(1, 20).Draw(t, "length")
			b.parts = append(b.parts, stretch{at, to, rapid.Float64Range(1, 12).Draw(t, "diameter")})
			at = to
		}
		a := at * rapid.Float64Range(0, 0.9).Draw(t, "force")
		var sum float64
		const steps = 4000 // of each part, lest one steps over a change of thickness
		for _, p := range b.parts {
			from := max(p.from, a)
			step := max(0, p.to-from) / steps
			for k := range steps {
				x := from + (float64(k)+0.5)*step
				sum += (x - a) * x * 64 / (math.Pi * math.Pow(p.diameter, 4) * b.modulus) * step
			}
		}
		within(t, "sum along the bar", b.tip(a), sum, 1e-3)
	})
}

func TestSpring(t *testing.T) {
	c := profiles.Cutter{Name: "end2", Diameter: 2, Carbide: true, Flutes: 2, FluteLength: 5, Neck: 1.9, NeckLength: 16, Shank: 4, StickOut: 24}
	e := Engagement{Diameter: 2, Teeth: 2, Depth: 3, Width: 0.5, Feed: 0.008, Work: profiles.MildSteel}
	s, err := CutterSpring(&c, e)
	if err != nil {
		t.Fatal(err)
	}
	if !(s.Deflection > 0.03 && s.Deflection < 0.1) {
		t.Errorf("a slender 2 mm cutter in a cut half a millimetre wide springs %.4f mm", s.Deflection)
	}
	// Each cut at the same place meets only what the one before it sprang away from.
	for before := e.Width; before > 1e-4; before = e.Width {
		s, err := CutterSpring(&c, e)
		if err != nil {
			t.Fatal(err)
		}
		if s.Deflection >= before/2 {
			t.Errorf("a cut of %.4f mm leaves %.4f", before, s.Deflection)
			break
		}
		e.Width = s.Deflection
	}
	for name, spoil := range map[string]func(*profiles.Cutter){
		"no overhang": func(c *profiles.Cutter) { c.StickOut = 0 },
		"no shank":    func(c *profiles.Cutter) { c.Shank = 0 },
	} {
		bad := c
		spoil(&bad)
		if _, err := CutterSpring(&bad, e); !errors.Is(err, ErrNoCantilever) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkSpring(b *testing.B) {
	c := profiles.Cutter{Diameter: 2, Carbide: true, Flutes: 2, FluteLength: 5, Neck: 1.9, NeckLength: 16, Shank: 4, StickOut: 24}
	e := Engagement{Diameter: 2, Teeth: 2, Depth: 3, Width: 0.5, Feed: 0.008, Work: profiles.MildSteel}
	for b.Loop() {
		if _, err := CutterSpring(&c, e); err != nil {
			b.Fatal(err)
		}
	}
}

// TestBehind: what is left and what is taken make up the cut, and the cutter bends
// as far as what is taken bends it; a stiff bar stays behind as far as it bends, a
// limp one takes next to nothing. Balance of forces.
func TestBehind(t *testing.T) {
	e := Engagement{Diameter: 6, Teeth: 4, Depth: 6, Width: 0.4, Feed: 0.02, Work: profiles.MildSteel}
	for _, out := range []float64{12, 26, 60, 300} {
		c := &profiles.Cutter{Name: "mill", Diameter: 6, Flutes: 4, FluteLength: 12, Shank: 6, StickOut: out}
		left, err := Behind(c, e)
		if err != nil {
			t.Fatal(err)
		}
		taken := e
		taken.Width -= left
		s, err := CutterSpring(c, taken)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(s.Deflection-left) > 1e-9 {
			t.Errorf("%g mm out: %.6f left, bent by %.6f", out, left, s.Deflection)
		}
		whole, err := CutterSpring(c, e)
		if err != nil {
			t.Fatal(err)
		}
		switch share := left / whole.Deflection; {
		case !(left > 0) || left >= e.Width || share > 1:
			t.Errorf("%g mm out: %.6f left of %.6f", out, left, whole.Deflection)
		case out == 12 && share < 0.97:
			t.Errorf("a stiff bar stays %.3f behind of what it bends", share)
		case out == 300 && left < 0.95*e.Width:
			t.Errorf("a limp bar leaves %.4f of %.4f", left, e.Width)
		}
	}
	if _, err := Behind(&profiles.Cutter{Name: "none", Diameter: 6}, e); !errors.Is(err, ErrNoCantilever) {
		t.Errorf("no lengths: %v", err)
	}
}

// BenchmarkBehind finds how far a stepped cutter stays behind in one cut.
func BenchmarkBehind(b *testing.B) {
	c := &profiles.Cutter{Name: "thin", Diameter: 2, Flutes: 2, FluteLength: 5, Neck: 1.9, NeckLength: 16, Shank: 4, StickOut: 24, Carbide: true}
	e := Engagement{Diameter: 2, Teeth: 2, Depth: 0.5, Width: 0.3, Feed: 0.008, Work: profiles.MildSteel}
	for b.Loop() {
		if _, err := Behind(c, e); err != nil {
			b.Fatal(err)
		}
	}
}
