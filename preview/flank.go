package preview

import (
	"math"
	"sort"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
)

// flankSteps is how many places of a flank are looked at, fine enough that a
// joint of two facets is met within a hundredth of the flank's length.
const flankSteps = 260

// sample is one place of the finished flank, tooth upright, +Y side.
type sample struct {
	at     geom.Vec // on the finished outline
	out    geom.Vec // unit normal, away from the metal
	along  float64  // way along the outline from the tip, mm
	left   float64  // metal that the replay left there, mm
	filing bool     // the plan says: file this
}

// flank is one side of one tooth with what was left on it.
type flank struct {
	side    int
	samples []sample // from the tip down to the middle of the space
	form    float64  // radius of the form circle
	facets  []toolpath.Facet
	zero    float64      // gear angle at which a facet's roll is 0
	file    [][]geom.Vec // metal that must be filed, +Y side
}

// flankOf measures the metal left on one side of a place along the normals of
// the finished outline.
func (s Scene) flankOf(place float64, side int) (flank, error) {
	g := s.Plan.Target.Seen(side)
	f := flank{side: side, zero: g.BaseHalfAngle()} // the facets' rolls are the target's
	line := g.Flank
	f.form = g.Root.FormRadius
	for _, c := range s.Plan.Facets {
		if c.Side == side && c.Place == place {
			f.facets = append(f.facets, c)
		}
	}
	f.samples = sampled(line)
	upto := 0.0
	for _, t := range s.Plan.FileThis {
		if t.Place == place && t.Side == side {
			upto = max(upto, t.To)
		}
	}
	left := s.stations()[s.show()].Waste
	waste := mirrored(left.Turned(-place*g.Pitch()), side)
	for i := range f.samples {
		q := &f.samples[i]
		gap := touching
		if q.filing = q.at.Norm() <= upto; q.filing {
			gap = overhang * g.Module
		}
		q.left = thickness(waste, q.at, q.out, gap)
	}
	for i, c := range waste {
		if s.toFile(left[i], func(t toolpath.FileThis) bool { return t.Place == place && t.Side == side }) {
			f.file = append(f.file, c.Pts)
		}
	}
	return f, nil
}

// toFile says that a piece of leftover metal, gear at A0, goes down to where
// the plan says: file this. It belongs to the side of the tooth that its middle
// is on.
func (s Scene) toFile(c geom.Convex, of func(toolpath.FileThis) bool) bool {
	pitch := s.Plan.Job.Gear.Pitch()
	mid, low := geom.Vec{}, math.Inf(1)
	for _, v := range c.Pts {
		mid = mid.Add(v.Scale(1 / float64(len(c.Pts))))
		low = min(low, v.Norm())
	}
	for _, t := range s.Plan.FileThis {
		a := float64(t.Side) * math.Remainder(mid.Angle()-t.Place*pitch, 2*math.Pi)
		if of(t) && low < t.To && a > 0 && a < pitch/2 {
			return true
		}
	}
	return false
}

// normal is the direction in which a facet faces, tooth upright: the facet is
// the plane at its Y in that direction.
func (f *flank) normal(c toolpath.Facet) geom.Vec {
	return geom.Turn(f.zero - c.Roll).Apply(geom.Vec{Y: 1})
}

// over returns what facets leave on the flank, against the radius: nothing for
// places below the form circle and those that no facet faces.
func (f *flank) over(facets []toolpath.Facet) []geom.Vec {
	var out []geom.Vec
	for i := range f.samples {
		q := &f.samples[i]
		left := f.facetsOver(facets, q)
		if r := q.at.Norm(); r >= f.form-geom.Sliver && !math.IsInf(left, 1) {
			out = append(out, geom.Vec{Y: r, Z: left})
		}
	}
	return out
}

// facetsOver is the distance along the normal to the nearest facet's plane,
// infinite when no facet faces that way.
func (f *flank) facetsOver(facets []toolpath.Facet, q *sample) float64 {
	least := math.Inf(1)
	for _, c := range facets {
		n := f.normal(c)
		if k := n.Dot(q.out); k > 0 {
			least = min(least, (c.Y-n.Dot(q.at))/k)
		}
	}
	return least
}

