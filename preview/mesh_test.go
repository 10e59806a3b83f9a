package preview

import (
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// pressMesh is the demo's gear with its mate, rolled with the given facets.
func pressMesh(tb testing.TB, facets int, centre float64) MeshScene {
	tb.Helper()
	j := job.Demo()
	g := j.Gear.Gear
	mate := g
	mate.Teeth, mate.Thinning = j.Mate.Teeth, 0
	set, err := g.BestFacets(facets)
	if err != nil {
		tb.Fatal(err)
	}
	right, err := g.FacetedFlank(profiles.FacetsAt(set.Rolls, 0))
	if err != nil {
		tb.Fatal(err)
	}
	m := estimate.Mesh{Tooth: g, Neighbours: g, Right: right, Mate: mate, Centre: centre}
	rolled, err := m.Roll()
	if err != nil {
		tb.Fatal(err)
	}
	if m.Right, err = g.RightFlank(); err != nil {
		tb.Fatal(err)
	}
	ideal, err := m.Roll()
	if err != nil {
		tb.Fatal(err)
	}
	m.Right = right
	return MeshScene{Title: j.Title, Mesh: m, Rolled: rolled, Ideal: ideal}
}

// The drawing places the mate by its own reckoning; at the tightest moment the
// room behind the teeth must be the play that the roll found, and where the
// teeth jam the overlap must be drawn.
func TestMeshFigure(t *testing.T) {
	for _, c := range []struct {
		name   string
		facets int
		centre float64
		jams   bool
	}{
		{"demo", 4, 114.3, false},
		{"wide", 3, 114.6, false},
		{"jams", 2, 114.0, true},
	} {
		s := pressMesh(t, c.facets, c.centre)
		if s.Rolled.Interferes != c.jams {
			t.Fatalf("%s: interferes %v", c.name, s.Rolled.Interferes)
		}
		teeth, err := s.teeth(s.Rolled.Tightest)
		if err != nil {
			t.Fatal(err)
		}
		a, b := teeth.nearest()
		// Along the line of action the play is measured on another normal than
		// where the teeth are nearest, so it can only be the greater.
		if gap := b.Sub(a).Norm(); !c.jams && (gap > s.Rolled.Backlash+0.001 || gap < 0.8*s.Rolled.Backlash) {
			t.Errorf("%s: drawn %.4f mm apart, play %.4f", c.name, gap, s.Rolled.Backlash)
		}
		over, err := teeth.overlap()
		if err != nil {
			t.Fatal(err)
		}
		// On the driving side they touch; chords may cross there by a hair.
		area := 0.0
		for _, piece := range over {
			area += geom.Area(piece)
		}
		if c.jams != (area > 0.02) {
			t.Errorf("%s: overlap of %.4f mm2", c.name, area)
		}
		f, err := MeshFigure(s)
		if err != nil {
			t.Fatal(err)
		}
		if c.jams != strings.Contains(f.Text(), "they foul each other") && c.jams != strings.Contains(strings.Join(f.Notes, " "), "INTERFERE") {
			t.Errorf("%s: the picture does not say so", c.name)
		}
		d, err := f.Draw(0.5)
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Omitted) > 0 {
			t.Errorf("%s: left out %q", c.name, d.Omitted)
		}
	}
}

// TestMeshOthers: new teeth beside the one rolled are drawn as new, and the
// picture says how they were reckoned.
func TestMeshOthers(t *testing.T) {
	s := pressMesh(t, 4, 114.3)
	for _, others := range [][]int{nil, {1}, {1, 2}, {9}} {
		s.Others = others
		m, err := s.teeth(s.Rolled.Tightest)
		if err != nil {
			t.Fatal(err)
		}
		near := 0
		for _, k := range others {
			if k <= meshTeeth {
				near++
			}
		}
		if len(m.fresh) != 1+near || len(m.fresh)+len(m.standing) != 2*meshTeeth+1 {
			t.Errorf("others %v: %d new, %d standing", others, len(m.fresh), len(m.standing))
		}
	}
}
