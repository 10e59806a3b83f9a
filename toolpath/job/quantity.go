package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A quantity, wherever a person writes one - in a file, a flag or a reading -
// is a number and a unit: "5 mm", "0.25 in", `7 "`, "3/16 in", "1 1/4 in",
// "15 deg", "14 deg 30 min". A number without a unit is in the unit of the
// file. This file holds the one parser of them.

// number is what a person writes for a number: whole with a fraction, fraction
// or decimal. A sign is allowed, a comma is not.
var numberText = regexp.MustCompile(`^[+-]?(?:\d+(?: +|-)\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)`)

// mixed parts a whole number from its fraction.
var mixed = regexp.MustCompile(`^([+-]?)(?:(\d+)(?: +|-))?(\d+)/(\d+)$`)

// takeNumber reads the number that a text begins with; found is "" when it
// begins with none. fraction says that it was written as one.
func takeNumber(s string) (v float64, found string, fraction bool, err error) {
	found = numberText.FindString(s)
	m := mixed.FindStringSubmatch(found)
	if m == nil {
		if found == "" {
			return 0, "", false, nil
		}
		v, err = strconv.ParseFloat(found, 64)
		if err != nil || math.IsInf(v, 0) {
			return 0, found, false, fmt.Errorf("%s is too large a number", quote(found))
		}
		return v, found, false, nil
	}
	whole, errW := strconv.ParseUint("0"+m[2], 10, 32)
	top, errT := strconv.ParseUint(m[3], 10, 32)
	bottom, errB := strconv.ParseUint(m[4], 10, 32)
	if errW != nil || errT != nil || errB != nil || bottom == 0 || m[2] != "" && top >= bottom {
		return 0, found, true, fmt.Errorf("%s is no fraction; write it as 3/16 or 1 1/4", quote(found))
	}
	v = float64(whole) + float64(top)/float64(bottom)
	if m[1] == "-" {
		v = -v
	}
	return v, found, true, nil
}

// takeUnit reads the unit of the kind that a text begins with, the longest
// name that fits; found is "" when there is none.
func takeUnit(k Kind, s string) (u unit, found string) {
	for _, c := range quantities[k].units {
		for _, name := range append([]string{c.name}, c.also...) {
			rest, ok := strings.CutPrefix(s, name)
			if ok && len(name) > len(found) && !beginsWithLetter(rest) {
				u, found = c, name
			}
		}
	}
	return u, found
}

// beginsWithLetter tells "5 in" from the beginning of "5 in/min".
func beginsWithLetter(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r) || r == '/'
}

// UnitNames lists the units that a quantity of the kind may be written in.
func UnitNames(k Kind) string {
	var names []string
	for _, u := range quantities[k].units {
		names = append(names, u.name)
	}
	return strings.Join(names, ", ")
}

// ParseQuantity reads one quantity of a kind that has units, and returns it in
// the unit that a Job holds (mm, rad, mm/min, N m, kW, ...). A number without a
// unit is in the one that bare numbers of the kind have in a file in the given
// units; a bare fraction is read only where that is an inch, for nobody writes
// 3/16 of a millimetre. The error names the text and what would be right.
func ParseQuantity(k Kind, text string, units Units) (float64, error) {
	bare := unitOf(k, units)
	wrong := func(why string) (float64, error) {
		return 0, fmt.Errorf("%s %s; the units are %s, and a bare number is in %s", quote(text), why, UnitNames(k), bare.name)
	}
	rest := strings.TrimSpace(text)
	if len(text) > mostText {
		return wrong("is too long")
	}
	v, found, fraction, err := takeNumber(rest)
	switch {
	case err != nil:
		return 0, fmt.Errorf("%s: %w", quote(text), err)
	case found == "":
		return wrong("is no number")
	}
	rest = strings.TrimLeft(rest[len(found):], " ")
	switch {
	case rest == "" && fraction && bare.factor != inch && k != Angle && bare.name == "mm":
		return 0, fmt.Errorf(`%s: is that inches? a bare number is in %s here: write "%s in", or a decimal`, quote(text), bare.name, found)
	case rest == "":
		return v * bare.factor, nil
	case strings.HasPrefix(rest, ",") && len(rest) > 1:
		return wrong("has a comma: decimals have a point, as 2.5")
	}
	u, name := takeUnit(k, rest)
	if name == "" {
		return wrong("has no unit that is known")
	}
	rest = strings.TrimLeft(rest[len(name):], " ")
	if rest != "" && k == Angle && u.name == "deg" {
		return degreesAndMinutes(v, rest, wrong)
	}
	if rest != "" {
		return wrong("holds more than one number and unit")
	}
	return v * u.factor, nil
}

