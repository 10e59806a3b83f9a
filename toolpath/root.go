package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

const (
	// maxCorners bounds the corner passes of one cutter on one side.
	maxCorners = 200
	// cornerAngles is how many index angles the corner passes choose from when
	// the device turns freely.
	cornerAngles = 7
	// cornerTilt is how far beyond the upright space the gear may be turned
	// for them, rad.
	cornerTilt = 0.035
	// cornerTries bounds how many cuts are compared for one leftover.
	cornerTries = 48
)

// corner is a place where a cutter may pass: nothing of the finished gear is
// in its way.
type corner struct {
	angle, y, z float64
	turn        geom.Rotation
}

// corners returns where a cutter may pass in the root beside a flank: at each
// index angle near sides a step apart, over the width the root takes up,
// each as deep as the finished gear allows.
func (p *planner) corners(f *flankScene, c *profiles.Cutter, side int) []corner {
	parts := backParts(c)
	var out []corner
	for _, a := range p.cornerAngles(side) {
		t := geom.Turn(a)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, q := range f.target {
			if q.Y > 0 && q.Norm() < f.corners+geom.Sliver {
				y := t.Apply(q).Y
				lo, hi = min(lo, y), max(hi, y)
			}
		}
		// The block may reach beyond the middle of the space.
		hi = max(hi, t.Apply(geom.Vec{Y: p.Sizes.BlockHalf, Z: p.Sizes.Seat}).Y, t.Apply(geom.Vec{Y: p.Sizes.BlockHalf, Z: p.Sizes.TipTop}).Y)
		v := f.at(a)
		n := int((hi-lo)/f.step) + 1
		for i := range n + 1 {
			y := lo + (hi-lo)*float64(i)/float64(n)
			z := v.toolBottom(c, parts, y)
			if z < p.Sizes.TipTop {
				out = append(out, corner{a, y, z, t})
			}
		}
	}
	return out
}

// rootCuts finds the corner passes of a cutter in the root beside one flank:
// the leftover farthest over its limit is taken away by the cut, among those
// the finished gear leaves room for, that removes most with it; until no
// leftover is over its limit or none can be reached.
func (p *planner) rootCuts(f *flankScene, st *stock, c *profiles.Cutter, place float64, side int) []cutAt {
	if _, ok := p.worst(f, st, place, side, nil); !ok {
		return nil
	}
	all := p.corners(f, c, side)
	var cuts []cutAt
	given := map[geom.Vec]bool{} // leftovers this cutter cannot reach
	for len(cuts) < maxCorners {
		at, ok := p.worst(f, st, place, side, given)
		if !ok {
			break
		}
		var can []corner
		for _, k := range all {
			q := k.turn.Apply(at)
			if k.y < q.Y-touchClear && q.Y < k.y+c.Diameter && k.z < q.Z-touchClear {
				can = append(can, k)
			}
		}
		best, area := cutAt{}, leastCut
		for i := 0; i < len(can); i += 1 + len(can)/cornerTries {
			k := can[i]
			cut := cutAt{place: place, side: side, angle: k.angle, y: k.y, z: k.z}
			if got := p.gain(st, c, cut); got > area {
				best, area = cut, got
			}
		}
		if area <= leastCut {
			given[at] = true
			continue
		}
		best.name = fmt.Sprintf("%s root %d%s", SideName(side), len(cuts)+1, p.PlaceName(place))
		p.take(st, c, best)
		cuts = append(cuts, best)
	}
	return cuts
}

// gain is the metal a cut would take, mm^2.
func (p *planner) gain(st *stock, c *profiles.Cutter, cut cutAt) float64 {
	lo, hi := cut.band(c.Diameter)
	return st.area(p.gearAngle(cut), lo, hi, cut.z)
}

// cornerAngles returns the index angles, mirrored world, that corner passes
// may use: from the space upright to the lowest facet, and the facets' own.
func (p *planner) cornerAngles(side int) []float64 {
	g := p.Target.Seen(side)
	set := p.Flanks.Right
	if side < 0 {
		set = p.Flanks.Left
	}
	lo, hi := -g.Pitch()/2-cornerTilt, set.Rolls[0]-g.BaseHalfAngle()
	out := []float64{hi}
	if len(set.Rolls) > 1 {
		out = append(out, set.Rolls[1]-g.BaseHalfAngle())
	}
	if step, zero := p.indexStep(side); step > 0 {
		n := math.Max(1, math.Floor((hi-lo)/step/cornerAngles))
		for k := math.Ceil((lo - zero) / step); zero+k*step < hi; k += n {
			out = append(out, zero+k*step)
		}
		return out
	}
	for i := range cornerAngles {
		out = append(out, lo+(hi-lo)*float64(i)/cornerAngles)
	}
	return out
}

// spot is a leftover over its limit: where it is, mirrored and place upright,
// how far it may stand off the target, and how far it does.
type spot struct {
	at         geom.Vec
	limit, off float64
}

// chordSlack is what the plan asks over a limit before it counts, mm: the chords of
// the outlines.
const chordSlack = 0.0005

// finestCorner is the least that corner passes take off a hollow flank, mm: what is
// thinner is left to the file, where passes would be hundreds (own rule).
const finestCorner = 0.02

// hollow says that a leftover stands in a hollow of the flank, which corners cut.
func (f *flankScene) hollow(at geom.Vec) bool {
	r := at.Norm()
	return f.corners > f.form && r > f.form && r < f.corners
}

