package metal

import (
	"fmt"
	"math"
	"slices"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
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
	asm    assembled
	target profiles.Gear
	flanks Flanks
	last   []sectionMade
}

// sectionMade is a section made before, for the stations like it.
type sectionMade struct {
	all  geom.Region
	cast *replay.Solid
	st   replay.Station
}

// NewFinish prepares the gear with the insert in it. Every place gets an
// insert alike.
func NewFinish(j *job.Job, casting, insert []replay.Station) (*Finish, error) {
	fl, err := FlanksOf(j)
	if err != nil {
		return nil, err
	}
	t, err := newTeeth(j, fl.Target(j))
	if err != nil {
		return nil, err
	}
	return t.finish(fl, casting, insert), nil
}

func (t *teeth) finish(fl Flanks, casting, insert []replay.Station) *Finish {
	return &Finish{asm: assembled{t, casting, insert}, target: fl.Target(t.job), flanks: fl}
}

// insertAt returns the insert's metal at gear station x for the place at: what
// lies under the seat, which stays, and the body over it.
func (a *assembled) insertAt(x, at float64) (under, body geom.Region) {
	d := a.dims
	turn := geom.Turn(at * a.job.Gear.Pitch())
	for _, c := range MetalAt(a.insert, x+a.job.Insert.Over) {
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
	if x < 0 || x > a.job.Gear.Face {
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
		if s.Name != castingName || f.flanks.Allowance == 0 {
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
		up := geom.Polar(1, p.at*a.job.Gear.Pitch())
		for _, q := range c.Pts {
			if q.Dot(up) > a.dims.Seat+geom.Sliver {
				return false
			}
		}
	}
	return true
}

// FlushSetup is the gear with the insert before and after its ends and tip
// are brought down.
func (f *Finish) FlushSetup() *replay.Setup {
	j := f.asm.job
	s := f.setup()
	s.Top = max(f.asm.dims.GearTop, math.Hypot(f.asm.dims.InsertTop, f.asm.dims.BlockHalf))
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
			replay.Zone{Name: f.asm.name("tip", p.at), Surface: f.tip(p.at), Limit: f.tipLimit()})
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

func (f *Finish) tipLimit() float64 { return TipLimit(f.asm.job, f.flanks) }

// FacetsSetup is the gear before and after the facets program; before is what
// the flush program left.
func (f *Finish) FacetsSetup(before []replay.Station, filing []Filing) *replay.Setup {
	j := f.asm.job
	s := f.setup()
	s.Top = max(f.asm.dims.GearTop, f.asm.dims.TipTop)
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
			flank := replay.Zone{Name: f.asm.name(name+" flank", p.at), Surface: f.flankSurface(p.at, side), Limit: f.flanks.Limit, Upto: f.target.TipRadius()}
			root := replay.Zone{Name: f.asm.name(name+" root", p.at), Surface: f.rootSurface(p.at, side), Limit: f.asm.job.Facets.RootStep, Upto: f.target.TipRadius()}
			for _, fi := range filing {
				if fi.Side == side && fi.Place == p.at {
					thick := min(fi.Thick, f.asm.job.Facets.MostFiled)
					flank.Filed, flank.FiledTo = thick, fi.Upto
					// Beside what is filed the root's steps stay.
					root.Filed, root.FiledTo = max(thick, root.Limit), fi.Upto
				}
			}
			zones = append(zones, flank, root)
		}
		zones = append(zones, replay.Zone{Name: f.asm.name("tip", p.at), Surface: f.tip(p.at), Limit: f.tipLimit()})
	}
	return zones
}

func (f *Finish) setup() *replay.Setup {
	return gearSetup(f.asm.job, f.asm.job.Insert.Material)
}

// turned returns the points turned to the place.
func (f *Finish) turned(pts []geom.Vec, at float64) []geom.Vec {
	turn := geom.Turn(at * f.target.Pitch())
	out := make([]geom.Vec, len(pts))
	for i, p := range pts {
		out[i] = turn.Apply(p)
	}
	return out
}

func (f *Finish) tip(at float64) []geom.Vec { return f.turned(f.target.TipArc(), at) }

// side returns the flank's points from the tip down; those at or above the
// form radius, or those at or below it.
func (f *Finish) side(side int, above bool) []geom.Vec {
	line, err := f.target.RightFlank()
	if err != nil {
		return nil // the target was validated with the job
	}
	root, _ := f.target.Root()
	var out []geom.Vec
	for _, p := range line {
		r := p.Norm()
		if above && r >= root.FormRadius-geom.Sliver || !above && r <= root.FormRadius+geom.Sliver {
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
func NominalInsert(j *job.Job) ([]replay.Station, error) {
	return nominal(j, insertStations(j))
}

func nominal(j *job.Job, xs []float64) ([]replay.Station, error) {
	work := *j
	if work.Fit.Step == 0 {
		work.Fit.Step = 1
	}
	var out []replay.Station
	d := DimsOf(&work)
	for _, x := range xs {
		n, _ := d.necksAt(&work, Fit, x)
		whole, err := geom.Decompose(d.section(&work, n, x).ring())
		if err != nil {
			return nil, fmt.Errorf("section of the insert: %w", err)
		}
		out = append(out, replay.Station{X: x, Keep: []replay.Solid{{Name: "insert", Metal: whole.Minus(d.reliefs(&work))}}})
	}
	return out, nil
}

// Body is the metal the facets program starts from at the middle of the face,
// if the programs before it do what they should: every place's insert over
// the target, tips flush. The plan uses it to leave out cuts in air.
func Body(j *job.Job, fl Flanks) (geom.Region, error) {
	mid := j.Gear.Face / 2
	t, err := newTeeth(j, j.Gear.Gear)
	if err != nil {
		return nil, err
	}
	casting := t.slotSetup([]float64{mid}).Stations
	casting[0].Waste = nil
	insert, err := nominal(j, []float64{mid + j.Insert.Over})
	if err != nil {
		return nil, err
	}
	if lean := fl.Target(j); lean != j.Gear.Gear {
		if t, err = newTeeth(j, lean); err != nil {
			return nil, err
		}
	}
	f := t.finish(fl, casting, insert)
	waste := f.station(mid).Waste
	var buf geom.Scratch
	for _, p := range j.Gear.Places {
		flat := geom.Rect(-Sky, f.asm.dims.TipTop, Sky, Sky)
		waste = waste.Subtract(flat.Turned(geom.Turn(p*j.Gear.Pitch())), &buf, nil)
	}
	return waste, nil
}
