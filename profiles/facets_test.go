package profiles

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"

	"cogmend/profiles/geom"
)

// facetGears are spur gears from pinions to large wheels, worn and shifted,
// under several systems.
func facetGears(t testing.TB) map[string]Gear {
	t.Helper()
	rack := func(name string) Rack {
		r, ok := RackByName(name)
		if !ok {
			t.Fatalf("no rack %q", name)
		}
		return r
	}
	return map[string]Gear{
		"12 teeth shifted":  {Teeth: 12, Module: 3, Pressure: geom.Radians(20), Shift: 0.3, Rack: rack("iso-a")},
		"24 teeth":          {Teeth: 24, Module: 4, Pressure: geom.Radians(20), Thinning: 0.13, Rack: rack("iso-a")},
		"54 teeth 8 DP":     {Teeth: 54, Module: 3.175, Pressure: geom.Radians(14.5), Thinning: 0.08, Rack: rack("old-full-depth")},
		"63 teeth 10 DP":    {Teeth: 63, Module: 2.54, Pressure: geom.Radians(20), Rack: rack("full-depth")},
		"10 teeth undercut": {Teeth: 10, Module: 4, Pressure: geom.Radians(20), Thinning: 0.1, Rack: rack("full-depth")},
		"13 teeth undercut": {Teeth: 13, Module: 3.175, Pressure: geom.Radians(14.5), Rack: rack("old-full-depth")},
		"110 teeth":         {Teeth: 110, Module: 5, Pressure: geom.Radians(25), Rack: rack("full-depth")},
	}
}

// offset is what facets at the rolls leave over the involute's point at roll
// phi, along the normal there, inside the tip circle. It is worked out from
// the lines themselves, in the gear's own frame: each stands where the flank
// reaches, below the involute's end at that end.
func offset(g Gear, form float64, rolls []float64, phi float64) float64 {
	rb, zero := g.BaseRadius(), g.BaseHalfAngle()
	normal := func(roll float64) geom.Vec {
		s, c := math.Sincos(roll - zero)
		return geom.Vec{Y: c, Z: s}
	}
	p := geom.Turn(zero - phi).Apply(geom.Vec{Y: rb * phi, Z: rb})
	n := normal(phi)
	left := math.Inf(1)
	for _, f := range rolls {
		stands := rb * f
		if f < form {
			stands = normal(f).Dot(g.FlankPoint(form))
		}
		if slope := normal(f).Dot(n); slope > 0 {
			left = min(left, (stands-normal(f).Dot(p))/slope)
		}
	}
	// p + s n on the tip circle.
	b, c := p.Dot(n), p.Dot(p)-g.TipRadius()*g.TipRadius()
	return min(left, -b+math.Sqrt(max(0, b*b-c)))
}

// sampled is the greatest offset between the ends of the involute: by samples,
// and closer around the high ones.
func sampled(t testing.TB, g Gear, rolls []float64) float64 {
	t.Helper()
	root, err := g.Root()
	if err != nil {
		t.Fatal(err)
	}
	form, hi := root.FormRoll, g.Roll(g.TipRadius())
	const steps = 600
	at := func(i int) float64 { return form + (hi-form)*float64(max(0, min(steps, i)))/steps }
	var row [steps + 1]float64
	best := 0.0
	for i := range row {
		row[i] = offset(g, form, rolls, at(i))
		best = max(best, row[i])
	}
	coarse := best
	for i, d := range row {
		if d < 0.9*coarse || d < row[max(0, i-1)] || d < row[min(steps, i+1)] {
			continue
		}
		a, b := at(i-1), at(i+1)
		for range 40 {
			u, v := a+(b-a)/3, b-(b-a)/3
			if offset(g, form, rolls, u) < offset(g, form, rolls, v) {
				a = u
			} else {
				b = v
			}
		}
		best = max(best, offset(g, form, rolls, (a+b)/2))
	}
	return best
}

