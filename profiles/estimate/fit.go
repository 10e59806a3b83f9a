package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// JointFit is what is known of a dovetail joint before its finishing pass.
// Lengths mm, angles rad.
type JointFit struct {
	Slot    profiles.DovetailSize // as cut
	Sliding float64               // mouth of the insert that just starts by hand
	// Clearance is how much narrower Sliding is than the slot. From a ladder
	// it is only known to be less than one step; from pins it is measured.
	ClearanceLow  float64
	ClearanceHigh float64
	Tight         float64 // how proud the middle stands over Sliding
	Length        float64 // of the insert between the gear's faces
	Lead          float64 // length at each end at the sliding size
	CutterTip     float64 // radius of the dovetail cutter at its wide end
	CutterNeck    float64 // its radius at the narrow end of its flank
	Wall          float64 // metal beside the slot to the next void, along Y, at the floor's corner
	Casting       profiles.Material
	Insert        profiles.Material
}

// FitFromLadder returns a JointFit whose sliding size is that of a step of the
// trial ladder: the first false cut is first wider than the slot's mouth, each
// next one step narrower; number n, counted from 1, is the first that started.
// Since number n-1 did not start, the clearance is less than a step.
func FitFromLadder(slot profiles.DovetailSize, first, step float64, n int) (JointFit, error) {
	if !(step > 0) || n < 1 {
		return JointFit{}, fmt.Errorf("step %d of %.3f mm: the number begins at 1 and the step must be positive", n, step)
	}
	return JointFit{Slot: slot, Sliding: slot.Mouth + first - step*float64(n-1), ClearanceHigh: step}, nil
}

// FitFromPins returns a JointFit from sizes measured between and over pins: slot
// and insert mouths as ReadSlot and ReadInsert give them. The insert slides at
// the slot's mouth less play.
func FitFromPins(slot profiles.DovetailSize, play float64) (JointFit, error) {
	if err := slot.Validate(); err != nil {
		return JointFit{}, err
	}
	if !(play >= 0) || play > slot.Mouth/4 {
		return JointFit{}, fmt.Errorf("play of %.3f mm: it must not be negative, and small beside the mouth of %.3f mm", play, slot.Mouth)
	}
	return JointFit{Slot: slot, Sliding: slot.Mouth - play, ClearanceLow: play, ClearanceHigh: play}, nil
}

// FitVerdict is how safe a fit is for the casting.
type FitVerdict int

// The verdicts.
const (
	FitSafe     FitVerdict = iota
	FitClose               // may be done with care; a smaller step is better
	FitTooTight            // do not: the casting may crack
)

// String says it in three words.
func (v FitVerdict) String() string {
	return [...]string{"safe for casting", "near the limit", "do not press"}[v]
}

// FitResult is what the finishing pass will do. Lengths mm, stresses MPa.
type FitResult struct {
	Mouth         float64 // of the insert in its tight middle
	Offset        float64 // of the tight flank's cut from the sliding size, outward
	StraightEnd   float64 // length at each end that slides, before the step
	StepLength    float64 // over which the cutter's radius spreads the step, sqrt(2 R d - d^2), at the wide end
	StepAtMouth   float64 // the same at the narrow end
	TightPlanned  float64 // Length - 2 Lead
	TightLeft     float64 // length that is really tight, on the whole flank
	Interference  float64 // of the joint, mean of what the clearance allows
	Least, Most   float64 // its bounds
	Strain        float64 // Most over the slot's mean width
	Pressure      float64 // on the flanks, mean, at Interference
	Bending       float64 // stress in the wall at the floor's corner, at Interference
	BendingMost   float64 // the same at Most
	Limit         float64 // what Bending may reach: our own rule
	Verdict       FitVerdict
	Notes         []string
	Assumptions   []profiles.Assumption
	LargestTight  float64 // the Tight at which Bending would reach two thirds of the limit
	MostOver      float64 // the most that the tight middle may be wider than the slot, both as measured, before Bending reaches Limit
	FlatteningOff float64 // what the roughness of the flanks takes off the interference
}

// Rules of the fit. No handbook gives limits for a repair dovetail in a
// casting; these are own rules, set so that the warning comes well before the
// weakest class of grey iron cracks.
const (
	fitLimitShare = 0.5     // of the tensile strength: the limit
	fitWarnShare  = 2. / 3. // of the limit: the warning
	flankRz       = 0.0063  // mean roughness depth of a milled flank, mm
	wallEffect    = 1.5     // a wall thicker than this many slot depths is no stiffer
)

