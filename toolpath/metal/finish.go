package metal

import (
	"fmt"
	"math"
	"slices"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
)

// Filing is what the plan says must be filed by hand on one flank. It is all
// that the check takes from the plan: within it more may be left than elsewhere,
// but no more than the job allows (facets.most_filed), whatever the plan says.
type Filing struct {
	Place float64 // of the tooth, in pitches
	Side  int     // +1 the +Y flank, -1 the -Y flank
	Upto  float64 // from the root up to this radius, mm
	Thick float64 // greatest thickness, mm
}

// assembled is the gear with the insert let in: what was left of both.
type assembled struct {
	*teeth
	casting []replay.Station // after the slot program
	insert  []replay.Station // after the fit program, insert's frame
}

// Finish builds the flush and the facets set-ups on the metal that the slot
// program and the insert's programs left.
type Finish struct {
	asm   assembled
	known map[finishKind]*replay.Section
	made  []sectionMade
	ends  []*replay.Section // beyond the faces
}

// finishKind tells sections apart by those they were put together from.
type finishKind struct {
	out          bool // beyond a face
	cast, insert *replay.Section
}

// sectionMade is a section made before, for those like it over the seat.
type sectionMade struct {
	all geom.Region
	st  *replay.Section
}

// NewFinish prepares the gear with the insert in it. Every place gets an
// insert alike.
//
// A tooth that is built up needs neither: its bead follows from the design.
func NewFinish(d *design.Design, casting, insert []replay.Station) (*Finish, error) {
	t, err := newTeeth(d, d.Target)
	if err != nil {
		return nil, err
	}
	return t.finish(casting, insert), nil
}

func (t *teeth) finish(casting, insert []replay.Station) *Finish {
	return &Finish{asm: assembled{t, casting, insert}, known: map[finishKind]*replay.Section{}}
}

// parted returns a section of the insert in the gear at the place at: what lies
// under the seat, which stays, and the body over it.
func (a *assembled) parted(insert *replay.Section, at float64) (under, body geom.Region) {
	d := &a.Sizes
	turn := geom.Turn(at * a.Job.Gear.Pitch())
	for _, c := range metalOf(insert) {
		pts := make([]geom.Vec, len(c.Pts))
		for i, p := range c.Pts {
			pts[i] = d.ToGear(p)
		}
		piece := geom.NewConvex(pts...)
		// The piece as it stands, cut at the seat, then turned to its place.
		var buf geom.Scratch
		for _, part := range []struct {
			band geom.Convex
			dst  *geom.Region
		}{
			{geom.Rect(-Sky, -Sky, Sky, d.Seat), &under},
			{geom.Rect(-Sky, d.Seat, Sky, d.TipTop+Sky), &body},
		} {
			if c := piece.Clip(part.band, &buf); len(c.Pts) > 0 {
				c.Pts = append([]geom.Vec(nil), c.Pts...)
				*part.dst = append(*part.dst, c.Turned(turn))
			}
		}
	}
	return under, body
}

// section returns the section at x before the flush program, the same one
// wherever it is the same over the seat.
func (f *Finish) section(x float64) *replay.Section {
	a := &f.asm
	if a.Job.BuiltUp() {
		return f.beadSection(x < 0 || x > a.Job.Gear.Face)
	}
	is := finishKind{out: x < 0 || x > a.Job.Gear.Face, insert: replay.SectionAt(a.insert, x+a.Job.Insert.Over)}
	if !is.out {
		is.cast = replay.SectionAt(a.casting, x)
	}
	if f.known[is] == nil {
		if is.out {
			f.known[is] = f.beyond(is.insert)
		} else {
			f.known[is] = f.assemble(is)
		}
	}
	return f.known[is]
}

// beyond is the insert alone, where it stands out of the gear's faces.
func (f *Finish) beyond(insert *replay.Section) *replay.Section {
	st := &replay.Section{}
	for _, p := range f.asm.places {
		under, body := f.asm.parted(insert, p.at)
		st.Waste = append(append(st.Waste, under...), body...)
	}
	for _, s := range f.ends {
		if sameMetal(s.Waste, st.Waste) {
			return s
		}
	}
	f.ends = append(f.ends, st)
	return st
}

