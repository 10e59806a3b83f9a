package measure

import (
	"cmp"
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
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
		return DovetailReading{}, fmt.Errorf("%.6g mm between pins: it must not be negative", between)
	}
	mouth, err := nominal.MouthBetween(between, pin)
	if err != nil {
		return DovetailReading{}, err
	}
	return DovetailReading{mouth, mouth - nominal.Mouth, (nominal.Mouth - mouth) / 2}, nil
}

// ToothReading is what a measurement says of the new tooth. Lengths mm.
type ToothReading struct {
	Thickness float64 // arc on the pitch circle of the tooth whose flanks stand as the reading says
	Off       float64 // how far the flank stands over its plan along its normal: bring the cutter so much nearer; negative: cut too deep
	Metal     float64 // the most metal left on a flank, with what the facets leave
	Limit     float64 // the most that may be left
	Spread    float64 // over which the answer is uncertain by the joints of the facets
}

// wildShare of a module is how far off its plan a flank may be read before the
// reading is taken for a slip. Own rule.
const wildShare = 0.25

func (t ToothGauge) reading(off float64) (ToothReading, error) {
	left, err := t.leftByFacets()
	r := ToothReading{Thickness: t.with(off).PitchThickness(), Off: off, Metal: off + left, Limit: t.High, Spread: left}
	return r, err
}

// offOf returns how far the flank stands over its plan when a size, which
// rises with that, reads value. It is an ErrImpossible when the flank would be
// farther off than any cut can be.
func (t ToothGauge) offOf(value float64, size func(e float64) (float64, error)) (float64, error) {
	m := t.Tooth.Module
	bound := func(e float64) (float64, float64, error) {
		var s float64
		var err error
		// Nearer in where the size cannot be measured so far off the plan.
		for range 6 {
			if s, err = size(e); err == nil {
				return e, s, nil
			}
			e /= 2
		}
		return e, s, err
	}
	lo, least, err := bound(-wildShare * m)
	if err != nil {
		return 0, err
	}
	hi, most, err := bound(wildShare * m)
	if err != nil {
		return 0, err
	}
	if !(value >= least && value <= most) {
		return 0, &ErrImpossible{Value: value, Low: least, High: most}
	}
	e := geom.Root(lo, hi, (hi-lo)*0x1p-32, func(e float64) float64 {
		s, bad := size(e)
		err = cmp.Or(err, bad)
		return s - value
	})
	return e, err
}

// ReadChord turns a chordal thickness at a height under the tip into what was
// cut.
func (t ToothGauge) ReadChord(height, thickness float64) (ToothReading, error) {
	off, err := t.offOf(thickness, func(e float64) (float64, error) { return t.chord(height, e) })
	if err != nil {
		return ToothReading{}, err
	}
	return t.reading(off)
}

// ReadSpan turns a span over k teeth, the new one at an end, into what was
// cut: all of the difference lies on its one flank.
func (t ToothGauge) ReadSpan(k int, w float64) (ToothReading, error) {
	i, err := t.spanItem(k)
	if err != nil {
		return ToothReading{}, err
	}
	off, err := t.offOf(w, func(e float64) (float64, error) { return i.Nominal + e, nil })
	if err != nil {
		return ToothReading{}, err
	}
	return t.reading(off)
}

// ReadPins turns a size over pins, one beside the new tooth, into what was cut
// on that flank.
func (t ToothGauge) ReadPins(pin, over float64) (ToothReading, error) {
	p, err := OverPins(t.Neighbours, pin)
	if err != nil {
		return ToothReading{}, err
	}
	off, err := t.offOf(over, func(e float64) (float64, error) {
		line, err := t.flank(e, false)
		if err != nil {
			return 0, err
		}
		return t.overPinsBeside(line, p)
	})
	if err != nil {
		return ToothReading{}, err
	}
	return t.reading(off)
}

// Wear is how much thinner standing teeth are than standard ones. It is wear
// and the backlash they were cut with together: no reading tells one from the
// other.
type Wear struct {
	Thinning   float64 // at the pitch circle, mm
	OfTooth    float64 // Thinning over the standard tooth's thickness
	OfBacklash float64 // Thinning over the backlash a new pair is given, UsualBacklash
}

// UsualBacklash is the backlash that a new pair of ordinary cut gears of
// module m is given, mm: 0.04 modules, the middle of 0.03 to 0.05 (Machinery's
// Handbook, recommended backlash for assembled gears; from memory).
func UsualBacklash(m float64) float64 { return 0.04 * m }

// WearOf states a thinning of teeth of gear g, mm, as shares.
func WearOf(g profiles.Gear, thinning float64) Wear {
	standard := g
	standard.Thinning = 0
	return Wear{thinning, thinning / standard.PitchThickness(), thinning / UsualBacklash(g.Module)}
}

// thickest is by how much standing teeth may be thicker than standard, in
// modules, before a reading of them is taken for a slip. Own rule.
const thickest = 0.05

// thinnest is by how much they may be thinner, in modules, by wear and backlash
// together. Own rule.
const thinnest = 0.4

// ReadOld turns a span over k standing teeth, or with a pin a size over two of
// them, into their wear. It is an ErrImpossible when no teeth are so worn, or so
// thick.
func (t ToothGauge) ReadOld(k int, pin, value float64) (Wear, error) {
	n := t.Neighbours
	size := func(thinning float64) (float64, error) {
		g := n
		g.Thinning = thinning
		if pin > 0 {
			p, err := pinPlace(g, pin)
			return p.Over, err
		}
		return span(g, k), nil
	}
	if pin > 0 {
		if _, err := OverPins(n, pin); err != nil {
			return Wear{}, err
		}
	} else if _, err := Span(n, k); err != nil {
		return Wear{}, err
	}
	thin, err := ThinningFromSpan(n, k, value), error(nil)
	if pin > 0 {
		thin, err = ThinningFromPins(n, pin, value)
	}
	if err != nil || !(thin >= -thickest*n.Module && thin <= thinnest*n.Module) {
		impossible := &ErrImpossible{Value: value}
		impossible.High, _ = size(-thickest * n.Module)
		// A thin tooth may let the pin fall through: as thin as it goes.
		for most := wearLimit * n.Module; most > 0; most -= 0.05 * n.Module {
			if impossible.Low, err = size(most); err == nil {
				break
			}
		}
		return Wear{}, impossible
	}
	return WearOf(n, math.Round(thin*1e9)/1e9), nil
}
