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
	Tight         float64           // how proud the middle stands over Sliding
	Length        float64           // of the insert between the gear's faces
	Lead          float64           // length at each end at the sliding size
	CutterTip     float64           // radius of the dovetail cutter at its wide end
	CutterNeck    float64           // its radius at the narrow end of its flank
	Casting       profiles.Material // of the gear
	Insert        profiles.Material // of the insert
	Stress        *Casting          // the section the joint stands in
	Load          float64           // design force on the new tooth, N per mm of face; 0: none is known
}

// FitFromLadder returns a JointFit whose sliding size is that of a step of the
// trial cuts: the first trial cut is first wider than the slot's mouth, each
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
	Mouth         float64               // of the insert in its tight middle
	Offset        float64               // of the tight flank's cut from the sliding size, outward
	StraightEnd   float64               // length at each end that slides, before the step
	StepLength    float64               // over which the cutter's radius spreads the step, sqrt(2 R d - d^2), at the wide end
	StepAtMouth   float64               // the same at the narrow end
	TightPlanned  float64               // Length - 2 Lead
	TightLeft     float64               // length that is really tight, on the whole flank
	Interference  float64               // of the joint, mean of what the clearance allows
	Least, Most   float64               // its bounds
	Strain        float64               // Most over the slot's mean width
	Pressure      float64               // on the flanks, mean, at Interference
	Cases         []StressCase          // of the casting
	Verdict       FitVerdict            // of all cases that decide
	Notes         []string              // what else to know, one sentence each
	Assumptions   []profiles.Assumption // what the estimate rests on
	LargestTight  float64               // the greatest Tight that is allowed
	Allowed       float64               // the greatest interference that may be measured
	MostOver      float64               // the most that the tight middle may be wider than the slot, both as measured: Allowed and what flattens
	FlatteningOff float64               // what the roughness of the flanks takes off the interference
}

// Rules of the fit, our own.
const (
	fitWarnShare = 0.9    // of a limit: the warning
	flankRz      = 0.0063 // mean roughness depth of a milled flank, mm

	// Flattening is what the roughness of two milled flanks takes off an
	// interference, mm.
	Flattening = 0.8 * (flankRz + flankRz)
)

// Fit returns what the tight middle does to the joint: a stress estimate for
// the casting, never a rating.
//
// The stress is that of the joint's own section (see Casting). Rough flanks
// flatten first, by 0.8 (Rz + Rz) of the two (DIN 7190, from memory).
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
	}
	r.TightLeft = max(0, r.TightPlanned-2*max(r.StepLength, r.StepAtMouth))
	r.FlatteningOff = Flattening
	r.Interference, r.Most = j.Interference()
	r.Least = max(0, d-j.ClearanceHigh-r.FlatteningOff)
	r.Strain = r.Most / ((j.Slot.Mouth + j.Slot.Floor()) / 2)
	if err := j.judge(&r); err != nil {
		return FitResult{}, err
	}
	r.Notes = j.notes(r)
	r.Assumptions = append(j.Stress.assumptions(),
		profiles.Assumption{Name: "roughness depth Rz of a milled flank", Value: flankRz, Unit: "mm", Source: profiles.OwnRule + "; flattening by DIN 7190, from memory"})
	return r, nil
}

// judge asks the section for the stress of the fit.
func (j JointFit) judge(r *FitResult) (err error) {
	if r.Cases, err = j.Stress.Cases(r.Interference, r.Most, j.Load); err != nil {
		return err
	}
	if r.LargestTight, r.Allowed, err = j.largest(); err != nil {
		return err
	}
	r.MostOver = r.Allowed + Flattening
	for _, c := range r.Cases {
		switch {
		case c.Key == "load":
			continue // no fit can help it
		case c.Key == "fit":
			r.Pressure = c.Pressure
		}
		switch {
		case c.Decides && c.Use > 1:
			r.Verdict = FitTooTight
		case c.Use > fitWarnShare:
			r.Verdict = max(r.Verdict, FitClose)
		}
	}
	return nil
}