// TestBestFacetsAgainstSearch: a plain search over the facets' rolls, which
// knows only the lines and the involute, comes to the same within a thousandth.
func TestBestFacetsAgainstSearch(t *testing.T) {
	for name, g := range facetGears(t) {
		for count := 1; count <= 5; count++ {
			t.Run(fmt.Sprintf("%s, %d", name, count), func(t *testing.T) {
				t.Parallel()
				set, err := g.BestFacets(count)
				if err != nil {
					t.Fatal(err)
				}
				if len(set.Rolls) != count || !slices.IsSorted(set.Rolls) {
					t.Fatalf("rolls %v", set.Rolls)
				}
				if got := sampled(t, g, set.Rolls); math.Abs(got-set.GreatestError) > 1e-3*set.GreatestError {
					t.Errorf("leaves %.6f mm, the samples say %.6f", set.GreatestError, got)
				}
				root, err := g.Root()
				if err != nil {
					t.Fatal(err)
				}
				lo, hi := root.FormRoll, g.Roll(g.TipRadius())
				start := make([]float64, count)
				for i := range start {
					start[i] = lo + (hi-lo)*(float64(i)+0.5)/float64(count)
				}
				problem := optimize.Problem{Func: func(x []float64) float64 {
					rolls := slices.Clone(x)
					slices.Sort(rolls)
					if rolls[0] < lo || rolls[count-1] > hi {
						return 1e3
					}
					return sampled(t, g, rolls)
				}}
				found := math.Inf(1)
				for round := range 4 {
					method := &optimize.NelderMead{SimplexSize: (hi - lo) / float64(4*count) / math.Pow(3, float64(round))}
					res, err := optimize.Minimize(problem, start, &optimize.Settings{FuncEvaluations: 120 * count}, method)
					if err != nil {
						t.Fatal(err)
					}
					if res.F < found {
						found, start = res.F, res.X
					}
				}
				if found < set.GreatestError*(1-1e-3) {
					t.Errorf("leaves %.6f mm, a search finds %.6f at %v", set.GreatestError, found, start)
				}
				if found > set.GreatestError*(1+1e-3) {
					t.Errorf("the search finds no better than %.6f mm, want %.6f within a thousandth", found, set.GreatestError)
				}
				t.Logf("%.5f mm, search %.5f (%+.3f %%)", set.GreatestError, found, 100*(found/set.GreatestError-1))
			})
		}
	}
}

// TestBestFacetsAreEven: of the best set both ends and all joints leave the
// same.
func TestBestFacetsAreEven(t *testing.T) {
	for name, g := range facetGears(t) {
		for _, count := range []int{1, 2, 3, 5, 8, 20} {
			set, err := g.BestFacets(count)
			if err != nil {
				t.Fatal(err)
			}
			all, err := g.Leftovers(set.Rolls)
			if err != nil {
				t.Fatal(err)
			}
			for i, e := range all {
				if math.Abs(e-set.GreatestError) > 1e-6*set.GreatestError+1e-9 {
					t.Errorf("%s, %d facets: %.8f mm at place %d, %.8f the most", name, count, e, i, set.GreatestError)
				}
			}
			if again, err := g.Left(set.Rolls); err != nil || again != set.GreatestError {
				t.Errorf("%s: Left says %g, the set %g", name, again, set.GreatestError)
			}
		}
	}
}

// TestJointFormula: between near facets about r_b phi (phi2-phi1)^2 / 8 stays.
func TestJointFormula(t *testing.T) {
	g := facetGears(t)["54 teeth 8 DP"]
	rb := g.BaseRadius()
	for _, step := range []float64{0.01, 0.02, 0.04} {
		a := 0.25
		all, err := g.Leftovers([]float64{a, a + step})
		if err != nil {
			t.Fatal(err)
		}
		if want := rb * (a + step/2) * step * step / 8; math.Abs(all[1]-want) > 0.01*want {
			t.Errorf("step %g: %.6f mm, want about %.6f", step, all[1], want)
		}
	}
}

// TestFewestFacets: one facet fewer would leave too much.
func TestFewestFacets(t *testing.T) {
	gears := facetGears(t)
	names := make([]string, 0, len(gears))
	for n := range gears {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		g := gears[rapid.SampledFrom(names).Draw(t, "gear")]
		tol := math.Exp(rapid.Float64Range(math.Log(0.002), math.Log(0.5)).Draw(t, "tolerance"))
		set, ok, err := g.FewestFacets(tol)
		if err != nil || !ok {
			t.Fatalf("ok %t, error %v", ok, err)
		}
		if set.GreatestError > tol*(1+1e-9) {
			t.Fatalf("%d facets leave %.6f, more than %.6f", len(set.Rolls), set.GreatestError, tol)
		}
		if n := len(set.Rolls); n > 1 {
			fewer, err := g.BestFacets(n - 1)
			if err != nil {
				t.Fatal(err)
			}
			if fewer.GreatestError <= tol {
				t.Fatalf("%d facets, but %d leave only %.6f of %.6f", n, n-1, fewer.GreatestError, tol)
			}
		}
	})
	if _, ok, err := gears["24 teeth"].FewestFacets(1e-9); ok || err != nil {
		t.Errorf("a nanometre's facets: ok %t, error %v", ok, err)
	}
}

