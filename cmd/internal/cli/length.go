package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"cogmend/toolpath/job"
)

// bareUnit is the unit of a bare number where the job's lengths are in units.
func bareUnit(units job.Units) string {
	if units == job.Inch {
		return "in"
	}
	return "mm"
}

// lengthFlag reads a length given on the command line: with a unit, or in the
// job's.
func lengthFlag(name, text string, units job.Units) (float64, error) {
	s := strings.TrimSpace(text)
	scale := unitMM[bareUnit(units)]
	for _, u := range []string{"mm", "um", "in", "\"", "thou"} {
		if t, ok := strings.CutSuffix(s, u); ok {
			s, scale = strings.TrimSpace(t), unitMM[u]
			break
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("--%s %q: a length is wanted, such as 12.7 or \"0.5 in\"", name, text)
	}
	return v * scale, nil
}