// assemble puts a section together.
func (f *Finish) assemble(is finishKind) *replay.Section {
	a := &f.asm
	var all geom.Region // what may be waste or target
	dovetails := replay.Solid{Name: "dovetail", Role: replay.Target}
	for _, p := range a.places {
		under, body := a.parted(is.insert, p.at)
		dovetails.Metal = append(dovetails.Metal, under...)
		dovetails.Outline = append(dovetails.Outline, p.outline...)
		all = append(all, body...)
	}
	// What the slot program left is waste over the seat; under it, it is shut
	// in by the insert and stays.
	for _, c := range is.cast.Waste {
		if a.underSeat(c) {
			dovetails.Metal = append(dovetails.Metal, c)
		} else {
			all = append(all, c)
		}
	}
	// Most sections are like another but for the dovetail and the holes under it,
	// which no program from here on comes near.
	for _, m := range f.made {
		if sameMetal(m.all, all) {
			return m.st
		}
	}
	st := &replay.Section{Keep: []replay.Solid{dovetails}}
	made := sectionMade{all: all, st: st}
	for _, s := range is.cast.Keep {
		// The casting of a place lies in the true tooth, which is the target
		// unless the facets lean into it.
		if s.Name != castingName || a.Flanks.Allowance == 0 {
			st.Keep = append(st.Keep, s)
		} else {
			all = append(all, s.Metal...)
		}
	}
	var target geom.Region
	for _, p := range a.places {
		target = append(target, p.metal...)
	}
	for _, p := range a.places {
		st.Keep = append(st.Keep, replay.Solid{Name: "new tooth", Role: replay.Target, Metal: within(p.metal, all), Outline: p.outline})
	}
	st.Waste = all.Minus(target).Joined()
	f.made = append(f.made, made)
	return st
}

// within returns the part of target where there is metal: a piece that lies in
// metal altogether as it is, so that the joints in the metal do not count.
func within(target, metal geom.Region) geom.Region {
	var out, rest geom.Region
	var buf geom.Scratch
	for _, c := range target {
		rest = append(rest[:0], c)
		for _, k := range metal {
			rest = rest.Subtract(k, &buf, nil)
		}
		if len(rest) == 0 {
			out = append(out, c)
		} else {
			out = append(out, metal.Intersect(geom.Region{c})...)
		}
	}
	return out
}

// sameArea is what the areas of two regions may differ by and they be the same,
// mm^2: a trace of rounding along the work's edges.
const sameArea = 1e-5

// sameMetal says that two regions are the same, however they are cut into
// pieces.
func sameMetal(a, b geom.Region) bool {
	if len(a) == len(b) && slices.EqualFunc(a, b, func(p, q geom.Convex) bool { return slices.Equal(p.Pts, q.Pts) }) {
		return true
	}
	return math.Abs(a.Area()-b.Area()) < sameArea && a.Minus(b).Area() < sameArea
}

// underSeat says that a piece of the gear lies under the seats of all places.
func (a *assembled) underSeat(c geom.Convex) bool {
	for _, p := range a.places {
		up := geom.Polar(1, p.at*a.Job.Gear.Pitch())
		for _, q := range c.Pts {
			if q.Dot(up) > a.Sizes.Seat+geom.Sliver {
				return false
			}
		}
	}
	return true
}

// FlushSetup is the gear with the insert before and after its ends and tip
// are brought down.
func (f *Finish) FlushSetup() *replay.Setup {
	j, d := f.asm.Job, &f.asm.Sizes
	s := f.setup()
	s.Top = max(d.GearTop, math.Hypot(d.InsertTop, d.BlockHalf))
	over, leave := j.Over(), j.Flush.Leave
	xs := stationsOf(j)
	if over > 0 {
		for _, out := range []float64{over - faceIn, (over + leave) / 2, leave + faceIn, faceIn} {
			xs = append(xs, -out, j.Gear.Face+out)
		}
	}
	xs = append(xs, changes(f.asm.casting, 0)...)
	xs = append(xs, changes(f.asm.insert, -over)...)
	// Only what stands over the tip circle is this program's.
	var zones []replay.Zone
	for _, p := range f.asm.places {
		zones = append(zones,
			replay.Zone{Name: f.asm.name("flanks, for the next program", p.at), Surface: f.sides(p.at), Limit: Sky},
			f.tipZone(p.at))
	}
	front := []replay.Zone{{Name: "front end", End: true, Face: 0, Limit: leave}}
	back := []replay.Zone{{Name: "back end", End: true, Face: j.Gear.Face, Limit: leave}}
	s.At = zoned(f.section, func(x float64) []replay.Zone {
		switch {
		case x < 0:
			return front
		case x > j.Gear.Face:
			return back
		}
		return zones
	})
	stand(s, between(merge(xs), -over, j.Gear.Face+over))
	return s
}

// changes returns the X at which the metal of the stations changes, moved by
// shift.
func changes(stations []replay.Station, shift float64) []float64 {
	xs := replay.Changes(stations)
	for i := range xs {
		xs[i] += shift
	}
	return xs
}

// zoned gives sections the zones of their place.
func zoned(plain func(x float64) *replay.Section, zones func(x float64) []replay.Zone) func(x float64) (*replay.Section, bool) {
	type kind struct {
		plain *replay.Section
		zone  *replay.Zone
	}
	known := map[kind]*replay.Section{}
	return func(x float64) (*replay.Section, bool) {
		z := zones(x)
		is := kind{plain: plain(x)}
		if len(z) > 0 {
			is.zone = &z[0]
		}
		if known[is] == nil {
			with := *is.plain
			with.Zones = z
			known[is] = &with
		}
		return known[is], true
	}
}

