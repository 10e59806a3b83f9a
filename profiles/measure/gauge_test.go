package measure

import (
	"errors"
	"fmt"
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
		out.Facets, out.High = profiles.FacetsAt(set.Rolls, 0), set.GreatestError
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

// facetedTooth is a tooth of a gear with the fewest facets that keep a
// tolerance.
func facetedTooth(t testing.TB, g profiles.Gear, tol float64, even bool) ToothGauge {
	t.Helper()
	offset := 0.0
	if even {
		offset = -tol / 2
	}
	thin := g
	thin.Thinning -= 2 * offset / math.Cos(g.Pressure)
	set, ok, err := thin.FewestFacets(tol)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	return ToothGauge{Tooth: g, Neighbours: g, Facets: profiles.FacetsAt(set.Rolls, offset), Low: offset, High: tol + offset}
}

// gaugedGears are 108 gears over the range of jobs: old and new pressure
// angles, 12 to 200 teeth, modules 1 to 10, worn or not.
func gaugedGears() []profiles.Gear {
	var out []profiles.Gear
	for _, degrees := range []float64{14.5, 20} {
		name := "full-depth"
		if degrees == 14.5 {
			name = "old-full-depth"
		}
		rack, _ := profiles.RackByName(name)
		for _, teeth := range []int{14, 23, 34, 54, 97, 200} {
			for _, m := range []float64{1, 3.175, 10} {
				for _, thin := range []float64{0, 0.025, 0.06} {
					out = append(out, profiles.Gear{Teeth: teeth, Module: m, Pressure: geom.Radians(degrees), Rack: rack, Thinning: thin * m})
				}
			}
		}
	}
	return out
}

// What the sheet prints, read back as printed, is within the limits and off by
// nothing, in mm and in inches, for every size of every gear, whatever its
// facets; and it lies well inside, not on the edge.
func TestSheetReadsBack(t *testing.T) {
	gears := gaugedGears()
	if len(gears) != 108 {
		t.Fatalf("%d gears", len(gears))
	}
	sizes := map[string]int{}
	for n, g := range gears {
		teeth := map[string]ToothGauge{"filed": {Tooth: g, Neighbours: g, High: 0.02}, "proud": facetedTooth(t, g, 0.02, false)}
		if n%3 == 1 {
			teeth["even"] = facetedTooth(t, g, 0.02, true)
		}
		for kind, p := range teeth {
			p.Pins = profiles.StockPins(n%2 == 1)
			s, err := NewSheet(pressJoint(g.Module, p.Pins), p)
			if err != nil {
				t.Fatalf("%v %s: %v", g, kind, err)
			}
			for _, i := range s.Items() {
				if i.Nominal == 0 {
					if i.Note == "" {
						t.Errorf("%v %s %s: no size and no reason", g, kind, i.Key)
					}
					continue
				}
				sizes[i.Key]++
				for _, printed := range []float64{math.Round(i.Nominal*1e3) / 1e3, math.Round(i.Nominal/25.4*1e4) / 1e4 * 25.4} {
					a, err := s.Read(SheetReading{Name: i.Key, Value: printed})
					if err != nil || !a.Within {
						t.Errorf("%+v %s %s: expected %.5f of %.5f to %.5f reads back as %+v, %v", g, kind, i.Key, i.Nominal, i.Low, i.High, a, err)
						continue
					}
					if a.Tooth != nil && math.Abs(a.Tooth.Off) > 0.004 {
						t.Errorf("%+v %s %s: %.4f off its plan by its own figure", g, kind, i.Key, a.Tooth.Off)
					}
				}
				if a, err := s.Read(SheetReading{Name: i.Key, Value: i.High}); err != nil || !a.Within {
					t.Errorf("%+v %s %s: the upper limit %.5f is not within: %v", g, kind, i.Key, i.High, err)
				}
				// Well inside: half of the least room, as the size shows it.
				if inner := 0.4 * leastRoom; i.High > i.Low && i.Key != "slot.depth" && !(i.High-i.Nominal > inner && i.Nominal-i.Low > inner) {
					t.Errorf("%+v %s %s: %.5f on the edge of %.5f to %.5f", g, kind, i.Key, i.Nominal, i.Low, i.High)
				}
			}
		}
	}
	for _, key := range []string{toothChord, facetChord, toothSpan, oldSpan, toothPins, oldPins, slotPins, tightPins, slidingPins, "slot.mouth", "slot.floor", "slot.depth", "insert.mouth_tight", "insert.mouth_sliding", "insert.floor_tight"} {
		if sizes[key] < 80 {
			t.Errorf("%s was printed for %d teeth only", key, sizes[key])
		}
	}
}

// pressJoint is a dovetail for a gear of that module.
func pressJoint(m float64, pins []float64) *DovetailGauge {
	return &DovetailGauge{
		Slot:   profiles.DovetailSize{Mouth: 1.75 * m, Depth: 1.9*m + 0.05, HalfAngle: geom.Radians(7.5)},
		Insert: profiles.DovetailSize{Mouth: 1.75*m + 0.05, Depth: 1.9 * m, HalfAngle: geom.Radians(7.5)}, Slide: 1.75 * m,
		Shoulder: m, Width: 0.02, Depth: 0.05, Pins: pins,
	}
}

// The upper limit is what the tolerance leaves over the facets' own error, the
// lower as much under the plan; a chord grows by both flanks.
func TestToothLimits(t *testing.T) {
	p := pressTooth(t, 4)
	left := p.High
	p.High = left + 0.02
	items, err := p.Items()
	if err != nil {
		t.Fatal(err)
	}
	s := find(t, items, toothSpan)
	if math.Abs(s.High-s.Nominal-0.02) > 1e-6 || math.Abs(s.Nominal-s.Low-0.02) > 1e-6 {
		t.Errorf("span %+v, want plus and minus 0.02", s)
	}
	c := find(t, items, facetChord)
	slope := math.Cos(p.Tooth.BaseHalfAngle() - p.Facets[1].Roll) // near the pitch circle, of either middle facet
	if want := 2 * 0.02 / slope; math.Abs(c.High-c.Nominal-want) > 0.002 || c.High-c.Nominal < 0.04 {
		t.Errorf("chord %+v, want plus %.4f", c, want)
	}
	// Facets that leave all that may be left still leave what a hand can set.
	p.High = left
	if items, err = p.Items(); err != nil {
		t.Fatal(err)
	}
	if s = find(t, items, toothSpan); math.Abs(s.High-s.Nominal-leastRoom) > 1e-6 {
		t.Errorf("span %+v, want plus %.3f", s, leastRoom)
	}
}

// Readings that cannot be are refused with the slip that explains them.
func TestSlips(t *testing.T) {
	p := pressTooth(t, 4)
	s, err := NewSheet(pressJoint(p.Tooth.Module, nil), p)
	if err != nil {
		t.Fatal(err)
	}
	at := func(key string) GaugeItem { return find(t, s.Items(), key) }
	k := at(toothSpan).Teeth
	for _, c := range []struct {
		name  string
		value float64
		says  string
	}{
		{toothSpan, s.tooth.mixedSpan(k+1, p.Tooth), fmt.Sprintf("over %d teeth", k+1)},
		{toothSpan, s.tooth.mixedSpan(k-1, p.Tooth), fmt.Sprintf("over %d teeth", k-1)},
		{toothSpan, at(toothSpan).Nominal / 25.4, "in inches"},
		{toothSpan, at(toothChord).Nominal, "another name"},
		{oldSpan, span(p.Tooth, k+1), fmt.Sprintf("over %d teeth", k+1)},
		{oldSpan, at(oldSpan).Nominal / 25.4, "in inches"},
		{oldSpan, at(oldPins).Nominal, "what old.over_pins should read"},
		{toothPins, at(oldSpan).Nominal, "what old.span should read"},
		{toothPins, 2 * p.Tooth.TipRadius(), "outside diameter"},
		{oldPins, at(oldPins).Nominal / 25.4, "in inches"},
		{toothChord, at(toothChord).Nominal / 25.4, "in inches"},
		{toothChord, at(toothChord).Nominal * 25.4, "in mm"},
		{facetChord, at(facetChord).Nominal / 10, "the point"},
		{"slot.mouth", at("slot.depth").Nominal + 0.01, ""},
		{"slot.mouth", 20, ""},
		{"slot.mouth", at("slot.mouth").Nominal / 25.4, "in inches"},
		{"slot.depth", at("slot.depth").Nominal / 25.4, "in inches"},
		{"insert.floor_tight", at("insert.floor_tight").Nominal * 25.4, "in mm"},
		{tightPins, at(tightPins).Nominal / 25.4, "in inches"},
		{slidingPins, at("insert.mouth_sliding").Nominal, "what "},
	} {
		a, err := s.Read(SheetReading{Name: c.name, Value: c.value})
		var impossible *ErrImpossible
		switch {
		case errors.As(err, &impossible) && strings.Contains(impossible.Slip, c.says):
		case err == nil && !a.Within && c.says != "" && strings.Contains(a.Slip, c.says):
		case err == nil && !a.Within && c.says == "":
		default:
			t.Errorf("%s %.4f: %+v, %v; want %q", c.name, c.value, a, err, c.says)
		}
	}
	// A wrong pin is named, be it so near that the size could be.
	for _, pin := range []float64{6.35, 5.5625} {
		wrong, err := s.tooth.pinItem(pin)
		if err != nil {
			t.Fatal(err)
		}
		a, err := s.Read(SheetReading{Name: toothPins, Value: wrong.Nominal})
		var impossible *ErrImpossible
		if errors.As(err, &impossible) {
			a.Slip = impossible.Slip
		}
		if a.Within || pin == 6.35 && !strings.Contains(a.Slip, "with pins of 6.350 mm") {
			t.Errorf("a pin of %g for one of %g: %+v, %v", pin, at(toothPins).Pin, a, err)
		}
	}
	if _, err := s.Read(SheetReading{Name: "slot.wdith", Value: 5}); err == nil || !strings.Contains(err.Error(), "there are slot.mouth") {
		t.Errorf("an unknown name: %v", err)
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if a, err := s.Read(SheetReading{Name: "slot.mouth", Value: bad}); err == nil {
			t.Errorf("%g is a width: %+v", bad, a)
		}
	}
}

// No two readings inside the limits give more interference than is allowed.
func TestLimitsKeepTheFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := *pressJoint(3.175, nil)
		d.Insert.Mouth = d.Slot.Mouth + rapid.Float64Range(0, 0.05).Draw(t, "over")
		d.MostOver = rapid.Float64Range(0.01, 0.2).Draw(t, "most")
		d.Width = rapid.Float64Range(0, 0.05).Draw(t, "width")
		over := d.Insert.Mouth - d.Slot.Mouth
		items, err := d.Items()
		if err != nil {
			t.Fatal(err)
		}
		// A tight middle that is too much already has no room to be more.
		d.MostOver = max(d.MostOver, over)
		at := map[string]GaugeItem{}
		for _, i := range items {
			at[i.Key] = i
		}
		for _, pair := range [][2]string{{"slot.mouth", "insert.mouth_tight"}, {"slot.floor", "insert.floor_tight"}} {
			slot, insert := at[pair[0]], at[pair[1]]
			allowed := d.MostOver
			if pair[0] == "slot.floor" { // the slot is cut a little deeper, and so wider there
				allowed -= d.Slot.Floor() - d.Slot.Mouth - (d.Insert.Floor() - d.Insert.Mouth)
			}
			if insert.High-slot.Low > allowed+1e-9 {
				t.Fatalf("%s %.4f in %.4f: %.4f over, %.4f at most", pair[1], insert.High, slot.Low, insert.High-slot.Low, allowed)
			}
		}
		// By pins the same.
		slot, err := ReadSlot(d.Slot, at[slotPins].Low, at[slotPins].Pin)
		if err != nil {
			t.Skip(err)
		}
		insert, err := ReadInsert(d.Insert, at[tightPins].High, at[tightPins].Pin)
		if err != nil {
			t.Skip(err)
		}
		if insert.Mouth-slot.Mouth > d.MostOver+1e-9 {
			t.Fatalf("by pins %.4f over, %.4f at most", insert.Mouth-slot.Mouth, d.MostOver)
		}
	})
}

