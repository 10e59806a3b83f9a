package measure

import (
	"errors"
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// ToothGauge is what the sheet of the new tooth is made from. Lengths mm.
type ToothGauge struct {
	Tooth      profiles.Gear    // the finished tooth
	Neighbours profiles.Gear    // the standing teeth, with their own thinning
	Facets     []profiles.Facet // of the +Y flank, rolls rising; none for a filed, true flank
	Left       []profiles.Facet // of the -Y flank; nil: as the +Y flank's
	Low, High  float64          // metal that may be left on a flank along its normal (proud facets: 0 and the tolerance)
	Pins       []float64        // pins to choose from, diameters; nil: the metric ones one can buy
}

// Names of the tooth's sizes.
const (
	toothChord = "tooth.chord"
	facetChord = "tooth.chord_facet"
	toothSpan  = "tooth.span"
	toothPins  = "tooth.over_pins"
	oldSpan    = "old.span"
	oldPins    = "old.over_pins"
)

// leastRoom is the least that a flank may stand off its plan, to either side,
// along its normal, mm: what a hand can set and a vernier tell. Own rule.
const leastRoom = 0.01

// leftByFacets is the most metal that the facets leave as planned.
func (t ToothGauge) leftByFacets() (float64, error) {
	most := 0.0
	for _, facets := range [][]profiles.Facet{t.Facets, t.Left} {
		if len(facets) == 0 {
			continue
		}
		rolls := make([]float64, len(facets))
		for i, f := range facets {
			rolls[i] = f.Roll
		}
		left, err := t.Tooth.Left(rolls)
		if err != nil {
			return 0, err
		}
		most = max(most, left+facets[0].Offset)
	}
	return most, nil
}

// room is how far a whole flank may stand off its plan, to either side: what
// the limit of the metal left leaves over what the facets leave already.
func (t ToothGauge) room() (float64, error) {
	left, err := t.leftByFacets()
	return max(leastRoom, t.High-left), err
}

// with returns the tooth with e of metal on each flank.
func (t ToothGauge) with(e float64) profiles.Gear {
	g := t.Tooth
	if g.Form != nil {
		return g.MovedIn(-e)
	}
	g.Thinning -= 2 * e / math.Cos(g.Pressure)
	return g
}

// flank returns the outline, tip down, of the new tooth's +Y flank that stands
// off its plan by e, or with left of its -Y flank, mirrored.
func (t ToothGauge) flank(e float64, left bool) ([]geom.Vec, error) {
	facets := t.Facets
	if left && t.Left != nil {
		facets = t.Left
	}
	if len(facets) == 0 {
		return t.with(e).RightFlank()
	}
	moved := make([]profiles.Facet, len(facets))
	for i, f := range facets {
		moved[i] = profiles.Facet{Roll: f.Roll, Offset: f.Offset + e}
	}
	return t.Tooth.FacetedFlank(moved)
}

func (t ToothGauge) validate() error {
	if err := t.Tooth.Validate(); err != nil {
		return err
	}
	if err := t.Neighbours.Validate(); err != nil {
		return err
	}
	if !(t.High >= t.Low) {
		return fmt.Errorf("limits of the metal left, %g to %.6g mm, are in the wrong order", t.Low, t.High)
	}
	return nil
}

// Items returns chords, spans and sizes over pins of the new tooth. What is
// expected is the tooth with the facets as planned; the limits are those of a
// tooth whose flanks stand off that plan by what the tolerance leaves over the
// facets' own error, and as much the other way.
func (t ToothGauge) Items() ([]GaugeItem, error) {
	if err := t.validate(); err != nil {
		return nil, err
	}
	var items []GaugeItem
	heights, err := t.chordHeights()
	if err != nil {
		return nil, err
	}
	for _, h := range heights {
		i, err := t.chordItem(h.key, h.height)
		if err != nil {
			return nil, err
		}
		items = append(items, i)
	}
	span, old, err := t.spanItems()
	if err != nil {
		items = append(items, GaugeItem{Key: toothSpan, What: "span over the new tooth", Note: err.Error()})
	} else {
		items = append(items, span, old)
	}
	over, old, err := t.stockPinItems()
	if err != nil {
		items = append(items, GaugeItem{Key: toothPins, What: "over pins, one beside the new tooth", Note: err.Error()})
	} else {
		items = append(items, over, old)
	}
	return items, nil
}

// setting is a height at which a tooth vernier is set.
type setting struct {
	key    string
	height float64 // of the chord under the tip, mm
}

// chordHeights are the heights to set the vernier to: on the pitch circle, and
// in the middle of a facet, where the flat lies on the true flank.
func (t ToothGauge) chordHeights() ([]setting, error) {
	g := t.Tooth
	first, err := ChordAt(g, g.PitchRadius())
	if err != nil {
		return nil, err
	}
	out := []setting{{toothChord, first.Height}}
	best, off := 0.0, math.Inf(1)
	for _, f := range t.Facets {
		r := g.RadiusAt(f.Roll)
		if d := math.Abs(r - g.PitchRadius()); d < off && r < g.TipRadius() {
			best, off = r, d
		}
	}
	if best > 0 {
		c, err := ChordAt(g, best)
		if err != nil {
			return nil, err
		}
		out = append(out, setting{facetChord, c.Height})
	}
	return out, nil
}

// chord is the tooth's width at a height under its tip, both flanks e off
// their plan. A tooth vernier touches with the ends of its jaws, at the height
// it is set to, whatever stands proud above.
func (t ToothGauge) chord(height, e float64) (float64, error) {
	z := t.Tooth.TipRadius() - height
	if len(t.Facets) == 0 {
		sum := 0.0
		for _, g := range []profiles.Gear{t.with(e), t.with(e).Mirrored()} {
			y, ok := trueHalfWidth(g, z)
			if !ok {
				return 0, fmt.Errorf("height %.3f mm below the tip is not on the flank", height)
			}
			sum += y
		}
		return sum, nil
	}
	sum := 0.0
	for _, left := range []bool{false, true} {
		line, err := t.flank(e, left)
		if err != nil {
			return 0, err
		}
		y, ok := profiles.HalfWidthAt(line, z)
		if !ok {
			return 0, fmt.Errorf("height %.3f mm below the tip is not on the flank", height)
		}
		sum += y
	}
	return sum, nil
}

// trueHalfWidth is how wide the tooth is on the side of its true +Y flank at
// height z over the axis.
func trueHalfWidth(g profiles.Gear, z float64) (float64, bool) {
	lo, hi := max(g.FlankFrom(), z), g.TipRadius()
	over := func(r float64) float64 { return r*math.Cos(g.HalfAngle(r)) - z }
	if !(lo < hi) || over(lo) > 0 || over(hi) < 0 {
		return 0, false
	}
	r := geom.Root(lo, hi, (hi-lo)*0x1p-60, over)
	return r * math.Sin(g.HalfAngle(r)), true
}

// chordItem is the chord at a height under the tip, with limits.
func (t ToothGauge) chordItem(key string, height float64) (GaugeItem, error) {
	i := GaugeItem{Key: key, What: "chordal thickness on the pitch circle", Height: height}
	if key == facetChord {
		i.What = "chordal thickness where a facet touches the true flank"
		i.Note = "the best height for a faceted tooth: over a joint the vernier reads the metal left there too"
	}
	return t.limits(i, func(e float64) (float64, error) { return t.chord(height, e) })
}

// limits fills in what is expected and the limits of a size that depends on
// how far the flanks stand off their plan.
func (t ToothGauge) limits(i GaugeItem, size func(e float64) (float64, error)) (GaugeItem, error) {
	room, err := t.room()
	if err != nil {
		return i, err
	}
	for _, at := range []struct {
		v *float64
		e float64
	}{{&i.Nominal, 0}, {&i.Low, -room}, {&i.High, room}} {
		if *at.v, err = size(at.e); err != nil {
			return i, err
		}
	}
	return i, nil
}

// mixedSpan is W over k >= 2 teeth, the new tooth at one end.
func (t ToothGauge) mixedSpan(k int, tooth profiles.Gear) float64 {
	return float64(k-1)*tooth.BasePitch() + tooth.BaseRadius()*(tooth.BaseHalfAngle()+t.Neighbours.BaseHalfAngle())
}

// errNoSpan and errNoPins say why teeth that are no involutes are gauged by chord alone.
var (
	errNoSpan = errors.New("the two anvils touch only involute flanks squarely wherever they lie: gauge this tooth by its chord")
	errNoPins = errors.New("sizes over pins are worked out for involute flanks: gauge this tooth by its chord")
)

func (t ToothGauge) spanItems() (span, old GaugeItem, err error) {
	if t.Tooth.Form != nil {
		return span, old, errNoSpan
	}
	k, err := SpanTeeth(t.Tooth)
	if err != nil {
		return span, old, err
	}
	if span, err = t.spanItem(max(k, 2)); err != nil {
		return span, old, err
	}
	old, err = t.oldSpanItem(max(k, 2))
	return span, old, err
}

func (t ToothGauge) oldSpanItem(k int) (GaugeItem, error) {
	w, err := Span(t.Neighbours, k)
	return GaugeItem{Key: oldSpan, What: fmt.Sprintf("span over %d standing teeth, to compare", k), Teeth: k, Nominal: w, Low: w, High: w}, err
}

// spanItem is the span over k teeth, the new one at an end, with limits: all
// of the difference lies on its one flank.
func (t ToothGauge) spanItem(k int) (GaugeItem, error) {
	if k < 2 {
		return GaugeItem{}, fmt.Errorf("a span over the new tooth alone does not show where it stands: span over 2 teeth or more")
	}
	if _, err := Span(t.Neighbours, k); err != nil {
		return GaugeItem{}, err
	}
	i := GaugeItem{Key: toothSpan, What: fmt.Sprintf("span over %d teeth, the new one at an end", k), Teeth: k}
	w := t.mixedSpan(k, t.Tooth)
	if len(t.Facets) > 0 {
		flat, peak, err := t.underAnvil(w)
		if err != nil {
			return i, err
		}
		w += flat
		i.Note = fmt.Sprintf("lay the anvil flat on a facet; rocked over a joint it reads up to %.3f mm more", peak-flat)
	}
	return t.limits(i, func(e float64) (float64, error) { return w + e, nil })
}

// underAnvil returns what the facets leave under an anvil that lies flat and
// under one that rocks over a joint. It can touch wherever the other anvil is
// still on its involute; w is the span.
func (t ToothGauge) underAnvil(w float64) (flat, peak float64, err error) {
	g := t.Tooth
	root, err := g.Root()
	if err != nil {
		return 0, 0, err
	}
	flank, err := t.flank(0, false)
	if err != nil {
		return 0, 0, err
	}
	rb := g.BaseRadius()
	total := w / rb // sum of both rolls
	tip := g.Roll(g.TipRadius())
	lo, hi := max(root.FormRoll, total-tip), min(tip, total-root.FormRoll)
	flat, peak = math.Inf(1), math.Inf(-1)
	const steps = 400
	for i := range steps + 1 {
		phi := lo + (hi-lo)*float64(i)/steps
		over := g.Support(flank, root.FormRadius, phi) - rb*phi
		flat, peak = min(flat, over), max(peak, over)
	}
	return flat, peak, nil
}

func (t ToothGauge) stockPinItems() (over, old GaugeItem, err error) {
	if t.Tooth.Form != nil {
		return over, old, errNoPins
	}
	stock := t.Pins
	if stock == nil {
		stock = profiles.StockPins(false)
	}
	p, ok := BestGearPin(t.Neighbours, stock)
	if !ok {
		return over, old, fmt.Errorf("no pin at hand serves this gear: bring one of your own, about %.2f mm", 1.728*t.Neighbours.Module)
	}
	if over, err = t.pinItem(p.Pin); err != nil {
		return over, old, err
	}
	old, err = t.oldPinItem(p.Pin)
	return over, old, err
}

func (t ToothGauge) oldPinItem(pin float64) (GaugeItem, error) {
	p, err := OverPins(t.Neighbours, pin)
	return GaugeItem{Key: oldPins, What: "over pins in standing teeth, to compare", Pin: pin, Nominal: p.Over, Low: p.Over, High: p.Over}, err
}

// pinItem is the size over pins of a given diameter, one beside the new tooth.
func (t ToothGauge) pinItem(pin float64) (GaugeItem, error) {
	p, err := OverPins(t.Neighbours, pin)
	if err != nil {
		return GaugeItem{}, err
	}
	i := GaugeItem{Key: toothPins, What: "over pins, one beside the new tooth, one opposite", Pin: pin}
	return t.limits(i, func(e float64) (float64, error) {
		line, err := t.flank(e, false)
		if err != nil {
			return 0, err
		}
		return t.overPinsBeside(line, p)
	})
}

// overPinsBeside returns the size over two pins, one in the space between the
// new tooth's +Y flank and its neighbour, one in the space opposite.
func (t ToothGauge) overPinsBeside(flank []geom.Vec, p PinPlace) (float64, error) {
	n := t.Neighbours
	rb, r := n.BaseRadius(), p.Pin/2
	// The pin rolls up the neighbour: its centre is on the parallel involute.
	centre := func(rad float64) geom.Vec {
		return geom.Polar(rad, n.Pitch()-(n.BaseHalfAngle()+r/rb-profiles.Inv(math.Acos(rb/rad))))
	}
	free := func(rad float64) float64 { return geom.Distance(centre(rad), flank) - r }
	lo, hi := max(rb*(1+1e-9), p.Centre-n.Module), p.Centre+n.Module
	if free(lo) > 0 || free(hi) < 0 {
		return 0, fmt.Errorf("pin of %.3f mm does not lie between the new tooth and its neighbour", p.Pin)
	}
	at := centre(geom.Root(lo, hi, (hi-lo)*0x1p-60, free))
	turns := float64(n.Teeth / 2) // pitches to the space opposite; odd counts have two, half a pitch off
	opposite := geom.Polar(p.Centre, n.Pitch()*(turns+0.5))
	return at.Sub(opposite).Norm() + p.Pin, nil
}
