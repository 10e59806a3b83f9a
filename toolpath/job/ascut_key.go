package job

import (
	"fmt"
	"math"
	"strconv"
)

// AsCutKey is the key of [as_cut] for a reading of a name; not ok: it has none.
func AsCutKey(name string) (k Key, ok bool) {
	k = KeyAt("as_cut." + name)
	return k, k.Name != "" && (k.Kind == Length || k.Kind == SizeAt)
}

// Entry writes a length in mm as the value of the key, in the unit of the file; with
// is what follows the @ where the key has one: the pins' diameter in mm, or the
// number of teeth.
func (k Key) Entry(mm, with float64, units Units) string {
	number := func(mm float64) string {
		digits := 3
		if units == Inch {
			mm, digits = mm/inch, 4
		}
		p := math.Pow10(digits)
		return strconv.FormatFloat(math.Round(mm*p)/p, 'f', -1, 64)
	}
	switch {
	case k.Kind == Length:
		return number(mm)
	case k.At == Count:
		return fmt.Sprintf(`"%s @ %.0f"`, number(mm), with)
	}
	return fmt.Sprintf(`"%s @ %s"`, number(mm), number(with))
}
