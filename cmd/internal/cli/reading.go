package cli

import (
	"fmt"
	"strconv"
	"strings"

	"cogmend/toolpath/job"
)

// headed cuts "3: 23.41 23.40" at the colon.
func headed(text, what string) (head, rest string, err error) {
	head, rest, ok := strings.Cut(text, ":")
	if !ok || strings.TrimSpace(head) == "" {
		return "", "", fmt.Errorf("%s and a colon are wanted first, such as %s", what, `"3: 23.41"`)
	}
	return strings.TrimSpace(head), rest, nil
}

// countedReadings reads "3: 23.41 23.40": a count and readings.
func countedReadings(text, what string, bare job.Units) (count int, rs []job.Reading, err error) {
	head, rest, err := headed(text, what)
	if err != nil {
		return 0, nil, err
	}
	if count, err = strconv.Atoi(head); err != nil {
		return 0, nil, fmt.Errorf("%q is not %s", head, what)
	}
	rs, err = job.ParseReadings(rest, bare)
	return count, rs, err
}

// sizedReadings reads "5: 178.2": a size, such as a pin's diameter, and readings.
func sizedReadings(text, what string, bare job.Units) (size float64, rs []job.Reading, err error) {
	head, rest, err := headed(text, what)
	if err != nil {
		return 0, nil, err
	}
	p, err := job.ParseReading(head, bare)
	if err != nil {
		return 0, nil, fmt.Errorf("%s: %w", what, err)
	}
	rs, err = job.ParseReadings(rest, bare)
	return p.Value, rs, err
}

// pinnedReadings is sizedReadings for pins.
func pinnedReadings(text string, bare job.Units) (pin float64, rs []job.Reading, err error) {
	return sizedReadings(text, "the pin's diameter", bare)
}

// lengthFlag reads a length given on the command line: with a unit, or in the
// job's. mm.
func lengthFlag(name, text string, units job.Units) (float64, error) {
	return quantityFlag(name, job.Length, text, units)
}

// quantityFlag reads a quantity given on the command line, in the unit a Job
// holds.
func quantityFlag(name string, kind job.Kind, text string, units job.Units) (float64, error) {
	v, err := job.ParseQuantity(kind, text, units)
	if err != nil {
		return 0, fmt.Errorf("--%s: %w", name, err)
	}
	return v, nil
}