// degreesAndMinutes reads the "30 min" of "14 deg 30 min".
func degreesAndMinutes(degrees float64, rest string, wrong func(string) (float64, error)) (float64, error) {
	minutes, found, _, err := takeNumber(rest)
	rest = strings.TrimLeft(rest[len(found):], " ")
	u, name := takeUnit(Angle, rest)
	if err != nil || found == "" || u.name != "min" || rest != name || !(minutes >= 0 && minutes < 60) || degrees != math.Trunc(degrees) {
		return wrong("is no angle in degrees and minutes, such as 14 deg 30 min")
	}
	part := minutes / 60
	if degrees < 0 {
		part = -part
	}
	return (degrees + part) * math.Pi / 180, nil
}

// Reading is one length as read from an instrument.
type Reading struct {
	Value float64 // mm
	Sigma float64 // its standard uncertainty, mm; 0: that of the instrument
}

// errReading is what a text without a reading is told.
var errReading = errors.New("a reading is wanted, such as 23.41, \"0.922 in\" or \"23.41 ±0.02\"")

// ParseReadings reads lengths parted by spaces: "23.41 23.40", "0.922 0.921 in",
// "7.000 in ±0.001 in", "1 1/4 in". A number without a unit takes the next unit
// of the text, else the last, else the one of bare lengths in a file of the given units.
// An uncertainty counts for every reading before it that has none.
func ParseReadings(text string, units Units) ([]Reading, error) {
	numbers, err := readingNumbers(text)
	if err != nil {
		return nil, err
	}
	last := unitOf(Length, units)
	for i := len(numbers) - 1; i >= 0; i-- {
		if numbers[i].unit != nil {
			last = *numbers[i].unit
			break
		}
	}
	var out []Reading
	for _, n := range numbers {
		if n.unit == nil {
			n.unit = &last
		}
		mm := n.value * n.unit.factor
		switch {
		case math.IsInf(mm, 0):
			return nil, fmt.Errorf("%g %s is not a size: %w", n.value, n.unit.name, errReading)
		case n.fraction && n.unit.name == "mm":
			return nil, fmt.Errorf("a fraction of a millimetre: is that inches? write it with its unit, as \"3/16 in\"")
		case !n.sigma:
			out = append(out, Reading{Value: mm})
			continue
		case !(mm > 0):
			return nil, fmt.Errorf("the uncertainty ±%g must be positive", n.value)
		}
		for i := len(out) - 1; i >= 0 && out[i].Sigma == 0; i-- {
			out[i].Sigma = mm
		}
	}
	return out, nil
}

// readingNumber is one number of a text of readings.
type readingNumber struct {
	value    float64
	fraction bool
	unit     *unit // nil: none of its own
	sigma    bool  // an uncertainty
}

// plusMinus is how the sign of an uncertainty is written.
var plusMinus = []string{"±", "+/-"}

// readingNumbers parts a text of readings into its numbers.
func readingNumbers(text string) ([]readingNumber, error) {
	var numbers []readingNumber
	sigma := false
	for rest := strings.TrimSpace(text); rest != ""; rest = strings.TrimLeft(rest, " \t") {
		if i := slices.IndexFunc(plusMinus, func(s string) bool { return strings.HasPrefix(rest, s) }); i >= 0 {
			if sigma || len(numbers) == 0 {
				return nil, fmt.Errorf("%s must stand between a reading and its uncertainty: %w", plusMinus[i], errReading)
			}
			sigma, rest = true, rest[len(plusMinus[i]):]
			continue
		}
		if rest[0] == ',' || rest[0] == ';' {
			if next := rest[1:]; next != "" && !strings.ContainsRune(" \t", rune(next[0])) {
				return nil, fmt.Errorf("decimals have a point, and readings are parted by spaces: %w", errReading)
			}
			rest = rest[1:]
			continue
		}
		v, found, fraction, err := takeNumber(rest)
		if err != nil {
			return nil, fmt.Errorf("%w: %w", err, errReading)
		}
		if found != "" {
			numbers = append(numbers, readingNumber{value: v, fraction: fraction, sigma: sigma})
			sigma, rest = false, rest[len(found):]
			continue
		}
		u, name := takeUnit(Length, rest)
		if name == "" {
			return nil, fmt.Errorf("%s is not understood: %w", quote(rest), errReading)
		}
		if len(numbers) == 0 || numbers[len(numbers)-1].unit != nil {
			return nil, fmt.Errorf("the unit %s has no number before it: %w", name, errReading)
		}
		for i := len(numbers) - 1; i >= 0 && numbers[i].unit == nil; i-- {
			numbers[i].unit = &u
		}
		rest = rest[len(name):]
	}
	if sigma || len(numbers) == 0 || numbers[0].sigma {
		return nil, errReading
	}
	return numbers, nil
}

// ParseReading reads exactly one length.
func ParseReading(text string, units Units) (Reading, error) {
	r, err := ParseReadings(text, units)
	if err != nil {
		return Reading{}, err
	}
	if len(r) != 1 {
		return Reading{}, fmt.Errorf("%d readings where one is wanted", len(r))
	}
	return r[0], nil
}
