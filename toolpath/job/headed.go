package job

import (
	"fmt"
	"strconv"
	"strings"
)

// headed cuts "3: 23.41 23.40" at the colon.
func headed(text, what string) (head, rest string, err error) {
	head, rest, ok := strings.Cut(text, ":")
	if !ok || strings.TrimSpace(head) == "" {
		return "", "", fmt.Errorf("%s and a colon are wanted first, such as %s", what, `"3: 23.41"`)
	}
	return strings.TrimSpace(head), rest, nil
}

// ParseCounted reads "3: 23.41 23.40": a count, which the error calls what, and readings;
// those without a unit are in bare.
func ParseCounted(text, what string, bare Units) (count int, rs []Reading, err error) {
	head, rest, err := headed(text, what)
	if err != nil {
		return 0, nil, err
	}
	if count, err = strconv.Atoi(head); err != nil {
		return 0, nil, fmt.Errorf("%q is not %s", head, what)
	}
	rs, err = ParseReadings(rest, bare)
	return count, rs, err
}

// ParseSized reads "5: 178.2": a size, such as a pin's diameter, which the error calls
// what, and readings; what has no unit is in bare.
func ParseSized(text, what string, bare Units) (size float64, rs []Reading, err error) {
	head, rest, err := headed(text, what)
	if err != nil {
		return 0, nil, err
	}
	p, err := ParseReading(head, bare)
	if err != nil {
		return 0, nil, fmt.Errorf("%s: %w", what, err)
	}
	rs, err = ParseReadings(rest, bare)
	return p.Value, rs, err
}
