package design

import (
	"math"

	"cogmend/toolpath/job"
)

// Limits of the tip land, mm: a tenth of what the flanks may keep, so that the
// tip's flats do not show beside the facets, within what a mill can hold and
// what a file takes off in a stroke or two.
const (
	tipShare = 0.1
	tipLeast = 0.002
	tipMost  = 0.02
)

// maxTipCuts bounds the flats on one tip land.
const maxTipCuts = 50

// TipCuts is how many flat cuts, each touching the tip circle, make the tip
// land; one where the device cannot turn freely.
func (d *Design) TipCuts() int {
	if d.Job.Index.Device != job.Rotary {
		return 1
	}
	tol := min(tipMost, max(tipLeast, tipShare*d.Flanks.Limit))
	n := 1
	for d.TipSag(n) > tol && n < maxTipCuts {
		n++
	}
	return n
}

// TipSag is how far the corners between n flats over the tip land stand out
// of the tip circle, mm.
func (d *Design) TipSag(n int) float64 {
	g := &d.Target
	half := g.TipHalf() / float64(n)
	return g.TipRadius() * (1/math.Cos(half) - 1)
}

// TipLimit is how high metal may stand over the tip circle at the tip land, mm: a
// flat cut touches the circle in one line and stands proud beside it, out to the
// crest of a facet, which is wider than the land by what it leaves of the flank,
// taken along the circle.
func (d *Design) TipLimit() float64 {
	g := &d.Target
	lean := min(g.SupportAt(g.Roll(g.TipRadius())).Slope, g.Mirrored().SupportAt(g.Mirrored().Roll(g.TipRadius())).Slope) / g.TipRadius()
	wide := g.TipHalf()/float64(d.TipCuts()) + d.Flanks.Limit/(lean*g.TipRadius())
	return g.TipRadius() * (1/math.Cos(min(wide, math.Pi/4)) - 1)
}
