package measure

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

// anyGear draws a sound gear: 14.5, 20 or 25 degrees, shifted and worn.
func anyGear(t *rapid.T) profiles.Gear {
	for {
		name := rapid.SampledFrom([]string{"iso-a", "full-depth", "old-full-depth", "stub"}).Draw(t, "rack")
		m := rapid.Float64Range(0.8, 12).Draw(t, "module")
		rack, _ := profiles.RackByName(name)
		g := profiles.Gear{
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

func standardGear(t *testing.T, r published.Row) profiles.Gear {
	t.Helper()
	m := r.Num("module")
	if r.Fields["unit"] == "in" {
		m *= 25.4
	}
	name := "full-depth"
	if r.Fields["degrees"] == "14.5" {
		name = "old-full-depth"
	}
	rack, _ := profiles.RackByName(name)
	return profiles.Gear{Teeth: r.Int("teeth"), Module: m, Pressure: geom.Radians(r.Num("degrees")), Rack: rack, Shift: 0, Thinning: 0}
}

func unit(r published.Row) float64 {
	if r.Fields["unit"] == "in" {
		return 25.4
	}
	return 1
}

func TestSpanTable(t *testing.T) {
	for _, r := range published.Table(t, "span.csv") {
		g := standardGear(t, r)
		r.Near(span(g, r.Int("k"))/unit(r), r.Num("value"), 0.00005)
	}
}

func TestSpanTeethTable(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	for _, r := range published.Table(t, "spanteeth.csv") {
		for z := r.Int("low") + 1; z < r.Int("high"); z++ {
			g := profiles.Gear{Teeth: z, Module: 3, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
			k, err := SpanTeeth(g)
			if err != nil || k != r.Int("k") {
				t.Errorf("%d teeth: span over %d (%v), handbook %d", z, k, err, r.Int("k"))
			}
		}
	}
}

// A caliper closed on the teeth's real outlines must read the formula's W.
func TestSpanByGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		k, err := SpanTeeth(g)
		if err != nil {
			t.Skip(err)
		}
		w, err := Span(g, k)
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
		for i, p := range flank {
			if i > 0 { // where the outline crosses the form circle the involute ends
				if a, b := flank[i-1].Norm(), p.Norm(); (a < root.FormRadius) != (b < root.FormRadius) {
					reach = max(reach, turn.Apply(flank[i-1].Lerp(p, (root.FormRadius-a)/(b-a))).Y)
				}
			}
			if p.Norm() >= root.FormRadius {
				reach = max(reach, turn.Apply(p).Y)
			}
		}
		if math.Abs(2*reach-w) > 4*profiles.OutlineTolerance {
			t.Fatalf("caliper on the outline %.5f, formula %.5f", 2*reach, w)
		}
	})
}

func TestSpanProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		k := rapid.IntRange(1, g.Teeth-2).Draw(t, "k")
		// Wear cannot fake a base pitch.
		if d := span(g, k+1) - span(g, k) - g.BasePitch(); math.Abs(d) > 1e-9 {
			t.Fatalf("spans differ by the base pitch and %g", d)
		}
		worn := g
		worn.Thinning += 0.1
		if back := ThinningFromSpan(g, k, span(worn, k)); math.Abs(back-worn.Thinning) > 1e-9 {
			t.Fatalf("thinning %.6f comes back as %.6f", worn.Thinning, back)
		}
	})
}

