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
// a cutter's end, back and sides may reach.
type view struct {
	target    geom.Track   // the finished tooth and its root
	standing  []geom.Track // the teeth beside it, whole
	guards    []geom.Track // what keeps the clearance from their flanks and tips, all round
	clearance float64
}

// flankScene holds the gear around one place and side, not turned.
type flankScene struct {
	side     int
	target   []geom.Vec
	track    geom.Track // of target
	standing [][]geom.Vec
	guards   [][]geom.Vec
	clear    float64
	form     float64 // form radius of the target
	corners  float64 // up to this radius corners cut: the form radius, or the top of a hollow in the flank
	step     float64 // how far apart, mm
	tipLimit float64 // what may stand over the tip circle
	half     float64 // half the pitch angle
	views    map[float64]*view
}

// flankScene returns the scene of a place and side.
func (p *planner) flankScene(place float64, side int) *flankScene {
	key := [2]float64{place, float64(side)}
	if f := p.scenes[key]; f != nil {
		return f
	}
	target := p.Target.Seen(side)
	line, worn := target.Outline, p.Standing.Seen(side).Outline
	f := &flankScene{side: side, target: line, track: geom.NewTrack(line), clear: p.Job.Facets.Clearance, form: target.Root.FormRadius, half: target.Pitch() / 2,
		tipLimit: p.TipLimit(), views: map[float64]*view{}}
	f.corners, f.step = f.form, p.Job.Facets.RootStep
	if target.Hollow() > 0 {
		if foot, err := target.Foot(); err == nil {
			f.corners, f.step = foot.Norm(), min(f.step, max(p.Flanks.Limit, finestCorner))
		}
	}
	for k := -2.0; k <= 3; k++ {
		if k == 0 {
			continue
		}
		tooth := worn
		if p.isPlace(place + float64(side)*k) {
			tooth = line
		}
		t := geom.Turn(k * target.Pitch())
		var whole, flanks []geom.Vec
		for _, v := range tooth {
			v = t.Apply(v)
			whole = append(whole, v)
			if v.Norm() > p.Standing.Root.FormRadius-geom.Sliver {
				flanks = append(flanks, v)
			}
		}
		f.standing = append(f.standing, whole)
		f.guards = append(f.guards, geom.Offset(flanks, f.clear))
	}
	for _, far := range p.farCircle(-2.5, 3.5) {
		f.standing = append(f.standing, far)
		f.guards = append(f.guards, geom.Offset(far, f.clear))
	}
	if p.scenes == nil {
		p.scenes = map[[2]float64]*flankScene{}
	}
	p.scenes[key] = f
	return f
}

// at returns the scene turned to an index angle of the mirrored world.
func (f *flankScene) at(angle float64) *view {
	if v := f.views[angle]; v != nil {
		return v
	}
	t := geom.Turn(angle)
	apply := func(line []geom.Vec) geom.Track { return geom.NewTrack(t.ApplyAll(line)) }
	v := &view{target: apply(f.target), clearance: f.clear}
	for i := range f.standing {
		v.standing = append(v.standing, apply(f.standing[i]))
		v.guards = append(v.guards, apply(f.guards[i]))
	}
	f.views[angle] = v
	return v
}

// touchClear keeps a query off the point of touch itself, mm: half the last decimal
// written, and a little.
const touchClear = 0.0001

// bottom is the lowest height the end of a cutter of diameter d may reach with
// its near side at y: the highest point of the finished gear under it, and of
// the standing teeth with the clearance round their flanks and tips, taken as a
// distance, and beside their roots. On the root circle there is nothing to stay
// clear of from above.
func (v *view) bottom(y, d float64) float64 {
	z := v.target.Highest(y+touchClear, y+d)
	y0, y1 := y-v.clearance, y+d+v.clearance
	for i := range v.standing {
		z = max(z, v.standing[i].Highest(y0, y1), v.guards[i].Highest(y, y+d))
	}
	return z
}

// toolBottom is bottom for the whole tool: neck, shank and holder keep off
// everything too.
func (v *view) toolBottom(c *profiles.Cutter, parts []part, y float64) float64 {
	z := v.bottom(y, c.Diameter)
	axis := y + c.Radius()
	for _, q := range parts {
		lo, hi := axis-q.radius, axis+q.radius
		h := v.target.Highest(lo, hi)
		for i := range v.standing {
			h = max(h, v.standing[i].Highest(lo, hi))
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
