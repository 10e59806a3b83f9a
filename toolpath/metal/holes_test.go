package metal

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
)

// TestPointOfHole: the outline of the insert's hole follows the section of the
// drill's cone at any distance from the axis, within 0.0002 mm: the section is
// worked out here from the cone itself, y against z, at many more places.
func TestPointOfHole(t *testing.T) {
	d := of(t, read(t, "demo"))
	at := d.HolesInInsert()[0]
	r, deep, slope := d.Job.Lock.Point/2, d.Job.Lock.PointDepth, 1/math.Tan(geom.Radians(118)/2)
	for _, u := range []float64{0, 1e-6, 0.001, 0.01, 0.034, 0.2, 1, 1.5} {
		line, _ := holeAt(d, at+u)
		if len(line) < 5 {
			t.Fatalf("%g mm beside the axis there is no hole", u)
		}
		curve := line[1 : len(line)-1]
		worst, k := 0.0, 0
		const samples = 20000
		for i := range samples + 1 {
			y := curve[0].Y + (curve[len(curve)-1].Y-curve[0].Y)*float64(i)/samples
			for k < len(curve)-2 && curve[k+1].Y < y {
				k++
			}
			a, b := curve[k], curve[k+1]
			share := 0.0
			if b.Y > a.Y {
				share = (y - a.Y) / (b.Y - a.Y)
			}
			cone := -deep - (r-math.Sqrt(y*y+u*u))*slope
			worst = max(worst, math.Abs(a.Z+(b.Z-a.Z)*share-cone))
		}
		if worst > 0.0002 {
			t.Errorf("%g mm beside the axis the outline is %.5f mm off the cone", u, worst)
		}
	}
}
