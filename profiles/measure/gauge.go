package measure

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// GaugeItem is one line of an inspection sheet. Lengths mm.
type GaugeItem struct {
	Key     string  // stable name, e.g. "slot.between_pins"
	What    string  // in words
	Nominal float64 // what a perfect cut measures
	Low     float64 // limits
	High    float64
	Pin     float64 // diameter of the pins, when pins are used
	Teeth   int     // teeth spanned, when it is a span
	Height  float64 // height to set on the tooth vernier, when it is a chord
	Note    string
}

// DovetailGauge is what the sheet of a dovetail joint is made from. Lengths
// mm.
type DovetailGauge struct {
	Slot      profiles.DovetailSize
	Insert    profiles.DovetailSize // in its tight middle
	Slide     float64               // the insert's mouth at its sliding ends
	Shoulder  float64               // width of one flat beside the insert's mouth on which a pin lies
	Width     float64               // tolerance on widths, plus and minus
	Depth     float64               // tolerance on the slot's depth, plus
	InchStock bool                  // pins of inch sizes
}

// Items returns the sizes over and between pins and the plain widths, with
// limits, of slot and insert.
func (d DovetailGauge) Items() ([]GaugeItem, error) {
	for _, s := range []profiles.DovetailSize{d.Slot, d.Insert} {
		if err := s.Validate(); err != nil {
			return nil, err
		}
	}
	if !(d.Width >= 0) || !(d.Depth >= 0) {
		return nil, fmt.Errorf("tolerances %g and %g mm must not be negative", d.Width, d.Depth)
	}
	sliding := d.Insert
	sliding.Mouth = d.Slide
	plain := func(key, what string, v, low, high float64) GaugeItem {
		return GaugeItem{Key: key, What: what, Nominal: v, Low: v - low, High: v + high}
	}
	// A slot that is deeper at the same mouth is wider at its floor.
	floorHigh := d.Width + 2*d.Depth*math.Tan(d.Slot.HalfAngle)
	items := []GaugeItem{
		plain("slot.mouth", "slot, width at the seat", d.Slot.Mouth, d.Width, d.Width),
		plain("slot.floor", "slot, width at the floor", d.Slot.Floor(), d.Width, floorHigh),
		plain("slot.depth", "slot, depth from the seat", d.Slot.Depth, 0, d.Depth),
		plain("insert.mouth_tight", "insert, width under the shoulders, tight middle", d.Insert.Mouth, d.Width, d.Width),
		plain("insert.mouth_sliding", "insert, width under the shoulders, ends", d.Slide, d.Width, d.Width),
		plain("insert.floor_tight", "insert, width of the wide flat, tight middle", d.Insert.Floor(), d.Width, d.Width),
	}
	stock := profiles.StockPins(d.InchStock)
	if pin, ok := d.Slot.BestPin(stock); ok {
		y, err := d.Slot.BetweenPins(pin)
		if err != nil {
			return nil, err
		}
		i := plain("slot.between_pins", "slot, between two pins on the floor", y, d.Width, floorHigh)
		i.Pin = pin
		items = append(items, i)
	} else {
		items = append(items, GaugeItem{Key: "slot.between_pins", What: "slot, between two pins on the floor", Note: "no stock pin fits this slot: gauge the mouth"})
	}
	pin, ok := d.Insert.BestPinOnShoulder(stock, d.Shoulder)
	for _, at := range []struct {
		key, what string
		size      profiles.DovetailSize
	}{
		{"insert.over_pins_tight", "insert, over two pins on the shoulders, tight middle", d.Insert},
		{"insert.over_pins_sliding", "insert, over two pins on the shoulders, ends", sliding},
	} {
		if !ok {
			items = append(items, GaugeItem{Key: at.key, What: at.what, Note: "no stock pin lies on the shoulders: gauge before the shoulders are cut narrow"})
			continue
		}
		x, err := at.size.OverPins(pin)
		if err != nil {
			return nil, err
		}
		i := plain(at.key, at.what, x, d.Width, d.Width)
		i.Pin = pin
		items = append(items, i)
	}
	return items, nil
}

// ToothGauge is what the sheet of the new tooth is made from.
type ToothGauge struct {
	Tooth      profiles.Gear    // the finished tooth
	Neighbours profiles.Gear    // the standing teeth, with their own thinning
	Facets     []profiles.Facet // of each flank, rolls rising; none for a filed, true flank
	Low, High  float64          // metal left on a flank along its normal: limits, mm (proud facets: 0 and the tolerance)
	InchStock  bool
}

