package replay

import (
	"math"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// rapidClear is how far a rapid keeps off metal that it does not leave behind, mm:
// a slip of a tenth on a machine of this kind is common, and has no source.
const rapidClear = 0.1

// rapidNear finds rapids that come nearer to metal than rapidClear: ahead of the
// cutter, and beside a cutter that goes straight down. Along a wall or a floor that
// has been cut a rapid may go; beside a drill in its hole there is metal on all
// sides, and above a cutter that goes up there is nothing.
func (r *runner) rapidNear(m *machine.Motion, p *Part, a, b machine.Position) {
	down := a.X == b.X && a.Y == b.Y
	if down && b.Z >= a.Z {
		return
	}
	wide := *p
	if down && !r.tool.OnlyDown {
		wide.R0 += rapidClear
		wide.R1 += rapidClear
	}
	way := norm(between(a, b))
	if way == 0 {
		return
	}
	far := 1 + rapidClear/way
	end := machine.Position{X: a.X + (b.X-a.X)*far, Y: a.Y + (b.Y-a.Y)*far, Z: a.Z + (b.Z-a.Z)*far}
	set := a
	if !down {
		a = b // what it passes on its way is looked at as it goes
	}
	lo, hi, reach := min(a.X, end.X), max(a.X, end.X), max(wide.R0, wide.R1)
	from, to := r.reached(lo-reach, hi+reach)
	last := -1
	for k := from; k < to; k++ {
		s := &r.live[k]
		if s.Half > 0 || s.group == last && s.X > lo && s.X < hi {
			continue
		}
		last = s.group
		shape := wide.section(a, end, s.X, nil)
		r.work += sectionWork + cornerWork*len(shape)
		if len(shape) < 3 {
			continue
		}
		r.metalWork(s.Section)
		if d := r.newlyMet(s.Section, r.inGear(shape), wide.section(set, set, s.X, nil)); d >= CutLimit {
			r.find(RapidNear, m.Line, d, "", "tool %d goes at rapid nearer than %.2f mm to metal it has not cut free at X %.3f: a small error of the zero or of a length makes it a cut", r.tool.Number, rapidClear, s.X)
			return
		}
	}
}

// newlyMet is how much metal a shape overlaps beyond where it sets out, as a
// breadth.
func (r *runner) newlyMet(s *Section, k geom.Convex, start []geom.Vec) (amount float64) {
	began := geom.Convex{}
	if len(start) >= 3 {
		pts := make([]geom.Vec, len(start))
		for i, v := range start {
			if pts[i] = v; r.setup.Turns {
				pts[i] = r.toGear.Apply(v)
			}
		}
		began = geom.NewConvex(pts...)
	}
	var met geom.Region
	meet := func(metal geom.Region) {
		metal.Overlaps(k, &r.buf, func(in geom.Convex) {
			if in.Breadth() >= CutLimit {
				in.Pts = append([]geom.Vec(nil), in.Pts...)
				met = append(met, in)
			}
		})
	}
	meet(s.Waste)
	for i := range s.Keep {
		meet(s.Keep[i].Metal)
	}
	if len(began.Pts) >= 3 {
		met = met.Subtract(began, &r.buf, nil)
	}
	for _, in := range met {
		amount = math.Max(amount, in.Breadth())
	}
	return amount
}