// stand puts stations at the places.
func stand(s *replay.Setup, xs []float64) {
	for _, x := range xs {
		at, _ := s.At(x)
		s.Stations = append(s.Stations, replay.Station{X: x, Section: at})
	}
}

// FacetsSetup is the gear before and after the facets program; before is what
// the flush program left.
func (f *Finish) FacetsSetup(before []replay.Station, filing []Filing) *replay.Setup {
	j := f.asm.Job
	s := f.setup()
	s.Top = max(f.asm.Sizes.GearTop, f.asm.Sizes.TipTop)
	zones := f.facetZones(filing)
	before = f.otherFlankCut(before)
	s.Clear = j.Facets.Clearance
	s.Cut = replay.Conventional
	if j.Facets.Climb {
		s.Cut = replay.Climb
	}
	for _, n := range f.asm.standing {
		for _, v := range n.outline {
			if v.Norm() > f.asm.Standing.Root.FormRadius {
				s.Sound = append(s.Sound, v)
			}
		}
	}
	s.At = zoned(func(x float64) *replay.Section { return replay.SectionAt(before, x) }, func(float64) []replay.Zone { return zones })
	// The ends stand out only by what is left for the file.
	stand(s, between(merge(append(changes(before, 0), stationsOf(j)...)), 0, j.Gear.Face))
	teeth := s.Top
	for _, st := range s.Stations {
		s.Top = max(s.Top, Reach(st.Waste))
	}
	// The corners of flat tips stand over what the plan counts its height from.
	s.Margin = max(s.Margin-(s.Top-teeth), j.Machine.SafeHeight/2)
	return s
}

// The check's own sizes of a crumb, mm and mm^2.
const (
	CrumbBreadth = replay.CrumbBreadth
	CrumbArea    = replay.CrumbArea
)

// Reach is how far metal goes from the gear's axis, mm: as high as it may
// stand. Crumbs do not count.
func Reach(metal geom.Region) float64 {
	far := 0.0
	for _, c := range metal {
		if replay.Crumb(c) {
			continue
		}
		for _, p := range c.Pts {
			far = max(far, p.Norm())
		}
	}
	return far
}

// NominalInsert is the insert as it would be after a fit at the first step of
// the ladder, at the stations of the insert: the stock of the later programs
// while no step is known yet.
func NominalInsert(d *design.Design) ([]replay.Station, error) {
	return nominal(d, insertStations(d))
}

func nominal(d *design.Design, xs []float64) ([]replay.Station, error) {
	var out []replay.Station
	known := map[insertKind]*replay.Section{}
	for _, x := range xs {
		n, _ := necksAt(d, Fit, x)
		is := insertKind{necks: n}
		is.hole, is.edge = holeChord(x, d.HolesInInsert(), d.Job.Lock.Point/2)
		if known[is] == nil {
			whole, err := geom.Decompose(sectionAt(d, n, x).ring())
			if err != nil {
				return nil, fmt.Errorf("section of the insert: %w", err)
			}
			known[is] = &replay.Section{Keep: []replay.Solid{{Name: "insert", Metal: whole}}}
		}
		out = append(out, replay.Station{X: x, Section: known[is]})
	}
	return out, nil
}

// finishAt is the gear with its new metal at one station, as the programs before
// should leave it.
func finishAt(d *design.Design, x float64) (*Finish, error) {
	if d.Job.BuiltUp() {
		return NewFinish(d, nil, nil)
	}
	t, err := newTeeth(d, d.True)
	if err != nil {
		return nil, err
	}
	casting := t.slotSetup([]float64{x}).Stations
	casting[0].Split()
	casting[0].Waste = nil
	insert, err := nominal(d, []float64{x + d.Job.Insert.Over})
	if err != nil {
		return nil, err
	}
	if d.Flanks.Allowance != 0 {
		if t, err = newTeeth(d, d.Target); err != nil {
			return nil, err
		}
	}
	return t.finish(casting, insert), nil
}

// Body is the metal the facets program starts from at the middle of the face,
// if the programs before it do what they should: every place's insert over
// the target, tips flush. The plan uses it to leave out cuts in air.
func Body(d *design.Design) (geom.Region, error) {
	j := d.Job
	mid := j.Gear.Face / 2
	f, err := finishAt(d, mid)
	if err != nil {
		return nil, err
	}
	waste := f.section(mid).Waste
	var buf geom.Scratch
	for _, p := range j.Gear.Places {
		flat := geom.Rect(-Sky, d.Sizes.TipTop, Sky, Sky)
		waste = waste.Subtract(flat.Turned(geom.Turn(p*j.Gear.Pitch())), &buf, nil)
	}
	return waste, nil
}
