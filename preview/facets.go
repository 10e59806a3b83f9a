package preview

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// FacetFigures returns the pictures of a facets program: each new tooth with
// its facets and the metal left on it, its root magnified, and the gear at
// each index.
func FacetFigures(s Scene) []*figure.Figure {
	if len(s.Plan.Facets) == 0 {
		return nil
	}
	var teeth, roots []*figure.Figure
	for i, place := range s.Plan.Job.Gear.Places {
		var flanks []flank
		for _, side := range []int{-1, 1} {
			f, err := s.flankOf(place, side)
			if err != nil {
				return nil // the plan was made with the same tooth
			}
			flanks = append(flanks, f)
		}
		tooth, root := s.toothFigure(place, flanks), s.rootFigure(place, flanks)
		if i > 0 {
			tooth.Name += fmt.Sprintf("-tooth-%d", i+1)
			root.Name += fmt.Sprintf("-tooth-%d", i+1)
		}
		teeth, roots = append(teeth, tooth), append(roots, root)
	}
	return append(append(teeth, roots...), s.indexFigures()...)
}

// toothFigure is the tooth large, the facets numbered, the metal left filled,
// its graphs, and what setting errors cost.
func (s Scene) toothFigure(place float64, flanks []flank) *figure.Figure {
	j, d := s.Plan.Job, s.Plan.Sizes
	f := s.page("", "Facets and the metal left on them"+s.Plan.PlaceName(place))
	top, bottom := figure.Whole().Stacked(0.6)
	limit := max(s.Plan.Flanks.Limit, 1e-4)
	times := newStretch(0, limit, 0.15*j.Gear.Module).times
	top, beside := top.Beside(0.66)
	p := f.Panel(fmt.Sprintf("The tooth upright; metal left on the flanks ×%.0f, all else true", times), top)
	p.Origin.Z = s.shift()
	wide := 0.75 * j.Gear.Pitch() * d.TipTop
	p.Window(-wide, j.Gear.RootRadius()-0.25*j.Gear.Module, wide, d.TipTop+0.15*j.Gear.Module)
	s.gearAt(p, -place*j.Gear.Pitch())
	for i := range flanks {
		s.leftOn(p, &flanks[i], times)
	}
	for i := range flanks {
		s.facetLines(p, &flanks[i])
	}
	p.Line(figure.Centre, geom.Vec{Z: p.Min.Z - 1}, geom.Vec{Z: p.Max.Z + 1})
	s.settingErrors(f, beside)
	left, right := bottom.Beside(0.5)
	s.leftGraph(f, "Left flank", left, &flanks[0])
	s.leftGraph(f, "Right flank", right, &flanks[1])
	worst := max(flanks[0].worst(true), flanks[1].worst(true))
	f.Notes = append([]string{
		fmt.Sprintf("%d facets right, %d left. Stays on: %s, allowed %s.", len(flanks[1].facets), len(flanks[0].facets), s.small(worst), s.small(s.Plan.Flanks.Limit)),
		"Left and right as seen from +X. Facets count from the tip.",
	}, s.verdict()...)
	return f
}

// settingErrors lists what they do to the flank.
func (s Scene) settingErrors(f *figure.Figure, box figure.Box) {
	p := f.Panel("What a setting error moves a facet", box)
	p.Bare, p.Equal, p.NoScale, p.NoLegend = true, false, true, true
	const rows, letters, pad = 13, 37, 0.3
	p.Window(0, 0, 1, rows)
	row := p.Max.Z - pad
	write := func(value, text string) {
		for i, line := range broken(text, letters) {
			row--
			if i == 0 && value != "" {
				p.Write(geom.Vec{Y: 0.02, Z: row + 0.3}, value)
			}
			p.Write(geom.Vec{Y: 0.22, Z: row + 0.3}, line)
		}
	}
	for _, c := range s.Plan.SettingErrors() {
		write(s.small(c.FlankMM), c.Setting)
	}
	row -= 0.5
	what, most := "base radius", ""
	if s.Plan.Job.Gear.Form != nil {
		what, most = "height of the touch", " at most"
	}
	_, moved := s.Plan.Job.Gear.TouchHeights()
	write("", "Turning the gear moves the flank by the "+what+", "+s.len(moved)+most+", times the angle.")
}

