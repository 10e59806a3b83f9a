package replay

import (
	"strings"
	"testing"
)

// TestRounding: what a control with fewer decimals rounds off is no cut into the
// part, no metal left and no piece; a cut beyond that is.
func TestRounding(t *testing.T) {
	const rounding = 0.001
	kinds := func(height string, rounding float64, change func(*Setup)) map[Kind]bool {
		t.Helper()
		s := flat()
		s.Rounding = rounding
		if change != nil {
			change(s)
		}
		res, err := Check(strings.NewReader(withTool+strings.ReplaceAll(level, "Z0", "Z"+height)+programE), "test.nc", s)
		if err != nil {
			t.Fatal(err)
		}
		out := map[Kind]bool{}
		for _, f := range res.Report.Findings {
			out[f.Kind] = true
		}
		return out
	}
	for _, tt := range []struct {
		height      string
		kind        Kind
		exact, less bool // found with all decimals, with fewer
	}{
		{"-0.0025", CutTarget, true, false}, {"-0.0035", CutTarget, true, true},
		{"0.0055", MetalLeft, true, false}, {"0.0065", MetalLeft, true, true},
	} {
		if got := kinds(tt.height, 0, nil)[tt.kind]; got != tt.exact {
			t.Errorf("Z%s, all decimals: %s is %t", tt.height, tt.kind, got)
		}
		if got := kinds(tt.height, rounding, nil)[tt.kind]; got != tt.less {
			t.Errorf("Z%s, fewer decimals: %s is %t", tt.height, tt.kind, got)
		}
	}
	// A skin that the rounding of two passes leaves between them, thinner than
	// both may be off: no metal.
	skin := func(s *Setup) {
		for i := range s.Stations {
			s.Stations[i].Zones[0].Limit = -0.0025 // then only metal that counts is too much
		}
	}
	if !kinds("0.0015", 0, skin)[MetalLeft] || kinds("0.0015", rounding, skin)[MetalLeft] {
		t.Error("a skin of 0.0015 mm counts with fewer decimals, or not with all")
	}
}
