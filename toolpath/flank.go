package toolpath

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

// A flank is planned as if it were the +Y one: for the -Y flank the world is
// mirrored first, and the passes are mirrored back.

// view is the finished gear around one flank, turned to one index angle: what
// a cutter's end, back and sides may reach (design: the lowest safe bottom).
type view struct {
	angle     float64
	target    []geom.Vec // the finished tooth and its root
	standing  [][]geom.Vec
	clearance float64
	pitch     float64 // radius over which a standing tooth is kept clear of from above too
}

// flankScene holds the gear around one place and side, not turned.
type flankScene struct {
	side     int
	target   []geom.Vec
	standing [][]geom.Vec
	pitch    float64
	clear    float64
	views    map[float64]*view
}

// flankScene builds the scene of a place and side.
func (p *planner) flankScene(place float64, side int) (*flankScene, error) {
	target := p.Flanks.Target(p.Job)
	line, err := target.Tooth()
	if err != nil {
		return nil, err
	}
	standing := metal.Standing(p.Job)
	worn, err := standing.Tooth()
	if err != nil {
		return nil, err
	}
	f := &flankScene{side: side, target: line, pitch: target.PitchRadius(), clear: p.Job.Facets.Clearance, views: map[float64]*view{}}
	// Teeth are symmetric, so mirroring only changes which places are new.
	for k := -2.0; k <= 3; k++ {
		if k == 0 {
			continue
		}
		tooth := worn
		if p.isPlace(place + float64(side)*k) {
			tooth = line
		}
		t := geom.Turn(k * target.Pitch())
		out := make([]geom.Vec, len(tooth))
		for i, v := range tooth {
			out[i] = t.Apply(v)
		}
		f.standing = append(f.standing, out)
	}
	return f, nil
}

// at returns the scene turned to an index angle of the mirrored world.
func (f *flankScene) at(angle float64) *view {
	if v := f.views[angle]; v != nil {
		return v
	}
	t := geom.Turn(angle)
	apply := func(line []geom.Vec) []geom.Vec {
		out := make([]geom.Vec, len(line))
		for i, p := range line {
			out[i] = t.Apply(p)
		}
		return out
	}
	v := &view{angle: angle, target: apply(f.target), clearance: f.clear, pitch: f.pitch}
	for _, l := range f.standing {
		v.standing = append(v.standing, apply(l))
	}
	f.views[angle] = v
	return v
}

// hair keeps a query off the point of touch itself, mm: half the last decimal
// written, and a little.
const hair = 0.0001

// bottom is the lowest height the end of a cutter of diameter d may reach with
// its near side at y: the highest point of the finished gear under it, and of
// the standing teeth with the clearance beside them (and over their tips).
func (v *view) bottom(y, d float64) float64 {
	z := geom.Highest(v.target, y+hair, y+d)
	for _, l := range v.standing {
		h := geom.Highest(l, y-v.clearance, y+d+v.clearance)
		if h > z-v.clearance {
			// The crest under the cutter may be a root or a tip; only over a tip
			// is there something to stay clear of from above.
			if top := highestBeyond(l, v.pitch, y-v.clearance, y+d+v.clearance); top+v.clearance > h {
				h = top + v.clearance
			}
			z = max(z, h)
		}
	}
	return z
}

// highestBeyond is geom.Highest over the parts of the line outside a radius.
func highestBeyond(line []geom.Vec, radius, y0, y1 float64) float64 {
	top := math.Inf(-1)
	for i := 1; i < len(line); i++ {
		if line[i].Norm() > radius && line[i-1].Norm() > radius {
			top = max(top, geom.Highest(line[i-1:i+1], y0, y1))
		}
	}
	return top
}

// toolBottom is bottom for the whole tool: neck, shank and holder keep off
// everything too.
func (v *view) toolBottom(c *profiles.Cutter, parts []part, y float64) float64 {
	z := v.bottom(y, c.Diameter)
	axis := y + c.Radius()
	for _, q := range parts {
		lo, hi := axis-q.radius, axis+q.radius
		h := geom.Highest(v.target, lo, hi)
		for _, l := range v.standing {
			h = max(h, geom.Highest(l, lo, hi))
		}
		z = max(z, h+q.air-q.from)
	}
	return z
}

// part is a stretch of a tool that must touch nothing: from a height over the
// tip, with a radius.
type part struct{ from, radius, air float64 }

// backParts returns what of the tool is wider than its flutes.
func backParts(c *profiles.Cutter) []part {
	var out []part
	for _, q := range metal.Parts(c) {
		if q.Cuts || max(q.R0, q.R1) <= c.Radius()+geom.Eps {
			continue
		}
		out = append(out, part{q.Z0, max(q.R0, q.R1), holderAir})
	}
	return out
}

// crossing is the height, with the upper facet upright, at which the planes of
// two facets meet; y are their distances from the axis, turn the angle
// between them.
func crossing(lower, upper, turn float64) float64 {
	s, c := math.Sincos(turn)
	return (upper*c - lower) / s
}
