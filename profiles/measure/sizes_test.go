package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"cogmend/profiles"
)

// predict returns what reading r would be on gear g, or NaN when g cannot
// give it, by the formulas of the sheet.
func predict(g *profiles.Gear, r *Reading) float64 {
	switch r.Kind {
	case OutsideDiameter:
		if g.Teeth%2 == 0 {
			return 2 * g.TipRadius()
		}
		// One jaw lies on a tip land, the other on the inner corners of the
		// two tips opposite.
		return g.TipRadius() * (1 + math.Cos(g.Pitch()/2-max(0, g.HalfAngle(g.TipRadius()))))
	case RootDiameter:
		return 2 * g.RootRadius()
	case WholeDepth:
		return g.WholeDepth()
	case SpanSize:
		return span(*g, r.Teeth)
	case PinSize:
		p, err := pinPlace(*g, r.Pin)
		if err != nil {
			return math.NaN()
		}
		return p.Over
	case CentreDistance:
		return g.PitchRadius() + g.Module*(float64(r.Teeth)/2+g.Shift)
	case ChordSize:
		return chordUnder(g, r.Height)
	case TouchStep:
		return g.BasePitch()
	}
	return math.NaN()
}

// chordUnder returns the chord of a tooth at a height under the middle of its
// tip land, NaN where that is not on the flank: a tooth vernier rests on the
// tip and touches with the ends of its jaws.
func chordUnder(g *profiles.Gear, height float64) float64 {
	y, ok := trueHalfWidth(*g, g.TipRadius()-height)
	if !ok {
		return math.NaN()
	}
	return 2 * y
}

// The sizes that fits are made of against the sheet's own formulas, and their
// slopes against differences.
func TestSizesAndSlopes(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	seen := map[ReadingKind]int{}
	for range 400 {
		d := drawGear(rng, "both odd")
		g := d.gear
		u := guess{uShift: g.Shift, uThin: g.Thinning / g.Module, uTip: 0.02, uRoot: 0.03}
		b := &base{g.Teeth, g.Module, angleOf(g.Pressure), g.Rack}
		g.Rack.Addendum += u[uTip]
		g.Rack.Dedendum += u[uRoot]
		s := b.at(&u)
		for _, r := range d.bench(rng) {
			got, slope := s.read(&r)
			if want := predict(&g, &r); math.IsNaN(want) != math.IsNaN(got) || math.Abs(got-want) > 1e-7*want {
				t.Fatalf("%s of %+v: %.9f, want %.9f", r.Name(), g, got, want)
			}
			if math.IsNaN(got) {
				continue
			}
			seen[r.Kind]++
			for i := range u {
				const step = 1e-5
				less, more := u, u
				less[i] -= step
				more[i] += step
				sl, sm := b.at(&less), b.at(&more)
				vl, _ := sl.read(&r)
				vm, _ := sm.read(&r)
				if want := (vm - vl) / (2 * step); math.Abs(slope[i]-want) > 1e-4*(g.Module+math.Abs(want)) {
					t.Fatalf("%s of %+v by unknown %d: %.6f, want %.6f", r.Name(), g, i, slope[i], want)
				}
			}
		}
	}
	for _, k := range []ReadingKind{OutsideDiameter, RootDiameter, WholeDepth, SpanSize, PinSize, ChordSize, TouchStep} {
		if seen[k] < 20 {
			t.Errorf("%v was tried %d times", k, seen[k])
		}
	}
}
