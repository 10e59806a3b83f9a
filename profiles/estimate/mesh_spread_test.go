package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// spreadCase is a faceted tooth of the press's gear or of one of 20 degrees, with
// its mate and settings known within as much as hands know them.
func spreadCase(t testing.TB, name string) (Mesh, []profiles.Facet, []Influence) {
	t.Helper()
	g, set, flank := pressFacets(t, 6)
	m := pressMesh(t, flank)
	if name == "module 4" {
		rack, _ := profiles.RackByName("iso-a")
		g = profiles.Gear{Teeth: 24, Module: 4, Pressure: geom.Radians(20), Rack: rack, Thinning: 0.1}
		var err error
		if set, err = g.BestFacets(4); err != nil {
			t.Fatal(err)
		}
		if flank, err = g.FacetedFlank(profiles.FacetsAt(set.Rolls, 0)); err != nil {
			t.Fatal(err)
		}
		n := g
		n.Teeth = 48
		m = Mesh{Tooth: g, Neighbours: g, Right: flank, Mate: n, Centre: g.PitchRadius() + n.PitchRadius() + 0.05}
	}
	rb := g.BaseRadius()
	return m, profiles.FacetsAt(set.Rolls, 0), []Influence{
		{Name: "Y zero", Limit: 0.02, Right: 1, Left: -1},
		{Name: "index", Limit: 0.012 / rb, Angle: true, Anew: true, Right: rb, Left: rb},
		{Name: "cutter size", Limit: 0.01, Spread: Triangular, Right: -0.5, Left: -0.5},
		{Name: "runout", Limit: 0.002, Spread: Normal, Right: -1, Left: -1, Offset: -0.004},
	}
}

// shifted is the flank with its facets moved out; those that others cut away whole
// are left out.
func shifted(t testing.TB, g profiles.Gear, facets []profiles.Facet) []geom.Vec {
	facets = slices.Clone(facets)
	for {
		flank, err := g.FacetedFlank(facets)
		if err != nil {
			t.Fatal(err)
		}
		// Corner i lies between facets n-i and n-1-i; a facet whose lower corner is
		// above its upper one is no longer there.
		gone := -1
		for i := 1; i < len(facets)+1 && i < len(flank); i++ {
			if flank[i].Norm() > flank[i-1].Norm() {
				gone = len(facets) - i
			}
		}
		if gone < 0 || len(facets) == 1 {
			return flank
		}
		facets = slices.Delete(facets, gone, gone+1)
	}
}

// rolling rolls a flank point by point as Roll does, in fewer moments and looking at
// nothing but the transmission error, mm.
func rolling(t testing.TB, m Mesh) func(flank []geom.Vec) float64 {
	t.Helper()
	r, err := m.layout()
	if err != nil {
		t.Fatal(err)
	}
	mate, err := newMate(m.Mate)
	if err != nil {
		t.Fatal(err)
	}
	k := m.kinematics(r)
	if k.standing[0], err = m.Neighbours.RightFlank(); err != nil {
		t.Fatal(err)
	}
	k.standing[0] = geom.Spaced(k.standing[0], 0.02*m.Tooth.Module)
	const moments = 140
	margin := m.Tooth.Pitch() / 2
	from, to := k.angle(r.Start)-margin, k.angle(r.End)+margin
	theta, held := make([]float64, moments), make([]float64, moments)
	for i := range theta {
		theta[i] = from + (to-from)*float64(i)/(moments-1)
		held[i] = k.held(theta[i], 0, mate)
	}
	return func(flank []geom.Vec) float64 {
		flank = geom.Spaced(flank, 0.012*m.Tooth.Module)
		high, low := math.Inf(-1), math.Inf(1)
		for i, at := range theta {
			ahead, _ := k.push(at, flank, mate, k.nominal(at))
			high, low = max(high, ahead, held[i]), min(low, max(ahead, held[i]))
		}
		return high - low
	}
}

