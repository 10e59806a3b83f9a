package job

import "testing"

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
