package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Kind is what the value of a key is.
type Kind int

// The kinds of value.
const (
	Length       Kind = iota // mm
	Module                   // mm; a bare number is mm in inch files too
	Angle                    // rad
	Feed                     // mm/min
	Spindle                  // rev/min
	Torque                   // N m
	Power                    // kW
	Rate                     // rad/s
	Duration                 // s
	Acceleration             // mm/s^2
	Number                   // without unit
	Count                    // whole number
	Text
	Choice  // one word of a set
	Flag    // true or false
	Span    // two lengths, low and high
	SizeAt  // a length @ what it was read with: "0.25 @ 3"
	Lengths // list of lengths
	Counts  // list of whole numbers
	Texts   // list of texts
)

// unit is a unit a value may be written in.
type unit struct {
	name   string
	factor float64  // to the unit a Job holds
	also   []string // other ways to write it
}

// quantity lists the units of a kind. A bare number is in the first in mm
// files and in the one at inch in inch files.
type quantity struct {
	units []unit
	inch  int
}

const inch = 25.4

// Conversions: the inch is 25.4 mm, the pound force 4.4482216 N, the
// horsepower 550 lbf ft/s (NIST SP 811, appendix B.8).
const (
	poundForce = 4.4482216152605 // N
	foot       = 0.3048          // m
)

var lengths = quantity{[]unit{
	{"mm", 1, nil},
	{"in", inch, []string{"inch", "inches", `"`, "″", "”"}},
	{"um", 1e-3, []string{"µm", "μm"}}, // the micro sign and the Greek letter
	{"thou", inch / 1000, nil},
}, 1}

var quantities = map[Kind]quantity{
	Length:  lengths,
	Span:    lengths,
	SizeAt:  lengths,
	Lengths: lengths,
	Module:  {lengths.units, 0},
	Angle: {[]unit{
		{"deg", math.Pi / 180, []string{"°", "degrees"}},
		{"min", math.Pi / 180 / 60, []string{"'", "′"}}, // minutes of arc
		{"rad", 1, nil},
	}, 0},
	Feed:         {[]unit{{"mm/min", 1, nil}, {"in/min", inch, nil}}, 1},
	Spindle:      {[]unit{{"rev/min", 1, []string{"rpm"}}}, 0},
	Torque:       {[]unit{{"N m", 1, []string{"Nm"}}, {"lbf ft", poundForce * foot, nil}, {"lbf in", poundForce * foot / 12, nil}}, 0},
	Power:        {[]unit{{"kW", 1, nil}, {"W", 1e-3, nil}, {"hp", 550 * poundForce * foot / 1000, nil}}, 0},
	Rate:         {[]unit{{"deg/s", math.Pi / 180, nil}, {"rev/min", math.Pi / 30, nil}}, 0},
	Duration:     {[]unit{{"s", 1, nil}, {"min", 60, nil}}, 0},
	Acceleration: {[]unit{{"mm/s2", 1, nil}, {"in/s2", inch, nil}}, 1},
}

// unitOf returns the unit of a bare number of the kind.
func unitOf(k Kind, units Units) unit {
	q, ok := quantities[k]
	switch {
	case !ok:
		return unit{factor: 1}
	case units == Inch:
		return q.units[q.inch]
	}
	return q.units[0]
}

// places of decimals a message shows: a hundredth of what a program writes
// would only bury the number.
const (
	shownMM   = 3
	shownInch = 4
)

// show writes a value of a Job in the unit of the file.
func show(k Kind, v float64, units Units) string {
	u := unitOf(k, units)
	if u.name == "" {
		return trim(v, 4)
	}
	digits := shownMM
	if u.factor == inch {
		digits = shownInch
	}
	return trim(v/u.factor, digits) + " " + u.name
}

func trim(v float64, digits int) string {
	if math.Abs(v) >= 1e9 {
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	if v != 0 && math.Abs(v) < math.Pow10(-digits) {
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// typeName names a decoded TOML value for a message.
func typeName(v any) string {
	switch v := v.(type) {
	case string:
		return quote(v) + " is text"
	case bool:
		return fmt.Sprintf("%t is a flag", v)
	case int64, float64:
		return written(v) + " is a number"
	case time.Time:
		return "this is a date"
	case []any, []map[string]any:
		return "this is a list"
	case map[string]any:
		return "this is a table"
	}
	return "this is no value of a job"
}

// quoted text in a message is cut after so many characters.
const mostQuoted = 40

func quote(s string) string {
	if r := []rune(s); len(r) > mostQuoted {
		s = string(r[:mostQuoted]) + "..."
	}
	return strconv.Quote(s)
}

// written is a number or text as the file has it.
func written(v any) string {
	switch v := v.(type) {
	case int64:
		return strconv.FormatInt(v, 10)
	case float64:
		return strings.ToLower(strconv.FormatFloat(v, 'g', -1, 64))
	case string:
		return quote(v)
	}
	return fmt.Sprint(v)
}

// valueOf turns a bare number or a text with a unit into the unit a Job holds
// and returns also how to write it in a message.
func valueOf(k Kind, v any, units Units) (value float64, text string, err error) {
	u := unitOf(k, units)
	switch v := v.(type) {
	case int64:
		value, text = float64(v)*u.factor, strings.TrimSpace(written(v)+" "+u.name)
	case float64:
		value, text = v*u.factor, strings.TrimSpace(written(v)+" "+u.name)
	case string:
		if _, ok := quantities[k]; !ok {
			return 0, "", fmt.Errorf("%s is text; a bare number is wanted", quote(v))
		}
		if text = quote(v); endsInDigit(v) {
			text = strings.Trim(text, `"`) + " " + u.name
		}
		if value, err = ParseQuantity(k, v, units); err != nil {
			return 0, "", err
		}
	default:
		if u.name == "" {
			return 0, "", fmt.Errorf("%s; a number is wanted", typeName(v))
		}
		return 0, "", fmt.Errorf(`%s; a number in %s or a text such as "5 %s" is wanted`, typeName(v), u.name, u.name)
	}
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, "", fmt.Errorf("%s is not a finite number", text)
	}
	return value, text, nil
}

// endsInDigit tells a bare number in a text from one with a unit.
func endsInDigit(s string) bool {
	s = strings.TrimSpace(s)
	return s != "" && strings.ContainsAny(s[len(s)-1:], "0123456789.")
}
