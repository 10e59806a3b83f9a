package estimate

import (
	"math"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// pressCasting is the section of pressFit and pressLoad, worked out once: 54
// teeth, 8 DP, a dovetail of 15 degrees included, 6 wide and 5 deep.
var pressCasting = sync.OnceValue(func() *Casting {
	rack, _ := profiles.RackByName("old-full-depth")
	g := profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Thinning: 0.08}
	c, err := NewCasting(sectionOf(g, 67, 6, 5, 9), Lock{})
	if err != nil {
		panic(err)
	}
	return c
})

func pressFit(tight float64) JointFit {
	j, err := FitFromLadder(profiles.DovetailSize{Mouth: 6, Depth: 5, HalfAngle: geom.Radians(7.5)}, 0.05, 0.02, 4)
	if err != nil {
		panic(err)
	}
	j.Tight, j.Length, j.Lead = tight, 32, 8
	j.CutterTip, j.CutterNeck = 2.5, 1.8
	j.Insert, j.Stress = profiles.MildSteel, pressCasting()
	return j
}

func TestFitFromLadder(t *testing.T) {
	j := pressFit(0.05)
	// 6 + 0.05, then three steps of 0.02 down.
	if math.Abs(j.Sliding-5.99) > 1e-12 || j.ClearanceLow != 0 || j.ClearanceHigh != 0.02 {
		t.Errorf("%+v", j)
	}
	if _, err := FitFromLadder(j.Slot, 0.05, 0.02, 0); err == nil {
		t.Error("step 0 was accepted")
	}
	if _, err := FitFromLadder(j.Slot, 0.05, math.NaN(), 1); err == nil {
		t.Error("a step of no size was accepted")
	}
	p, err := FitFromPins(j.Slot, 0.01)
	if err != nil || math.Abs(p.Sliding-5.99) > 1e-12 || p.ClearanceLow != p.ClearanceHigh {
		t.Errorf("%+v, %v", p, err)
	}
	if _, err := FitFromPins(j.Slot, -0.01); err == nil {
		t.Error("negative play was accepted")
	}
}

// The step's rounding by geometry: a circle of the cutter's radius whose edge
// lies at the sliding depth clears the tight height at sqrt(2 R d - d^2).
func TestStepRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := pressFit(rapid.Float64Range(0.005, 0.2).Draw(t, "tight"))
		j.CutterTip = rapid.Float64Range(1, 20).Draw(t, "radius")
		j.CutterNeck = j.CutterTip / 2
		r, err := j.Fit()
		if err != nil {
			t.Fatal(err)
		}
		// March along X until the metal left by the circle is d high.
		x, dx := 0.0, 1e-4
		for j.CutterTip-math.Sqrt(max(0, j.CutterTip*j.CutterTip-x*x)) < j.Tight {
			x += dx
		}
		if math.Abs(x-r.StepLength) > 2*dx {
			t.Fatalf("step spread over %.4f, by geometry %.4f", r.StepLength, x)
		}
		if want := max(0, 16-2*r.StepLength); math.Abs(r.TightLeft-want) > 1e-9 {
			t.Fatalf("tight length %.4f, want %.4f", r.TightLeft, want)
		}
	})
}