// touch returns the point of the finished flank to which a facet is parallel.
func (f *flank) touch(c toolpath.Facet) sample {
	n := f.normal(c)
	best := f.samples[0]
	for _, q := range f.samples {
		if q.out.Dot(n) > best.out.Dot(n) && q.at.Norm() >= f.form {
			best = q
		}
	}
	return best
}

// worst returns the greatest metal left above or below the form circle, places
// to be filed aside.
func (f *flank) worst(above bool) float64 {
	most := 0.0
	for _, q := range f.samples {
		if q.at.Norm() >= f.form == above && !q.filing {
			most = max(most, q.left)
		}
	}
	return most
}

// filed returns the greatest metal that is to be filed.
func (f *flank) filed() float64 {
	most := 0.0
	for _, q := range f.samples {
		if q.filing {
			most = max(most, q.left)
		}
	}
	return most
}

// shortest is the length below which a chord of an outline tells no direction,
// mm: several times how far its ends may lie off the true curve.
const shortest = 5 * profiles.OutlineTolerance

// sampled walks a polyline in about equal steps. Each place has the normal of
// its own chord.
func sampled(all []geom.Vec) []sample {
	line := all[:1:1]
	for _, v := range all[1:] {
		if v.Sub(line[len(line)-1]).Norm() >= shortest {
			line = append(line, v)
		}
	}
	total := 0.0
	for i := 1; i < len(line); i++ {
		total += line[i].Sub(line[i-1]).Norm()
	}
	step := total / flankSteps
	var out []sample
	along := 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		d := b.Sub(a)
		n := d.Norm()
		// Going down the +Y flank the space lies to the left.
		normal := geom.Vec{Y: -d.Z, Z: d.Y}.Scale(1 / n)
		parts := int(math.Ceil(n / step))
		for k := range parts {
			t := (float64(k) + 0.5) / float64(parts)
			out = append(out, sample{at: a.Lerp(b, t), out: normal, along: along + t*n})
		}
		along += n
	}
	return out
}

// mirrored returns a region seen in a mirror along Z when side is negative.
func mirrored(r geom.Region, side int) geom.Region {
	if side > 0 {
		return r
	}
	out := make(geom.Region, len(r))
	for i, c := range r {
		out[i] = geom.NewConvex(geom.Reversed(geom.Mirrored(c.Pts))...)
	}
	return out
}

// touching is the gap across which metal still counts as lying on the
// surface, mm: the chords of the outlines.
const touching = 0.001

// overhang is the gap, in modules, across which metal that is to be filed
// belongs to the root: the insert's shoulders reach over a seat that ends where
// it meets the root circle.
const overhang = 0.1

// thickness is how far metal reaches from a point along a unit direction
// without a gap wider than the one given.
func thickness(metal geom.Region, from, dir geom.Vec, gap float64) float64 {
	type span struct{ a, b float64 }
	var spans []span
	// The ray's own box, as long as the largest leftover could be.
	const far = 50
	box := geom.Bounds([]geom.Vec{from.Sub(dir.Scale(touching)), from.Add(dir.Scale(far))})
	for _, c := range metal {
		if c.Box.Hi.Y < box.Lo.Y || c.Box.Lo.Y > box.Hi.Y || c.Box.Hi.Z < box.Lo.Z || c.Box.Lo.Z > box.Hi.Z {
			continue
		}
		lo, hi := -touching, float64(far)
		for i, a := range c.Pts {
			e := c.Pts[(i+1)%len(c.Pts)].Sub(a)
			// Inside is to the left of every edge.
			at, grow := e.Cross(from.Sub(a)), e.Cross(dir)
			switch {
			case grow > 0:
				lo = max(lo, -at/grow)
			case grow < 0:
				hi = min(hi, -at/grow)
			case at < 0:
				hi = math.Inf(-1)
			}
		}
		if lo < hi {
			spans = append(spans, span{lo, hi})
		}
	}
	sort.Slice(spans, func(i, k int) bool { return spans[i].a < spans[k].a })
	reach := 0.0
	for _, p := range spans {
		if p.a <= reach+gap {
			reach = max(reach, p.b)
		}
	}
	return reach
}
