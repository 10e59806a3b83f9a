package measure

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// PinPlace is where a measuring pin lies in a tooth space. Lengths mm.
type PinPlace struct {
	Pin     float64 // diameter
	Centre  float64 // radius of its centre
	Contact float64 // radius at which it touches the flanks
	Over    float64 // size over two pins
}

// OverPins returns the size over two pins of a diameter laid in opposite
// spaces (for an odd count in spaces half a pitch off opposite):
//
//	inv phi = inv a + D / (m z cos a) - pi / (2 z) + (2 x m tan a - t) / (m z)
//	M = m z cos a / cos phi + D,  odd z: the first term times cos(90 deg / z)
//
// (ISO 21771, dimension over pins; Machinery's Handbook, checking gear size
// over pins; t the thinning). It is an error when the pins do not touch the
// involute, stand on the root or lie below the tips.
func OverPins(g profiles.Gear, pin float64) (PinPlace, error) {
	f, err := pinPlace(g, pin)
	if err != nil {
		return PinPlace{}, err
	}
	root, err := g.Root()
	switch {
	case err != nil:
		return PinPlace{}, err
	case f.Contact > g.TipRadius():
		return PinPlace{}, fmt.Errorf("pin of %.3f mm would touch at radius %.3f mm, over the tips at %.3f mm", pin, f.Contact, g.TipRadius())
	case f.Contact < root.FormRadius:
		return PinPlace{}, fmt.Errorf("pin of %.3f mm would touch at radius %.3f mm, under the involute, which ends at %.3f mm", pin, f.Contact, root.FormRadius)
	case f.Centre-pin/2 < g.RootRadius():
		return PinPlace{}, fmt.Errorf("pin of %.3f mm would stand on the root circle", pin)
	case f.Centre+pin/2 < g.TipRadius():
		return PinPlace{}, fmt.Errorf("pin of %.3f mm lies below the tips", pin)
	}
	return f, nil
}

// pinPlace is the formula alone.
func pinPlace(g profiles.Gear, pin float64) (PinPlace, error) {
	if !(pin > 0) {
		return PinPlace{}, fmt.Errorf("pin of %.3f mm: the diameter must be positive", pin)
	}
	rb := g.BaseRadius()
	inv := pin/(2*rb) + g.BaseHalfAngle() - g.Pitch()/2
	if !(inv > 0) {
		return PinPlace{}, fmt.Errorf("pin of %.3f mm is too small to touch the flanks", pin)
	}
	phi := profiles.InvInverse(inv)
	f := PinPlace{Pin: pin, Centre: rb / math.Cos(phi)}
	// The normal of the flank at the contact is a base tangent through the
	// pin's centre; the contact lies the pin's radius nearer.
	f.Contact = math.Hypot(rb, rb*math.Tan(phi)-pin/2)
	f.Over = 2*f.Centre*pinCosine(g) + pin
	return f, nil
}

func pinCosine(g profiles.Gear) float64 {
	if g.Teeth%2 == 0 {
		return 1
	}
	return math.Cos(math.Pi / 2 / float64(g.Teeth))
}

// ThinningFromPins returns the thinning of a tooth of this gear that measures
// over over two pins: the inverse of OverPins.
func ThinningFromPins(g profiles.Gear, pin, over float64) (float64, error) {
	rb := g.BaseRadius()
	centre := (over - pin) / 2 / pinCosine(g)
	if !(pin > 0) || !(centre > rb) {
		return 0, fmt.Errorf("%.3f mm over pins of %.3f mm is not possible: the pins would lie inside the base circle", over, pin)
	}
	half := profiles.Inv(math.Acos(rb/centre)) - pin/(2*rb) + g.Pitch()/2
	return g.Thinning + 2*g.PitchRadius()*(g.BaseHalfAngle()-half), nil
}

// BestGearPin returns the pin of the stock that touches nearest to the middle
// of the working flank, r_p + x m, and whether any pin serves.
func BestGearPin(g profiles.Gear, stock []float64) (PinPlace, bool) {
	want := g.PitchRadius() + g.Shift*g.Module
	var best PinPlace
	off := math.Inf(1)
	for _, pin := range stock {
		f, err := OverPins(g, pin)
		if err != nil {
			continue
		}
		if d := math.Abs(f.Contact - want); d < off {
			best, off = f, d
		}
	}
	return best, !math.IsInf(off, 1)
}
