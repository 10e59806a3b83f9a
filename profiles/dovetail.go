package profiles

import (
	"fmt"
	"math"
)

// DovetailSize is the section of a dovetail, of the slot or of the insert.
// Lengths mm, angles rad.
type DovetailSize struct {
	Mouth     float64 // the narrow width: at the seat (slot) or under the shoulders (insert)
	Depth     float64 // from the narrow width to the wide flat
	HalfAngle float64 // b: flank from the middle plane, half the included angle
}

// Floor returns the wide width, at the slot's floor or the insert's end.
func (d DovetailSize) Floor() float64 { return d.Mouth + 2*d.Depth*math.Tan(d.HalfAngle) }

// Validate says whether the section can exist.
func (d DovetailSize) Validate() error {
	switch {
	case !(d.Mouth > 0):
		return fmt.Errorf("dovetail mouth %.3f mm: it must be positive", d.Mouth)
	case !(d.Depth > 0):
		return fmt.Errorf("dovetail depth %.3f mm: it must be positive", d.Depth)
	case !(d.HalfAngle > 0) || !(d.HalfAngle < math.Pi/4+1e-9):
		return fmt.Errorf("dovetail included angle %.2f degrees: it must be above 0 and at most 90", d.HalfAngle*360/math.Pi)
	}
	return nil
}

// pinFactor is 1 + cot(alpha/2), alpha = 90 deg - b the angle between the
// floor and the flank (Machinery's Handbook, measuring dovetail slides).
func (d DovetailSize) pinFactor() float64 {
	return 1 + 1/math.Tan((math.Pi/2-d.HalfAngle)/2)
}

// PinContact returns how far from the corner, along the middle plane, a pin of
// the given diameter touches the flank: D (1 + cos alpha) / 2, which must not
// be more than the depth.
func (d DovetailSize) PinContact(pin float64) float64 {
	return pin * (1 + math.Sin(d.HalfAngle)) / 2
}

// checkPin says whether pins of the diameter touch the flank.
func (d DovetailSize) checkPin(pin float64) error {
	if !(pin > 0) {
		return fmt.Errorf("pin of %.3f mm: the diameter must be positive", pin)
	}
	if c := d.PinContact(pin); c > d.Depth {
		return fmt.Errorf("pin of %.3f mm touches %.3f mm from the corner, beyond the flank of %.3f mm", pin, c, d.Depth)
	}
	return nil
}

// OverPins returns the size over two pins laid in the corners between the
// shoulders and the flanks of the male part: x = a + D (1 + cot(alpha/2)), a
// the narrow width (Machinery's Handbook).
func (d DovetailSize) OverPins(pin float64) (float64, error) {
	if err := d.checkPin(pin); err != nil {
		return 0, err
	}
	return d.Mouth + pin*d.pinFactor(), nil
}

// BetweenPins returns the size between two pins laid in the corners of the
// slot's floor: y = b - D (1 + cot(alpha/2)), b the wide width (Machinery's
// Handbook).
func (d DovetailSize) BetweenPins(pin float64) (float64, error) {
	if err := d.checkPin(pin); err != nil {
		return 0, err
	}
	y := d.Floor() - pin*d.pinFactor()
	if y < 0 {
		return 0, fmt.Errorf("two pins of %.3f mm find no room on a floor of %.3f mm", pin, d.Floor())
	}
	return y, nil
}

// MouthOver returns the narrow width of a male part that measures over over
// two pins: the inverse of OverPins.
func (d DovetailSize) MouthOver(over, pin float64) (float64, error) {
	if err := d.checkPin(pin); err != nil {
		return 0, err
	}
	return over - pin*d.pinFactor(), nil
}

// MouthBetween returns the narrow width of a slot of this depth that measures
// between between two pins: the inverse of BetweenPins.
func (d DovetailSize) MouthBetween(between, pin float64) (float64, error) {
	if err := d.checkPin(pin); err != nil {
		return 0, err
	}
	return between + pin*d.pinFactor() - 2*d.Depth*math.Tan(d.HalfAngle), nil
}

// Stock pins, mm: metric dowels to 50 mm (ISO 2338) and inch dowels to 2 in
// (ASME B18.8.2), from memory.
var (
	stockPinsMetric = []float64{0.6, 0.8, 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 40, 50}
	stockPinsInch   = []float64{
		1. / 32 * inch, 3. / 64 * inch, 1. / 16 * inch, 5. / 64 * inch, 3. / 32 * inch, 1. / 8 * inch, 5. / 32 * inch, 3. / 16 * inch, 1. / 4 * inch, 5. / 16 * inch,
		3. / 8 * inch, 7. / 16 * inch, 1. / 2 * inch, 5. / 8 * inch, 3. / 4 * inch, 7. / 8 * inch, 1 * inch, 1.25 * inch, 1.5 * inch, 2 * inch,
	}
)

// StockPins returns the diameters, in mm, of pins one can buy: metric or inch
// sizes.
func StockPins(inchSizes bool) []float64 {
	src := stockPinsMetric
	if inchSizes {
		src = stockPinsInch
	}
	return append([]float64(nil), src...)
}

// The part of the flank where a pin should touch, as shares of the depth: away
// from the corner, which is never sharp, and from the edge, which is broken.
const (
	pinContactLow  = 0.2
	pinContactHigh = 0.80
)

// BestPin returns the pin of the stock that touches nearest to the middle of
// the flank and of which two find room on the slot's floor, and whether there
// is one.
func (d DovetailSize) BestPin(stock []float64) (float64, bool) {
	return d.bestPin(stock, func(pin float64) bool {
		_, err := d.BetweenPins(pin)
		return err == nil
	})
}

// bestPin is BestPin for pins that fit in a way of their own.
func (d DovetailSize) bestPin(stock []float64, fits func(pin float64) bool) (float64, bool) {
	best, off := 0.0, math.Inf(1)
	for _, pin := range stock {
		c := d.PinContact(pin) / d.Depth
		if c < pinContactLow || c > pinContactHigh || !fits(pin) {
			continue
		}
		if o := math.Abs(c - 0.5); o < off {
			best, off = pin, o
		}
	}
	return best, best > 0
}

// BestPinOnShoulder is BestPin for a male dovetail whose shoulders are shoulder
// mm wide beside its mouth: the pin must rest on one with its lowest line.
func (d DovetailSize) BestPinOnShoulder(stock []float64, shoulder float64) (float64, bool) {
	return d.bestPin(stock, func(pin float64) bool { return pin/2*(d.pinFactor()-1) <= shoulder })
}

// LeastShoulder is the thinnest shoulder beside the dovetail that is no feather,
// mm: a third of a module, our own rule.
func LeastShoulder(module float64) float64 { return module / 3 }

// RoundOff is the length over which a cutter of radius r rounds a step of
// height h, mm: its side leaves the step only where r - sqrt(r^2-x^2) = h, and
// over its radius where the step is higher than that.
func RoundOff(r, h float64) float64 {
	h = min(h, r)
	return math.Sqrt(max(0, 2*r*h-h*h))
}