// with returns the tooth with e of metal on each flank.
func (t ToothGauge) with(e float64) profiles.Gear {
	g := t.Tooth
	g.Thinning -= 2 * e / math.Cos(g.Pressure)
	return g
}

// flank returns the outline of the new tooth's +Y flank, tip down.
func (t ToothGauge) flank() ([]geom.Vec, error) {
	if len(t.Facets) == 0 {
		return t.Tooth.RightFlank()
	}
	return t.Tooth.FacetedFlank(t.Facets)
}

// Items returns chords, spans and sizes over pins of the new tooth, with
// limits from the metal that may be left on its flanks.
func (t ToothGauge) Items() ([]GaugeItem, error) {
	if err := t.Tooth.Validate(); err != nil {
		return nil, err
	}
	if err := t.Neighbours.Validate(); err != nil {
		return nil, err
	}
	if !(t.High >= t.Low) {
		return nil, fmt.Errorf("limits of the metal left, %g to %g mm, are in the wrong order", t.Low, t.High)
	}
	flank, err := t.flank()
	if err != nil {
		return nil, err
	}
	items, err := t.chords(flank)
	if err != nil {
		return nil, err
	}
	if span, err := t.spans(flank); err == nil {
		items = append(items, span...)
	} else {
		items = append(items, GaugeItem{Key: "tooth.span", What: "span over the new tooth", Note: err.Error()})
	}
	if over, err := t.pins(flank); err == nil {
		items = append(items, over...)
	} else {
		items = append(items, GaugeItem{Key: "tooth.over_pins", What: "over pins, one beside the new tooth", Note: err.Error()})
	}
	return items, nil
}

// chords: a tooth vernier touches with the ends of its jaws, at the height it
// is set to, whatever stands proud above; so the chord is that of the outline
// at that height.
func (t ToothGauge) chords(flank []geom.Vec) ([]GaugeItem, error) {
	g := t.Tooth
	chord := func(key, what string, r float64) (GaugeItem, error) {
		c, err := ChordAt(g, r)
		if err != nil {
			return GaugeItem{}, err
		}
		z := g.TipRadius() - c.Height
		y, ok := profiles.HalfWidthAt(flank, z)
		if !ok {
			return GaugeItem{}, fmt.Errorf("height %.3f mm below the tip is not on the flank", c.Height)
		}
		// The flank's slope turns metal along the normal into half width.
		slope := math.Cos(math.Acos(g.BaseRadius()/r) - g.HalfAngle(r))
		return GaugeItem{
			Key: key, What: what, Nominal: 2 * y, Height: c.Height,
			Low: c.Thickness + 2*t.Low/slope, High: c.Thickness + 2*t.High/slope,
		}, nil
	}
	first, err := chord("tooth.chord", "chordal thickness on the pitch circle", g.PitchRadius())
	if err != nil {
		return nil, err
	}
	items := []GaugeItem{first}
	// In the middle of a facet the flat lies on the involute.
	best, off := 0.0, math.Inf(1)
	for _, f := range t.Facets {
		r := g.RadiusAt(f.Roll)
		if d := math.Abs(r - g.PitchRadius()); d < off && r < g.TipRadius() {
			best, off = r, d
		}
	}
	if best > 0 {
		i, err := chord("tooth.chord_facet", "chordal thickness where a facet touches the true flank", best)
		if err != nil {
			return nil, err
		}
		i.Note = "the best height for a faceted tooth: over a joint the vernier reads the metal left there too"
		items = append(items, i)
	}
	return items, nil
}

// mixedSpan is W over k >= 2 teeth, the new tooth at one end.
func (t ToothGauge) mixedSpan(k int, tooth profiles.Gear) float64 {
	return float64(k-1)*tooth.BasePitch() + tooth.BaseRadius()*(tooth.BaseHalfAngle()+t.Neighbours.BaseHalfAngle())
}

