package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// benchReadings reads a gear as a person at the bench would, with noise: over
// the tips and, as far as wanted, one span, a second one, and the whole depth.
func benchReadings(t *testing.T, g profiles.Gear, rng *rand.Rand, sigma float64, spans int, depth bool) []Reading {
	t.Helper()
	k, err := SpanTeeth(g)
	if err != nil {
		t.Fatal(err)
	}
	kinds := []Reading{{Kind: OutsideDiameter, Sigma: VernierSigma}}
	for _, n := range []int{k, k + 1, k - 1} {
		if _, err := Span(g, n); err == nil && spans > 0 {
			kinds = append(kinds, Reading{Kind: SpanSize, Teeth: n, Sigma: sigma})
			spans--
		}
	}
	if depth {
		kinds = append(kinds, Reading{Kind: WholeDepth, Sigma: VernierSigma})
	}
	for i, r := range kinds {
		kinds[i].Value = predict(&g, &r) + rng.NormFloat64()*r.Sigma
	}
	return kinds
}

// anyStandardGear draws a gear of a standard as often as it is met, worn and now
// and then shifted.
func anyStandardGear(rng *rand.Rand) profiles.Gear {
	pitches := profiles.StandardPitches()
	for {
		p := pitches[rng.IntN(len(pitches))]
		s := systems[rng.IntN(len(systems))]
		if rng.Float64() > s.weight*seriesWeight[p.Series] {
			continue
		}
		if p.Module < 0.8 || p.Module > 12.7 || s.fineOnly && p.Diametral < 20 {
			continue
		}
		rack, _ := profiles.RackFor(s.rack, p.Module)
		g := profiles.Gear{
			Teeth: 14 + rng.IntN(150), Module: p.Module, Pressure: geom.Radians(s.pressure), Rack: rack,
			Thinning: math.Abs(rng.NormFloat64()) * 0.03 * p.Module,
		}
		if rng.IntN(4) == 0 {
			g.Shift = rng.NormFloat64() * 0.15
		}
		if _, err := SpanTeeth(g); err == nil && g.Validate() == nil {
			return g
		}
	}
}

// From gauge to identify and back, with noise, over 500 gears a row.
func TestIdentifyGrid(t *testing.T) {
	for _, c := range []struct {
		name        string
		sigma       float64
		spans       int
		depth       bool
		least       int // of 500 with pitch and pressure angle right
		leastSystem int // of 500 with the heights of the rack right too
	}{
		{"vernier, one span", VernierSigma, 1, false, 370, 250},
		{"vernier, two spans", VernierSigma, 2, false, 420, 280},
		{"micrometer, two spans", MicrometerSigma, 2, false, 445, 295},
		{"micrometer, two spans, whole depth", MicrometerSigma, 2, true, 450, 435},
	} {
		rng := rand.New(rand.NewPCG(1, 54))
		hits, system, sure, wrong := 0, 0, 0, 0
		for range 500 {
			g := anyStandardGear(rng)
			id, err := Identify(g.Teeth, benchReadings(t, g, rng, c.sigma, c.spans, c.depth))
			if err != nil {
				t.Fatalf("%+v: %v", g, err)
			}
			first := id.Candidates[0].Gear
			hit := math.Abs(first.Module-g.Module) < 1e-9 && math.Abs(first.Pressure-g.Pressure) < 1e-9
			if hit {
				hits++
			}
			if hit && first.Rack.Dedendum == g.Rack.Dedendum && first.Rack.Addendum == g.Rack.Addendum {
				system++
			}
			if id.SamePitch > 0.95 {
				sure++
				if !hit {
					wrong++
				}
			}
		}
		t.Logf("%s: pitch and pressure angle first in %d of 500, rack too in %d; over 95 %% sure in %d, of these wrong %d", c.name, hits, system, sure, wrong)
		if hits < c.least || system < c.leastSystem {
			t.Errorf("%s: only %d and %d of 500 right", c.name, hits, system)
		}
		// Sure at 95 % may be wrong in one of twenty. On 15 degrees hangs what
		// is missed: it reads all but as 14.5 does.
		if wrong*20 > sure {
			t.Errorf("%s: sure and wrong in %d of %d", c.name, wrong, sure)
		}
	}
}

