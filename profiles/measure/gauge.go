package measure

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// GaugeItem is one line of an inspection sheet. Lengths mm.
type GaugeItem struct {
	Key     string  // stable name, e.g. "slot.between_pins"
	What    string  // in words
	Nominal float64 // what a perfect cut measures; 0: it cannot be measured, and Note says why
	Low     float64 // limits, Low <= Nominal <= High; both Nominal for a size that is only compared
	High    float64
	Pin     float64 // diameter of the pins, when pins are used
	Teeth   int     // teeth spanned, when it is a span
	Height  float64 // height to set on the tooth vernier, when it is a chord
	Note    string  // what else to know of it; may be empty
}

// With names the pin, the height or the teeth a size is measured with, lengths as
// length writes them; "-" for a plain size.
func (i GaugeItem) With(length func(mm float64) string) string {
	switch {
	case i.Pin > 0:
		return "pins " + length(i.Pin)
	case i.Height > 0:
		return "height " + length(i.Height)
	case i.Teeth > 0:
		return fmt.Sprintf("%d teeth", i.Teeth)
	}
	return "-"
}

// readSlack is half the last place a sheet prints, 0.00005 in: what is printed
// and typed in again is still the same size. mm.
const readSlack = 0.00127

// Within says whether a reading lies between the limits, as finely as they are
// printed.
func (i GaugeItem) Within(value float64) bool {
	return value >= i.Low-readSlack && value <= i.High+readSlack
}

// DovetailGauge is what the sheet of a dovetail joint is made from. Lengths
// mm.
type DovetailGauge struct {
	Slot     profiles.DovetailSize // as it should be cut
	Insert   profiles.DovetailSize // in its tight middle
	Slide    float64               // the insert's mouth at its sliding ends
	Shoulder float64               // width of one flat beside the insert's mouth on which a pin lies
	Seat     float64               // of the slot, below the tips of the level neighbours; 0: not gauged
	Width    float64               // tolerance on widths, plus and minus
	Depth    float64               // tolerance on the slot's depth, plus, and on the seat's, plus and minus
	// MostOver is by how much the tight middle may be wider than the slot before
	// the casting is in danger; 0: not known. No two readings inside the limits
	// of slot and insert give more.
	MostOver float64
	Pins     []float64 // pins to choose from, diameters; nil: the metric ones one can buy
}

// wider is the tolerance of the sides that tighten the joint: a narrower slot,
// a wider insert. It is nothing when the tight middle itself is too much.
func (d DovetailGauge) wider() float64 {
	if d.MostOver <= 0 {
		return d.Width
	}
	return max(0, min(d.Width, (d.MostOver-(d.Insert.Mouth-d.Slot.Mouth))/2))
}

func plain(key, what string, v, low, high float64) GaugeItem {
	return GaugeItem{Key: key, What: what, Nominal: v, Low: v - low, High: v + high}
}

// Items returns the sizes over and between pins and the plain widths, with
// limits, of slot and insert. It is an error when the joint cannot be.
func (d DovetailGauge) Items() ([]GaugeItem, error) {
	for _, s := range []profiles.DovetailSize{d.Slot, d.Insert} {
		if err := s.Validate(); err != nil {
			return nil, err
		}
	}
	if !(d.Width >= 0) || !(d.Depth >= 0) {
		return nil, fmt.Errorf("tolerances %g and %.6g mm must not be negative", d.Width, d.Depth)
	}
	tighter := d.wider()
	items := []GaugeItem{
		plain("slot.mouth", "slot, width of its mouth, at the seat", d.Slot.Mouth, tighter, d.Width),
		plain("slot.floor", "slot, width at the floor", d.Slot.Floor(), tighter, d.floorHigh()),
		plain("slot.depth", "slot, depth from the seat", d.Slot.Depth, 0, d.Depth),
	}
	if d.Seat > 0 {
		items = append(items, plain("slot.seat", "slot, seat below the tips of the level neighbours", d.Seat, d.Depth, d.Depth))
	}
	items = append(items,
		plain("insert.mouth_tight", "insert, width under the shoulders, tight middle", d.Insert.Mouth, d.Width, tighter),
		plain("insert.mouth_sliding", "insert, width under the shoulders, ends", d.Slide, d.Width, tighter),
		plain("insert.floor_tight", "insert, width of the wide flat, tight middle", d.Insert.Floor(), d.Width, tighter))
	for _, key := range []string{slotPins, tightPins, slidingPins} {
		items = append(items, d.stockPinItem(key))
	}
	return items, nil
}

// Names of the dovetail's sizes by pins.
const (
	slotPins    = "slot.between_pins"
	tightPins   = "insert.over_pins_tight"
	slidingPins = "insert.over_pins_sliding"
)

// floorHigh is the upper tolerance of the slot's floor: a slot that is deeper
// at the same mouth is wider there.
func (d DovetailGauge) floorHigh() float64 {
	return d.Width + 2*d.Depth*math.Tan(d.Slot.HalfAngle)
}

// stockPinItem is the size by the pin that serves best, or a line that says
// why none does.
func (d DovetailGauge) stockPinItem(key string) GaugeItem {
	stock := d.Pins
	if stock == nil {
		stock = profiles.StockPins(false)
	}
	none := GaugeItem{Key: key, What: pinWords[key]}
	var pin float64
	var ok bool
	switch {
	case key == slotPins:
		pin, ok = d.Slot.BestPin(stock)
		none.Note = "no pin at hand fits this slot: gauge the mouth, or bring a pin of your own"
	default:
		pin, ok = d.Insert.BestPinOnShoulder(stock, d.Shoulder)
		none.Note = "no pin at hand lies on the shoulders: gauge before the shoulders are cut narrow, or bring a pin of your own"
	}
	if !ok {
		return none
	}
	item, err := d.pinItem(key, pin, 0)
	if err != nil {
		none.Note = err.Error()
		return none
	}
	return item
}

var pinWords = map[string]string{
	slotPins:    "slot, between two pins on the floor",
	tightPins:   "insert, over two pins on the shoulders, tight middle",
	slidingPins: "insert, over two pins on the shoulders, ends",
}

// pinItem is the size by pins of a given diameter. A slot whose depth was read
// has narrower limits; depth 0: not read.
func (d DovetailGauge) pinItem(key string, pin, depth float64) (GaugeItem, error) {
	var item GaugeItem
	switch key {
	case slotPins:
		slot, high := d.Slot, d.floorHigh()
		if depth > 0 {
			slot.Depth, high = depth, d.Width
		}
		y, err := slot.BetweenPins(pin)
		if err != nil {
			return item, err
		}
		item = plain(key, pinWords[key], y, d.wider(), high)
	default:
		size := d.Insert
		if key == slidingPins {
			size.Mouth = d.Slide
		}
		x, err := size.OverPins(pin)
		if err != nil {
			return item, err
		}
		item = plain(key, pinWords[key], x, d.Width, d.wider())
	}
	item.Pin = pin
	return item, nil
}
