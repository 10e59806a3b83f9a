package estimate

import (
	"math"
	"math/rand/v2"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// TestSpreads: rectangular limits a/sqrt 3, triangular a/sqrt 6 (JCGM 100:2008,
// 4.3.7 and 4.3.9; memory).
func TestSpreads(t *testing.T) {
	within(t, "rectangular", Rectangular.Standard(0.03), 0.0173205, 1e-6)
	within(t, "triangular", Triangular.Standard(0.03), 0.0122474, 1e-5)
	within(t, "normal", Normal.Standard(0.03), 0.03, 1e-15)
}

// draw returns a value of an influence.
func (f Influence) draw(r *rand.Rand) float64 {
	switch f.Spread {
	case Triangular:
		return f.Limit * (r.Float64() - r.Float64())
	case Normal:
		return f.Limit * r.NormFloat64()
	}
	return f.Limit * (2*r.Float64() - 1)
}

// TestBudgetAgainstReplay cuts teeth with disturbed settings (JCGM 101:2008):
// each facet is the line the cutter's side makes at the gear's disturbed angle,
// and the flanks are measured along the true involute's normals. The spreads
// must be the budget's within 5 %.
func TestBudgetAgainstReplay(t *testing.T) {
	for name, g := range map[string]profiles.Gear{
		"54 teeth 8 DP 14.5 deg": {Teeth: 54, Module: 25.4 / 8, Pressure: 14.5 * math.Pi / 180, Rack: profiles.Rack{Addendum: 1, Dedendum: 1.157, Fillet: 0.157}},
		"24 teeth m 4 20 deg":    {Teeth: 24, Module: 4, Pressure: 20 * math.Pi / 180, Rack: profiles.Rack{Addendum: 1, Dedendum: 1.25, Fillet: 0.38}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			set, err := g.BestFacets(5)
			if err != nil {
				t.Fatal(err)
			}
			rb := g.BaseRadius()
			list := []Influence{
				{Name: "Y zero", Limit: 0.03, Right: 1, Left: -1},
				{Name: "level", Limit: 0.0003, Angle: true, Right: rb, Left: -rb},
				{Name: "index", Limit: 0.0004, Spread: Triangular, Angle: true, Anew: true, Right: rb, Left: rb},
				{Name: "cutter size", Limit: 0.01, Right: -0.5, Left: -0.5},
				{Name: "runout", Limit: 0.004, Spread: Normal, Right: -1, Left: -1, Offset: -0.008},
			}
			n := len(set.Rolls)
			b := Tooth{Right: n, Left: n, FacetError: set.GreatestError}.Budget(list)
			r := rand.New(rand.NewPCG(7, 11))
			const rounds = 40000
			var flank, thick, place, form sums
			for range rounds {
				var once [5]float64
				for i, f := range list {
					once[i] = f.draw(r)
				}
				// side is +1 for the right flank; the left one is the mirror image, in
				// which Y zero and angles change their sign.
				off := func(side float64, facet int) float64 {
					index := list[2].draw(r)
					roll := set.Rolls[facet]
					// The cutter's side in the machine, and the gear's true angle.
					plane := rb*roll + side*once[0] - once[3]/2 - once[4] - 0.008
					turn := side*once[1] + index
					// The true flank's point and normal where this facet touches, turned with
					// the gear: how far beyond it the cutter's side stands.
					p := geom.Turn(turn).Apply(geom.Vec{Y: rb * roll, Z: rb})
					return (plane - p.Y) / math.Cos(turn)
				}
				own := func() float64 { return set.GreatestError * r.Float64() }
				mean := 0.0
				devs := make([]float64, n)
				for i := range n {
					devs[i] = off(1, i) + own()
					mean += devs[i] / float64(n)
				}
				left := off(-1, n/2) + own()
				right := devs[n/2]
				flank.add(right)
				form.add(right - mean)
				thick.add(right + left)
				place.add((right - left) / 2)
			}
			within(t, "flank", flank.spread(), b.Flank.Standard, 0.05)
			within(t, "form", form.spread(), b.Form.Standard, 0.05)
			within(t, "thickness", thick.spread(), b.Thickness.Standard, 0.05)
			within(t, "place", place.spread(), b.Place.Standard, 0.05)
			if got := math.Abs(flank.mean() - b.Flank.Middle); got > 0.0005 {
				t.Errorf("the middle of the flank lies %.4f mm from the budget's", got)
			}
			if got := math.Abs(thick.mean() - b.Thickness.Middle); got > 0.001 {
				t.Errorf("the middle of the thickness lies %.4f mm from the budget's", got)
			}
			var parts float64
			for _, s := range b.Shares {
				parts += s.Part
			}
			within(t, "shares", parts, 1, 1e-9)
			if b.Without("Y zero") >= b.Flank.Standard || b.Without("nothing") != b.Flank.Standard {
				t.Error("measuring the Y zero exactly gains nothing")
			}
		})
	}
}

// TestShows: at the error that just shows, all but the facets spread three
// times as wide.
func TestShows(t *testing.T) {
	list := []Influence{{Name: "Y zero", Limit: 0.03, Right: 1, Left: -1}}
	e := Shows(list)
	rest := Tooth{Right: 3, Left: 3}.Budget(list).Flank.Half
	within(t, "a third", e, rest/3, 1e-12)
	with := Tooth{Right: 3, Left: 3, FacetError: e}.Budget(list).Flank.Half
	if gain := with / rest; gain > 1.06 {
		t.Errorf("facets that should not show widen the band %.3f times", gain)
	}
}

// sums gathers a mean and a spread.
type sums struct{ n, s, q float64 }

func (s *sums) add(v float64)   { s.n++; s.s += v; s.q += v * v }
func (s *sums) mean() float64   { return s.s / s.n }
func (s *sums) spread() float64 { return math.Sqrt(s.q/s.n - s.mean()*s.mean()) }
