package measure

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// DovetailReading is what a size over or between pins says was cut. Lengths
// mm.
type DovetailReading struct {
	Mouth    float64 // the narrow width that was cut
	Over     float64 // Mouth less the nominal one
	PerFlank float64 // move each flank's cut by this to reach the nominal: positive takes metal off
}

// ReadInsert turns a size over two pins into what was cut on the insert.
func ReadInsert(nominal profiles.DovetailSize, over, pin float64) (DovetailReading, error) {
	mouth, err := nominal.MouthOver(over, pin)
	if err != nil {
		return DovetailReading{}, err
	}
	if !(mouth > 0) {
		return DovetailReading{}, fmt.Errorf("%.3f mm over pins of %.3f mm leaves no dovetail", over, pin)
	}
	return DovetailReading{mouth, mouth - nominal.Mouth, (mouth - nominal.Mouth) / 2}, nil
}

// ReadSlot turns a size between two pins into what was cut in the gear; the
// nominal's depth must be the depth that was cut.
func ReadSlot(nominal profiles.DovetailSize, between, pin float64) (DovetailReading, error) {
	if !(between >= 0) {
		return DovetailReading{}, fmt.Errorf("%g mm between pins: it must not be negative", between)
	}
	mouth, err := nominal.MouthBetween(between, pin)
	if err != nil {
		return DovetailReading{}, err
	}
	return DovetailReading{mouth, mouth - nominal.Mouth, (nominal.Mouth - mouth) / 2}, nil
}

// ToothReading is what a measurement says of the new tooth. Lengths mm.
type ToothReading struct {
	Thickness float64 // arc on the pitch circle that was cut
	Metal     float64 // left on a flank along its normal; negative: cut too deep
	Low, High float64 // the limits of Metal
	Within    bool
	// ChangeY is how far to bring the cutter nearer to the tooth at every
	// facet, so that the mean of the limits is reached; negative: there is
	// nothing to take off.
	ChangeY float64
	Spread  float64 // over which the answer is uncertain by the joints of the facets
}

func (t ToothGauge) reading(thinning float64) ToothReading {
	g := t.Tooth
	cut := g
	cut.Thinning = thinning
	// Metal along the normal: the base thickness changes by cos(alpha) of the arc.
	metal := (cut.PitchThickness() - g.PitchThickness()) / 2 * math.Cos(g.Pressure)
	r := ToothReading{
		Thickness: cut.PitchThickness(), Metal: metal, Low: t.Low, High: t.High,
		Within: metal >= t.Low && metal <= t.High, ChangeY: metal - (t.Low+t.High)/2,
	}
	if len(t.Facets) > 0 {
		r.Spread = t.High - t.Low
	}
	return r
}

// ReadChord turns a chordal thickness at a height under the tip into what was
// cut.
func (t ToothGauge) ReadChord(height, thickness float64) (ToothReading, error) {
	thinning, err := ThinningFromChord(t.Tooth, height, thickness)
	if err != nil {
		return ToothReading{}, err
	}
	return t.reading(thinning), nil
}

// ReadSpan turns a span over k teeth, the new one at an end, into what was
// cut: all of the difference lies on its one flank.
func (t ToothGauge) ReadSpan(k int, w float64) (ToothReading, error) {
	if k < 2 || k >= t.Tooth.Teeth || !(w > 0) {
		return ToothReading{}, fmt.Errorf("span of %g mm over %d teeth: it must be positive, over 2 teeth or more", w, k)
	}
	one := (w - t.mixedSpan(k, t.Tooth)) / math.Cos(t.Tooth.Pressure)
	return t.reading(t.Tooth.Thinning - 2*one), nil
}

// ReadPins turns a size over pins, one beside the new tooth, into what was cut
// on that flank.
func (t ToothGauge) ReadPins(pin, over float64) (ToothReading, error) {
	f, err := OverPins(t.Neighbours, pin)
	if err != nil {
		return ToothReading{}, err
	}
	size := func(e float64) (float64, error) {
		line, err := t.with(e).RightFlank()
		if err != nil {
			return 0, err
		}
		return t.overPinsBeside(line, f)
	}
	// The widest bracket in which the pin still lies between the teeth.
	bracket := func(e float64) (float64, float64, error) {
		for range 4 {
			if s, err := size(e); err == nil {
				return e, s, nil
			}
			e /= 2
		}
		s, err := size(e)
		return e, s, err
	}
	lo, least, err := bracket(-t.Tooth.Module / 8)
	if err != nil {
		return ToothReading{}, err
	}
	hi, most, err := bracket(t.Tooth.Module / 8)
	if err != nil {
		return ToothReading{}, err
	}
	if !(over >= least && over <= most) {
		return ToothReading{}, fmt.Errorf("%.3f mm over pins of %.3f mm: expected %.3f to %.3f", over, pin, least, most)
	}
	for range 40 {
		mid := (lo + hi) / 2
		s, err := size(mid)
		if err != nil {
			return ToothReading{}, err
		}
		if s < over {
			lo = mid
		} else {
			hi = mid
		}
	}
	return t.reading(t.with(lo).Thinning), nil
}
