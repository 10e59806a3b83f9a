package measure

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"cogmend/profiles"
)

// Sheet is all there is to measure on a repair.
type Sheet struct {
	Joint []GaugeItem // of slot and insert; none when they are not known
	Tooth []GaugeItem // of the new tooth

	joint *DovetailGauge
	tooth ToothGauge
}

// NewSheet lists the sizes of a joint, nil when it is not known, and of a
// tooth. It is an error when either cannot be.
func NewSheet(joint *DovetailGauge, tooth ToothGauge) (*Sheet, error) {
	s := &Sheet{joint: joint, tooth: tooth}
	var err error
	if joint != nil {
		if s.Joint, err = joint.Items(); err != nil {
			return nil, err
		}
	}
	if s.Tooth, err = tooth.Items(); err != nil {
		return nil, err
	}
	// The height at which a facet lies on the true flank is the one to trust.
	slices.SortStableFunc(s.Tooth, func(a, b GaugeItem) int {
		switch {
		case a.Key == facetChord && b.Key != facetChord:
			return -1
		case b.Key == facetChord && a.Key != facetChord:
			return 1
		}
		return 0
	})
	return s, nil
}

// Items returns all sizes, those of the joint first.
func (s *Sheet) Items() []GaugeItem { return slices.Concat(s.Joint, s.Tooth) }

// SheetReading is one size of the sheet as it was read, and what it was read
// with where that is not the sheet's. Lengths mm.
type SheetReading struct {
	Name   string  // the key of its GaugeItem
	Value  float64 // as read
	Pin    float64 // diameter; 0: the sheet's
	Height float64 // of the vernier under the tip; 0: the sheet's
	Teeth  int     // spanned; 0: the sheet's
	Depth  float64 // of the slot as read, for a size between its pins; 0: not read
}

// Answer is what one reading of the sheet says.
type Answer struct {
	Item     GaugeItem        // with what it was read with, and its limits for that
	Over     float64          // the reading less Item.Nominal, mm
	Within   bool             // between the limits; always so for what is only compared
	Slip     string           // the likeliest slip, when the reading is far off and one explains it
	Dovetail *DovetailReading // what it says of slot or insert; nil: nothing
	Tooth    *ToothReading    // what it says of the tooth's thickness; nil: nothing
	Wear     *Wear            // what it says of a worn tooth; nil: nothing
}

// ErrImpossible is a reading that no cut can have given.
type ErrImpossible struct {
	Value     float64 // mm
	Low, High float64 // what it could be at most, mm
	Slip      string  // the likeliest slip; "" when none explains it
	Teeth     int     // over which a span was taken to be read; 0: it is none
	Counted   bool    // the reading said over how many; false: the sheet's count was taken
}

// Taken says over how many teeth the reading was taken to be, "" for what is no span.
func (e *ErrImpossible) Taken() string {
	switch {
	case e.Teeth == 0:
		return ""
	case e.Counted:
		return fmt.Sprintf("over %d teeth ", e.Teeth)
	}
	return fmt.Sprintf("taken over %d teeth, the sheet's count as none stands after an @: ", e.Teeth)
}

// Error says what would be possible, and the slip.
func (e *ErrImpossible) Error() string {
	text := e.Taken() + fmt.Sprintf("%.3f mm cannot be: %.3f to %.3f mm could", e.Value, e.Low, e.High)
	if e.Slip != "" {
		text += "; " + e.Slip
	}
	return text
}

// ErrNoSuchSize is a reading of a name that the sheet does not have.
type ErrNoSuchSize struct{ Names []string }

// Error lists the names there are.
func (e *ErrNoSuchSize) Error() string {
	return "no such size; there are " + strings.Join(e.Names, ", ")
}

