package replay

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
)

// TestBesideWall: the side of a cutter stands at a wall where the outline runs
// along it, straight or bent, and not where it passes a corner. Plane geometry.
func TestBesideWall(t *testing.T) {
	var round []geom.Vec
	for k := range 65 {
		round = append(round, geom.Polar(20, 2*math.Pi*float64(k)/64))
	}
	for _, tt := range []struct {
		name    string
		outline []geom.Vec
		y       float64
		want    bool
	}{
		{"side of a block", []geom.Vec{{Y: 0, Z: -9}, {Y: 0, Z: 9}, {Y: 5, Z: 9}, {Y: 5, Z: -9}, {Y: 0, Z: -9}}, 0.001, true},
		{"beside it", []geom.Vec{{Y: 0, Z: -9}, {Y: 0, Z: 9}, {Y: 5, Z: 9}, {Y: 5, Z: -9}, {Y: 0, Z: -9}}, 0.011, false},
		{"corner of a leaning block", []geom.Vec{{Y: 0, Z: 0}, {Y: 9, Z: -9}, {Y: 18, Z: 0}, {Y: 9, Z: 9}, {Y: 0, Z: 0}}, 18.001, false},
		{"round", round, 20.001, true},
		{"over its end", []geom.Vec{{Y: 0, Z: -30}, {Y: 0, Z: -20}}, 0, false},
	} {
		if got := besideWall(tt.outline, tt.y, -10, 10, 0.005); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}