// A community shop's proof press: 54 teeth, 8 DP, 14.5 degrees; readings made
// up by formula with a worn tooth.
func TestIdentifyProofPress(t *testing.T) {
	rack, _ := profiles.RackByName("old-full-depth")
	g := profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Shift: 0, Thinning: 0.08}
	readings := []Reading{
		{Kind: OutsideDiameter, Value: 177.78, Sigma: VernierSigma},
		{Kind: SpanSize, Teeth: 5, Value: span(g, 5), Sigma: MicrometerSigma},
		{Kind: SpanSize, Teeth: 6, Value: span(g, 6), Sigma: MicrometerSigma},
		{Kind: WholeDepth, Value: 6.85, Sigma: VernierSigma},
	}
	id, err := Identify(54, readings)
	if err != nil {
		t.Fatal(err)
	}
	c := id.Candidates[0]
	if c.Pitch.String() != "8 DP" || c.Gear.Rack.Name != "old-full-depth" || c.String() != "8 DP, 14.5 degrees, old-full-depth" {
		t.Errorf("got %v", c)
	}
	if id.NoFit || c.Confidence < 0.5 || len(c.Misfits) != 4 {
		t.Errorf("%+v", c)
	}
	if math.Abs(c.Gear.Thinning-0.08) > 0.06 {
		t.Errorf("thinning %.3f", c.Gear.Thinning)
	}
}

// One reading cannot tell a gear; the next measurement named must, when made,
// raise the true gear above the other.
func TestIdentifyFurther(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: 40, Module: 3, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0.02}
	readings := []Reading{{Kind: OutsideDiameter, Value: 2 * g.TipRadius(), Sigma: VernierSigma}}
	id, err := Identify(40, readings)
	if err != nil {
		t.Fatal(err)
	}
	if id.Candidates[0].Confidence > 0.6 {
		t.Errorf("one reading made it %.2f sure", id.Candidates[0].Confidence)
	}
	for range 6 {
		if id.Best == nil {
			break
		}
		r := id.Best.Reading
		r.Value = predict(&g, &r)
		readings = append(readings, r)
		if id, err = Identify(40, readings); err != nil {
			t.Fatal(err)
		}
	}
	c := id.Candidates[0]
	if c.Gear.Module != 3 || math.Abs(c.Gear.Pressure-g.Pressure) > 1e-9 || c.Confidence < 0.5 {
		t.Errorf("after %d readings: %v, %.2f sure", len(readings), c, c.Confidence)
	}
	if len(readings) < 2 {
		t.Error("no further reading was named")
	}
}

// Two gears that give the same reading are a tie, whatever the order.
func TestIdentifyTie(t *testing.T) {
	// Only the mate's distance: every system of one pitch says the same.
	id, err := Identify(30, []Reading{{Kind: CentreDistance, Value: 75, Sigma: 0.05, Teeth: 20}})
	if err != nil {
		t.Fatal(err)
	}
	if !id.Tie || id.Candidates[0].Pitch.Module != 3 {
		t.Errorf("tie %v, first %v", id.Tie, id.Candidates[0])
	}
	total := id.Free.Share
	for _, c := range id.Candidates {
		total += c.Confidence
	}
	if math.Abs(total-1) > 1e-3 {
		t.Errorf("confidences add to %g", total)
	}
}