// Read says what a reading means. A reading that cannot be is an
// ErrImpossible with the likeliest slip.
func (s *Sheet) Read(r SheetReading) (Answer, error) {
	items := s.Items()
	at := slices.IndexFunc(items, func(i GaugeItem) bool { return i.Key == r.Name })
	if at < 0 {
		names := make([]string, len(items))
		for i, it := range items {
			names[i] = it.Key
		}
		return Answer{}, &ErrNoSuchSize{names}
	}
	if !(r.Value >= 0) || math.IsInf(r.Value, 0) {
		return Answer{}, fmt.Errorf("%.6g mm is not a size", r.Value)
	}
	a := Answer{Item: items[at]}
	err := s.answer(&a, r)
	if err == nil && a.Item.Nominal != 0 {
		a.Over = r.Value - a.Item.Nominal
		a.Within = a.Wear != nil || a.Item.Within(r.Value)
		if !a.Within && math.Abs(a.Over) > s.odd() {
			a.Slip = s.slip(a.Item, r, items)
		}
	}
	var impossible *ErrImpossible
	if errors.As(err, &impossible) {
		impossible.Slip = cmp.Or(s.slip(a.Item, r, items), s.nearestCount(a.Item, r.Value))
		if a.Item.Key == toothSpan || a.Item.Key == oldSpan {
			impossible.Teeth, impossible.Counted = a.Item.Teeth, r.Teeth != 0
		}
	}
	return a, err
}

// odd is how far off a reading must be before a slip is thought of, mm. Own
// rule.
func (s *Sheet) odd() float64 { return max(0.1, 0.05*s.tooth.Tooth.Module) }

// wildWidth is how far off a width of slot or insert may be read before it is
// taken for a slip, mm. Own rule.
const wildWidth = 2

// answer fills in the size as it was read with and what it says.
func (s *Sheet) answer(a *Answer, r SheetReading) (err error) {
	pin := r.Pin
	if pin == 0 {
		pin = a.Item.Pin
	}
	k := r.Teeth
	if k == 0 {
		k = a.Item.Teeth
	}
	needPin := func() error {
		if pin == 0 {
			return fmt.Errorf("%s", a.Item.Note)
		}
		return nil
	}
	switch r.Name {
	case slotPins, tightPins, slidingPins:
		if err := needPin(); err != nil {
			return err
		}
		return s.answerDovetail(a, r, pin)
	case toothPins:
		if err := needPin(); err != nil {
			return err
		}
		if a.Item, err = s.tooth.pinItem(pin); err != nil {
			return err
		}
		return a.tooth(s.tooth.ReadPins(pin, r.Value))
	case toothSpan:
		if a.Item.Note != "" && a.Item.Teeth == 0 {
			return errors.New(a.Item.Note)
		}
		if k == 0 {
			return fmt.Errorf("this gear has no span; gauge by chord or pins")
		}
		if a.Item, err = s.tooth.spanItem(k); err != nil {
			return err
		}
		return a.tooth(s.tooth.ReadSpan(k, r.Value))
	case toothChord, facetChord:
		if r.Height > 0 {
			if a.Item, err = s.tooth.chordItem(r.Name, r.Height); err != nil {
				return err
			}
		}
		return a.tooth(s.tooth.ReadChord(a.Item.Height, r.Value))
	case oldPins:
		if err := needPin(); err != nil {
			return err
		}
		if a.Item, err = s.tooth.oldPinItem(pin); err != nil {
			return err
		}
		return a.wear(s.tooth.ReadOld(0, pin, r.Value))
	case oldSpan:
		if a.Item, err = s.tooth.oldSpanItem(k); err != nil {
			return err
		}
		return a.wear(s.tooth.ReadOld(k, 0, r.Value))
	}
	return wild(a.Item, r.Value)
}

// wild refuses a width or a depth that is too far off to have been cut.
func wild(i GaugeItem, value float64) error {
	far := min(wildWidth, i.Nominal/2)
	if math.Abs(value-i.Nominal) > far {
		return &ErrImpossible{Value: value, Low: i.Nominal - far, High: i.Nominal + far}
	}
	return nil
}

func (a *Answer) tooth(r ToothReading, err error) error {
	if a.Item.Key == facetChord {
		r.Spread = 0
	}
	a.Tooth = &r
	return err
}

func (a *Answer) wear(w Wear, err error) error {
	a.Wear = &w
	return err
}

