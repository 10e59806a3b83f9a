package cli

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"cogmend/toolpath/job"
)

// reading is one length as read from an instrument, mm.
type reading struct {
	value float64
	sigma float64 // 0: as the instrument
}

// readingPart finds one part of a reading's text: a number, the sign of an
// uncertainty, a unit, or what lies between two readings.
var readingPart = regexp.MustCompile(`^(?:([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)|(±|\+/-)|(mm|um|µm|μm|inch|in|thou|")|(\s+|[,;](?:\s+|$)))`)

// unitMM is how many mm a unit of a reading is.
var unitMM = map[string]float64{"mm": 1, "um": 1e-3, "µm": 1e-3, "μm": 1e-3, "in": 25.4, "inch": 25.4, `"`: 25.4, "thou": 0.0254}

// errReading is what a text without a reading is told.
var errReading = errors.New("a reading is wanted, such as 23.41, \"0.922 in\" or \"23.41 ±0.02\"")

// parseReadings reads lengths parted by spaces: "23.41 23.40",
// "0.922 0.921 in", "7.000 in ±0.001 in". A number without a unit takes the
// next unit of the text, else the last, else that of bare lengths. An
// uncertainty counts for every reading before it that has none.
func parseReadings(text string, bare job.Units) ([]reading, error) {
	type number struct {
		value float64
		unit  string
		sigma bool
	}
	var numbers []number
	sigma, last := false, ""
	for rest := strings.TrimSpace(text); rest != ""; {
		m := readingPart.FindStringSubmatch(rest)
		if m == nil {
			return nil, fmt.Errorf("%q is not understood: %w", rest, errReading)
		}
		rest = rest[len(m[0]):]
		switch {
		case m[1] != "":
			v, err := strconv.ParseFloat(m[1], 64)
			if err != nil || math.IsInf(v, 0) {
				return nil, fmt.Errorf("%q is not a number: %w", m[1], errReading)
			}
			numbers = append(numbers, number{v, "", sigma})
			sigma = false
		case m[2] != "":
			if sigma || len(numbers) == 0 {
				return nil, fmt.Errorf("%s must stand between a reading and its uncertainty: %w", m[2], errReading)
			}
			sigma = true
		case m[3] != "":
			if len(numbers) == 0 || numbers[len(numbers)-1].unit != "" {
				return nil, fmt.Errorf("the unit %s has no number before it: %w", m[3], errReading)
			}
			last = m[3]
			for i := len(numbers) - 1; i >= 0 && numbers[i].unit == ""; i-- {
				numbers[i].unit = last
			}
		}
	}
	if sigma || len(numbers) == 0 || numbers[0].sigma {
		return nil, errReading
	}
	if last == "" {
		last = bareUnit(bare)
	}
	var out []reading
	for _, n := range numbers {
		if n.unit == "" {
			n.unit = last
		}
		mm := n.value * unitMM[n.unit]
		if math.IsInf(mm, 0) {
			return nil, fmt.Errorf("%g %s is not a size: %w", n.value, n.unit, errReading)
		}
		if !n.sigma {
			out = append(out, reading{value: mm})
			continue
		}
		if !(mm > 0) {
			return nil, fmt.Errorf("the uncertainty ±%g must be positive", n.value)
		}
		for i := len(out) - 1; i >= 0 && out[i].sigma == 0; i-- {
			out[i].sigma = mm
		}
	}
	return out, nil
}

// oneReading reads exactly one length.
func oneReading(text string, bare job.Units) (reading, error) {
	r, err := parseReadings(text, bare)
	if err != nil {
		return reading{}, err
	}
	if len(r) != 1 {
		return reading{}, fmt.Errorf("%d readings where one is wanted", len(r))
	}
	return r[0], nil
}

// headed cuts "3: 23.41 23.40" at the colon.
func headed(text, what string) (head, rest string, err error) {
	head, rest, ok := strings.Cut(text, ":")
	if !ok || strings.TrimSpace(head) == "" {
		return "", "", fmt.Errorf("%s and a colon are wanted first, such as %s", what, `"3: 23.41"`)
	}
	return strings.TrimSpace(head), rest, nil
}

// countedReadings reads "3: 23.41 23.40": a count and readings.
func countedReadings(text, what string, bare job.Units) (count int, rs []reading, err error) {
	head, rest, err := headed(text, what)
	if err != nil {
		return 0, nil, err
	}
	if count, err = strconv.Atoi(head); err != nil {
		return 0, nil, fmt.Errorf("%q is not %s", head, what)
	}
	rs, err = parseReadings(rest, bare)
	return count, rs, err
}

// pinnedReadings reads "5: 178.2": a pin diameter and readings.
func pinnedReadings(text string, bare job.Units) (pin float64, rs []reading, err error) {
	head, rest, err := headed(text, "the pin's diameter")
	if err != nil {
		return 0, nil, err
	}
	p, err := oneReading(head, bare)
	if err != nil {
		return 0, nil, fmt.Errorf("the pin's diameter: %w", err)
	}
	rs, err = parseReadings(rest, bare)
	return p.value, rs, err
}

// quantityFlag reads a number with one of the units; a bare number is in the
// first.
func quantityFlag(name, text string, units []quantityUnit) (float64, error) {
	s := strings.TrimSpace(text)
	factor := units[0].factor
	for _, u := range units {
		if t, ok := strings.CutSuffix(s, u.name); ok {
			s, factor = strings.TrimSpace(t), u.factor
			break
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("--%s %q: a number in %s is wanted, such as %q", name, text, unitList(units), "12 "+units[0].name)
	}
	return v * factor, nil
}

// quantityUnit is a unit of a flag and what it is in the unit used inside.
type quantityUnit struct {
	name   string
	factor float64
}

func unitList(units []quantityUnit) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.name
	}
	return strings.Join(names, ", ")
}
