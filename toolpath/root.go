package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// maxCorners bounds the corner passes of one cutter on one side.
const maxCorners = 60

// cornerAngles is how many index angles the corner passes choose from when
// the device turns freely.
const cornerAngles = 7

// rootCuts finds the corner passes of a cutter in the root beside one flank:
// the leftover farthest from the target is taken away by the cut, among those
// the finished gear leaves room for, that removes most with it; until no
// leftover is above its limit or none can be reached.
func (p *planner) rootCuts(f *flankScene, st *stock, c *profiles.Cutter, place float64, side int) []cutAt {
	angles := p.cornerAngles(side)
	parts := backParts(c)
	var cuts []cutAt
	var given []geom.Vec // leftovers this cutter cannot reach
	for len(cuts) < maxCorners {
		at, ok := p.worst(f, st, place, side, given)
		if !ok {
			break
		}
		best, area := cutAt{}, worth
		for _, a := range angles {
			v := f.at(a)
			q := geom.Turn(a).Apply(at)
			for _, back := range cornerBacks {
				y := q.Y - back*c.Diameter
				z := v.toolBottom(c, parts, y)
				if z > q.Z-geom.Sliver {
					continue
				}
				cut := cutAt{place: place, side: side, angle: a, y: y, z: z}
				if got := p.would(st, c, cut); got > area {
					best, area = cut, got
				}
			}
		}
		if area <= worth {
			given = append(given, at)
			continue
		}
		best.name = fmt.Sprintf("%s root %d%s", sideName(side), len(cuts)+1, p.placeName(place))
		p.take(st, c, best)
		cuts = append(cuts, best)
	}
	return cuts
}

// cornerBacks are how far the leftover may lie inside the cutter from its
// near side, in diameters.
var cornerBacks = [...]float64{0.001, 0.01, 0.03, 0.07, 0.15, 0.3, 0.5, 0.75, 0.95}

// would is the metal a cut would take.
func (p *planner) would(st *stock, c *profiles.Cutter, cut cutAt) float64 {
	lo, hi := cut.y, cut.y+c.Diameter
	if cut.side < 0 {
		lo, hi = -hi, -lo
	}
	k := column(p.gearAngle(cut), lo, hi, cut.z)
	var area float64
	for _, m := range st.metal {
		if in := m.Clip(k, &st.buf); len(in.Pts) > 0 {
			area += geom.Area(in.Pts)
		}
	}
	return area
}

// cornerAngles returns the index angles, mirrored world, that corner passes
// may use: from the space upright to the lowest facet.
func (p *planner) cornerAngles(side int) []float64 {
	g := p.Job.Gear
	set := p.Flanks.Right
	if side < 0 {
		set = p.Flanks.Left
	}
	lo, hi := -g.Pitch()/2-geom.Radians(2), set.Rolls[0]-g.BaseHalfAngle()
	var out []float64
	for _, r := range set.Rolls {
		out = append(out, r-g.BaseHalfAngle())
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

// limitAt returns how far a leftover may stand off the target, and how far it
// does, for a point of the mirrored place.
func (p *planner) limitAt(f *flankScene, at geom.Vec, form float64) (limit, off float64) {
	near, off := geom.Nearest(at, f.target)
	if near.Norm() >= form-geom.Sliver {
		return p.Flanks.Limit, off
	}
	return p.Job.Facets.RootStep, off
}

// spare is what the plan asks over a limit before it counts: the chords of
// the outlines.
const spare = 0.0005

// worst returns the leftover of one side, mirrored, place upright, that
// stands farthest over its limit, leaving out those near the given ones.
func (p *planner) worst(f *flankScene, st *stock, place float64, side int, given []geom.Vec) (geom.Vec, bool) {
	var best geom.Vec
	over := spare
	p.leftovers(f, st, place, side, func(at geom.Vec, limit, off float64) {
		if off-limit <= over {
			return
		}
		for _, g := range given {
			if g.Sub(at).Norm() < 1e-3 {
				return
			}
		}
		best, over = at, off-limit
	})
	return best, over > spare
}

// leftovers visits the corners of the metal left on one side of a place.
func (p *planner) leftovers(f *flankScene, st *stock, place float64, side int, visit func(at geom.Vec, limit, off float64)) {
	g := p.Flanks.Target(p.Job)
	root, err := g.Root()
	if err != nil {
		return
	}
	t := geom.Turn(p.angleOf(place))
	half := g.Pitch() / 2
	for _, c := range st.metal {
		for _, q := range c.Pts {
			q = t.Apply(q)
			q.Y *= float64(side)
			if a := q.Angle(); a < 0 || a > half+1e-9 {
				continue
			}
			limit, off := p.limitAt(f, q, root.FormRadius)
			visit(q, limit, off)
		}
	}
}