// Wear cannot fake a base pitch: two spans decide between two pressure angles
// that one span, with wear, leaves open.
func TestBasePitchDecides(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: 30, Module: 3, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0.1}
	read := func(ks ...int) []Reading {
		var out []Reading
		for _, k := range ks {
			out = append(out, Reading{Kind: SpanSize, Teeth: k, Value: span(g, k), Sigma: MicrometerSigma})
		}
		return out
	}
	one, err := Identify(30, read(4))
	if err != nil {
		t.Fatal(err)
	}
	two, err := Identify(30, read(3, 4))
	if err != nil {
		t.Fatal(err)
	}
	if c := two.Candidates[0]; c.Gear.Module != 3 || c.Confidence <= one.Candidates[0].Confidence {
		t.Errorf("one span %v (%.2f), two spans %v (%.2f)", one.Candidates[0], one.Candidates[0].Confidence, c, c.Confidence)
	}
	for _, c := range two.Candidates[1:] {
		if off := math.Abs(c.Gear.BasePitch() - g.BasePitch()); off > 0.3 && c.Confidence > 1e-3 {
			t.Errorf("%v, base pitch %.3f off, still has %.4f", c, off, c.Confidence)
		}
	}
}

// A gear of no standard must be said to be one.
func TestIdentifyNoFit(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: 30, Module: 3.35, Pressure: geom.Radians(17), Rack: rack, Shift: 0, Thinning: 0}
	id, err := Identify(30, []Reading{
		{Kind: OutsideDiameter, Value: 2 * g.TipRadius(), Sigma: 0.02},
		{Kind: SpanSize, Teeth: 3, Value: span(g, 3), Sigma: 0.01},
		{Kind: SpanSize, Teeth: 4, Value: span(g, 4), Sigma: 0.01},
	})
	if err != nil {
		t.Fatal(err)
	}
	if !id.NoFit || !strings.Contains(strings.Join(id.Notes, "\n"), "no standard gear fits") {
		t.Errorf("chance %.3g, notes %q, first %v", id.Candidates[0].Chance, id.Notes, id.Candidates[0])
	}
}

func TestIdentifyRefusals(t *testing.T) {
	ok := Reading{Kind: OutsideDiameter, Value: 100, Sigma: 0.03}
	for name, c := range map[string]struct {
		teeth int
		r     []Reading
	}{
		"count":      {0, []Reading{ok}},
		"none":       {40, nil},
		"size":       {40, []Reading{{Kind: OutsideDiameter, Value: math.NaN(), Sigma: 0.03}}},
		"sigma":      {40, []Reading{{Kind: OutsideDiameter, Value: 100}}},
		"span":       {40, []Reading{{Kind: SpanSize, Value: 20, Sigma: 0.01, Teeth: 40}}},
		"pin":        {40, []Reading{{Kind: PinSize, Value: 20, Sigma: 0.01}}},
		"mate":       {40, []Reading{{Kind: CentreDistance, Value: 20, Sigma: 0.01}}},
		"kind":       {40, []Reading{{Kind: 99, Value: 20, Sigma: 0.01}}},
		"impossible": {400, []Reading{{Kind: SpanSize, Value: 1e4, Sigma: 0.01, Teeth: 390}}},
	} {
		if id, err := Identify(c.teeth, c.r); err == nil {
			t.Errorf("%s: no error, first %v", name, id.Candidates[0])
		}
	}
}

// Chi-square tails (Abramowitz & Stegun, table 26.8; from memory): 5 % points.
func TestChiSquareTail(t *testing.T) {
	for n, x := range map[int]float64{1: 3.841, 2: 5.991, 3: 7.815, 4: 9.488, 5: 11.070, 10: 18.307} {
		if got := chiSquareTail(x, n); math.Abs(got-0.05) > 1e-4 {
			t.Errorf("n %d, x %g: %.5f", n, x, got)
		}
	}
}

func BenchmarkIdentify(b *testing.B) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: 40, Module: 3, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0.02}
	readings := []Reading{
		{Kind: OutsideDiameter, Value: 126, Sigma: VernierSigma},
		{Kind: SpanSize, Teeth: 4, Value: span(g, 4), Sigma: MicrometerSigma},
		{Kind: SpanSize, Teeth: 5, Value: span(g, 5), Sigma: MicrometerSigma},
		{Kind: PinSize, Pin: 5, Value: predict(&g, &Reading{Kind: PinSize, Pin: 5}), Sigma: MicrometerSigma},
	}
	for b.Loop() {
		if _, err := Identify(40, readings); err != nil {
			b.Fatal(err)
		}
	}
}
