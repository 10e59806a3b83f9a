package cli

import (
	"fmt"

	"cogmend/toolpath/job"
)

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
