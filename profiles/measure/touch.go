package measure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Gap is the place where teeth are missing, at top dead centre, between two
// standing neighbours.
type Gap struct {
	Gear    profiles.Gear // the neighbours: with their own Thinning
	Missing int           // adjacent missing teeth, 1 or more
}

// side is the angle of the right neighbour's middle from +Z.
func (p Gap) side() float64 { return p.Gear.Pitch() * float64(p.Missing+1) / 2 }

func (p Gap) validate() error {
	if p.Missing < 1 || p.Missing > p.Gear.Teeth/4 {
		return fmt.Errorf("%d missing teeth of %d: it must be 1 to a quarter of the count", p.Missing, p.Gear.Teeth)
	}
	return p.Gear.Validate()
}

// TipHeight returns the height over the gear axis of the highest point of a
// level neighbour's tip land, its inner corner: r_a cos(side - psi_a).
func (p Gap) TipHeight() float64 {
	g := p.Gear
	return g.TipRadius() * math.Cos(max(0, p.side()-g.HalfAngle(g.TipRadius())))
}

// WidthAt returns the width of the gap between the neighbours' facing flanks
// at height z over the gear axis, which must not be below the root circle.
func (p Gap) WidthAt(z float64) (float64, error) {
	if err := p.validate(); err != nil {
		return 0, err
	}
	if z < p.Gear.RootRadius() {
		return 0, fmt.Errorf("height %.3f mm over the axis lies below the root circle of %.3f mm", z, p.Gear.RootRadius())
	}
	flank, err := p.Gear.RightFlank()
	if err != nil {
		return 0, err
	}
	// The left neighbour's +Y flank, turned to its place.
	turn := geom.Turn(-p.side())
	last := turn.Apply(flank[0])
	for _, q := range flank[1:] {
		at := turn.Apply(q)
		if at.Z <= z && z <= last.Z {
			y := at.Y
			if last.Z > at.Z {
				y = at.Lerp(last, (z-at.Z)/(last.Z-at.Z)).Y
			}
			return -2 * y, nil
		}
		last = at
	}
	return 0, fmt.Errorf("height %.3f mm over the axis is not between the neighbours' tips at %.3f mm and their roots", z, p.TipHeight())
}

// SideTouch is what was read when the side of a cutter was brought against
// both neighbours. Lengths mm.
type SideTouch struct {
	Left, Right float64 // Y of the spindle at the left (-Y) and the right (+Y) neighbour
	Cutter      float64 // diameter
	Paper       float64 // thickness of the paper between; 0: none
	Depth       float64 // of the cutter's end below the tips of the neighbours
	Sigma       float64 // uncertainty of one touch; 0 means 0.02, our own figure for oiled paper
}

// Cause is one thing that would explain a gap of the wrong width.
type Cause struct {
	Text   string  // what it would be, in words
	Amount float64 // how much of it explains the whole difference, mm
}

// SideResult is what two touches say.
type SideResult struct {
	Centre     float64  // Y of the spindle over the middle of the gap, mm
	TypeRight  float64  // Y to type at the control while the cutter still stands at the right touch, mm
	TypeLeft   float64  // the same at the left touch, mm
	Gap        float64  // width between the flanks that the touches imply, mm
	Expected   float64  // width the gear should have there, mm
	Difference float64  // Gap less Expected, mm
	Sigma      float64  // uncertainty of Difference, mm
	Height     float64  // of the touching corner over the gear axis, mm
	PerDepth   float64  // change of the gap for 1 mm of depth, mm
	Thinning   float64  // neighbours' thinning, at the pitch circle, that would explain the gap, mm
	Agrees     bool     // Difference is within twice Sigma
	Wrong      bool     // Difference is too large for wear or paper: do not cut
	Causes     []Cause  // likeliest first, when it does not agree
	Notes      []string // what else to know, one sentence each
}

// touchSigma is how well an oiled paper's slip repeats, mm; common practice
// has the cutter move the paper before it marks the tooth.
const touchSigma = 0.02