func (t ToothGauge) spans(flank []geom.Vec) ([]GaugeItem, error) {
	g := t.Tooth
	k, err := SpanTeeth(g)
	if err != nil {
		return nil, err
	}
	k = max(k, 2)
	if _, err := Span(t.Neighbours, k); err != nil {
		return nil, err
	}
	w := t.mixedSpan(k, g)
	rb := g.BaseRadius()
	item := GaugeItem{
		Key: "tooth.span", What: fmt.Sprintf("span over %d teeth, the new one at an end", k), Teeth: k,
		Nominal: w, Low: w + t.Low, High: w + t.High,
	}
	if len(t.Facets) > 0 {
		// The anvil lies flat on a facet or rocks over a joint. It can touch
		// wherever the other anvil is still on its involute.
		flat, peak := math.Inf(1), math.Inf(-1)
		root, err := g.Root()
		if err != nil {
			return nil, err
		}
		total := w / rb // sum of both rolls
		lo, hi := max(root.FormRoll, total-g.Roll(g.TipRadius())), min(g.Roll(g.TipRadius()), total-root.FormRoll)
		const steps = 400
		for i := range steps + 1 {
			phi := lo + (hi-lo)*float64(i)/steps
			over := g.Support(flank, root.FormRadius, phi) - rb*phi
			flat, peak = min(flat, over), max(peak, over)
		}
		item.Nominal = w + flat
		item.Note = fmt.Sprintf("lay the anvil flat on a facet; rocked over a joint it reads up to %.3f mm more", peak-flat)
	}
	old := GaugeItem{Key: "old.span", What: fmt.Sprintf("span over %d standing teeth, to compare", k), Teeth: k, Nominal: span(t.Neighbours, k)}
	old.Low, old.High = old.Nominal, old.Nominal
	unworn := t.Neighbours
	unworn.Thinning = 0
	if limit := SpanServiceLimit(span(unworn, k)); old.Nominal < limit {
		old.Note = fmt.Sprintf("below the usual service limit of %.3f mm, 0.150 under the new span: the standing teeth are worn out", limit)
	}
	return []GaugeItem{item, old}, nil
}

func (t ToothGauge) pins(flank []geom.Vec) ([]GaugeItem, error) {
	f, ok := BestGearPin(t.Neighbours, profiles.StockPins(t.InchStock))
	if !ok {
		return nil, fmt.Errorf("no stock pin serves this gear")
	}
	item := GaugeItem{Key: "tooth.over_pins", What: "over pins, one beside the new tooth, one opposite", Pin: f.Pin}
	for _, at := range []struct {
		v    *float64
		line func() ([]geom.Vec, error)
	}{
		{&item.Nominal, func() ([]geom.Vec, error) { return flank, nil }},
		{&item.Low, t.with(t.Low).RightFlank},
		{&item.High, t.with(t.High).RightFlank},
	} {
		line, err := at.line()
		if err != nil {
			return nil, err
		}
		if *at.v, err = t.overPinsBeside(line, f); err != nil {
			return nil, err
		}
	}
	return []GaugeItem{
		item,
		{Key: "old.over_pins", What: "over pins in standing teeth, to compare", Pin: f.Pin, Nominal: f.Over, Low: f.Over, High: f.Over},
	}, nil
}

// overPinsBeside returns the size over two pins, one in the space between the
// new tooth's +Y flank and its neighbour, one in the space opposite.
func (t ToothGauge) overPinsBeside(flank []geom.Vec, f PinFit) (float64, error) {
	n := t.Neighbours
	rb, r := n.BaseRadius(), f.Pin/2
	// The pin rolls up the neighbour: its centre is on the parallel involute.
	centre := func(rad float64) geom.Vec {
		return geom.Polar(rad, n.Pitch()-(n.BaseHalfAngle()+r/rb-profiles.Inv(math.Acos(rb/rad))))
	}
	clear := func(rad float64) float64 { return geom.Distance(centre(rad), flank) - r }
	lo, hi := max(rb*(1+1e-9), f.Centre-n.Module), f.Centre+n.Module
	if clear(lo) > 0 || clear(hi) < 0 {
		return 0, fmt.Errorf("pin of %.3f mm does not lie between the new tooth and its neighbour", f.Pin)
	}
	for range 60 {
		mid := (lo + hi) / 2
		if clear(mid) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	turns := float64(n.Teeth / 2) // pitches to the space opposite; odd counts have two, half a pitch off
	opposite := geom.Polar(f.Centre, n.Pitch()*(turns+0.5))
	return centre(hi).Sub(opposite).Norm() + f.Pin, nil
}
