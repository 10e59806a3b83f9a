package preview

import (
	"fmt"
	"math"
	"strconv"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// FacetFigures returns the pictures of a facets program: the tooth with its
// facets and the metal left on it, the root magnified, and the gear at each
// index.
func FacetFigures(s Scene) []*Figure {
	if len(s.Plan.Facets) == 0 {
		return nil
	}
	place := s.Plan.Job.Gear.Places[0]
	var flanks []flank
	for _, side := range []int{-1, 1} {
		f, err := s.flankOf(place, side)
		if err != nil {
			return nil // the plan was made with the same tooth
		}
		flanks = append(flanks, f)
	}
	return append([]*Figure{s.toothFigure(place, flanks), s.rootFigure(place, flanks)}, s.indexFigures()...)
}

// toothFigure is the tooth large, the facets numbered, the metal left filled,
// and its graphs.
func (s Scene) toothFigure(place float64, flanks []flank) *Figure {
	j, d := s.Plan.Job, s.Plan.Dims
	f := s.page("", "Facets and the metal left on them")
	top, bottom := Whole().Stacked(0.6)
	limit := max(s.Plan.Flanks.Limit, 1e-4)
	times := newStretch(0, limit, 0.15*j.Gear.Module).times
	p := f.Panel(fmt.Sprintf("The tooth upright; metal left on the flanks ×%.0f, all else true", times), top)
	p.Origin.Z = s.shift()
	p.Window(-1.1*j.Gear.Pitch()*d.TipTop, j.Gear.RootRadius()-0.25*j.Gear.Module, 1.1*j.Gear.Pitch()*d.TipTop, d.TipTop+0.15*j.Gear.Module)
	s.teeth(p, place)
	for i := range flanks {
		s.leftOn(p, &flanks[i], times)
	}
	for i := range flanks {
		s.facetLines(p, &flanks[i])
	}
	p.Line(Centre, geom.Vec{Z: p.Min.Z - 1}, geom.Vec{Z: p.Max.Z + 1})
	left, right := bottom.Beside(0.5)
	s.leftGraph(f, "Left flank", left, &flanks[0])
	s.leftGraph(f, "Right flank", right, &flanks[1])
	worst := max(flanks[0].worst(true), flanks[1].worst(true))
	f.Notes = append([]string{
		fmt.Sprintf("%d facets right, %d left. Stays on: %s, allowed %s.", len(flanks[1].facets), len(flanks[0].facets), s.small(worst), s.small(s.Plan.Flanks.Limit)),
		"Left and right as seen from +X. Facets count from the tip.",
	}, s.verdict()...)
	if n := len(j.Gear.Places); n > 1 {
		f.Notes = append(f.Notes, fmt.Sprintf("The first of %d teeth is shown; the others are alike.", n))
	}
	return f
}

// teeth draws the finished tooth of a place upright and what stands beside it.
func (s Scene) teeth(p *Panel, place float64) {
	s.teethAt(p, -place*s.Plan.Job.Gear.Pitch())
}

// teethAt draws the gear turned by an angle, every new tooth finished, in
// whole outlines.
func (s Scene) teethAt(p *Panel, angle float64) {
	turn := geom.Turn(angle)
	var good, made [][]geom.Vec
	for _, k := range s.Before.Stations[s.show()].Keep {
		if k.Role == replay.Neighbour {
			good = append(good, footed(k.Outline, turn))
		}
	}
	for _, line := range s.targets() {
		made = append(made, footed(line, turn))
	}
	p.Region(Target, made)
	p.Region(Neighbour, good)
}

// footed turns the outline of a tooth and closes it well inside the rim.
func footed(line []geom.Vec, turn geom.Rotation) []geom.Vec {
	out := make([]geom.Vec, 0, len(line)+2)
	for _, v := range line {
		out = append(out, turn.Apply(v))
	}
	if len(out) == 0 {
		return nil
	}
	const foot = 0.75
	a, b := out[0], out[len(out)-1]
	return append(out, b.Scale(foot), a.Scale(foot))
}

// own returns a point of the +Y flank on the flank's own side.
func (f *flank) own(v geom.Vec) geom.Vec { return geom.Vec{Y: v.Y * float64(f.side), Z: v.Z} }

// leftOn fills the metal left, made thicker, and what is to be filed, true.
func (s Scene) leftOn(p *Panel, f *flank, times float64) {
	var left [][]geom.Vec
	for i := 1; i < len(f.samples); i++ {
		a, b := f.samples[i-1], f.samples[i]
		if a.filing || max(a.left, b.left) < touching/4 {
			continue
		}
		k := times
		if b.at.Norm() < f.form {
			k = 1 // what lies in the root is large enough
		}
		left = append(left, []geom.Vec{f.own(a.at), f.own(a.at.Add(a.out.Scale(k * a.left))),
			f.own(b.at.Add(b.out.Scale(k * b.left))), f.own(b.at)})
	}
	if len(left) > 0 {
		p.Region(MetalLeft, left)
	}
	if len(f.file) > 0 {
		own := make([][]geom.Vec, len(f.file))
		for i, piece := range f.file {
			for _, v := range piece {
				own[i] = append(own[i], f.own(v))
			}
		}
		p.Region(MustFile, own)
	}
}

// facetLines draws each facet's plane between its joints, with its number.
func (s Scene) facetLines(p *Panel, f *flank) {
	for i, c := range f.facets {
		n := f.normal(c)
		foot := n.Scale(c.Y)
		up := geom.Vec{Y: -n.Z, Z: n.Y}
		at := f.touch(c).at
		t := at.Dot(up)
		// Half the way to the neighbouring touches: the joints.
		half := 0.0
		if i > 0 {
			half = max(half, f.touch(f.facets[i-1]).at.Dot(up)-t)
		}
		if i < len(f.facets)-1 {
			half = max(half, t-f.touch(f.facets[i+1]).at.Dot(up))
		}
		if half == 0 {
			half = s.Plan.Job.Gear.Module
		}
		p.Line(Thin, f.own(foot.Add(up.Scale(t-half/2))), f.own(foot.Add(up.Scale(t+half/2))))
		p.Dot(Pass, f.own(at))
		p.Balloon(f.own(at), strconv.Itoa(c.Number)).Toward(geom.Vec{Y: float64(f.side), Z: 0.1})
	}
	p.Name(Thin, "facet").Name(Pass, "touches here")
}

// leftGraph plots the metal left against the radius: as replayed, filled, and
// as the facets should leave it.
func (s Scene) leftGraph(f *Figure, name string, box Box, k *flank) {
	j := s.Plan.Job
	size, small := s.units()
	g := f.Graph(name+": metal left against height", box, Axis{"radius", size}, Axis{"metal left", small})
	g.NoLegend = false
	limit := s.Plan.Flanks.Limit
	lo, hi := k.form-0.05*j.Gear.Module, s.Plan.Dims.TipTop
	g.Window(lo, 0, hi+0.02*j.Gear.Module, 1.6*max(limit, k.worst(true)))
	var curve, ideal, filed []geom.Vec
	for _, q := range k.samples {
		at := geom.Vec{Y: q.at.Norm(), Z: q.left}
		curve = append(curve, at)
		if q.filing {
			filed = append(filed, at)
		}
		if !math.IsNaN(q.ideal) {
			ideal = append(ideal, geom.Vec{Y: at.Y, Z: q.ideal})
		}
	}
	g.Under(MetalLeft, 0, curve...)
	if len(filed) > 0 {
		g.Under(MustFile, 0, filed...)
	}
	g.Line(Curve, curve...)
	g.Line(Hidden, ideal...)
	g.Line(ToleranceLine, geom.Vec{Y: k.form, Z: limit}, geom.Vec{Y: hi, Z: limit})
	g.Line(Centre, geom.Vec{Y: k.form}, geom.Vec{Y: k.form, Z: g.Max.Z})
	g.Label(geom.Vec{Y: k.form + 0.8*(hi-k.form), Z: limit}, s.small(limit)+" allowed").Toward(geom.Vec{Z: 1})
	g.Label(geom.Vec{Y: k.form, Z: 0.9 * g.Max.Z}, "form circle").Toward(geom.Vec{Y: 1})
	if a := s.Plan.Flanks.Allowance; a > 0 {
		g.Line(Alternative, geom.Vec{Y: k.form, Z: a}, geom.Vec{Y: hi, Z: a})
		g.Name(Alternative, "true flank")
	}
	g.Name(Curve, "as replayed").Name(Hidden, "facets as planned").Name(MetalLeft, "")
}
