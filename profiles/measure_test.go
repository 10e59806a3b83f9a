package profiles

import (
	"fmt"
	"math"
	"testing"

	"cogmend/profiles/geom"
	"pgregory.net/rapid"
)

// anyGear draws a sound gear: 14.5, 20 or 25 degrees, shifted and worn.
func anyGear(t *rapid.T) Gear {
	for {
		name := rapid.SampledFrom([]string{"iso-a", "full-depth", "old-full-depth", "stub"}).Draw(t, "rack")
		m := rapid.Float64Range(0.8, 12).Draw(t, "module")
		rack, _ := RackByName(name)
		g := Gear{
			Teeth:    rapid.IntRange(12, 300).Draw(t, "teeth"),
			Module:   m,
			Pressure: geom.Radians(rapid.SampledFrom([]float64{14.5, 20, 25}).Draw(t, "pressure")),
			Rack:     rack,
			Shift:    rapid.Float64Range(-0.4, 0.5).Draw(t, "shift"),
			Thinning: m * rapid.Float64Range(0, 0.08).Draw(t, "thinning"),
		}
		if g.Validate() == nil {
			return g
		}
	}
}

func TestInvoluteTable(t *testing.T) {
	for _, r := range table(t, "involute.csv") {
		a := geom.Radians(r.num("degrees"))
		r.near(Inv(a), r.num("value"), 5e-9)
		r.near(InvInverse(r.num("value")), a, 1e-7)
	}
}

func TestToothTable(t *testing.T) {
	for _, r := range table(t, "tooth.csv") {
		rack, _ := RackByName(r.fields["rack"])
		g := Gear{r.int("teeth"), r.num("module"), geom.Radians(r.num("degrees")), rack, 0, 0}
		var got float64
		switch r.fields["quantity"] {
		case "outside":
			got = 2 * g.TipRadius()
		case "tip":
			got = 2 * g.TipRadius() * g.HalfAngle(g.TipRadius())
		case "undercut":
			// A rack whose straight flank ends at its addendum: the count at
			// which the last contact reaches the base circle.
			g.Rack.Dedendum, g.Rack.Fillet = g.Rack.Addendum, 0
			want := r.num("value")
			for _, z := range []int{int(math.Floor(want)), int(math.Ceil(want))} {
				g.Teeth = z
				root, err := g.Root()
				if err != nil {
					t.Fatal(err)
				}
				if root.Undercut != (float64(z) < want) {
					t.Errorf("%d teeth: undercut %v: %v", z, root.Undercut, r.fields)
				}
			}
			// The same between whole teeth: the count grows with the rack's
			// height, so the height at which a tooth becomes undercut tells it.
			g.Teeth = int(math.Ceil(want))
			low, high := 0.0, 2*g.Rack.Addendum
			for range 60 {
				g.Rack.Dedendum = (low + high) / 2
				root, err := g.Root()
				if err != nil {
					t.Fatal(err)
				}
				if root.Undercut {
					high = g.Rack.Dedendum
				} else {
					low = g.Rack.Dedendum
				}
			}
			got = float64(g.Teeth) * g.Rack.Addendum / high
		}
		r.near(got, r.num("value"), r.num("tolerance"))
	}
}

func standardGear(t *testing.T, r row) Gear {
	t.Helper()
	m := r.num("module")
	if r.fields["unit"] == "in" {
		m *= 25.4
	}
	name := "full-depth"
	if r.fields["degrees"] == "14.5" {
		name = "old-full-depth"
	}
	rack, _ := RackByName(name)
	return Gear{r.int("teeth"), m, geom.Radians(r.num("degrees")), rack, 0, 0}
}

func unit(r row) float64 {
	if r.fields["unit"] == "in" {
		return 25.4
	}
	return 1
}

func TestSpanTable(t *testing.T) {
	for _, r := range table(t, "span.csv") {
		g := standardGear(t, r)
		r.near(g.span(r.int("k"))/unit(r), r.num("value"), 0.00005)
	}
}

func TestSpanTeethTable(t *testing.T) {
	rack, _ := RackByName("full-depth")
	for _, r := range table(t, "spanteeth.csv") {
		for z := r.int("low") + 1; z < r.int("high"); z++ {
			g := Gear{z, 3, geom.Radians(20), rack, 0, 0}
			k, err := g.SpanTeeth()
			if err != nil || k != r.int("k") {
				t.Errorf("%d teeth: span over %d (%v), handbook %d", z, k, err, r.int("k"))
			}
		}
	}
}