// Centre finds the middle of the gap from a touch on both neighbours: the
// paper and the cutter's diameter cancel in it, but not in the gap's width,
// which tells whether the gear is the one meant. The cutter touches with the
// corner of its end, for the gap narrows downward.
func (p Gap) Centre(t SideTouch) (SideResult, error) {
	if err := p.validate(); err != nil {
		return SideResult{}, err
	}
	switch {
	case !(t.Cutter > 0):
		return SideResult{}, fmt.Errorf("cutter diameter %.6g mm: it must be positive", t.Cutter)
	case !(t.Paper >= 0) || t.Paper > 1:
		return SideResult{}, fmt.Errorf("paper of %.6g mm: it must be 0 to 1 mm", t.Paper)
	case !(t.Depth > 0):
		return SideResult{}, fmt.Errorf("depth %.6g mm below the tips: it must be positive", t.Depth)
	case !(t.Right >= t.Left) || math.IsInf(t.Right-t.Left, 0):
		return SideResult{}, fmt.Errorf("right touch Y %.3f lies left of the left touch Y %.3f: exchange them", t.Right, t.Left)
	}
	if t.Sigma <= 0 {
		t.Sigma = touchSigma
	}
	height := p.TipHeight() - t.Depth
	expected, err := p.WidthAt(height)
	if err != nil {
		return SideResult{}, fmt.Errorf("depth %.3f mm below the tips: the cutter would stand on the root, or outside the flanks", t.Depth)
	}
	half := (t.Right - t.Left) / 2
	r := SideResult{
		Centre:    (t.Left + t.Right) / 2,
		TypeRight: half,
		TypeLeft:  -half,
		Gap:       2*half + t.Cutter + 2*t.Paper,
		Expected:  expected,
		Height:    height,
		Sigma:     t.Sigma * math.Sqrt2,
	}
	r.Difference = r.Gap - r.Expected
	const probe = 0.01 // mm, for the slopes
	if wider, err := p.WidthAt(height + probe); err == nil {
		r.PerDepth = -(wider - expected) / probe
	}
	worn := p
	worn.Gear.Thinning += probe
	perThinning := 0.0
	if wider, err := worn.WidthAt(height); err == nil {
		perThinning = (wider - expected) / probe
	}
	r.Thinning = p.Gear.Thinning
	if perThinning > 0 {
		r.Thinning += r.Difference / perThinning
	}
	r.Agrees = math.Abs(r.Difference) <= 2*r.Sigma
	// A quarter of a module is more than any wear a gear still runs with, and
	// wear never makes a gap narrower (own rules).
	r.Wrong = r.Difference > p.Gear.Module/4 || r.Difference < -p.Gear.Module/20-2*r.Sigma
	if t.Cutter+2*t.Paper > expected {
		r.Notes = append(r.Notes, fmt.Sprintf("a cutter of %.3f mm does not go into a gap of %.3f mm at that depth", t.Cutter, expected))
	}
	if p.Missing > 1 {
		r.Notes = append(r.Notes, "the middle of the gap is the middle of the run of missing teeth")
	}
	r.Notes = append(r.Notes, "a gear that is not level moves this middle too: level the neighbours' tips first")
	if !r.Agrees {
		r.Causes = p.causes(r, t)
	}
	return r, nil
}

// causes lists what would explain the difference; the one whose amount is
// nearest to what happens in a shop comes first.
func (p Gap) causes(r SideResult, t SideTouch) []Cause {
	type weighed struct {
		Cause
		odd float64 // amount over what is usual
	}
	var all []weighed
	add := func(text string, amount, usual float64) {
		all = append(all, weighed{Cause{text, amount}, math.Abs(amount) / usual})
	}
	m := p.Gear.Module
	switch {
	case r.Thinning >= 0:
		add("the neighbours' thinning at the pitch circle", r.Thinning, 0.05*m)
	default:
		add("the neighbours are thicker than standard", -r.Thinning, 0.01*m)
	}
	if t.Paper > 0 && r.Difference > 0 {
		add("the paper was not there, or was counted twice", r.Difference/2, 0)
		all[len(all)-1].odd = math.Abs(r.Difference/2-t.Paper) / r.Sigma
	}
	if t.Paper == 0 && r.Difference < 0 {
		add("paper that was not counted", -r.Difference/2, 0)
		// Papers of the trade are 0.08 to 0.10 mm thick (common practice).
		all[len(all)-1].odd = math.Abs(-r.Difference/2-0.09) / (0.01 + r.Sigma)
	}
	for _, unit := range []struct {
		text string
		mm   float64
	}{{"the touches were read in inches, which leaves it off by", inch}, {"the touches were read in mm, which leaves it off by", 1 / inch}} {
		off := (t.Right-t.Left)*unit.mm + t.Cutter + 2*t.Paper - r.Expected
		if r.Wrong && math.Abs(off) <= 2*r.Sigma {
			add(unit.text, off, 0)
			all[len(all)-1].odd = 0
		}
	}
	if r.PerDepth != 0 {
		// The gap narrows as the cutter goes deeper.
		deeper := r.Difference / r.PerDepth
		text := "the cutter stands deeper than stated"
		if deeper < 0 {
			text = "the cutter stands less deep than stated"
		}
		add(text, math.Abs(deeper), 0.1)
	}
	add("the cutter's diameter differs from the stated one", math.Abs(r.Difference), 0.02)
	if r.Wrong {
		add("wrong pitch, count, or tooth touched", r.Difference, m/4)
	}
	slices.SortStableFunc(all, func(a, b weighed) int { return cmp.Compare(a.odd, b.odd) })
	out := make([]Cause, len(all))
	for i, c := range all {
		out[i] = c.Cause
	}
	return out
}

