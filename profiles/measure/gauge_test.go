package measure

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

func pressTooth(t testing.TB, facets int) ToothGauge {
	t.Helper()
	rack, _ := profiles.RackByName("old-full-depth")
	g := profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Shift: 0, Thinning: 0.08}
	out := ToothGauge{Tooth: g, Neighbours: g}
	if facets > 0 {
		set, err := g.BestFacets(facets)
		if err != nil {
			t.Fatal(err)
		}
		out.Facets, out.High = profiles.FacetsAt(set.Rolls, 0), set.Left
	}
	return out
}

func find(t *testing.T, items []GaugeItem, key string) GaugeItem {
	t.Helper()
	for _, i := range items {
		if i.Key == key {
			return i
		}
	}
	t.Fatalf("no item %q", key)
	return GaugeItem{}
}

func TestToothGauge(t *testing.T) {
	for _, facets := range []int{0, 2, 4} {
		p := pressTooth(t, facets)
		items, err := p.Items()
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range items {
			// Between joints a faceted flank stays within the limits; a true
			// flank measures what its formula says. Outlines are chords.
			if i.Nominal < i.Low-4*profiles.OutlineTolerance || i.Nominal > i.High+4*profiles.OutlineTolerance {
				t.Errorf("%d facets, %s: nominal %.5f outside %.5f to %.5f (%s)", facets, i.Key, i.Nominal, i.Low, i.High, i.Note)
			}
			if math.IsNaN(i.Nominal) || i.Nominal <= 0 {
				t.Errorf("%d facets, %s: %v", facets, i.Key, i)
			}
		}
		// The true chord on the pitch circle, by the handbook's form with the
		// thinned tooth.
		c := find(t, items, "tooth.chord")
		r := p.Tooth.PitchRadius()
		want := 2 * r * math.Sin(p.Tooth.PitchThickness()/(2*r))
		if math.Abs(c.Low-want) > 1e-9 || facets == 0 && math.Abs(c.Nominal-want) > 4*profiles.OutlineTolerance {
			t.Errorf("%d facets: chord %+v, want %.5f", facets, c, want)
		}
		s := find(t, items, "tooth.span")
		if w, _ := Span(p.Tooth, s.Teeth); math.Abs(s.Low-w) > 1e-9 {
			t.Errorf("span %.5f, standing teeth %.5f", s.Low, w)
		}
		if facets > 0 {
			if !strings.Contains(s.Note, "flat on a facet") {
				t.Errorf("no word on the anvil: %q", s.Note)
			}
			f := find(t, items, "tooth.chord_facet")
			if math.Abs(f.Nominal-f.Low) > 1e-4 {
				t.Errorf("where a facet touches, the chord %.5f should be the true one %.5f", f.Nominal, f.Low)
			}
		}
		o, over := find(t, items, "old.over_pins"), find(t, items, "tooth.over_pins")
		if math.Abs(over.Low-o.Nominal) > 10*profiles.OutlineTolerance || over.Nominal < o.Nominal-10*profiles.OutlineTolerance {
			t.Errorf("%d facets: over pins %.5f, in standing teeth %.5f", facets, over.Nominal, o.Nominal)
		}
	}
}

// Reading back what the sheet says must find what was cut.
func TestToothReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		p := ToothGauge{Tooth: g, Neighbours: g, Low: -0.01, High: 0.01}
		e := rapid.Float64Range(-0.02, 0.02).Draw(t, "metal") * g.Module
		cut := p.with(e)
		if c, err := ChordAt(cut, g.PitchRadius()); err == nil {
			r, err := p.ReadChord(c.Height, c.Thickness)
			if err != nil || math.Abs(r.Metal-e) > 1e-8 || math.Abs(r.ChangeY-e) > 1e-8 {
				t.Fatalf("chord: %+v, want %.6f, %v", r, e, err)
			}
			if r.Within != (math.Abs(r.Metal) <= 0.01) {
				t.Fatalf("within: %+v", r)
			}
		}
		if k, err := SpanTeeth(g); err == nil && k >= 2 {
			r, err := p.ReadSpan(k, p.mixedSpan(k, cut))
			if err != nil || math.Abs(r.Metal-e) > 1e-8 {
				t.Fatalf("span: %+v, want %.6f, %v", r, e, err)
			}
		}
		f, ok := BestGearPin(g, profiles.StockPins(false))
		if !ok {
			return
		}
		line, err := cut.RightFlank()
		if err != nil {
			return
		}
		over, err := p.overPinsBeside(line, f)
		if err != nil {
			return
		}
		r, err := p.ReadPins(f.Pin, over)
		if err != nil || math.Abs(r.Metal-e) > 1e-6+2*profiles.OutlineTolerance {
			t.Fatalf("pins: %+v, want %.6f, %v", r, e, err)
		}
	})
}

