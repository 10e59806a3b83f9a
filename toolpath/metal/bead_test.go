package metal

import (
	"math"
	"math/rand/v2"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// TestBead holds the stock of a built-up tooth to the involute's own formula: over
// the form circle a place is bead that lies no farther from the middle than the
// flank and what stands beside it, no higher than the tip and what stands over it,
// and outside of the finished tooth.
func TestBead(t *testing.T) {
	j := read(t, "brazed")
	d := of(t, j)
	f, err := NewFinish(d, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := f.FlushSetup()
	g, b := d.True.Gear, j.Bead
	half := func(z float64) float64 { // of the flank, at a height
		lo, hi := g.BaseRadius(), g.TipRadius()
		for range 60 {
			r := (lo + hi) / 2
			if r*math.Cos(g.HalfAngle(r)) < z {
				lo = r
			} else {
				hi = r
			}
		}
		return lo * math.Sin(g.HalfAngle(lo))
	}
	tip := g.TipRadius() * math.Cos(g.HalfAngle(g.TipRadius()))
	mid := replay.SectionAt(s.Stations, j.Gear.Face/2)
	out := replay.SectionAt(s.Stations, -j.Bead.Ends/2)
	rng := rand.New(rand.NewPCG(1, 2))
	seen := [2]int{}
	for range 4000 {
		q := geom.Vec{Y: (2*rng.Float64() - 1) * 8, Z: d.True.Root.FormRadius + 0.05 + rng.Float64()*12}
		wide := half(min(q.Z, tip)) + b.Beside
		bead := math.Abs(q.Y) < wide && q.Z < g.TipRadius()+b.Top
		inTooth := math.Abs(q.Y) < half(min(q.Z, tip)) && q.Norm() < g.TipRadius()
		near := math.Min(math.Abs(math.Abs(q.Y)-wide), math.Abs(math.Abs(q.Y)-wide+b.Beside))
		near = min(near, math.Abs(q.Z-g.TipRadius()-b.Top), math.Abs(q.Norm()-g.TipRadius()))
		if near < 2e-3 { // the outline is of chords
			continue
		}
		for i, st := range []*replay.Section{mid, out} {
			want := bead && (i == 1 || !inTooth)
			got := false
			for _, c := range st.Waste {
				got = got || c.Contains(q)
			}
			if got != want {
				t.Fatalf("section %d at Y %.3f, Z %.3f: bead %v, want %v", i, q.Y, q.Z, got, want)
			}
			if want {
				seen[i]++
			}
		}
	}
	if seen[0] < 200 || seen[1] < 400 {
		t.Errorf("only %v places in the bead: the test is blind", seen)
	}
	// Nothing under the root circle is to come off, and no place is twice metal.
	for _, st := range s.Stations {
		for _, c := range st.Waste {
			for _, q := range c.Pts {
				if q.Norm() < g.RootRadius()-1e-3*g.Module {
					t.Fatalf("X %.3f: waste at radius %.4f, under the root circle %.4f", st.X, q.Norm(), g.RootRadius())
				}
			}
		}
		for _, k := range st.Keep {
			if a := k.Metal.Intersect(st.Waste).Area(); a > 1e-5 {
				t.Errorf("X %.3f: %s and the bead share %.6f mm^2", st.X, k.Name, a)
			}
		}
	}
}