// Interference returns the joint's interference as expected and at the
// tightest, mm, after the flanks' roughness has flattened.
func (j JointFit) Interference() (expected, most float64) {
	r := j.Tight - Flattening
	return max(0, r-(j.ClearanceLow+j.ClearanceHigh)/2), max(0, r-j.ClearanceLow)
}

// largest returns the greatest tight middle that the estimate allows and the
// greatest interference that may be measured, mm.
func (j JointFit) largest() (tight, allowed float64, err error) {
	if allowed, err = j.Stress.Allowed(j.Load); err != nil {
		return 0, 0, err
	}
	return allowed + j.ClearanceLow + Flattening, allowed, nil
}

// The tight middles that are tried where a job states none, mm: about two
// thousandths of an inch is common practice (no source). Below two hundredths the
// flanks' roughness takes half of it, so that each thousandth tells.
const (
	mostTight = 0.05
	tightStep = 0.01
	fineTight = 0.02
	fineStep  = 0.001
)

// DefaultTight returns the greatest of 0.05, 0.04, 0.03 and 0.02 mm, or of the
// thousandths from there down to 0.01, that the estimate allows for the joint,
// whatever its own Tight; 0 when it allows none of them.
func (j JointFit) DefaultTight() (float64, error) {
	largest, _, err := j.largest()
	if err != nil {
		return 0, err
	}
	step := tightStep
	if largest < fineTight {
		step = fineStep
	}
	t := math.Round(min(mostTight, downTo(largest, step))*1000) / 1000
	if t < tightStep {
		return 0, nil
	}
	return t, nil
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
	case j.Stress == nil:
		return fmt.Errorf("the section the joint stands in is not known")
	case !(j.Load >= 0):
		return fmt.Errorf("load of %g N per mm of face: it must not be negative", j.Load)
	case !(j.CutterTip > 0) || !(j.CutterNeck >= 0) || j.CutterNeck > j.CutterTip:
		return fmt.Errorf("cutter radius %.3f mm, neck %.3f mm: the neck is not wider than the tip", j.CutterTip, j.CutterNeck)
	}
	return nil
}

func (j JointFit) notes(r FitResult) []string {
	var n []string
	hole := false
	for _, c := range r.Cases {
		switch {
		case c.Key == "screw" && c.Use > 1:
			n = append(n, "a screw nipped up by hand is too much here: turn it in until it just touches, and let adhesive hold it")
		case c.Key != "load" && c.Use > 1:
			n = append(n, fmt.Sprintf("%s: %.0f MPa (%s), our own limit is %.0f: tight middle at most %.3f mm here", c.What, c.Greatest.Stress, c.Greatest.What, c.Limit, downTo(r.LargestTight, 0.001)))
			hole = hole || c.Greatest.What == HolePlace
		case c.Key != "load" && c.Use > fitWarnShare:
			n = append(n, fmt.Sprintf("%s: %.0f MPa (%s), near our own limit of %.0f", c.What, c.Greatest.Stress, c.Greatest.What, c.Limit))
			hole = hole || c.Greatest.What == HolePlace
		}
	}
	if hole && j.Stress.Lock.InTight {
		n = append(n, "the lock's hole weakens the floor where the middle is tight: under a sliding end it would matter less (lock.positions)")
	}
	if r.TightLeft <= 0 && j.Tight > 0 {
		n = append(n, "the cutter's radius leaves no length that is fully tight: shorten the leads or make the step smaller")
	}
	if r.Least == 0 && j.Tight > 0 {
		n = append(n, "it may not grip at all: the clearance and the flattening of the flanks may take up the whole step; a smaller fit.trial_step, or sizes by pins, would know the clearance better")
	}
	if j.Tight > 0 {
		n = append(n, "stop as soon as it needs more than light taps; a ringing casting is sound, a dull one is cracked")
	}
	return n
}

// downTo rounds down to whole steps.
func downTo(v, step float64) float64 { return math.Floor(v/step+1e-9) * step }