// The verdict keeps the shares of the tensile strength, gets worse with the
// tight middle, and turns where the greatest that is allowed says.
func TestFitVerdict(t *testing.T) {
	tensile := profiles.GreyIron.Strength().Limit
	last, close := FitSafe, false
	for d := 0.0; d <= 0.1; d += 0.0005 {
		r, err := pressFit(d).Fit()
		if err != nil {
			t.Fatal(err)
		}
		if !(r.Least <= r.Interference && r.Interference <= r.Most) || r.Verdict.String() == "" || len(r.Assumptions) == 0 {
			t.Fatalf("%.4f: interference %g of %g to %g, %v", d, r.Interference, r.Least, r.Most, r.Verdict)
		}
		for _, c := range r.Cases {
			share := map[string]float64{"fit": 2. / 3, "fit.most": 2. / 3}[c.Key]
			if math.Abs(c.Limit-share*tensile) > 1e-9 {
				t.Fatalf("%s may reach %.1f MPa", c.Key, c.Limit)
			}
			if c.Greatest.Stress > c.Limit && r.Verdict != FitTooTight {
				t.Fatalf("%.4f: %s has %.0f of %.0f MPa and %v", d, c.Key, c.Greatest.Stress, c.Limit, r.Verdict)
			}
		}
		if (d > r.LargestTight+1e-9) != (r.Verdict == FitTooTight) {
			t.Fatalf("%.4f of at most %.4f: %v", d, r.LargestTight, r.Verdict)
		}
		if r.Verdict < last {
			t.Fatalf("%.4f: the verdict gets better", d)
		}
		last, close = r.Verdict, close || r.Verdict == FitClose
	}
	if last != FitTooTight || !close {
		t.Errorf("up to a tenth of a millimetre: %v, warned before %v", last, close)
	}
	// Twice as tight, from where it begins to grip: twice the stress.
	at := func(tight float64) float64 {
		r, err := pressFit(tight).Fit()
		if err != nil {
			t.Fatal(err)
		}
		return r.Cases[0].Greatest.Stress
	}
	begins := 0.01 + Flattening
	if ratio := at(begins+0.02) / at(begins+0.01); math.Abs(ratio-2) > 1e-6 {
		t.Errorf("twice the interference gives %.6f times the stress", ratio)
	}
}

// The default is the greatest of whole hundredths that is allowed, and a
// measured joint may have as much interference as is said.
func TestDefaultTight(t *testing.T) {
	j := pressFit(0)
	r, err := j.Fit()
	if err != nil {
		t.Fatal(err)
	}
	d, err := j.DefaultTight()
	if err != nil || d > r.LargestTight || d+0.01 <= r.LargestTight && d != 0.05 || math.Abs(d*100-math.Round(d*100)) > 1e-12 || !(d > 0) {
		t.Errorf("default %g of at most %.4f, %v", d, r.LargestTight, err)
	}
	m, err := FitFromPins(j.Slot, 0.004)
	if err != nil {
		t.Fatal(err)
	}
	m.Length, m.Lead, m.CutterTip, m.Stress = j.Length, j.Lead, j.CutterTip, j.Stress
	for share, want := range map[float64]FitVerdict{0.999: FitClose, 1.001: FitTooTight} {
		m.Tight = share*r.Allowed + 0.004 + Flattening
		if x, err := m.Fit(); err != nil || x.Verdict != want {
			t.Errorf("%.3f of the interference that may be measured: %v, %v", share, x.Verdict, err)
		}
	}
	// A load on top leaves less, or as much where the fit alone decides.
	j.Load = 60
	loaded, err := j.Fit()
	if err != nil || loaded.LargestTight > r.LargestTight {
		t.Errorf("loaded %.4f, alone %.4f, %v", loaded.LargestTight, r.LargestTight, err)
	}
}

func TestFitRefusals(t *testing.T) {
	for name, change := range map[string]func(*JointFit){
		"slot":      func(j *JointFit) { j.Slot.Mouth = 0 },
		"sliding":   func(j *JointFit) { j.Sliding = math.NaN() },
		"tight":     func(j *JointFit) { j.Tight = -0.1 },
		"clearance": func(j *JointFit) { j.ClearanceLow = 1 },
		"lead":      func(j *JointFit) { j.Lead = 17 },
		"section":   func(j *JointFit) { j.Stress = nil },
		"load":      func(j *JointFit) { j.Load = -1 },
		"cutter":    func(j *JointFit) { j.CutterNeck = 9 },
	} {
		j := pressFit(0.05)
		change(&j)
		if r, err := j.Fit(); err == nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
}
