package replay

import (
	"testing"

	"cogmend/profiles/geom"
)

// TestCrumb: what counts as metal and what as rounding; the sizes are our own.
func TestCrumb(t *testing.T) {
	for _, tt := range []struct {
		wide, high float64
		crumb      bool
	}{
		{10, 0.0002, true}, {10, 0.0004, false}, {0.0019, 0.0019, true}, {0.0021, 0.0021, false},
		{0.001, 0.1, false}, {0, 0, true},
	} {
		if got := Crumb(geom.Rect(3, 20, 3+tt.wide, 20+tt.high)); got != tt.crumb {
			t.Errorf("%g x %g mm is a crumb: %v", tt.wide, tt.high, got)
		}
	}
}