// LevelResult is what the heights of both neighbours' tips say.
type LevelResult struct {
	Turn      float64 // turn the gear by this to level it, rad, positive: top toward +Y
	Residual  float64 // uncertainty of Turn from the touches, rad
	FlankCost float64 // what Turn left undone would move the new flank at the most, the greatest of Gear.TouchHeights times the angle, mm
	Axis      float64 // height of the gear axis in the datum of the heights, mm
	TipLevel  float64 // height both tips will have once level, in that datum, mm
}

// Level finds the turn that levels the gear from the heights, in any datum,
// at which the same cutter touches the tips of the left and right neighbours:
// left - right = 2 r_a sin(side - psi_a) sin(delta) when the gear stands delta
// toward +Y.
func (p Gap) Level(left, right float64) (LevelResult, error) {
	if err := p.validate(); err != nil {
		return LevelResult{}, err
	}
	g := p.Gear
	ra := g.TipRadius()
	corner := p.side() - g.HalfAngle(ra)
	arm := 2 * ra * math.Sin(corner)
	s := (left - right) / arm
	// Past this turn the inner corner is no longer the highest point.
	if !(math.Abs(s) < math.Sin(corner)) {
		return LevelResult{}, fmt.Errorf("tips differ by %.3f mm: more than a gear nearly level can show; turn it by hand first", left-right)
	}
	delta := math.Asin(s)
	level := ra * math.Cos(corner)
	axis := (left+right)/2 - level*math.Cos(delta)
	_, moved := g.TouchHeights()
	return LevelResult{
		Turn:      -delta,
		Residual:  touchSigma * math.Sqrt2 / arm,
		FlankCost: moved * math.Abs(delta),
		Axis:      axis,
		TipLevel:  axis + level,
	}, nil
}

// HeightResult says what to type when the end of the cutter lies on a
// neighbour's tip over paper. Lengths mm.
type HeightResult struct {
	TipsZero   float64 // Z to type when Z0 is the tips of the level neighbours
	AxisZero   float64 // Z to type when Z0 is the gear axis
	FinishZero float64 // Z to type when Z0 is the finished tip circle over the repair
}

// Height returns the Z to type at the control while the cutter's end rests on
// paper of the given thickness on a level neighbour's tip.
func (p Gap) Height(paper float64) (HeightResult, error) {
	if err := p.validate(); err != nil {
		return HeightResult{}, err
	}
	if !(paper >= 0) || paper > 1 {
		return HeightResult{}, fmt.Errorf("paper of %.6g mm: it must be 0 to 1 mm", paper)
	}
	tip := p.TipHeight()
	return HeightResult{paper, tip + paper, tip - p.Gear.TipRadius() + paper}, nil
}

// ArborLevel says how far the gear must be turned so that the middle of the gap
// stands over the middle of its arbor. Unlike the tips, the flanks at one height
// do not tell of a chipped or a worn corner.
type ArborLevel struct {
	Turn float64 // turn the gear by this to level it, rad, positive: top toward +Y
	Off  float64 // the gap's middle beside the arbor's, mm, toward +Y
}

// LevelOver holds the middle of the gap against the Y of the spindle over the
// middle of the arbor, mm. Not ok: they are so far apart, over a quarter of their
// height, that no slip of the gear explains it (own rule).
func (r SideResult) LevelOver(arbor float64) (l ArborLevel, ok bool) {
	l.Off = r.Centre - arbor
	if math.Abs(l.Off) > r.Height/4 {
		return l, false
	}
	l.Turn = -math.Asin(l.Off / r.Height)
	return l, true
}