// TestBestFacetsOnStops: where the gear moves by whole or half teeth only, every
// subset of the angles it can stand at is tried with the lines and the involute
// alone: none is better. On undercut pinions the lowest facet may go through the
// involute's end, the gear turned further than any tangent asks.
func TestBestFacetsOnStops(t *testing.T) {
	through := 0
	for name, g := range facetGears(t) {
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		for _, share := range []float64{1, 2} {
			for phase := range 6 {
				step := g.Pitch() / share
				var cands []float64
				for k := -40.0; k < 40; k++ {
					if r := g.BaseHalfAngle() + (k+float64(phase)/6)*step; r > root.FormRoll-step && r <= g.Roll(g.TipRadius()) {
						cands = append(cands, r)
					}
				}
				if len(cands) > 6 {
					continue
				}
				best := math.Inf(1)
				for mask := 1; mask < 1<<len(cands); mask++ {
					var rolls []float64
					for i, c := range cands {
						if mask&(1<<i) != 0 {
							rolls = append(rolls, c)
						}
					}
					if len(rolls) <= 3 {
						best = min(best, sampled(t, g, rolls))
					}
				}
				set, ok, err := g.BestFacetsAmong(cands, 3)
				if err != nil {
					t.Fatal(err)
				}
				if !ok {
					t.Fatalf("%s: none of %v serves, but one leaves %.5f", name, cands, best)
				}
				if math.Abs(set.GreatestError-best) > 1e-3*best {
					t.Errorf("%s, %g steps a tooth, phase %d: leaves %.5f mm, the best subset %.5f", name, share, phase, set.GreatestError, best)
				}
				if set.Rolls[0] < root.FormRoll {
					through++
				}
			}
		}
	}
	if through < 5 {
		t.Errorf("only %d sets have a facet through the involute's end: that is not tested", through)
	}
}

// TestBestFacetsAmong: against all subsets of a few candidates.
func TestBestFacetsAmong(t *testing.T) {
	gears := facetGears(t)
	names := make([]string, 0, len(gears))
	for n := range gears {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(rt *rapid.T) {
		g := gears[rapid.SampledFrom(names).Draw(rt, "gear")]
		top := g.Roll(g.TipRadius())
		cands := rapid.SliceOfN(rapid.Float64Range(-0.1, top*1.1), 1, 9).Draw(rt, "candidates")
		count := rapid.IntRange(1, 5).Draw(rt, "count")
		set, ok, err := g.BestFacetsAmong(cands, count)
		if err != nil {
			rt.Fatal(err)
		}
		best := math.Inf(1)
		var which []float64
		for mask := 1; mask < 1<<len(cands); mask++ {
			var rolls []float64
			for i, c := range cands {
				if mask&(1<<i) != 0 && c <= top {
					rolls = append(rolls, c)
				}
			}
			slices.Sort(rolls)
			if len(rolls) == 0 || len(rolls) > count {
				continue
			}
			left, err := g.Left(rolls)
			if err != nil {
				rt.Fatal(err)
			}
			if left < best {
				best, which = left, rolls
			}
		}
		if !ok {
			if !math.IsInf(best, 1) {
				rt.Fatalf("not possible, but %v leaves %.6f", which, best)
			}
			return
		}
		if set.GreatestError > best*(1+1e-9)+1e-12 {
			rt.Fatalf("%v leaves %.9f, but %v only %.9f", set.Rolls, set.GreatestError, which, best)
		}
		for _, r := range set.Rolls {
			if !slices.Contains(cands, r) {
				rt.Fatalf("roll %g is no candidate", r)
			}
		}
	})
}

// TestFewestFacetsAmong: the least number that keeps the tolerance.
func TestFewestFacetsAmong(t *testing.T) {
	g := facetGears(t)["54 teeth 8 DP"]
	top := g.Roll(g.TipRadius())
	var cands []float64
	for i := range 40 {
		cands = append(cands, top*float64(i)/39)
	}
	for _, tol := range []float64{0.3, 0.1, 0.05, 0.03} {
		set, ok, err := g.FewestFacetsAmong(cands, tol)
		if err != nil || !ok || set.GreatestError > tol {
			t.Fatalf("tolerance %g: %v, ok %t, error %v", tol, set, ok, err)
		}
		if n := len(set.Rolls); n > 1 {
			fewer, _, err := g.BestFacetsAmong(cands, n-1)
			if err != nil {
				t.Fatal(err)
			}
			if fewer.GreatestError <= tol {
				t.Errorf("tolerance %g: %d facets, but %d leave only %.6f", tol, n, n-1, fewer.GreatestError)
			}
		}
	}
	set, ok, err := g.FewestFacetsAmong(cands, 1e-4)
	if err != nil || ok || len(set.Rolls) == 0 {
		t.Errorf("a tenth of a micrometre: %v, ok %t, error %v", set, ok, err)
	}
}
