package design

import (
	"testing"

	"cogmend/toolpath/job"
)

// TestCircleFor: 96 teeth on a worm of 40 to 1 are 5/12 of a turn apart, so the
// holes must be a multiple of 12 (plain indexing, ratio over divisions:
// Machinery's Handbook; US Army OD1644, both from memory); 54 teeth with two
// missing side by side stand half a pitch off, 10/27 of a turn.
func TestCircleFor(t *testing.T) {
	for _, tt := range []struct {
		teeth, ratio int
		places       []float64
		want         int
	}{
		{96, 40, []float64{-1, 0, 1}, 24},
		{54, 40, []float64{-0.5, 0.5}, 27},
		{54, 40, []float64{-1, 0, 1}, 27},
		{120, 40, []float64{0, 7}, 15},
		{127, 40, []float64{-1, 0, 1}, 127},
		{127, 60, []float64{-0.5, 0.5}, 127},
		{151, 40, []float64{-1, 0, 1}, 0},
	} {
		g := job.Demo().Gear
		g.Teeth, g.Places = tt.teeth, tt.places
		if got := CircleFor(&g, tt.ratio); got != tt.want {
			t.Errorf("%d teeth, %d to 1, places %v: %d holes, want %d", tt.teeth, tt.ratio, tt.places, got, tt.want)
		}
	}
}