// worst returns the leftover of one side that stands farthest over its limit,
// leaving out the given ones.
func (p *planner) worst(f *flankScene, st *stock, place float64, side int, given map[geom.Vec]bool) (geom.Vec, bool) {
	var best geom.Vec
	over := 0.0
	p.leftovers(f, st, place, side, func(s spot) {
		if f.hollow(s.at) && s.off <= finestCorner {
			return // a stroke of the file
		}
		if s.over() > over && !given[s.at] {
			best, over = s.at, s.over()
		}
	})
	return best, over > 0
}

// crumb is the breadth below which a loose piece is no metal, mm: less than
// the check's, by what rounding of written numbers may add to a piece.
const crumb = metal.CrumbBreadth / 3

// leftovers visits the spots of the metal left on one side of a place, up to
// the middle of the next tooth.
func (p *planner) leftovers(f *flankScene, st *stock, place float64, side int, visit func(spot)) {
	t := geom.Turn(p.angleOf(place))
	far := p.beyond(f, place, side)
	for _, c := range st.pieces {
		spots, ok := c.spots[f]
		if !ok {
			spots = p.spotsOf(f, c.Convex, t, side, far)
			if c.spots == nil {
				c.spots = map[*flankScene][]spot{}
			}
			c.spots[f] = spots
		}
		for _, s := range spots {
			visit(s)
		}
	}
}

// beyond is the angle from a place from which on metal is not its own.
func (p *planner) beyond(f *flankScene, place float64, side int) float64 {
	if p.isPlace(place + float64(side)) {
		return f.half + geom.Eps // the leftover is the next place's
	}
	return 2 * f.half
}

// edgeStep is how closely the edges of a piece are looked at, mm: over less
// than that the distance from a tooth runs like a parabola.
const edgeStep = 0.1

// spotsOf returns the spots of one piece that are over their limits: its
// corners, the worst and the thickest of each edge, where a limit ends, and its
// midst.
func (p *planner) spotsOf(f *flankScene, c geom.Convex, t geom.Rotation, side int, far float64) []spot {
	if c.Breadth() < crumb {
		return nil
	}
	// A piece that is another's with all its corners is so altogether.
	opposite, beyond := true, true
	for _, q := range c.Pts {
		q = t.Apply(q)
		q.Y *= float64(side)
		opposite, beyond = opposite && q.Y < 0, beyond && q.Angle() > far
	}
	if opposite || beyond {
		return nil
	}
	look := func(q geom.Vec) spot { return p.spotAt(f, t.Apply(q), side, far) }
	var out []spot
	keep := func(s spot) {
		if s.over() > chordSlack {
			out = append(out, s)
		}
	}
	var sum geom.Vec
	last := c.Pts[len(c.Pts)-1]
	a := look(last)
	for _, next := range c.Pts {
		sum = sum.Add(next)
		from, worst, thickest := last, spot{limit: math.Inf(1)}, spot{limit: math.Inf(1)}
		weigh := func(s spot) {
			worst = worse(worst, s)
			if s.over() > chordSlack && s.off > thickest.off {
				thickest = s
			}
		}
		n := math.Ceil(next.Sub(last).Norm() / edgeStep)
		for k := 1.0; k <= n; k++ {
			to := last.Lerp(next, k/n)
			mid, b := look(from.Lerp(to, 0.5)), look(to)
			weigh(mid)
			if k < n {
				weigh(b)
			}
			if bend := 2*mid.off - a.off - b.off; bend > 0 {
				if share := 0.5 + (b.off-a.off)/(4*bend); share > 0 && share < 1 {
					weigh(look(from.Lerp(to, share)))
				}
			}
			if a.limit != b.limit {
				keep(limitEnd(from, to, look))
			}
			from, a = to, b
		}
		keep(worst)
		if thickest != worst {
			keep(thickest) // where the limit is wider more may stay
		}
		keep(a)
		last = next
	}
	keep(look(sum.Scale(1 / float64(len(c.Pts)))))
	return out
}

// over is how far a spot is over its limit, mm.
func (s spot) over() float64 { return s.off - s.limit }

// worse returns the spot that is farther over its limit.
func worse(a, b spot) spot {
	if b.over() > a.over() {
		return b
	}
	return a
}

// limitEnd returns the worse of the spots, between two of different limits, at
// which one limit gives way to another.
func limitEnd(from, to geom.Vec, look func(geom.Vec) spot) spot {
	a, b := look(from), look(to)
	for limit := a.limit; to.Sub(from).Norm() > touchClear; {
		mid := from.Lerp(to, 0.5)
		if s := look(mid); s.limit == limit {
			from, a = mid, s
		} else {
			to, b = mid, s
		}
	}
	return worse(a, b)
}

// spotAt measures metal at q, the place upright. Over the tip circle it is the
// tip's. Metal that is another's has no limit: the other flank's, the next
// tooth's.
func (p *planner) spotAt(f *flankScene, q geom.Vec, side int, far float64) spot {
	q.Y *= float64(side)
	if q.Norm() > p.Sizes.TipTop {
		off := q.Norm() - p.Sizes.TipTop
		if q.Y < 0 || q.Angle() > far {
			return spot{q, math.Inf(1), off}
		}
		return spot{q, f.tipLimit, off}
	}
	near, off := f.track.Nearest(q)
	switch {
	case q.Y < 0 || q.Angle() > far:
		return spot{q, math.Inf(1), off}
	case near.Norm() >= f.form-chordSlack: // written numbers are rounded
		return spot{q, p.Flanks.Limit, off}
	}
	return spot{q, p.Job.Facets.RootStep, off}
}
