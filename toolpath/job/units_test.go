package job

import (
	"math"
	"testing"
)

// Lengths to people: as fine as a micrometer reads, no minus before nothing. The
// inch is 25.4 mm (NIST SP 811, appendix B.8).
func TestUnits(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{MM.Both(177.8), "177.800 mm (7.0000 in)"},
		{Inch.Both(177.8), "7.0000 in (177.800 mm)"},
		{MM.Both(-0.0004), "0.000 mm (0.0000 in)"},
		{MM.Difference(0.0254), "+0.025 mm (+0.0010 in)"},
		{Inch.Difference(-0.254), "-0.0100 in (-0.254 mm)"},
		{MM.Difference(-0.0001), "+0.000 mm (+0.0000 in)"},
		{Counted(1, "hole"), "1 hole"},
		{Counted(0, "hole"), "0 holes"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// TestRounding: fewer decimals let a cut lie farther off by half the last one on
// two axes at right angles, and by that of the angle at the tip, less what the
// usual decimals do; worked out by hand for a gear of 54 teeth, 8 DP.
func TestRounding(t *testing.T) {
	tip := (54/8.0 + 2/8.0) / 2 * 25.4 // (N + 2) / P, the outside diameter of full depth
	perDegree := tip * math.Pi / 180
	for _, tt := range []struct {
		units    Units
		decimals int
		want     float64
	}{
		{MM, 0, 0}, {MM, 4, 0}, {MM, 6, 0},
		{MM, 3, 0.00045*math.Sqrt2 + 0.00045*perDegree},
		{Inch, 5, 0}, {Inch, 4, 0.000045*25.4*math.Sqrt2 + 0.00045*perDegree},
	} {
		j := Demo()
		j.Units, j.Machine.Decimals = tt.units, tt.decimals
		if got := j.Rounding(); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%v, %d decimals: %.6f mm, want %.6f", tt.units, tt.decimals, got, tt.want)
		}
	}
}
