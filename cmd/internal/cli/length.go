package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// lengthFlag reads a length given on the command line: mm, or with a unit.
func lengthFlag(name, text string) (float64, error) {
	s := strings.TrimSpace(text)
	scale := 1.0
	for _, u := range []struct {
		suffix string
		mm     float64
	}{{"mm", 1}, {"um", 0.001}, {"in", 25.4}, {"\"", 25.4}, {"thou", 0.0254}} {
		if t, ok := strings.CutSuffix(s, u.suffix); ok {
			s, scale = strings.TrimSpace(t), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("--%s %q: a length is wanted, such as 12.7 or \"0.5 in\"", name, text)
	}
	return v * scale, nil
}
