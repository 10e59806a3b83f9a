package profiles

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
)

// Facets stand outside the involute and leave at most what Left says.
func TestFacetedFlank(t *testing.T) {
	rack, _ := RackByName("old-full-depth")
	g := Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Thinning: 0.08}
	for _, n := range []int{1, 2, 3, 7, 20} {
		set, err := g.BestFacets(n)
		if err != nil {
			t.Fatal(err)
		}
		flank, err := g.FacetedFlank(FacetsAt(set.Rolls, 0))
		if err != nil {
			t.Fatal(err)
		}
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		least, most := math.Inf(1), math.Inf(-1)
		for i := 1; i < len(flank); i++ {
			for s := 0; s <= 20; s++ {
				q := flank[i-1].Lerp(flank[i], float64(s)/20)
				if q.Norm() < root.FormRadius {
					continue
				}
				// Along the normal: the base arc between q and the flank. Its
				// foot must lie on the involute, not on its continuation.
				over := g.BaseRadius() * (q.Angle() - g.HalfAngle(q.Norm()))
				if g.Roll(q.Norm())-over/g.BaseRadius() < root.FormRoll {
					continue
				}
				least, most = min(least, over), max(most, over)
			}
		}
		if least < -1e-6 || math.Abs(most-set.GreatestError) > 1e-5 {
			t.Errorf("%d facets: from %.6f to %.6f over the involute, want 0 to %.6f", n, least, most, set.GreatestError)
		}
	}
	for name, bad := range map[string][]Facet{
		"none": nil, "falling": FacetsAt([]float64{0.3, 0.2}, 0), "off the tip": FacetsAt([]float64{0.1, 3}, 0),
	} {
		if _, err := g.FacetedFlank(bad); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
