package toolpath

import (
	"fmt"
	"math"
	"sort"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

const (
	// jointUnder is how far below the joint with the next facet a facet is cut, mm,
	// where the finished gear leaves room.
	jointUnder = 0.05
	// leastGain is the least height for which another cutter is worth taking, mm.
	leastGain = 0.02
)

// cutAt is one place a cutter passes along X: gear angle, near side, bottom,
// in the mirrored world of its flank.
type cutAt struct {
	place  float64
	side   int
	angle  float64
	y, z   float64
	name   string
	finish bool // the last cut goes the way the job asks
}

// facetPlan is the work of one cutter.
type facetPlan struct {
	cutter *profiles.Cutter
	cuts   []cutAt
}

// facets plans the flanks.
func (p *planner) facets() error {
	j := p.Job
	if p.bad.err() != nil {
		return nil
	}
	if !p.Flanks.Met {
		p.refuseTolerance()
		return nil
	}
	if off := p.Flanks.Allowance; off != 0 && !p.keepsTooth(off) {
		p.bad.add("facets.lean", "half of what so few facets leave, %s, taken off each flank leaves no tooth: more of them (facets.count, facets.tolerance), or lean = \"proud\"", p.len(off))
		return nil
	}
	rack := endMills(j, j.Facets.Cutters...)
	body, err := metal.Body(p.Design)
	if err != nil {
		return err
	}
	st := newStock(body)
	p.flatten(st, j.Gear.Places)
	safe := max(metal.Reach(st.region()), p.Sizes.TipTop, p.Sizes.GearTop) + j.Machine.SafeHeight
	w := p.start(40, FacetsProgram, "both flanks as flat facets, and the root beside them", GearSetup, safe)
	w.gearHead()
	if j.BuiltUp() {
		w.prog.Clamp = append(w.prog.Clamp, p.beadCautions()...)
	}
	plans, err := p.planFacets(rack, st.copy())
	if err != nil {
		return err
	}
	for _, fp := range plans {
		w.tool("facets", fp.cutter, j.NewMetal(), profiles.SideCut)
		for _, c := range fp.cuts {
			w.facetCut(st, c)
		}
		if len(w.op.Passes) == 0 {
			w.prog.Ops = w.prog.Ops[:len(w.prog.Ops)-1]
			w.op = nil
			if n := len(w.prog.Ops); n > 0 {
				w.op = &w.prog.Ops[n-1]
			}
		}
	}
	// The gear turns one way, so cuts were made in another order than chosen:
	// what that left, the last cutter takes; what it cannot, is to be filed.
	for _, place := range j.Gear.Places {
		for _, side := range p.sides() {
			f := p.flankScene(place, side)
			if w.op != nil {
				more := p.rootCuts(f, st.copy(), w.op.Cutter, place, side)
				p.order(more)
				for _, c := range more {
					w.facetCut(st, c)
				}
			}
			p.leftover(st, f, place, side)
		}
	}
	w.end()
	return nil
}

// sides are the flanks still to be cut: +1 the right one, -1 the left.
func (p *planner) sides() []int {
	if only := p.Job.Facets.Only; only != 0 {
		return []int{only}
	}
	return []int{1, -1}
}

// tellFlanks says what the flanks measured too thick or too thin come to.
func (p *planner) tellFlanks() {
	for i, side := range []int{-1, 1} {
		switch off := p.Job.Facets.Off[i]; {
		case off > job.FlankSeen:
			p.Warnings = append(p.Warnings, fmt.Sprintf("the %s flank stands %s over its plan: before it is cut again find Y0 anew by touching both neighbours, and measure the cutter", SideName(side), p.len(off)))
		case off < -job.FlankSeen:
			p.Warnings = append(p.Warnings, fmt.Sprintf("the %s flank is %s too deep: nothing can be put back; the tooth has so much more play on that side, and stands so much later in mesh", SideName(side), p.len(-off)))
		}
	}
}

// keepsTooth says that a tooth is left when so much is taken off each flank, and a
// land on its tip.
func (p *planner) keepsTooth(off float64) bool {
	g := p.Job.Gear.MovedIn(off)
	return g.Validate() == nil && g.HalfAngle(g.TipRadius())+g.Mirrored().HalfAngle(g.TipRadius()) > 0
}

func (p *planner) refuseTolerance() {
	j := p.Job
	best := max(p.Flanks.Right.GreatestError, p.Flanks.Left.GreatestError)
	if len(p.Flanks.Right.Rolls) == 0 || len(p.Flanks.Left.Rolls) == 0 {
		p.bad.add("index", "the device can be set to no angle that touches the flanks of every missing tooth%s", p.otherCircle())
		return
	}
	if j.Facets.Lean == job.Even {
		best /= 2
	}
	how := map[job.Device]string{
		job.Rotary: fmt.Sprintf("%d facets a flank are the most", profiles.MaxFacets),
		job.Head:   "the head's holes allow no better",
		job.Teeth:  "whole teeth on stops allow no better; index.half_tooth or another device may",
	}[j.Index.Device]
	if j.Index.HalfTooth && j.Index.Device == job.Teeth {
		how = "half teeth on stops allow no better; another device may"
	}
	p.bad.add("facets.tolerance", "%s cannot be kept, the best is %s: %s; or allow that much", p.len(p.Flanks.Tolerance), p.len(best), how)
}

// planFacets chooses cutters, angles and heights. st is used up: it follows
// the cuts as they are chosen.
func (p *planner) planFacets(rack []*profiles.Cutter, st *stock) ([]facetPlan, error) {
	j := p.Job
	plans := make([]facetPlan, len(rack))
	for i, c := range rack {
		plans[i].cutter = c
	}
	for _, place := range j.Gear.Places {
		for _, side := range p.sides() {
			f := p.flankScene(place, side)
			list, err := p.facetsOf(f, place, side, rack)
			if err != nil {
				return nil, err
			}
			for _, fc := range list {
				p.Facets = append(p.Facets, fc.Facet)
				for i := range rack {
					if z, ok := fc.bottoms[i]; ok {
						cut := cutAt{place, side, fc.angle, fc.Y, z, fc.name(p), true}
						plans[i].cuts = append(plans[i].cuts, cut)
						for _, l := range p.rows(st, plans[i].cutter, cut) {
							cut.y, cut.z = l.y, l.z
							p.take(st, plans[i].cutter, cut)
						}
					}
				}
			}
		}
	}
	for i, c := range rack {
		for _, place := range j.Gear.Places {
			for _, side := range p.sides() {
				f := p.flankScene(place, side)
				plans[i].cuts = append(plans[i].cuts, p.rootCuts(f, st, c, place, side)...)
			}
		}
	}
	for i := range plans {
		p.order(plans[i].cuts)
	}
	sort.SliceStable(p.Facets, func(a, b int) bool { return p.Facets[a].Place < p.Facets[b].Place })
	return plans, nil
}

// facetWork is a facet with the height each cutter takes it to.
type facetWork struct {
	Facet
	angle   float64 // in the mirrored world, place upright
	bottoms map[int]float64
}

func (f *facetWork) name(p *planner) string {
	return fmt.Sprintf("%s facet %d%s", SideName(f.Side), f.Number, p.PlaceName(f.Place))
}

// facetsOf plans one flank's facets, numbered from the tip down.
func (p *planner) facetsOf(f *flankScene, place float64, side int, rack []*profiles.Cutter) ([]facetWork, error) {
	g := p.Target.Seen(side)
	set := p.Flanks.Right
	if side < 0 {
		set = p.Flanks.Left
	}
	left, err := g.Leftovers(set.Rolls)
	if err != nil {
		return nil, err
	}
	foot, err := g.Foot()
	if err != nil {
		return nil, err
	}
	plane := func(i int) float64 { return g.Plane(set.Rolls[i]) }
	var out []facetWork
	for i := len(set.Rolls) - 1; i >= 0; i-- {
		angle := set.Rolls[i] - g.BaseHalfAngle()
		index := float64(side)*angle + p.angleOf(place)
		if math.Abs(index) < geom.Eps {
			index = 0 // never minus 0, nor a rounding that reads so
		}
		fw := facetWork{angle: angle, bottoms: map[int]float64{}, Facet: Facet{
			Number: len(set.Rolls) - i, Side: side, Place: place, Roll: set.Rolls[i],
			Angle: index, Y: plane(i),
			Left: max(left[i], left[i+1]),
		}}
		if i > 0 {
			fw.Need = crossing(plane(i-1), plane(i), set.Rolls[i]-set.Rolls[i-1])
		} else {
			fw.Need = geom.Turn(angle).Apply(foot).Z
		}
		v := f.at(angle)
		reached := math.Inf(1)
		for k, c := range rack {
			z := v.toolBottom(c, backParts(c), fw.Y)
			if i > 0 {
				z = max(z, fw.Need-jointUnder)
			}
			if z > p.Sizes.TipTop || z > reached-leastGain {
				continue
			}
			fw.bottoms[k] = z
			fw.Cutters = append(fw.Cutters, c.Number)
			reached = z
			if z <= fw.Need {
				break
			}
		}
		fw.Bottom = reached
		out = append(out, fw)
	}
	return out, nil
}

// take follows a cut in the plan's stock.
func (p *planner) take(st *stock, c *profiles.Cutter, cut cutAt) {
	lo, hi := cut.band(c.Diameter)
	st.take(p.gearAngle(cut), lo, hi, cut.z)
}

// row is one line along X of a cut: near side and lowest height.
type row struct{ y, z float64 }

// rows returns the rows of a cut from outside in: as many as the metal beyond
// the facet needs, each as deep as the finished gear allows there. A corner
// pass has one.
func (p *planner) rows(st *stock, tool *profiles.Cutter, c cutAt) []row {
	if c.corner() {
		return []row{{c.y, c.z}}
	}
	lo, hi := c.band(metal.Sky)
	box := st.extent(p.gearAngle(c), lo, hi, c.z)
	if empty(box) {
		return nil
	}
	far := box.Hi.Y
	if c.side < 0 {
		far = -box.Lo.Y
	}
	wide := far - tool.Diameter - c.y
	if wide <= 0 {
		return []row{{c.y, c.z}}
	}
	f := p.flankScene(c.place, c.side)
	v, parts := f.at(c.angle), backParts(tool)
	n := int(math.Ceil(wide / (tool.Diameter * rowShare)))
	var out []row
	for i := n; i > 0; i-- {
		y := c.y + wide*float64(i)/float64(n)
		out = append(out, row{y, max(c.z, v.toolBottom(tool, parts, y))})
	}
	return append(out, row{c.y, c.z})
}

// band is the range of Y, gear turned, from a cut's near side outward.
func (c *cutAt) band(width float64) (lo, hi float64) {
	if c.side < 0 {
		return -c.y - width, -c.y
	}
	return c.y, c.y + width
}

// gearAngle is the gear's true angle at a cut.
func (p *planner) gearAngle(c cutAt) float64 {
	return float64(c.side)*c.angle + p.angleOf(c.place)
}

// order sorts cuts so that the gear turns one way only, and at one angle from
// outside in.
func (p *planner) order(cuts []cutAt) {
	sort.SliceStable(cuts, func(a, b int) bool {
		x, y := p.gearAngle(cuts[a]), p.gearAngle(cuts[b])
		if x != y {
			return x > y
		}
		return cuts[a].z > cuts[b].z
	})
}

// taken is what a cut takes at one level.
type taken struct{ level, area float64 }

// facetCut writes the moves of one cut: rows from outside in, levels down,
// nothing in air.
func (w *writer) facetCut(st *stock, c cutAt) {
	p, tool := w.p, w.op.Cutter
	d, angle := tool.Diameter, p.gearAngle(c)
	x0, x1 := w.ends(tool.Radius())
	from, to := along(x0, x1, -c.side, p.Job.Facets.Climb)
	started := false
	for _, l := range p.rows(st, tool, c) {
		at := c
		at.y = l.y
		lo, hi := at.band(d)
		b := st.extent(angle, lo, hi, l.z)
		if empty(b) {
			continue
		}
		zs := levels(b.Hi.Z, l.z, w.strong(min(stepFor(tool, b.Hi.Y-b.Lo.Y), b.Hi.Z-l.z), b.Hi.Y-b.Lo.Y))
		top, finishing, widest := b.Hi.Z, c.finish && l.y == c.y, 0.0
		// The last of the levels that have metal goes the way the job asks.
		var metal []taken
		for _, level := range zs {
			if area := st.take(angle, lo, hi, level); area >= leastCut {
				metal = append(metal, taken{level, area})
			}
		}
		for i, t := range metal {
			if !started {
				w.pass(c.place, angle, "%s", c.name)
				started = true
			}
			w.sprung(t.area, top-t.level)
			widest = max(widest, t.area/(top-t.level))
			top = t.level
			begin, end := from, to
			if (len(metal)-1-i)%2 == 1 {
				begin, end = to, from
			}
			axis := float64(c.side) * (l.y + d/2)
			if w.at.Z == w.prog.Safe || w.at.X != begin {
				w.over(begin, axis, t.level)
			} else {
				w.rapid(begin, axis, t.level)
			}
			w.through(end, axis, t.level, offPath(b, axis))
		}
		if finishing && started {
			w.finished(b.Hi.Z-l.z, widest)
			axis := float64(c.side) * (l.y + d/2)
			w.again(b.Hi.Z-l.z, springShare*w.p.Flanks.Limit, func(width float64) {
				w.over(from, axis, l.z)
				w.through(to, axis, l.z, w.beside(width))
			})
		}
	}
}

const (
	// lightShare is the share of the diameter below which a cut may be as deep as
	// the flutes; lightSlack, mm, keeps what is written rounded below it.
	lightShare, lightSlack = 0.25, 0.0006
	// fluteShare is how much of the flutes such a cut uses.
	fluteShare = 0.9
)

// light says that a cut takes so little sideways that it may be deep.
func light(c *profiles.Cutter, width float64) bool {
	return width < lightShare*c.Diameter-lightSlack
}

// corner says that the cut is a corner pass, at its one place only.
func (c *cutAt) corner() bool { return !c.finish }
