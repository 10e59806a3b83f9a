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
	asm  assembled
	last []sectionMade
}

// sectionMade is a section made before, for the stations like it.
type sectionMade struct {
	all  geom.Region
	cast *replay.Solid
	st   replay.Station
}

// NewFinish prepares the gear with the insert in it. Every place gets an
// insert alike.
func NewFinish(d *design.Design, casting, insert []replay.Station) (*Finish, error) {
	t, err := newTeeth(d, d.Target)
	if err != nil {
		return nil, err
	}
	return &Finish{asm: assembled{t, casting, insert}}, nil
}

// insertAt returns the insert's metal at gear station x for the place at: what
// lies under the seat, which stays, and the body over it.
func (a *assembled) insertAt(x, at float64) (under, body geom.Region) {
	d := &a.Sizes
	turn := geom.Turn(at * a.Job.Gear.Pitch())
	for _, c := range MetalAt(a.insert, x+a.Job.Insert.Over) {
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

// station returns the section at x, before the flush program.
func (f *Finish) station(x float64) replay.Station {
	a := &f.asm
	if x < 0 || x > a.Job.Gear.Face {
		st := replay.Station{X: x}
		for _, p := range a.places {
			under, body := a.insertAt(x, p.at)
			st.Waste = append(append(st.Waste, under...), body...)
		}
		return st
	}
	cast := nearest(a.casting, x)
	var all geom.Region // what may be waste or target
	dovetails := replay.Solid{Name: "dovetail", Role: replay.Target}
	for _, p := range a.places {
		under, body := a.insertAt(x, p.at)
		dovetails.Metal = append(dovetails.Metal, under...)
		dovetails.Outline = append(dovetails.Outline, p.outline...)
		all = append(all, body...)
	}
	// What the slot program left is waste over the seat; under it, it is shut
	// in by the insert and stays.
	for _, c := range cast.Waste {
		if a.underSeat(c) {
			dovetails.Metal = append(dovetails.Metal, c)
		} else {
			all = append(all, c)
		}
	}
	// Most stations are like the one before but for the dovetail, which no
	// program from here on comes near.
	for i := range f.last {
		if m := &f.last[i]; m.cast == &cast.Keep[0] && sameMetal(m.all, all) {
			same := m.st
			same.X = x
			return same
		}
	}
	st := replay.Station{X: x, Keep: []replay.Solid{dovetails}}
	made := sectionMade{all: all, cast: &cast.Keep[0]}
	for _, s := range cast.Keep {
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
	made.st = st
	f.last = append(f.last, made)
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

// sameMetal says that two regions are the same, piece by piece.
func sameMetal(a, b geom.Region) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !slices.Equal(a[i].Pts, b[i].Pts) {
			return false
		}
	}
	return true
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
	over, leave := j.Insert.Over, j.Flush.Leave
	xs := stationsOf(j)
	if over > 0 {
		for _, out := range []float64{over - faceIn, (over + leave) / 2, leave + faceIn} {
			if out > leave {
				xs = append(xs, -out, j.Gear.Face+out)
			}
		}
	}
	// Only what stands over the tip circle is this program's.
	var zones []replay.Zone
	for _, p := range f.asm.places {
		zones = append(zones,
			replay.Zone{Name: f.asm.name("flanks, for the next program", p.at), Surface: f.sides(p.at), Limit: Sky},
			replay.Zone{Name: f.asm.name("tip", p.at), Surface: f.tip(p.at), Limit: f.asm.TipLimit()})
	}
	for _, x := range merge(xs) {
		st := f.station(x)
		st.Zones = zones
		if out := max(-x, x-j.Gear.Face); out > 0 {
			end := "front end"
			if x > 0 {
				end = "back end"
			}
			st.Zones = []replay.Zone{{Name: end, StandsOut: out, Limit: leave}}
		}
		s.Stations = append(s.Stations, st)
	}
	return s
}

// FacetsSetup is the gear before and after the facets program; before is what
// the flush program left.
func (f *Finish) FacetsSetup(before []replay.Station, filing []Filing) *replay.Setup {
	j := f.asm.Job
	s := f.setup()
	s.Top = max(f.asm.Sizes.GearTop, f.asm.Sizes.TipTop)
	zones := f.facetZones(filing)
	for _, st := range before {
		if st.X < 0 || st.X > j.Gear.Face {
			continue // the ends stand out only by what is left for the file
		}
		st.Zones = zones
		s.Stations = append(s.Stations, st)
		s.Top = max(s.Top, Reach(st.Waste))
	}
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

// facetZones are the surfaces of the finished teeth.
func (f *Finish) facetZones(filing []Filing) []replay.Zone {
	var zones []replay.Zone
	for _, p := range f.asm.places {
		for _, side := range []int{1, -1} {
			name := "right"
			if side < 0 {
				name = "left"
			}
			flank := replay.Zone{Name: f.asm.name(name+" flank", p.at), Surface: f.flankSurface(p.at, side), Limit: f.asm.Flanks.Limit, Upto: f.asm.Target.TipRadius()}
			root := replay.Zone{Name: f.asm.name(name+" root", p.at), Surface: f.rootSurface(p.at, side), Limit: f.asm.Job.Facets.RootStep, Upto: f.asm.Target.TipRadius()}
			for _, fi := range filing {
				if fi.Side == side && fi.Place == p.at {
					thick := min(fi.Thick, f.asm.Job.Facets.MostFiled)
					flank.Filed, flank.FiledTo = thick, fi.Upto
					// Beside what is filed the root's steps stay.
					root.Filed, root.FiledTo = max(thick, root.Limit), fi.Upto
				}
			}
			zones = append(zones, flank, root)
		}
		zones = append(zones, replay.Zone{Name: f.asm.name("tip", p.at), Surface: f.tip(p.at), Limit: f.asm.TipLimit()})
	}
	return zones
}

func (f *Finish) setup() *replay.Setup {
	return gearSetup(f.asm.Design, f.asm.Job.Insert.Material)
}

// turned returns the points turned to the place.
func (f *Finish) turned(pts []geom.Vec, at float64) []geom.Vec {
	return geom.Turn(at * f.asm.Target.Pitch()).ApplyAll(pts)
}

func (f *Finish) tip(at float64) []geom.Vec { return f.turned(f.asm.Target.TipArc(), at) }

// side returns the flank's points from the tip down; those at or above the
// form radius, or those at or below it.
func (f *Finish) side(side int, above bool) []geom.Vec {
	form := f.asm.Target.Root.FormRadius
	var out []geom.Vec
	for _, p := range f.asm.Target.Flank {
		r := p.Norm()
		if above && r >= form-geom.Sliver || !above && r <= form+geom.Sliver {
			out = append(out, geom.Vec{Y: p.Y * float64(side), Z: p.Z})
		}
	}
	return out
}

func (f *Finish) flankSurface(at float64, side int) []geom.Vec {
	return f.turned(f.side(side, true), at)
}

func (f *Finish) rootSurface(at float64, side int) []geom.Vec {
	return f.turned(f.side(side, false), at)
}

func (f *Finish) sides(at float64) []geom.Vec {
	var out []geom.Vec
	for _, side := range []int{1, -1} {
		out = append(out, f.flankSurface(at, side)...)
		out = append(out, f.rootSurface(at, side)...)
	}
	return out
}

// NominalInsert is the insert as it would be after a fit at the first step of
// the ladder, at the stations of the insert: the stock of the later programs
// while no step is known yet.
func NominalInsert(d *design.Design) ([]replay.Station, error) {
	return nominal(d, insertStations(d))
}

func nominal(d *design.Design, xs []float64) ([]replay.Station, error) {
	var out []replay.Station
	for _, x := range xs {
		n, _ := necksAt(d, Fit, max(1, d.Job.Fit.Step), x)
		whole, err := geom.Decompose(sectionAt(d, n, x).ring())
		if err != nil {
			return nil, fmt.Errorf("section of the insert: %w", err)
		}
		out = append(out, replay.Station{X: x, Keep: []replay.Solid{{Name: "insert", Metal: whole}}})
	}
	return out, nil
}

// Body is the metal the facets program starts from at the middle of the face,
// if the programs before it do what they should: every place's insert over
// the target, tips flush. The plan uses it to leave out cuts in air.
func Body(d *design.Design) (geom.Region, error) {
	j := d.Job
	mid := j.Gear.Face / 2
	t, err := newTeeth(d, d.True)
	if err != nil {
		return nil, err
	}
	casting := t.slotSetup([]float64{mid}).Stations
	casting[0].Waste = nil
	insert, err := nominal(d, []float64{mid + j.Insert.Over})
	if err != nil {
		return nil, err
	}
	if d.Flanks.Allowance != 0 {
		if t, err = newTeeth(d, d.Target); err != nil {
			return nil, err
		}
	}
	f := &Finish{asm: assembled{t, casting, insert}}
	waste := f.station(mid).Waste
	var buf geom.Scratch
	for _, p := range j.Gear.Places {
		flat := geom.Rect(-Sky, d.Sizes.TipTop, Sky, Sky)
		waste = waste.Subtract(flat.Turned(geom.Turn(p*j.Gear.Pitch())), &buf, nil)
	}
	return waste, nil
}