// A caliper closed on the teeth's real outlines must read the formula's W.
func TestSpanByGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		k, err := g.SpanTeeth()
		if err != nil {
			t.Skip(err)
		}
		w, err := g.Span(k)
		if err != nil {
			t.Fatal(err)
		}
		flank, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		// k teeth centred on +Z: the outermost flank reaches farthest along Y.
		turn := geom.Turn(g.Pitch() * float64(k-1) / 2)
		reach := 0.0
		for _, p := range flank {
			if p.Norm() >= root.FormRadius {
				reach = max(reach, turn.Apply(p).Y)
			}
		}
		if math.Abs(2*reach-w) > 4*OutlineTolerance {
			t.Fatalf("caliper on the outline %.5f, formula %.5f", 2*reach, w)
		}
	})
}

func TestSpanProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		k := rapid.IntRange(1, g.Teeth-2).Draw(t, "k")
		// Wear cannot fake a base pitch.
		if d := g.span(k+1) - g.span(k) - g.BasePitch(); math.Abs(d) > 1e-9 {
			t.Fatalf("spans differ by the base pitch and %g", d)
		}
		worn := g
		worn.Thinning += 0.1
		if back := g.ThinningFromSpan(k, worn.span(k)); math.Abs(back-worn.Thinning) > 1e-9 {
			t.Fatalf("thinning %.6f comes back as %.6f", worn.Thinning, back)
		}
	})
}

// New 32.429 to 32.526, service limit 32.279 (US Army TM 10-3930-653-14&P,
// p. 4-170; read).
func TestSpanServiceLimit(t *testing.T) {
	if got := SpanServiceLimit(32.429); math.Abs(got-32.279) > 1e-9 {
		t.Errorf("service limit %.4f", got)
	}
}

func TestSpanRefusals(t *testing.T) {
	rack, _ := RackByName("iso-a")
	g := Gear{20, 2, geom.Radians(20), rack, 0, 0}
	for _, k := range []int{-1, 0, 6, 19, 20} {
		if w, err := g.Span(k); err == nil {
			t.Errorf("span over %d of 20 teeth gives %.3f", k, w)
		}
	}
}

func TestPinsTable(t *testing.T) {
	for _, r := range table(t, "pins.csv") {
		g := standardGear(t, r)
		f, err := g.pinFit(r.num("pin") * unit(r))
		if err != nil {
			t.Error(err)
			continue
		}
		r.near(f.Over/unit(r), r.num("value"), r.num("tolerance"))
	}
	// KHK Gear Technical Reference, over-pin table (memory): phi 24.1350 deg.
	rack, _ := RackByName("iso-a")
	g := Gear{20, 1, geom.Radians(20), rack, 0, 0}
	f, err := g.OverPins(1.7)
	phi := geom.Degrees(math.Acos(g.BaseRadius() / f.Centre))
	if err != nil || math.Abs(phi-24.1350) > 5e-5 {
		t.Errorf("phi %.5f, %v", phi, err)
	}
}

// A pin lowered into the real space until it touches the outline must lie
// where the formula says.
func TestPinsByGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		f, ok := g.BestGearPin([]float64{1.5 * g.Module, 1.728 * g.Module, 1.9 * g.Module})
		if !ok {
			t.Skip("no pin serves")
		}
		flank, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		lo, hi := g.RootRadius(), g.TipRadius()+2*f.Pin
		for range 60 {
			mid := (lo + hi) / 2
			if geom.Distance(geom.Polar(mid, g.Pitch()/2), flank) < f.Pin/2 {
				lo = mid
			} else {
				hi = mid
			}
		}
		// Chords stand off by OutlineTolerance; the wedge of the space makes
		// that larger along the radius by 1/sin of the flank's slope there.
		slope := math.Sin(math.Acos(g.BaseRadius() / f.Centre))
		if math.Abs(lo-f.Centre) > 2*OutlineTolerance/slope {
			t.Fatalf("pin centre %.5f by geometry, %.5f by formula", lo, f.Centre)
		}
		worn := g
		worn.Thinning += 0.02 * g.Module
		wf, err := worn.pinFit(f.Pin)
		if err != nil {
			t.Skip(err)
		}
		back, err := g.ThinningFromPins(f.Pin, wf.Over)
		if err != nil || math.Abs(back-worn.Thinning) > 1e-8 {
			t.Fatalf("thinning %.6f comes back as %.6f, %v", worn.Thinning, back, err)
		}
	})
}

