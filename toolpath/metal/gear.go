package metal

import (
	"math"
	"slices"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// faceIn is how far inside the faces the outermost stations lie, mm: just
// more than the check's limit, so that a cut into a face is seen as soon as
// it counts.
const faceIn = 0.0025

// Sky is a height above all metal, mm.
const Sky = 20000

// stationsAlong is how many stations share the width of the face.
const stationsAlong = 5

// teeth are the sections of the gear's sector around one or more places.
type teeth struct {
	*design.Design
	standing []tooth // within reach of the tools
	places   []tooth
	far      replay.Solid
}

// tooth is one tooth of the sector, turned to its position.
type tooth struct {
	at      float64 // position, in pitches
	metal   geom.Region
	outline []geom.Vec
}

// reachTeeth is how many teeth beyond a place are drawn in full. Farther ones
// stand for the holder to run into: as the whole sector up to the tip circle,
// their spaces too.
const reachTeeth = 3

// FarAngle is how far round from a place teeth are looked at, rad: a quarter
// turn, and the lean of the gear at the outermost facet.
const FarAngle = 2.2

// newTeeth builds the sector; target is the finished tooth.
func newTeeth(d *design.Design, target design.Tooth) (*teeth, error) {
	t := &teeth{Design: d}
	places := d.Job.Gear.Places
	standing := d.Standing
	made, err := t.tooth(target)
	if err != nil {
		return nil, err
	}
	stands, err := t.tooth(standing)
	if err != nil {
		return nil, err
	}
	seen := map[float64]bool{}
	teeth := float64(d.Job.Gear.Teeth)
	for _, p := range places {
		t.places = append(t.places, made.turned(p, target.Pitch()))
		seen[wrap(p, teeth)] = true
	}
	for _, p := range places {
		for k := -reachTeeth; k <= reachTeeth; k++ {
			at := p + float64(k)
			if !seen[wrap(at, teeth)] {
				seen[wrap(at, teeth)] = true
				t.standing = append(t.standing, stands.turned(at, standing.Pitch()))
			}
		}
	}
	t.far = farTeeth(d, func(at float64) bool { return seen[wrap(at, teeth)] })
	return t, nil
}

// tooth is the section of a tooth at 0 with the rim under it.
func (t *teeth) tooth(of design.Tooth) (tooth, error) {
	ring := slices.Clone(of.Outline)
	for _, a := range []float64{0.5, 0.25, 0, -0.25, -0.5} {
		ring = append(ring, geom.Polar(t.Sizes.RimInner, a*of.Pitch()))
	}
	metal, err := geom.Decompose(ring)
	return tooth{0, metal, of.Outline}, err
}

// turned is the tooth at another position.
func (t tooth) turned(at, pitch float64) tooth {
	return tooth{at, t.metal.Turned(at * pitch), geom.Turn(at * pitch).ApplyAll(t.outline)}
}

// The names of solids that stand for more than they show: sectors of teeth, and
// whatever a drill may not reach under the rim.
const (
	FarTeeth = "far teeth"
	UnderRim = "under the rim"
)

// farTeeth returns the sectors of the teeth that are not drawn in full.
func farTeeth(d *design.Design, drawn func(at float64) bool) replay.Solid {
	g := &d.Standing
	s := replay.Solid{Name: FarTeeth, Role: replay.Neighbour}
	pitch, ra := g.Pitch(), g.TipRadius()
	most := min(int(FarAngle/pitch), g.Teeth/2)
	for k := -most; k <= most; k++ {
		at := d.Job.Gear.Places[0] + float64(k)
		if drawn(at) {
			continue
		}
		// The chord of a sector lies inside the tip circle: go out to where
		// its tangents meet.
		out := ra / math.Cos(pitch/2)
		lo, hi := (at-0.5)*pitch, (at+0.5)*pitch
		in := g.RootRadius()
		s.Metal = append(s.Metal, geom.NewConvex(geom.Polar(in, lo), geom.Polar(in, hi), geom.Polar(out, hi), geom.Polar(out, lo)))
		s.Outline = append(s.Outline, geom.Polar(out, lo), geom.Polar(out, hi))
	}
	return s
}

// wrap names one tooth position once, whichever way round it was reached.
func wrap(at, teeth float64) float64 { return math.Mod(math.Mod(at, teeth)+teeth, teeth) }

// stationsOf returns where along X the gear is looked at.
func stationsOf(j *job.Job) []float64 {
	face := j.Gear.Face
	var xs []float64
	for i := range stationsAlong {
		xs = append(xs, faceIn+(face-2*faceIn)*float64(i)/(stationsAlong-1))
	}
	return xs
}

// merge returns the stations in order, without those that are there twice.
func merge(xs []float64) []float64 {
	sorted := slices.Sorted(slices.Values(xs))
	return slices.CompactFunc(sorted, func(a, b float64) bool { return math.Abs(a-b) <= geom.Eps })
}

// dovetail is the slot below the seat, place at top dead centre.
func (t *teeth) dovetail() geom.Convex {
	d := &t.Sizes
	return geom.NewConvex(
		geom.Vec{Y: -d.FloorHalf, Z: d.Floor}, geom.Vec{Y: d.FloorHalf, Z: d.Floor},
		geom.Vec{Y: d.MouthHalf, Z: d.Seat}, geom.Vec{Y: -d.MouthHalf, Z: d.Seat})
}

// below is what is taken out under the seat at station x: the dovetail and,
// where the station passes through one, the hole for the lock. edge is where
// nothing is said about a hole, near its edge.
func (t *teeth) below(x float64) (out geom.Region, edge bool) {
	out = geom.Region{t.dovetail()}
	l := &t.Job.Lock
	if l.Kind == job.NoLock {
		return out, false
	}
	h, edge := holeChord(x, l.Positions, l.TapDrill/2)
	if h > 0 {
		out = append(out, geom.Rect(-h, t.Sizes.RimInner/2, h, t.Sizes.Floor))
	}
	return out, edge
}

// rimAir is how far below where it is to stop the lock's drill may come out, mm.
const rimAir = 0.5

// underRim stands for what lies under the rim, spokes, hub or arbor: no drill
// may go there, but where the holes of the other places come through a small
// bore. None when the rim is too small to have room for it.
func (t *teeth) underRim(under geom.Region) []replay.Solid {
	r, rim := t.Job.Lock.TapDrill/2, t.Sizes.RimInner
	c := t.Drill(t.Job.Lock.RimDrill)
	if t.Job.Lock.Kind == job.NoLock || c == nil || rim <= r {
		return nil
	}
	top := t.LockHole(c).Tip - rimAir
	var free geom.Region
	if t.LockHole(c).Blind {
		// The arbor fills the bore, whose circle the casting's section follows.
		top = rim
		for _, p := range slices.Concat(t.places, t.standing) {
			free = append(free, p.metal...)
		}
	}
	box := geom.Rect(-2*r, top-rim, 2*r, top)
	for _, p := range t.places {
		free = append(free, geom.Rect(-2*r, top, 2*r, rim).Turned(geom.Turn(p.at*t.Job.Gear.Pitch())))
	}
	var out []replay.Solid
	for _, p := range t.places {
		k := box.Turned(geom.Turn(p.at * t.Job.Gear.Pitch()))
		metal := geom.Region{k}.Minus(free)
		for _, q := range t.places {
			if q.at != p.at && !t.LockHole(c).Blind {
				metal = metal.Minus(under.Turned(q.at * t.Job.Gear.Pitch()))
			}
		}
		out = append(out, replay.Solid{Name: UnderRim, Role: replay.Target,
			Metal: metal, Outline: append(append([]geom.Vec(nil), k.Pts...), k.Pts[0])})
	}
	return out
}

// SlotSetup is the gear before and after the slot program.
func SlotSetup(d *design.Design) (*replay.Setup, error) {
	j := d.Job
	t, err := newTeeth(d, d.True)
	if err != nil {
		return nil, err
	}
	xs := stationsOf(j)
	if j.Lock.Kind != job.NoLock {
		xs = append(xs, holeStations(j.Lock.Positions, j.Lock.TapDrill/2)...)
	}
	return t.slotSetup(between(merge(xs), 0, j.Gear.Face)), nil
}

// slotSetup is SlotSetup at the given stations.
func (t *teeth) slotSetup(xs []float64) *replay.Setup {
	s := gearSetup(t.Design, t.Job.Gear.Material)
	s.Top = max(t.Sizes.GearTop, t.Sizes.StubTop)
	known := map[float64]*replay.Section{} // by the hole's half width, negative at its edge
	s.At = func(x float64) (*replay.Section, bool) {
		under, edge := t.below(x)
		key := 0.0
		if len(under) > 1 {
			if key = under[1].Box.Hi.Y; edge {
				key = -key
			}
		}
		if known[key] == nil {
			known[key] = t.slotSection(under, edge)
		}
		return known[key], key <= 0
	}
	stand(s, xs)
	return s
}

// slotSection is the gear's section where what is under the seat is to go; at
// the edge of a hole neither its metal nor its walls count.
func (t *teeth) slotSection(under geom.Region, edge bool) *replay.Section {
	j, d := t.Job, &t.Sizes
	m := &replay.Section{}
	pitch := j.Gear.Pitch()
	above := geom.Rect(-d.PocketHalf, d.Seat, d.PocketHalf, d.TipTop+Sky)
	stub := geom.Rect(-Sky, -Sky, Sky, d.StubTop)
	// The seat may reach past the middle of the space, under the root circle
	// there.
	mid := geom.Rect(-d.PocketHalf, d.Seat, d.PocketHalf, max(d.Seat, j.Gear.RootRadius()*math.Cos(pitch/2)))
	holes := under[1:]
	var pockets, edges geom.Region
	for _, p := range t.places {
		pockets = append(pockets, under.Turned(p.at*pitch)...)
		pockets = append(pockets, mid.Turned(geom.Turn(p.at*pitch)))
		if edge {
			edges = append(edges, holes.Turned(p.at*pitch)...)
		}
	}
	for _, p := range t.places {
		over := geom.Region{above.Turned(geom.Turn(p.at * pitch))}
		m.Keep = append(m.Keep, replay.Solid{Name: castingName, Role: replay.Target,
			Metal: p.metal.Minus(pockets).Minus(over), Outline: t.slotSurface(p.at, holes)})
		low := geom.Region{stub.Turned(geom.Turn(p.at * pitch))}
		m.Waste = append(m.Waste, p.metal.Minus(pockets).Intersect(over).Intersect(low)...)
		m.Waste = append(m.Waste, p.metal.Intersect(pockets).Intersect(low)...)
	}
	for _, n := range t.standing {
		m.Keep = append(m.Keep, replay.Solid{Name: "tooth", Role: replay.Neighbour,
			Metal: n.metal.Minus(pockets), Outline: n.outline})
		m.Waste = append(m.Waste, n.metal.Intersect(pockets)...)
	}
	for _, p := range t.places {
		m.Zones = append(m.Zones, replay.Zone{Name: t.name("slot", p.at), Surface: t.slotSurface(p.at, nil), Limit: slotLimit})
		if edge {
			continue
		}
		for _, c := range holes {
			hole := geom.Rect(c.Box.Lo.Y, t.holeEnd(), c.Box.Hi.Y, c.Box.Hi.Z).Turned(geom.Turn(p.at * pitch)).Pts
			hole = append(hole, hole[0]) // all round
			m.Zones = append(m.Zones, replay.Zone{Name: t.name("lock hole", p.at), Surface: hole, Limit: slotLimit})
		}
	}
	if edge {
		m.Waste = m.Waste.Minus(edges)
	}
	if len(holes) > 0 {
		// What a blind hole leaves at its end is for the hand.
		h := holes[0].Box.Hi.Y
		end := geom.Rect(-h, 0, h, t.holeEnd())
		for _, p := range t.places {
			m.Waste = m.Waste.Minus(geom.Region{end.Turned(geom.Turn(p.at * pitch))})
		}
	}
	m.Keep = append(m.Keep, t.far)
	m.Keep = append(m.Keep, t.underRim(under)...)
	return m
}

// holeEnd is the lowest height down to which the lock's hole must be as wide as
// its drill: through the rim, or short of the bore in which the arbor is. Below
// that nothing is said of the cone its point leaves.
func (t *teeth) holeEnd() float64 {
	if c := t.Drill(t.Job.Lock.RimDrill); c != nil {
		if hole := t.LockHole(c); hole.Blind {
			return hole.Full
		}
	}
	return t.Sizes.RimInner / 2
}

// castingName is the solid a new tooth is let into.
const castingName = "gear"

// slotLimit is what may stay on the slot's walls, mm: rounding only.
const slotLimit = 0.003

// name adds the tooth's number to a zone's name where there are several.
func (t *teeth) name(zone string, at float64) string {
	if len(t.places) == 1 {
		return zone
	}
	for i, p := range t.places {
		if p.at == at {
			return zone + " " + string(rune('1'+i))
		}
	}
	return zone
}

// slotSurface is the surface of the finished pocket of the place at, with the
// walls of the holes in its floor.
func (t *teeth) slotSurface(at float64, holes geom.Region) []geom.Vec {
	d := &t.Sizes
	pts := []geom.Vec{
		{Y: -d.PocketHalf, Z: d.TipTop}, {Y: -d.PocketHalf, Z: d.Seat}, {Y: -d.MouthHalf, Z: d.Seat},
		{Y: -d.FloorHalf, Z: d.Floor},
	}
	for _, c := range holes {
		lo, hi := c.Box.Lo, c.Box.Hi
		pts = append(pts, geom.Vec{Y: lo.Y, Z: hi.Z}, lo, geom.Vec{Y: hi.Y, Z: lo.Z}, hi)
	}
	pts = append(pts, geom.Vec{Y: d.FloorHalf, Z: d.Floor},
		geom.Vec{Y: d.MouthHalf, Z: d.Seat}, geom.Vec{Y: d.PocketHalf, Z: d.Seat}, geom.Vec{Y: d.PocketHalf, Z: d.TipTop})
	return geom.Turn(at * t.Job.Gear.Pitch()).ApplyAll(pts)
}
