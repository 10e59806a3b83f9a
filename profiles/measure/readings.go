package measure

import (
	"fmt"
	"math"
)

// ReadingKind is what was measured on a gear.
type ReadingKind int

// The readings Identify understands.
const (
	// OutsideDiameter is read by a caliper over the tips. With an odd count
	// one jaw bridges two teeth and it reads less than the tip circle.
	OutsideDiameter ReadingKind = iota
	RootDiameter                // twice the root radius
	WholeDepth                  // tip to root
	SpanSize                    // base tangent length over Teeth teeth
	PinSize                     // over two pins of diameter Pin
	CentreDistance              // to a mate of Teeth teeth
	ChordSize                   // a tooth's chord at Height under its tip, by tooth vernier
	TouchStep                   // base pitch from touches, Teeth steps from the first to the last; see Steps
)

var readingNames = [...]string{"outside diameter", "root diameter", "whole depth", "span", "over pins", "centre distance", "chord", "step of the touches"}

// String names the kind.
func (k ReadingKind) String() string {
	if k < 0 || int(k) >= len(readingNames) {
		return "unknown reading"
	}
	return readingNames[k]
}

// Standard uncertainties of a reading by its instrument, mm; common practice.
const (
	VernierSigma    = 0.03
	MicrometerSigma = 0.01
	TouchSigma      = touchSigma // of one touch over oiled paper
)

// Reading is one measurement. Lengths mm.
type Reading struct {
	Kind   ReadingKind // what was measured
	Value  float64     // as read
	Sigma  float64     // standard uncertainty of the instrument and the hand; TouchStep: of one touch
	Teeth  int         // SpanSize: teeth spanned; CentreDistance: teeth of the mate; TouchStep: steps
	Pin    float64     // PinSize: pin diameter
	Height float64     // ChordSize: from the tip land down to the chord
}

// Name says which reading it is: "span over 5 teeth".
func (r Reading) Name() string {
	switch r.Kind {
	case SpanSize:
		return fmt.Sprintf("span over %d teeth", r.Teeth)
	case PinSize:
		return fmt.Sprintf("over pins of %.3f mm", r.Pin)
	case CentreDistance:
		return fmt.Sprintf("centre distance to %d teeth", r.Teeth)
	case ChordSize:
		return fmt.Sprintf("chord at %.3f mm under the tip", r.Height)
	case TouchStep:
		return fmt.Sprintf("step of touches on %d teeth", r.Teeth+1)
	}
	return r.Kind.String()
}

// TellsThickness says whether the reading depends on how thick the teeth are.
func (r Reading) TellsThickness() bool {
	return r.Kind == SpanSize || r.Kind == PinSize || r.Kind == ChordSize
}

func (r Reading) validate(teeth int) error {
	switch {
	case r.Kind < 0 || int(r.Kind) >= len(readingNames):
		return fmt.Errorf("reading of unknown kind %d", r.Kind)
	case !(r.Value > 0) || r.Value > 1e5:
		return fmt.Errorf("%s: %.6g mm is not a size", r.Name(), r.Value)
	case !(r.Sigma > 0) || r.Sigma > r.Value:
		return fmt.Errorf("%s: uncertainty %.6g mm must be positive and less than the size", r.Name(), r.Sigma)
	case r.Kind == SpanSize && (r.Teeth < 1 || r.Teeth >= teeth):
		return fmt.Errorf("%s: a gear of %d teeth has no such span", r.Name(), teeth)
	case r.Kind == CentreDistance && r.Teeth < 5:
		return fmt.Errorf("%s: the mate's count must be 5 or more", r.Name())
	case r.Kind == PinSize && !(r.Pin > 0 && r.Pin < r.Value):
		return fmt.Errorf("%s: pin diameter must be positive and less than the size", r.Name())
	case r.Kind == ChordSize && !(r.Height > 0 && r.Height < 1e4):
		return fmt.Errorf("chord: height of %.6g mm under the tip: it must be positive", r.Height)
	case r.Kind == TouchStep && (r.Teeth < 1 || r.Teeth > teeth/2):
		return fmt.Errorf("touches on %d teeth of %d: the flank of one side is touched on 2 to %d", r.Teeth+1, teeth, teeth/2+1)
	}
	return nil
}

// spread returns the uncertainty of a reading on a gear of module m, with what
// the teeth themselves differ by. Blank, depth of cut, shift and wear are not in
// it: they are unknowns of the gear.
func (r *Reading) spread(m float64) float64 {
	pitch := pitchSigma + pitchSigmaM*m
	switch r.Kind {
	case SpanSize, PinSize:
		return math.Hypot(r.Sigma, pitch)
	case CentreDistance:
		return math.Hypot(r.Sigma, mateSigma*m)
	case ChordSize:
		return math.Hypot(r.Sigma, formSigmaM*m)
	case TouchStep:
		n := float64(r.Teeth)
		return math.Hypot(r.Sigma, pitch) * math.Sqrt(12/(n*(n+1)*(n+2)))
	}
	return r.Sigma
}