func TestSpanRefusals(t *testing.T) {
	rack, _ := profiles.RackByName("iso-a")
	g := profiles.Gear{Teeth: 20, Module: 2, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
	for _, k := range []int{-1, 0, 6, 19, 20} {
		if w, err := Span(g, k); err == nil {
			t.Errorf("span over %d of 20 teeth gives %.3f", k, w)
		}
	}
}

func TestPinsTable(t *testing.T) {
	for _, r := range published.Table(t, "pins.csv") {
		g := standardGear(t, r)
		f, err := pinPlace(g, r.Num("pin")*unit(r))
		if err != nil {
			t.Error(err)
			continue
		}
		r.Near(f.Over/unit(r), r.Num("value"), r.Num("tolerance"))
	}
	// KHK Gear Technical Reference, over-pin table (memory): phi 24.1350 deg.
	rack, _ := profiles.RackByName("iso-a")
	g := profiles.Gear{Teeth: 20, Module: 1, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
	f, err := OverPins(g, 1.7)
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
		f, ok := BestGearPin(g, []float64{1.5 * g.Module, 1.728 * g.Module, 1.9 * g.Module})
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
		if math.Abs(lo-f.Centre) > 2*profiles.OutlineTolerance/slope {
			t.Fatalf("pin centre %.5f by geometry, %.5f by formula", lo, f.Centre)
		}
		worn := g
		worn.Thinning += 0.02 * g.Module
		wf, err := pinPlace(worn, f.Pin)
		if err != nil {
			t.Skip(err)
		}
		back, err := ThinningFromPins(g, f.Pin, wf.Over)
		if err != nil || math.Abs(back-worn.Thinning) > 1e-8 {
			t.Fatalf("thinning %.6f comes back as %.6f, %v", worn.Thinning, back, err)
		}
	})
}

func TestPinRefusals(t *testing.T) {
	rack, _ := profiles.RackByName("iso-a")
	g := profiles.Gear{Teeth: 20, Module: 2, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
	for _, pin := range []float64{0, -1, math.NaN(), 0.5, 2.2, 12} {
		if f, err := OverPins(g, pin); err == nil {
			t.Errorf("pin %g gives %+v", pin, f)
		}
	}
	if _, err := ThinningFromPins(g, 3, 10); err == nil {
		t.Error("a size over pins inside the base circle was accepted")
	}
}

func TestChordalTable(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	for _, r := range published.Table(t, "chordal.csv") {
		g := profiles.Gear{Teeth: r.Int("teeth"), Module: r.Num("module"), Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
		c, err := ChordAt(g, g.PitchRadius())
		if err != nil {
			t.Error(err)
			continue
		}
		r.Near(c.Thickness, r.Num("thickness"), r.Num("tolerance"))
		r.Near(c.Height, r.Num("height"), r.Num("tolerance"))
	}
}

// thinningFromChord returns the thinning of a tooth of this gear whose
// chordal thickness at height h under the tip circle measures t.
func thinningFromChord(g profiles.Gear, h, t float64) (float64, error) {
	r := math.Hypot(g.TipRadius()-h, t/2)
	if !(t > 0) || r < g.FlankFrom() {
		return 0, fmt.Errorf("chord of %.3f mm at %.3f mm under the tip does not lie on the flank", t, h)
	}
	psi := math.Atan2(t/2, g.TipRadius()-h)
	return g.Thinning + 2*g.PitchRadius()*(g.HalfAngle(r)-psi), nil
}

func TestChordRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		worn := g
		worn.Thinning += 0.01 * g.Module
		c, err := ChordAt(worn, worn.PitchRadius())
		if err != nil {
			t.Skip(err)
		}
		back, err := thinningFromChord(g, c.Height, c.Thickness)
		if err != nil || math.Abs(back-worn.Thinning) > 1e-9 {
			t.Fatalf("thinning %.6f comes back as %.6f, %v", worn.Thinning, back, err)
		}
	})
	rack, _ := profiles.RackByName("iso-a")
	g := profiles.Gear{Teeth: 20, Module: 2, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
	if _, err := ChordAt(g, 30); err == nil {
		t.Error("a chord over the tip was accepted")
	}
	if _, err := thinningFromChord(g, 10, 3); err == nil {
		t.Error("a chord under the base circle was accepted")
	}
}

func ExampleSpan() {
	rack, _ := profiles.RackByName("iso-a")
	g := profiles.Gear{Teeth: 20, Module: 2, Pressure: geom.Radians(20), Rack: rack}
	w, _ := Span(g, 3)
	fmt.Printf("%.4f mm\n", w)
	// Output: 15.3209 mm
}
