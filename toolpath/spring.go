package toolpath

import (
	"cogmend/gcode"
	"cogmend/profiles/estimate"
)

// Spring is how far the cutter of a pass gives way, an estimate.
type Spring struct {
	Force float64 // greatest mean sideways force, N
	First float64 // how far it gives way at the pass's deepest cut, mm
	// Finishes says that the pass makes a facet, whose flank keeps what the last
	// cut leaves.
	Finishes bool
	Left     float64 // what the last cut leaves on the flank, mm
	Again    int     // cuts made once more at the same place
	Share    float64 // greatest share of the cutter's bending strength; 1 breaks
}

const (
	// springShare is how much of the facets' limit the cutter's spring may
	// spend (own rule).
	springShare = 1.0 / 3
	// mostAgain is how often a facet is cut once more at most: each cut leaves
	// a small share of what the one before it left.
	mostAgain = 3
)

// sprung notes what a cut does to the cutter of the pass being written: metal of
// the given section, mm^2, and depth, mm.
func (w *writer) sprung(area, depth float64) {
	s, err := estimate.CutterSpring(w.op.Cutter, w.engagement(depth, area/depth))
	if err != nil {
		return // a cutter without lengths has no bar to bend
	}
	p := &w.op.Passes[len(w.op.Passes)-1].Spring
	p.Force = max(p.Force, s.Force)
	p.First = max(p.First, s.Deflection)
	p.Share = max(p.Share, s.Share)
}

// engagement is a side cut of the operation being written.
func (w *writer) engagement(depth, width float64) estimate.Engagement {
	c := w.op.Cutter
	teeth := c.Flutes
	if c.SinglePoint {
		teeth = 1
	}
	return estimate.Engagement{
		Diameter: c.Diameter, Teeth: teeth, Depth: depth, Width: min(width, c.Diameter),
		Feed: w.op.Feed / (w.op.Rpm * float64(teeth)), Work: w.work,
	}
}

// again cuts a facet of the given height once more, in the same way from a to
// b, as often as the cutter's spring asks.
func (w *writer) again(a, b, y, z, height float64) {
	p := &w.op.Passes[len(w.op.Passes)-1].Spring
	p.Left, p.Finishes = p.First, true
	for p.Left > springShare*w.p.Flanks.Limit && p.Again < mostAgain {
		s, err := estimate.CutterSpring(w.op.Cutter, w.engagement(height, p.Left))
		if err != nil || s.Deflection >= p.Left {
			return
		}
		p.Left = s.Deflection
		p.Again++
		w.note(gcode.OnceMore + ": the cutter sprang away")
		w.over(a, y, z)
		w.through(b, y, z, w.beside(p.Left))
	}
}

// mostHalved is how often a depth of cut is halved for a cutter that would bend
// too near to its strength.
const mostHalved = 4

// strong halves a depth of cut until the cutter bears it, and refuses a cutter
// that bears none.
func (w *writer) strong(step, width float64) float64 {
	c := w.op.Cutter
	var share float64
	for range mostHalved + 1 {
		s, err := estimate.CutterSpring(c, w.engagement(step, width))
		if err != nil || s.Share <= estimate.BreakShare {
			return step
		}
		share = s.Share
		step /= 2
	}
	if !w.p.weak[c.Name] {
		w.p.weak[c.Name] = true
		w.p.bad.add("cutter."+c.Name, "it would bend to %.0f %% of its strength in a cut %s deep and %s wide, %.0f %% at most; let it stick out less, or feed slower",
			100*share, w.p.len(2*step), w.p.len(min(width, c.Diameter)), 100*estimate.BreakShare)
	}
	return step
}