// broken breaks a text at spaces into lines of at most so many letters, longer
// words aside.
func broken(text string, letters int) []string {
	var out []string
	for _, word := range strings.Fields(text) {
		if n := len(out); n > 0 && utf8.RuneCountInString(out[n-1]+word) < letters {
			out[n-1] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

// gearAt draws the gear with its finished teeth, turned by an angle.
func (s Scene) gearAt(p *figure.Panel, angle float64) {
	s.kept(p, s.Before.Stations[s.show()], angle)
}

// own returns a point of the +Y flank on the flank's own side.
func (f *flank) own(v geom.Vec) geom.Vec { return geom.Vec{Y: v.Y * float64(f.side), Z: v.Z} }

// leftOn fills the metal left, made thicker, and what is to be filed, true.
func (s Scene) leftOn(p *figure.Panel, f *flank, times float64) {
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
		p.Region(figure.MetalLeft, left)
	}
	if len(f.file) > 0 {
		own := make([][]geom.Vec, len(f.file))
		for i, piece := range f.file {
			for _, v := range piece {
				own[i] = append(own[i], f.own(v))
			}
		}
		p.Region(figure.MustFile, own)
	}
}

// facetLines draws each facet's plane between its joints, with its number.
func (s Scene) facetLines(p *figure.Panel, f *flank) {
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
		if len(c.Cutters) == 0 {
			p.Balloon(f.own(at), strconv.Itoa(c.Number)+" not cut").Toward(geom.Vec{Y: float64(f.side), Z: 0.1})
			continue
		}
		p.Line(figure.Thin, f.own(foot.Add(up.Scale(t-half/2))), f.own(foot.Add(up.Scale(t+half/2))))
		p.Dot(figure.Pass, f.own(at))
		p.Balloon(f.own(at), strconv.Itoa(c.Number)).Toward(geom.Vec{Y: float64(f.side), Z: 0.1})
	}
	p.Name(figure.Thin, "facet").Name(figure.Pass, "touches here")
}

// leftGraph plots the metal left against the radius: as replayed, filled; as
// the planned facets should leave it; and as facets at any angle would, where
// the index device allows only some.
func (s Scene) leftGraph(f *figure.Figure, name string, box figure.Box, k *flank) {
	j := s.Plan.Job
	size, small := s.units()
	g := f.Graph(name+": metal left against radius", box, figure.Axis{Name: "radius", Unit: size}, figure.Axis{Name: "metal left", Unit: small})
	g.NoLegend = false
	limit := s.Plan.Flanks.Limit
	lo, hi := k.form-0.05*j.Gear.Module, s.Plan.Sizes.TipTop
	g.Window(lo, 0, hi+0.02*j.Gear.Module, 1.6*max(limit, k.worst(true)))
	var curve, filed []geom.Vec
	for _, q := range k.samples {
		at := geom.Vec{Y: q.at.Norm(), Z: q.left}
		if at.Y < lo {
			continue
		}
		curve = append(curve, at)
		if q.filing {
			filed = append(filed, at)
		}
	}
	g.Under(figure.MetalLeft, 0, curve...)
	if len(filed) > 0 {
		g.Under(figure.MustFile, 0, filed...)
	}
	if j.Index.Device != job.Rotary {
		g.Line(figure.Rapid, k.over(anyAngleFacets(s.Plan.Target.Gear, s.Plan.Flanks.Ideal.Rolls))...)
		g.Name(figure.Rapid, "as many at any angle")
	}
	g.Line(figure.Hidden, k.over(k.facets)...)
	g.Line(figure.ToleranceLine, geom.Vec{Y: k.form, Z: limit}, geom.Vec{Y: hi, Z: limit})
	g.Line(figure.Centre, geom.Vec{Y: k.form}, geom.Vec{Y: k.form, Z: g.Max.Z})
	g.Label(geom.Vec{Y: k.form + 0.8*(hi-k.form), Z: limit}, s.small(limit)+" allowed").Toward(geom.Vec{Z: 1})
	g.Label(geom.Vec{Y: k.form, Z: 0.9 * g.Max.Z}, "form circle").Toward(geom.Vec{Y: 1})
	if a := s.Plan.Flanks.Allowance; a > 0 {
		g.Line(figure.Alternative, geom.Vec{Y: k.form, Z: a}, geom.Vec{Y: hi, Z: a})
		g.Name(figure.Alternative, "true flank")
	}
	g.Name(figure.MetalLeft, "as replayed").Name(figure.Hidden, "as planned")
}

// anyAngleFacets returns the facets of rolls that no device limits.
func anyAngleFacets(g profiles.Gear, rolls []float64) []toolpath.Facet {
	out := make([]toolpath.Facet, len(rolls))
	for i, r := range rolls {
		out[i] = toolpath.Facet{Roll: r, Y: g.Plane(r)}
	}
	return out
}