func (s *Sheet) answerDovetail(a *Answer, r SheetReading, pin float64) (err error) {
	d := s.joint
	if a.Item, err = d.pinItem(r.Name, pin, r.Depth); err != nil {
		return err
	}
	if err := wild(a.Item, r.Value); err != nil && a.Item.Nominal > wildWidth {
		return err
	}
	var read DovetailReading
	switch r.Name {
	case slotPins:
		slot := d.Slot
		if r.Depth > 0 {
			slot.Depth = r.Depth
		}
		read, err = ReadSlot(slot, r.Value, pin)
	case tightPins:
		read, err = ReadInsert(d.Insert, r.Value, pin)
	default:
		size := d.Insert
		size.Mouth = d.Slide
		read, err = ReadInsert(size, r.Value, pin)
	}
	if err != nil {
		return err
	}
	if math.Abs(read.Over) > wildWidth {
		return &ErrImpossible{Value: r.Value, Low: max(0, a.Item.Nominal-wildWidth), High: a.Item.Nominal + wildWidth}
	}
	a.Dovetail = &read
	return nil
}

// slip finds the likeliest mistake that would explain a reading: the unit, the
// count of teeth, the pin, the name. It returns "" when none explains it
// better than half of what is odd.
func (s *Sheet) slip(item GaugeItem, r SheetReading, items []GaugeItem) string {
	best, off := "", s.odd()/2
	try := func(want, read float64, text string) {
		if d := math.Abs(read - want); want > 0 && d < off {
			best, off = text, d
		}
	}
	try(item.Nominal, r.Value*inch, "in inches it would agree: give it its unit, \"in\"")
	try(item.Nominal, r.Value/inch, "in mm it would agree: give it its unit, \"mm\"")
	s.otherCounts(item, func(want float64, k int) {
		try(want, r.Value, fmt.Sprintf("over %d teeth it would agree: count them, and put the count after an @", k))
	})
	s.otherPins(item, r.Depth, func(want, pin float64) {
		try(want, r.Value, fmt.Sprintf("with pins of %.3f mm (%.4f in) it would agree: measure the pin, and put it after an @", pin, pin/inch))
	})
	for _, i := range items {
		if i.Key != item.Key {
			try(i.Nominal, r.Value, "it is what "+i.Key+" should read: another name?")
		}
	}
	if item.Key == toothPins || item.Key == oldPins {
		try(2*s.tooth.Tooth.TipRadius(), r.Value, "it is the outside diameter: with pins it is more")
	}
	try(item.Nominal, 10*r.Value, "ten times as much would agree: the point?")
	try(item.Nominal, r.Value/10, "a tenth of it would agree: the point?")
	return best
}

// nearestCount names the count of teeth over which a span that cannot be could have
// been read, of a tooth off its plan as far as any is; "" when there is none. The
// base pitch is some six times as wide, so there are not two.
func (s *Sheet) nearestCount(item GaugeItem, value float64) (text string) {
	s.otherCounts(item, func(want float64, k int) {
		if math.Abs(value-want) < wildShare*s.tooth.Tooth.Module {
			text = fmt.Sprintf("over %d teeth it could be: count them, and put the count after an @", k)
		}
	})
	return text
}

// otherCounts gives what a span would be over other counts of teeth.
func (s *Sheet) otherCounts(item GaugeItem, give func(want float64, k int)) {
	for _, step := range []int{-1, 1, -2, 2, 3, -3} {
		k := item.Teeth + step
		switch {
		case k < 1:
		case item.Key == oldSpan:
			give(span(s.tooth.Neighbours, k), k)
		case item.Key == toothSpan:
			give(s.tooth.mixedSpan(k, s.tooth.Tooth), k)
		}
	}
}

// otherPins gives what a size would be by other pins that one can buy.
func (s *Sheet) otherPins(item GaugeItem, depth float64, give func(want, pin float64)) {
	if item.Pin == 0 {
		return
	}
	for _, pin := range append(profiles.StockPins(false), profiles.StockPins(true)...) {
		var i GaugeItem
		var err error
		switch item.Key {
		case toothPins:
			i, err = s.tooth.pinItem(pin)
		case oldPins:
			i, err = s.tooth.oldPinItem(pin)
		default:
			i, err = s.joint.pinItem(item.Key, pin, depth)
		}
		if err == nil && math.Abs(pin-item.Pin) > 1e-6 {
			give(i.Nominal, pin)
		}
	}
}
