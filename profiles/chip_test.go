package profiles

import (
	"math"
	"testing"
)

// TestLeastFeed: the chip of a side cut is as thick as the tooth's path stands from
// the one before along the radius where it leaves the metal: two circles a feed
// apart, worked out from their points (geometry; no table).
func TestLeastFeed(t *testing.T) {
	for _, width := range []float64{0.05, 0.2, 1, 2.4, 4} {
		c := Cutter{Name: "dove", Kind: Dovetail, Diameter: 5, Flutes: 1, SinglePoint: true}
		s, err := SpeedsFor(c, MildSteel, SideCut)
		if err != nil {
			t.Fatal(err)
		}
		least := s.LeastFeed(c, width)
		fed := least / s.Rpm
		// The point of the circle that leaves a cut of this width, and how far from
		// it the circle of the tooth before lies along the radius.
		r := c.Diameter / 2
		y := min(width, r) - r
		x := math.Sqrt(r*r - y*y)
		lo, hi := 0.0, fed
		for range 60 {
			h := (lo + hi) / 2
			if k := (r - h) / r; math.Hypot(k*x+fed, k*y) > r {
				lo = h
			} else {
				hi = h
			}
		}
		over := least / s.Feed
		if over < 1 || over > MostOver {
			t.Errorf("width %g: %.2f times the makers' feed", width, over)
		}
		if over < MostOver && over > 1 && math.Abs(lo-LeastChip) > 0.02*LeastChip || over == 1 && lo < LeastChip {
			t.Errorf("width %g: the chip is %.5f mm thick", width, lo)
		}
	}
	c := Cutter{Name: "end", Diameter: 5, Flutes: 2, Carbide: true}
	s, err := SpeedsFor(c, MildSteel, SideCut)
	if err != nil || s.LeastFeed(c, 0.2) != 0 {
		t.Errorf("carbide: %g, %v", s.LeastFeed(c, 0.2), err)
	}
}

// TestRoundOff: a round cutter rounds a step by where its circle cuts the step's
// height, and one higher than its radius over the radius (Pythagoras).
func TestRoundOff(t *testing.T) {
	for _, tt := range []struct{ r, h, want float64 }{{2.5, 0, 0}, {2.5, 0.05, math.Sqrt(0.2475)}, {2.5, 1, 2}, {2.5, 2.5, 2.5}, {2.5, 4, 2.5}} {
		if got := RoundOff(tt.r, tt.h); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("radius %g, step %g: %.6f, want %.6f", tt.r, tt.h, got, tt.want)
		}
	}
}
