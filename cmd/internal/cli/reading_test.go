package cli

import (
	"math"
	"testing"

	"cogmend/toolpath/job"
)

// TestBareLengths: a number without a unit is in the job's.
func TestBareLengths(t *testing.T) {
	for _, c := range []struct {
		text     string
		mm, inch float64
	}{
		{"0.5", 0.5, 12.7}, {"0.5 mm", 0.5, 0.5}, {"0.5in", 12.7, 12.7}, {"-2", -2, -50.8}, {"3 thou", 0.0762, 0.0762}, {"50 um", 0.05, 0.05}, {`0.25"`, 6.35, 6.35},
	} {
		for units, want := range map[job.Units]float64{job.MM: c.mm, job.Inch: c.inch} {
			if got, err := lengthFlag("depth", c.text, units); err != nil || math.Abs(got-want) > 1e-12 {
				t.Errorf("--depth %q in unit %d: %g mm, %v; want %g", c.text, units, got, err, want)
			}
		}
	}
}