func TestPinRefusals(t *testing.T) {
	rack, _ := RackByName("iso-a")
	g := Gear{20, 2, geom.Radians(20), rack, 0, 0}
	for _, pin := range []float64{0, -1, math.NaN(), 0.5, 2.2, 12} {
		if f, err := g.OverPins(pin); err == nil {
			t.Errorf("pin %g gives %+v", pin, f)
		}
	}
	if _, err := g.ThinningFromPins(3, 10); err == nil {
		t.Error("a size over pins inside the base circle was accepted")
	}
}

func TestChordalTable(t *testing.T) {
	rack, _ := RackByName("full-depth")
	for _, r := range table(t, "chordal.csv") {
		g := Gear{r.int("teeth"), r.num("module"), geom.Radians(20), rack, 0, 0}
		c, err := g.ChordAt(g.PitchRadius())
		if err != nil {
			t.Error(err)
			continue
		}
		r.near(c.Thickness, r.num("thickness"), r.num("tolerance"))
		r.near(c.Height, r.num("height"), r.num("tolerance"))
	}
}

func TestChordRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		worn := g
		worn.Thinning += 0.01 * g.Module
		c, err := worn.ChordAt(worn.PitchRadius())
		if err != nil {
			t.Skip(err)
		}
		back, err := g.ThinningFromChord(c.Height, c.Thickness)
		if err != nil || math.Abs(back-worn.Thinning) > 1e-9 {
			t.Fatalf("thinning %.6f comes back as %.6f, %v", worn.Thinning, back, err)
		}
	})
	rack, _ := RackByName("iso-a")
	g := Gear{20, 2, geom.Radians(20), rack, 0, 0}
	if _, err := g.ChordAt(30); err == nil {
		t.Error("a chord over the tip was accepted")
	}
	if _, err := g.ThinningFromChord(10, 3); err == nil {
		t.Error("a chord under the base circle was accepted")
	}
}

func TestLewisTable(t *testing.T) {
	for _, r := range table(t, "lewis.csv") {
		z := r.int("teeth")
		if z == 0 {
			z = 1e9
		}
		y, err := LewisY(z)
		if err != nil {
			t.Fatal(err)
		}
		r.near(y, r.num("y"), 1e-6)
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
		rack, _ := RackByName(c.rack)
		for _, z := range []int{17, 20, 30, 54, 100, 200} {
			if c.degrees == 14.5 && z < 20 {
				continue
			}
			g := Gear{z, 3, geom.Radians(c.degrees), rack, 0, 0}
			f, err := g.FormFactorAt(g.TipRadius())
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

func TestAccuracyTable(t *testing.T) {
	for _, r := range table(t, "accuracy.csv") {
		f, err := ProfileTolerance(r.int("grade"), r.num("module"), r.num("diameter"))
		if err != nil {
			t.Fatal(err)
		}
		r.near(f, r.num("value"), 1e-9)
		if g, ok := ProfileGrade(f, r.num("module"), r.num("diameter")); !ok || g != r.int("grade") {
			t.Errorf("%g um is grade %d %v: %v", f, g, ok, r.fields)
		}
	}
	if _, ok := ProfileGrade(90, 3, 100); ok {
		t.Error("90 um has a grade")
	}
	for _, bad := range []struct {
		grade int
		m, d  float64
	}{{13, 3, 100}, {-1, 3, 100}, {8, 0.1, 100}, {8, 3, 1}, {8, math.NaN(), 100}} {
		if _, err := ProfileTolerance(bad.grade, bad.m, bad.d); err == nil {
			t.Errorf("no error for %+v", bad)
		}
	}
}

func ExampleGear_Span() {
	rack, _ := RackByName("iso-a")
	g := Gear{Teeth: 20, Module: 2, Pressure: geom.Radians(20), Rack: rack}
	w, _ := g.Span(3)
	fmt.Printf("%.4f mm\n", w)
	// Output: 15.3209 mm
}