// Fit returns what the tight middle does to the joint: a stress estimate for
// the casting, never a rating.
//
// The wall beside the slot is a short cantilever as thick as the metal beside
// it, loaded at half the slot's depth by half the interference; its root turns
// in the body behind it (O'Donnell, The additional deflection of a cantilever
// due to the elasticity of the support, J. Appl. Mech. 27, 1960; from memory),
// and the insert gives way too. Rough flanks flatten first, by 0.8 (Rz + Rz)
// of the two (DIN 7190, from memory).
func (j JointFit) Fit() (FitResult, error) {
	if err := j.validate(); err != nil {
		return FitResult{}, err
	}
	d := j.Tight
	step := func(r float64) float64 {
		if d <= 0 || r <= 0 {
			return 0
		}
		return profiles.RoundOff(r, d)
	}
	r := FitResult{
		Mouth: j.Sliding + d, Offset: d, StraightEnd: j.Lead,
		StepLength: step(j.CutterTip), StepAtMouth: step(j.CutterNeck),
		TightPlanned: j.Length - 2*j.Lead,
		Limit:        fitLimitShare * j.Casting.Strength().Limit,
	}
	r.TightLeft = max(0, r.TightPlanned-2*max(r.StepLength, r.StepAtMouth))
	r.FlatteningOff = 0.8 * (flankRz + flankRz)
	grip := func(clearance float64) float64 { return max(0, d-clearance-r.FlatteningOff) }
	mid := (j.ClearanceLow + j.ClearanceHigh) / 2
	r.Interference, r.Least, r.Most = grip(mid), grip(j.ClearanceHigh), grip(j.ClearanceLow)
	width := (j.Slot.Mouth + j.Slot.Floor()) / 2
	r.Strain = r.Most / width
	perMM, pressure := j.wallStress()
	r.Bending, r.BendingMost = perMM*r.Interference, perMM*r.Most
	r.Pressure = pressure * r.Interference
	r.LargestTight = fitWarnShare*r.Limit/perMM + mid + r.FlatteningOff
	r.MostOver = r.Limit/perMM + r.FlatteningOff
	switch {
	case r.Bending > r.Limit:
		r.Verdict = FitTooTight
	case r.Bending > fitWarnShare*r.Limit || r.BendingMost > r.Limit:
		r.Verdict = FitClose
	}
	r.Notes = j.notes(r)
	cast, ins := j.Casting.Strength(), j.Insert.Strength()
	r.Assumptions = []profiles.Assumption{
		{Name: "modulus of elasticity of the casting", Value: cast.Elastic, Unit: "MPa", Source: cast.Name + ", from memory"},
		{Name: "modulus of elasticity of the insert", Value: ins.Elastic, Unit: "MPa", Source: ins.Name + ", from memory"},
		{Name: "tensile strength of the casting", Value: cast.Limit, Unit: "MPa", Source: cast.LimitSource},
		{Name: "share of it that is the limit", Value: fitLimitShare, Unit: "", Source: profiles.OwnRule},
		{Name: "share of the limit that is warned of", Value: fitWarnShare, Unit: "", Source: profiles.OwnRule},
		{Name: "roughness depth Rz of a milled flank", Value: flankRz, Unit: "mm", Source: profiles.OwnRule + "; flattening by DIN 7190, from memory"},
		{Name: "wall counted at most, in slot depths", Value: wallEffect, Unit: "", Source: profiles.OwnRule},
	}
	return r, nil
}

// wallStress returns bending stress and flank pressure for 1 mm of
// interference, MPa/mm.
func (j JointFit) wallStress() (bending, pressure float64) {
	ec, ei := j.Casting.Strength().Elastic, j.Insert.Strength().Elastic
	h := j.Slot.Depth
	t := min(j.Wall, wallEffect*h)
	s := h / 2 / t // arm of the load over the wall's thickness
	// Give of one wall for 1 N per mm of length, times E: bending, shear
	// (G = E/2.5, form 1.2), the turning and the shift of its root, and the
	// local give of the loaded face.
	const rootTurn, rootShift, local = 4.9, 1.5, 1.5
	wall := (4*s*s*s + rootTurn*s*s + 3*s + rootShift + local) / ec
	width := (j.Slot.Mouth + j.Slot.Floor()) / 2
	insert := width / 2 / h / ei
	q := 0.5 / (wall + insert) // N/mm for half a millimetre a side
	return 6 * q * (h / 2) / (t * t), q * math.Cos(j.Slot.HalfAngle) / h
}

func (j JointFit) validate() error {
	if err := j.Slot.Validate(); err != nil {
		return err
	}
	switch {
	case !(j.Sliding > 0):
		return fmt.Errorf("sliding size %.3f mm: it must be positive", j.Sliding)
	case !(j.Tight >= 0) || j.Tight > 1:
		return fmt.Errorf("tight middle of %.3f mm: it must be 0 to 1", j.Tight)
	case !(j.ClearanceLow >= 0) || !(j.ClearanceHigh >= j.ClearanceLow):
		return fmt.Errorf("clearance %.3f to %.3f mm: it must rise and not be negative", j.ClearanceLow, j.ClearanceHigh)
	case !(j.Length > 0) || !(j.Lead >= 0) || 2*j.Lead > j.Length:
		return fmt.Errorf("leads of %.3f mm at both ends of %.3f mm: they must leave a middle", j.Lead, j.Length)
	case !(j.Wall > 0):
		return fmt.Errorf("metal beside the slot %.3f mm: it must be positive", j.Wall)
	case !(j.CutterTip > 0) || !(j.CutterNeck >= 0) || j.CutterNeck > j.CutterTip:
		return fmt.Errorf("cutter radius %.3f mm, neck %.3f mm: the neck is not wider than the tip", j.CutterTip, j.CutterNeck)
	}
	return nil
}

func (j JointFit) notes(r FitResult) []string {
	var n []string
	if r.Verdict == FitTooTight {
		n = append(n, fmt.Sprintf("the estimate for the wall beside the slot is over our own limit: tight middle at most %.3f mm here", r.LargestTight))
	}
	if r.Verdict == FitClose {
		n = append(n, fmt.Sprintf("the estimate for the wall is near our own limit: %.3f mm would leave room", r.LargestTight))
	}
	if r.TightLeft <= 0 && j.Tight > 0 {
		n = append(n, "the cutter's radius leaves no length that is fully tight: shorten the leads or make the step smaller")
	}
	if r.Least == 0 && j.Tight > 0 {
		n = append(n, "it may not grip at all: the clearance and the flattening of the flanks may take up the whole step")
	}
	if j.Tight > 0 {
		n = append(n, "stop as soon as it needs more than light taps; a ringing casting is sound, a dull one is cracked")
	}
	return n
}