// TestErrorSpreadAgainstRolling: the flank of each draw is made anew by its facets'
// corners and rolled point by point (Monte Carlo, JCGM 101:2008). Mean, spread and
// range must agree within a tenth.
func TestErrorSpreadAgainstRolling(t *testing.T) {
	rounds := 2000
	if testing.Short() {
		rounds = 400
	}
	for _, name := range []string{"press", "module 4"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, facets, list := spreadCase(t, name)
			s, err := m.ErrorSpread(facets, list)
			if err != nil {
				t.Fatal(err)
			}
			planned, err := m.Roll()
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(1000*s.Planned-planned.ErrorPeak) > 1 {
				t.Errorf("as planned %.4f mm, rolled %.2f um", s.Planned, planned.ErrorPeak)
			}
			roll := rolling(t, m)
			if got := 1000 * roll(m.Right); math.Abs(got-planned.ErrorPeak) > 0.5 {
				t.Errorf("as planned %.2f um, rolled in more moments %.2f", got, planned.ErrorPeak)
			}
			even := evenly{rand.New(rand.NewPCG(5, 9)), rounds}
			draws := make([][][]float64, len(list))
			for i, f := range list {
				for range facets {
					draws[i] = append(draws[i], even.draws(f))
				}
			}
			var sum sums
			var peaks []float64
			for k := range rounds {
				moved := slices.Clone(facets)
				for at, f := range list {
					for i := range moved {
						x := draws[at][0][k]
						if f.Anew {
							x = draws[at][i][k]
						}
						moved[i].Offset += f.Offset + f.Right*x
					}
				}
				m.Right = shifted(t, m.Tooth, moved)
				peaks = append(peaks, roll(m.Right))
				sum.add(peaks[k])
			}
			slices.Sort(peaks)
			t.Logf("planned %.4f, mean %.4f, spread %.4f, %.4f to %.4f; rolled %.4f, %.4f, %.4f to %.4f", s.Planned, s.Mean, s.Standard, s.Low, s.High,
				sum.mean(), sum.spread(), peaks[rounds/40], peaks[rounds-1-rounds/40])
			within(t, "mean", s.Mean, sum.mean(), 0.05)
			within(t, "spread", s.Standard, sum.spread(), 0.1)
			within(t, "high", s.High, peaks[rounds-1-rounds/40], 0.1)
			if got := math.Abs(s.Low - peaks[rounds/40]); got > 0.1*s.Mean {
				t.Errorf("low %.4f, rolled %.4f", s.Low, peaks[rounds/40])
			}
		})
	}
}

// TestErrorSpreadOfNothing: with every setting exact nothing spreads.
func TestErrorSpreadOfNothing(t *testing.T) {
	m, facets, _ := spreadCase(t, "press")
	s, err := m.ErrorSpread(facets, nil)
	if err != nil {
		t.Fatal(err)
	}
	if s.Standard > 1e-12 || math.Abs(s.Mean-s.Planned) > 1e-9 || s.Low != s.High || s.Planned <= 0 {
		t.Errorf("%+v", s)
	}
	if _, err := m.ErrorSpread(nil, nil); err == nil {
		t.Error("a flank without facets has a spread")
	}
}

// TestEvenDraws: values drawn evenly spread as JCGM 100:2008 says, and their mean is 0.
func TestEvenDraws(t *testing.T) {
	for _, spread := range []Spread{Rectangular, Triangular, Normal} {
		f := Influence{Limit: 0.03, Spread: spread}
		var sum sums
		for _, x := range (evenly{rand.New(rand.NewPCG(3, 4)), 1000}).draws(f) {
			sum.add(x)
		}
		within(t, "spread", sum.spread(), f.standard(), 0.01)
		if math.Abs(sum.mean()) > 1e-4 {
			t.Errorf("spread %d: mean %g", spread, sum.mean())
		}
	}
}

func BenchmarkErrorSpread(b *testing.B) {
	m, _, list := spreadCase(b, "press")
	for _, n := range []int{6, 24, 96} {
		set, err := m.Tooth.BestFacets(n)
		if err != nil {
			b.Fatal(err)
		}
		facets := profiles.FacetsAt(set.Rolls, 0)
		b.Run(fmt.Sprintf("facets=%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := m.ErrorSpread(facets, list); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
