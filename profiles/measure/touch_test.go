package measure

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

func pressGap(thinning float64) Gap {
	rack, _ := profiles.RackByName("old-full-depth")
	return Gap{profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Shift: 0, Thinning: thinning}, 1}
}

// flankRoom lowers a square corner between the two neighbours' outlines, as a
// cutter of that width would go, and returns the free width at height z.
func flankRoom(t *rapid.T, p Gap, z float64) float64 {
	tooth, err := p.Gear.Tooth()
	if err != nil {
		t.Fatal(err)
	}
	left := geom.Turn(-p.side())
	most := math.Inf(-1)
	// Everything of the left neighbour at or above z, right of its middle.
	for i := 1; i < len(tooth); i++ {
		a, b := left.Apply(tooth[i-1]), left.Apply(tooth[i])
		for s := 0; s <= 100; s++ {
			if q := a.Lerp(b, float64(s)/100); q.Z >= z {
				most = max(most, q.Y)
			}
		}
	}
	return -2 * most
}

func TestGapWidthByGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Gap{anyGear(t), rapid.IntRange(1, 3).Draw(t, "missing")}
		depth := rapid.Float64Range(0.2, 1.8).Draw(t, "depth") * p.Gear.Module
		if p.Gear.WholeDepth() < 2*p.Gear.Module {
			depth *= 0.7
		}
		z := p.TipHeight() - depth
		w, err := p.WidthAt(z)
		if err != nil {
			t.Skip(err)
		}
		if room := flankRoom(t, p, z); room < w-1e-9 || room > w+0.01*p.Gear.Module {
			t.Fatalf("width %.4f, room for a cutter %.4f", w, room)
		}
	})
}

func TestCentre(t *testing.T) {
	p := pressGap(0.06)
	want, err := p.WidthAt(p.TipHeight() - 4)
	if err != nil {
		t.Fatal(err)
	}
	// The gap's middle stands at Y 12.34 of the machine; cutter 4, paper 0.09.
	half := want/2 - 2 - 0.09
	r, err := p.Centre(SideTouch{Left: 12.34 - half, Right: 12.34 + half, Cutter: 4, Paper: 0.09, Depth: 4})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.Centre-12.34) > 1e-9 || math.Abs(r.TypeRight-half) > 1e-9 || math.Abs(r.TypeLeft+half) > 1e-9 {
		t.Errorf("centre %+v", r)
	}
	if math.Abs(r.Difference) > 1e-9 || !r.Agrees || r.Wrong || len(r.Causes) != 0 {
		t.Errorf("gap %+v", r)
	}
}

