package preview

import (
	"fmt"
	"math"
	"slices"

	"cogmend/preview/figure"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// ExpectFigure shows what to expect of a new tooth: what each number does to a
// flank, as bars, and the band of likely flanks about the true one.
func ExpectFigure(p *toolpath.Plan, e *toolpath.Expectation) (*figure.Figure, error) {
	j := p.Job
	size, small := figure.Millimetre, figure.Micrometre
	if j.Units == job.Inch {
		size, small = figure.Inch, figure.Thou
	}
	f := named(figure.NewFigure(j.Heading(), "What to expect of the tooth", size))
	f.Name, f.Fingerprint = "expect", j.Fingerprint
	left, right := figure.Whole().Beside(0.52)
	shareBars(f, left, small, e)
	likelyFlanks(f, right, size, small, p, e)
	f.Notes = append(f.Notes,
		"Estimates, combined by JCGM 100:2008; 95 of 100 teeth are expected inside.",
		fmt.Sprintf("Thickness within ±%s, place (pitch to both neighbours) within ±%s.", j.Units.Length(e.Thickness.Half), j.Units.Length(e.Place.Half)))
	if e.Enough > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("More than %d facets a flank would not show.", e.Enough))
	}
	return f, nil
}

// shareBars draws a bar for each influence, the greatest on top.
func shareBars(f *figure.Figure, box figure.Box, small figure.Unit, e *toolpath.Expectation) {
	n := float64(len(e.Shares))
	p := f.Graph("What each number does to a flank, 95 of 100 times", box,
		figure.Axis{Name: "off", Unit: small}, figure.Axis{Unit: figure.Plain})
	most := e.Flank.Half
	p.Window(0, 0, 1.25*most, n+1)
	bar := func(row, half float64, style figure.Style, text string) {
		p.Rect(style, geom.Vec{Z: row + 0.08}, geom.Vec{Y: max(half, most/400), Z: row + 0.5})
		p.Write(geom.Vec{Y: most / 100, Z: row + 0.6}, text)
	}
	for i, s := range e.Shares {
		bar(n-1-float64(i), s.Half(), figure.Cutter, fmt.Sprintf("%s: %.0f %%", s.Name, 100*s.Part))
	}
	bar(n, most, figure.Neighbour, "all together (root of the sum of squares)")
}

// likelyFlanks draws how far the flank may lie from the true one over its height.
func likelyFlanks(f *figure.Figure, box figure.Box, size, small figure.Unit, p *toolpath.Plan, e *toolpath.Expectation) {
	set := p.Flanks.Right
	g := p.Target.Gear
	lo, hi := p.Target.Root.FormRoll, g.Roll(g.TipRadius())
	// What the facets leave is drawn as it is; the band is the rest of the budget.
	rest, offset := estimate.HalfOf(e.Without("facets")), e.Flank.Middle
	for _, s := range e.Shares {
		if s.Name == "facets" {
			offset -= s.Offset
		}
	}
	const samples = 240
	var line, inner, outer []geom.Vec
	most := 0.0
	for i := range samples + 1 {
		roll := lo + (hi-lo)*float64(i)/samples
		left, here := math.Inf(1), g.SupportAt(roll)
		for _, at := range set.Rolls {
			if d := at - roll; math.Abs(d) < math.Pi/4 {
				left = min(left, (g.Plane(at)-here.Slope*math.Sin(d))/math.Cos(d)-here.H)
			}
		}
		if math.IsInf(left, 1) {
			continue
		}
		at := geom.Vec{Y: left - p.Flanks.Allowance + offset, Z: g.RadiusAt(roll)}
		most = max(most, math.Abs(at.Y)+rest)
		line = append(line, at)
		inner = append(inner, at.Sub(geom.Vec{Y: rest}))
		outer = append(outer, at.Add(geom.Vec{Y: rest}))
	}
	q := f.Graph("Where the flank is likely to lie (right: outside the true one)", box,
		figure.Axis{Name: "off", Unit: small}, figure.Axis{Name: "radius", Unit: size})
	bottom, top := g.RadiusAt(lo), g.TipRadius()
	q.Window(-1.15*most, bottom-0.03*(top-bottom), 1.15*most, top+0.12*(top-bottom))
	q.NoLegend = false
	q.Polygon(figure.Target, append(slices.Clone(outer), geom.Reversed(inner)...)...)
	q.Name(figure.Target, "95 of 100 flanks")
	q.Line(figure.Curve, line...)
	q.Name(figure.Curve, "facets as planned, and the mean of the rest")
	q.Line(figure.Centre, geom.Vec{Z: bottom}, geom.Vec{Z: top})
	q.Name(figure.Centre, "true flank")
}
