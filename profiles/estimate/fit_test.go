package estimate

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

func pressFit(tight float64) JointFit {
	j, err := FitFromLadder(profiles.DovetailSize{Mouth: 6, Depth: 5, HalfAngle: geom.Radians(7.5)}, 0.05, 0.02, 4)
	if err != nil {
		panic(err)
	}
	j.Tight, j.Length, j.Lead = tight, 32, 8
	j.CutterTip, j.CutterNeck = 2.5, 1.8
	j.Wall, j.Insert = 8, profiles.MildSteel
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

// Common practice, without source: 0.05 mm of tight middle on a dovetail of 15
// degrees included, 5 deep, holds and does not crack the casting.
func TestCommonPracticeFit(t *testing.T) {
	r, err := pressFit(0.05).Fit()
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict == FitTooTight {
		t.Errorf("common practice refused: %+v", r)
	}
	if !(r.Interference > 0) || !(r.Least <= r.Interference && r.Interference <= r.Most) {
		t.Errorf("interference %g of %g to %g", r.Interference, r.Least, r.Most)
	}
	if len(r.Assumptions) == 0 || r.Verdict.String() == "" {
		t.Error("no assumptions shown")
	}
}

func TestFitWarnsBeforeCracking(t *testing.T) {
	tensile := profiles.GreyIron.Strength().Limit
	warned := math.NaN()
	last := -1.0
	for d := 0.0; d <= 0.5; d += 0.005 {
		r, err := pressFit(d).Fit()
		if err != nil {
			t.Fatal(err)
		}
		if r.Bending < last {
			t.Fatalf("stress falls at %.3f", d)
		}
		last = r.Bending
		if r.Verdict != FitSafe && math.IsNaN(warned) {
			warned = d
		}
		if r.Bending > tensile/2 && r.Verdict != FitTooTight {
			t.Fatalf("%.3f mm: %.0f MPa and %v", d, r.Bending, r.Verdict)
		}
		if r.BendingMost > tensile/2 && r.Verdict == FitSafe {
			t.Fatalf("%.3f mm: up to %.0f MPa and %v", d, r.BendingMost, r.Verdict)
		}
	}
	if math.IsNaN(warned) {
		t.Error("half a millimetre of interference raised no warning")
	}
	// The insert is pressed in by the same size, so a thin wall gives way: the
	// pressure is less. It bends more for it.
	at := func(wall float64) FitResult {
		t.Helper()
		j := pressFit(0.05)
		j.Wall = wall
		r, err := j.Fit()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	thin, thick := at(4), at(8)
	if !(thin.Pressure > 0 && thin.Pressure < thick.Pressure) || !(thin.Bending > thick.Bending) {
		t.Errorf("thin wall: pressure %.1f, bending %.1f MPa; thick wall: %.1f and %.1f", thin.Pressure, thin.Bending, thick.Pressure, thick.Bending)
	}
	if far := at(80); far.Bending != thick.Bending {
		t.Errorf("a wall of 80 mm bends by %.1f MPa, of 8 mm by %.1f", far.Bending, thick.Bending)
	}
	back := pressFit(thick.LargestTight)
	br, err := back.Fit()
	if err != nil || math.Abs(br.Bending-2*br.Limit/3) > 1e-6 {
		t.Errorf("largest tight gives %.3f of %.3f MPa, %v", br.Bending, br.Limit, err)
	}
}

func TestFitRefusals(t *testing.T) {
	for name, change := range map[string]func(*JointFit){
		"slot":      func(j *JointFit) { j.Slot.Mouth = 0 },
		"sliding":   func(j *JointFit) { j.Sliding = math.NaN() },
		"tight":     func(j *JointFit) { j.Tight = -0.1 },
		"clearance": func(j *JointFit) { j.ClearanceLow = 1 },
		"lead":      func(j *JointFit) { j.Lead = 17 },
		"wall":      func(j *JointFit) { j.Wall = 0 },
		"cutter":    func(j *JointFit) { j.CutterNeck = 9 },
	} {
		j := pressFit(0.05)
		change(&j)
		if r, err := j.Fit(); err == nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
}