// Wear is said as a share of the tooth and of the backlash.
func TestReadOld(t *testing.T) {
	p := pressTooth(t, 0)
	worn := p.Tooth
	worn.Thinning = 0.3
	k, err := SpanTeeth(p.Tooth)
	if err != nil {
		t.Fatal(err)
	}
	w, err := p.ReadOld(k, 0, span(worn, k))
	standard := math.Pi * p.Tooth.Module / 2
	if err != nil || math.Abs(w.Thinning-0.3) > 1e-8 || math.Abs(w.OfTooth-0.3/standard) > 1e-8 || math.Abs(w.OfBacklash-0.3/(0.04*p.Tooth.Module)) > 1e-8 {
		t.Errorf("%+v, %v", w, err)
	}
	place, err := pinPlace(worn, 6)
	if err != nil {
		t.Fatal(err)
	}
	if w, err = p.ReadOld(0, 6, place.Over); err != nil || math.Abs(w.Thinning-0.3) > 1e-8 {
		t.Errorf("by pins %+v, %v", w, err)
	}
	for _, far := range []float64{-3, 3} {
		var impossible *ErrImpossible
		if w, err := p.ReadOld(k, 0, span(worn, k)+far); !errors.As(err, &impossible) || !(impossible.Low < impossible.High) {
			t.Errorf("%+.1f mm: %+v, %v", far, w, err)
		}
		if w, err := p.ReadOld(0, 6, place.Over+3*far); !errors.As(err, &impossible) || !(impossible.Low < impossible.High) {
			t.Errorf("%+.1f mm over pins: %+v, %v", far, w, err)
		}
	}
}