func TestCentreDiagnosis(t *testing.T) {
	p := pressGap(0)
	width, err := p.WidthAt(p.TipHeight() - 4)
	if err != nil {
		t.Fatal(err)
	}
	touch := func(wider, paper float64) SideResult {
		half := (width+wider-4)/2 - paper
		r, err := p.Centre(SideTouch{Left: -half, Right: half, Cutter: 4, Paper: paper, Depth: 4})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	// Neighbours worn by 0.12 at the pitch circle.
	worn, err := pressGap(0.12).WidthAt(p.TipHeight() - 4)
	if err != nil {
		t.Fatal(err)
	}
	r := touch(worn-width, 0)
	if r.Agrees || r.Wrong || math.Abs(r.Thinning-0.12) > 0.005 || !strings.Contains(r.Causes[0].Text, "thinning") {
		t.Errorf("worn: %+v", r)
	}
	// Paper of 0.09 on both sides, not counted.
	if r = touch(-0.18, 0); !strings.Contains(r.Causes[0].Text, "paper") || math.Abs(r.Causes[0].Amount-0.09) > 1e-6 {
		t.Errorf("paper not counted: %+v", r.Causes)
	}
	// Paper counted, but it was not there.
	if r = touch(0.18, 0.09); !strings.Contains(r.Causes[0].Text, "paper") {
		t.Errorf("paper not there: %+v", r.Causes)
	}
	// A tooth space too wide by half: not this gear.
	if r = touch(3, 0); !r.Wrong || r.Agrees {
		t.Errorf("wrong gear: %+v", r)
	}
	// Half a millimetre too narrow: no wear does that; the same too wide may be.
	if r = touch(-0.5, 0); !r.Wrong {
		t.Errorf("too narrow: %+v", r)
	}
	if r = touch(0.5, 0); r.Wrong {
		t.Errorf("worn wide: %+v", r)
	}
	// Touches read in inches: 25.4 mm to the inch, ISO 1000 and NIST SP 811.
	half := (width - 4) / 2 / 25.4
	if r, err = p.Centre(SideTouch{Left: -half, Right: half, Cutter: 4, Depth: 4}); err != nil || !r.Wrong || !strings.Contains(r.Causes[0].Text, "in inches") || math.Abs(r.Causes[0].Amount) > 1e-9 {
		t.Errorf("read in inches: %+v, %v", r, err)
	}
	half = (width - 4) / 2 * 25.4
	if r, err = p.Centre(SideTouch{Left: -half, Right: half, Cutter: 4, Depth: 4}); err != nil || !r.Wrong || !strings.Contains(r.Causes[0].Text, "in mm") {
		t.Errorf("read in mm: %+v, %v", r, err)
	}
	if r = touch(3, 0); strings.Contains(r.Causes[0].Text, "read in") {
		t.Errorf("wrong gear taken for a wrong unit: %+v", r.Causes)
	}
	if r = touch(-0.3, 0); r.PerDepth >= 0 {
		t.Errorf("the gap should narrow downward: %g", r.PerDepth)
	}
}

// Turn the real tooth outlines, read the heights of both tips, and ask for
// the angle back.
func TestLevelByGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Gap{anyGear(t), rapid.IntRange(1, 3).Draw(t, "missing")}
		if p.Missing > p.Gear.Teeth/4 {
			t.Skip("too many missing")
		}
		delta := rapid.Float64Range(-0.4, 0.4).Draw(t, "delta") * p.Gear.Pitch() / 2
		tip := p.Gear.TipArc()
		datum := rapid.Float64Range(-100, 100).Draw(t, "datum")
		height := func(at float64) float64 {
			turn := geom.Turn(at + delta)
			top := math.Inf(-1)
			for _, q := range tip {
				top = max(top, turn.Apply(q).Z)
			}
			return top + datum
		}
		r, err := p.Level(height(-p.side()), height(p.side()))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(r.Turn+delta)*p.Gear.TipRadius() > 1e-6 {
			t.Fatalf("turned by %.6f, level says %.6f", delta, r.Turn)
		}
		if math.Abs(r.Axis-datum) > 1e-6 || math.Abs(r.TipLevel-datum-p.TipHeight()) > 1e-6 {
			t.Fatalf("axis %.6f, want %.6f", r.Axis, datum)
		}
	})
}

func TestHeight(t *testing.T) {
	p := pressGap(0)
	h, err := p.Height(0.1)
	if err != nil {
		t.Fatal(err)
	}
	// The finished tip stands higher than the level neighbours' tips.
	if h.TipsZero != 0.1 || math.Abs(h.AxisZero-p.TipHeight()-0.1) > 1e-12 || !(h.FinishZero < h.TipsZero) {
		t.Errorf("%+v", h)
	}
}

func TestTouchRefusals(t *testing.T) {
	p := pressGap(0)
	good := SideTouch{Left: -2, Right: 2, Cutter: 4, Depth: 3}
	for name, change := range map[string]func(*SideTouch){
		"cutter": func(s *SideTouch) { s.Cutter = math.NaN() },
		"paper":  func(s *SideTouch) { s.Paper = -1 },
		"depth":  func(s *SideTouch) { s.Depth = 0 },
		"deep":   func(s *SideTouch) { s.Depth = 30 },
		"order":  func(s *SideTouch) { s.Left, s.Right = 2, -2 },
	} {
		bad := good
		change(&bad)
		if r, err := p.Centre(bad); err == nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
	if _, err := p.Level(5, 0); err == nil {
		t.Error("5 mm out of level was accepted")
	}
	if _, err := p.Height(math.NaN()); err == nil {
		t.Error("paper of no thickness was accepted")
	}
	p.Missing = 0
	if _, err := p.Centre(good); err == nil {
		t.Error("no tooth missing was accepted")
	}
	if _, err := p.Level(0, 0); err == nil {
		t.Error("no tooth missing was accepted")
	}
}