// With a true flank the pin beside the new tooth lies as any other.
func TestPinsBesideTrueFlank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear(t)
		f, ok := BestGearPin(g, profiles.StockPins(false))
		if !ok {
			t.Skip("no pin")
		}
		flank, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		p := ToothGauge{Tooth: g, Neighbours: g}
		over, err := p.overPinsBeside(flank, f)
		if err != nil {
			t.Fatal(err)
		}
		slope := math.Sin(math.Acos(g.BaseRadius() / f.Centre))
		if math.Abs(over-f.Over) > 2*profiles.OutlineTolerance/slope {
			t.Fatalf("%.5f over pins beside the new tooth, %.5f elsewhere", over, f.Over)
		}
	})
}

func TestDovetailGauge(t *testing.T) {
	d := DovetailGauge{
		Slot:   profiles.DovetailSize{Mouth: 5.5, Depth: 6.05, HalfAngle: geom.Radians(10)},
		Insert: profiles.DovetailSize{Mouth: 5.54, Depth: 6, HalfAngle: geom.Radians(10)}, Slide: 5.5,
		Shoulder: 2, Width: 0.01, Depth: 0.05,
	}
	items, err := d.Items()
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range items {
		if i.Note == "" && !(i.Low <= i.Nominal && i.Nominal <= i.High && i.Low > 0) {
			t.Errorf("%+v", i)
		}
	}
	slot := find(t, items, "slot.between_pins")
	r, err := ReadSlot(d.Slot, slot.Nominal+0.02, slot.Pin)
	if err != nil || math.Abs(r.Mouth-5.52) > 1e-9 || math.Abs(r.PerFlank+0.01) > 1e-9 {
		t.Errorf("slot %+v, %v", r, err)
	}
	tight := find(t, items, "insert.over_pins_tight")
	slide := find(t, items, "insert.over_pins_sliding")
	if math.Abs(tight.Nominal-slide.Nominal-0.04) > 1e-9 {
		t.Errorf("tight %.4f, sliding %.4f", tight.Nominal, slide.Nominal)
	}
	r, err = ReadInsert(d.Insert, tight.Nominal+0.03, tight.Pin)
	if err != nil || math.Abs(r.Over-0.03) > 1e-9 || math.Abs(r.PerFlank-0.015) > 1e-9 {
		t.Errorf("insert %+v, %v", r, err)
	}
	d.Shoulder = 0.1
	if items, err = d.Items(); err != nil || find(t, items, "insert.over_pins_tight").Note == "" {
		t.Errorf("narrow shoulders: %v", err)
	}
	d.Slot.Mouth = -1
	if _, err := d.Items(); err == nil {
		t.Error("a slot without width was accepted")
	}
	for _, bad := range []float64{-1, math.NaN()} {
		if _, err := ReadSlot(profiles.DovetailSize{Mouth: 5, Depth: 6, HalfAngle: 0.1}, bad, 3); err == nil {
			t.Errorf("%g between pins was accepted", bad)
		}
		if _, err := ReadInsert(profiles.DovetailSize{Mouth: 5, Depth: 6, HalfAngle: 0.1}, bad, 3); err == nil {
			t.Errorf("%g over pins was accepted", bad)
		}
	}
}

func TestWornOutIsSaid(t *testing.T) {
	p := pressTooth(t, 2)
	items, err := p.Items()
	if err != nil || find(t, items, "old.span").Note != "" {
		t.Errorf("0.08 mm of thinning is called worn out: %v", err)
	}
	p.Neighbours.Thinning = 0.3
	if items, err = p.Items(); err != nil || find(t, items, "old.span").Note == "" {
		t.Errorf("0.3 mm of thinning is not called worn out: %v", err)
	}
}

func TestToothGaugeRefusals(t *testing.T) {
	p := pressTooth(t, 2)
	p.High = -1
	if _, err := p.Items(); err == nil {
		t.Error("limits in the wrong order were accepted")
	}
	p = pressTooth(t, 2)
	if _, err := p.ReadSpan(1, 20); err == nil {
		t.Error("a span over the new tooth alone was accepted")
	}
	if _, err := p.ReadPins(5, 20); err == nil {
		t.Error("an impossible size over pins was accepted")
	}
	if _, err := p.ReadChord(50, 1); err == nil {
		t.Error("an impossible chord was accepted")
	}
}