func TestToothGauge(t *testing.T) {
	for _, facets := range []int{0, 2, 4} {
		p := pressTooth(t, facets)
		items, err := p.Items()
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range items {
			if !(i.Low <= i.Nominal && i.Nominal <= i.High) {
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
		if facets == 0 && math.Abs(c.Nominal-want) > 1e-9 || facets > 0 && (c.Nominal < want || c.Nominal > want+2.1*p.High) {
			t.Errorf("%d facets: chord %+v, the true one is %.5f", facets, c, want)
		}
		s := find(t, items, "tooth.span")
		if w, _ := Span(p.Tooth, s.Teeth); s.Nominal < w-1e-9 || s.Nominal > w+1e-4 {
			t.Errorf("span %.5f flat on a facet, standing teeth %.5f", s.Nominal, w)
		}
		if facets > 0 {
			if !strings.Contains(s.Note, "flat on a facet") {
				t.Errorf("no word on the anvil: %q", s.Note)
			}
			f := find(t, items, "tooth.chord_facet")
			c, err := p.trueChord(f.Height)
			if err != nil || math.Abs(f.Nominal-c) > 1e-4 {
				t.Errorf("where a facet touches, the chord %.5f should be the true one %.5f, %v", f.Nominal, c, err)
			}
		}
		o, over := find(t, items, "old.over_pins"), find(t, items, "tooth.over_pins")
		if off := over.Nominal - o.Nominal; off < -10*profiles.OutlineTolerance || facets == 0 && off > 10*profiles.OutlineTolerance {
			t.Errorf("%d facets: over pins %.5f, in standing teeth %.5f", facets, over.Nominal, o.Nominal)
		}
	}
}

// trueChord is the chord of the true tooth at a height under the tip.
func (t ToothGauge) trueChord(height float64) (float64, error) {
	t.Facets = nil
	return t.chord(height, 0)
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
			if err != nil || math.Abs(r.Off-e) > 1e-7 || math.Abs(r.Thickness-cut.PitchThickness()) > 1e-6 {
				t.Fatalf("chord: %+v, want %.6f, %v", r, e, err)
			}
		}
		if k, err := SpanTeeth(g); err == nil && k >= 2 {
			r, err := p.ReadSpan(k, p.mixedSpan(k, cut))
			if err != nil || math.Abs(r.Off-e) > 1e-7 {
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
		if err != nil || math.Abs(r.Off-e) > 1e-6+2*profiles.OutlineTolerance {
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
