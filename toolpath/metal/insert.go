package metal

import (
	"fmt"
	"math"
	"slices"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// necks are the half widths of the insert's neck on its -Y (straight) and its
// +Y (tight) side.
type necks struct{ straight, tight float64 }

// section is the insert's outline in stretches, counter-clockwise from its
// lower right corner; neighbours share their ends.
type section struct {
	tightSide, tightFlank, top, straightFlank, straightSide []geom.Vec
	hole                                                    []geom.Vec // nil where the station meets none
}

// sectionAt is the insert's section at x with the given necks: body, shoulders,
// dovetail, hole; the dovetail's wide face at Z 0. Where the dovetail would be
// wider than the body the block's side cuts its corner off.
func sectionAt(of *design.Design, n necks, x float64) section {
	d, depth := &of.Sizes, of.Job.Slot.Depth
	flank := func(neck float64) []geom.Vec {
		pts := []geom.Vec{{Y: d.BodyHalf, Z: -depth}, {Y: neck, Z: -depth}}
		wide := neck + depth*d.Slope
		if wide <= d.BodyHalf {
			return append(pts, geom.Vec{Y: wide, Z: 0})
		}
		return append(pts, geom.Vec{Y: d.BodyHalf, Z: (d.BodyHalf-neck)/d.Slope - depth}, geom.Vec{Y: d.BodyHalf, Z: 0})
	}
	mirror := func(pts []geom.Vec) []geom.Vec {
		out := geom.Mirrored(pts)
		slices.Reverse(out)
		return out
	}
	side := []geom.Vec{{Y: d.BlockHalf, Z: -d.Height}, {Y: d.BlockHalf, Z: -d.SideDepth}, {Y: d.BodyHalf, Z: -d.SideDepth}, {Y: d.BodyHalf, Z: -depth}}
	s := section{tightSide: side, straightSide: mirror(side), tightFlank: flank(n.tight), straightFlank: mirror(flank(n.straight)), hole: holeAt(of, x)}
	right, left := s.tightFlank[len(s.tightFlank)-1], s.straightFlank[0]
	s.top = []geom.Vec{right}
	for i := len(s.hole) - 1; i >= 0; i-- {
		s.top = append(s.top, s.hole[i])
	}
	s.top = append(s.top, left)
	return s
}

// ring is the whole outline.
func (s section) ring() []geom.Vec {
	var out []geom.Vec
	for _, part := range [][]geom.Vec{s.tightSide, s.tightFlank, s.top, s.straightFlank, s.straightSide} {
		out = append(out, part...)
	}
	return out
}

// holeAt is the outline of the hole for the lock at station x; nil where
// there is none. Beside its axis the drill's point cuts a hyperbola.
func holeAt(d *design.Design, x float64) []geom.Vec {
	const steps = 96 // within 0.0002 mm of the hyperbola for common drills
	r := d.Job.Lock.Point / 2
	for _, at := range d.HolesInInsert() {
		u := x - at
		c := r*r - u*u
		if !(c > 0) {
			continue
		}
		h, slope := math.Sqrt(c), d.PointSlope()
		out := []geom.Vec{{Y: -h, Z: 0}}
		for i := range steps + 1 {
			y := h * (2*float64(i)/steps - 1)
			out = append(out, geom.Vec{Y: y, Z: -d.Job.Lock.PointDepth - (r-math.Hypot(y, u))*slope})
		}
		return append(out, geom.Vec{Y: h, Z: 0})
	}
	return nil
}

// holeLimit is what may seem to stay in a hole beside its axis, mm: there the
// replay takes the drill's point by chords.
const holeLimit = 0.02

// rough returns the necks the insert program leaves.
func rough(j *job.Job) necks {
	h := (j.Slot.Mouth + j.Insert.OverSize) / 2
	return necks{h, h}
}

// Stage is one of the programs that cut the insert in the vice.
type Stage int

// The stages, in order.
const (
	Rough Stage = iota
	Trial
	Fit
)

// necksAt returns the necks the stage must leave at x, and whether leftovers
// count there: they do not where a cutter rounds a step.
func necksAt(d *design.Design, stage Stage, step int, x float64) (n necks, exact bool) {
	j, radius := d.Job, d.DovetailRadius()
	switch stage {
	case Trial:
		last := d.SlideWidth(j.Fit.TrialCount) / 2
		end := j.Fit.TrialLength
		depth := rough(j).straight - last
		switch {
		case x <= end:
			return necks{last, last}, true
		case x <= end+profiles.RoundOff(radius, depth):
			return necks{last, last}, false
		}
		return rough(j), true
	case Fit:
		slide := d.SlideWidth(step) / 2
		lead := j.Insert.Over + j.Fit.Lead
		off := profiles.RoundOff(radius, d.Tight())
		in := min(x, d.Sizes.Length-x)
		switch {
		case in <= lead:
			return necks{slide, slide}, true
		case in <= lead+off:
			return necks{slide, slide}, false
		}
		return necks{slide, slide + d.Tight()}, true
	}
	return rough(j), true
}

// nearSteps is how many stations follow a step that the cutter rounds.
const nearSteps = 12

// insertStations returns where along X the insert is looked at, close
// together where a cutter rounds a step; the same in all stages, so that the
// metal one leaves is the next one's.
func insertStations(d *design.Design) []float64 {
	j, length, radius := d.Job, d.Sizes.Length, d.DovetailRadius()
	xs := []float64{faceIn, length / 4, length / 2, 3 * length / 4, length - faceIn}
	step := func(at, to float64) {
		for i := range nearSteps + 1 {
			xs = append(xs, at+(to-at)*float64(i)/nearSteps)
		}
	}
	end := j.Fit.TrialLength
	xs = append(xs, end-stepMargin)
	step(end+stepMargin, end+stepMargin+profiles.RoundOff(radius, rough(j).straight-d.SlideWidth(j.Fit.TrialCount)/2))
	lead := j.Insert.Over + j.Fit.Lead
	off := 1.2 * profiles.RoundOff(radius, d.Tight())
	xs = append(xs, lead-stepMargin, length-lead+stepMargin)
	step(lead, lead+off)
	step(length-lead, length-lead-off)
	holes := d.HolesInInsert()
	return merge(append(clearOf(xs, holes, j.Lock.Point/2), holes...))
}

// clearOf leaves out the stations at the edge of a hole: there the rounding of
// a written number along X, an inch's in the worst case, decides how wide the
// hole is.
func clearOf(xs, holes []float64, radius float64) []float64 {
	return slices.DeleteFunc(xs, func(x float64) bool {
		return slices.ContainsFunc(holes, func(at float64) bool { return math.Abs(math.Abs(x-at)-radius) < edgeShare*radius })
	})
}

// edgeShare is how near a hole's edge counts as at it, as a share of the radius:
// nearer, 0.00127 mm along X may widen the hole by more than slotLimit.
const edgeShare = 0.1

// stepMargin is how far beside a step the metal is looked at, mm.
const stepMargin = 0.01

// InsertSetup is the block before and after the given stage. before is the
// stock the stage before left, nil for Rough.
func InsertSetup(d *design.Design, stage Stage, before []replay.Station) (*replay.Setup, error) {
	j := d.Job
	s := insertSetup(j)
	if stage == Trial {
		s.Steps, s.SnapshotStep, s.Step = j.Fit.TrialCount, j.Fit.Step, trialStep(d)
	}
	stock := geom.Rect(-d.Sizes.BlockHalf, -d.Sizes.Height, d.Sizes.BlockHalf, j.Insert.TopCut)
	type kind struct {
		necks
		exact  bool
		before *geom.Convex // first piece of the metal before
		keep   *replay.Solid
	}
	known := map[kind]int{} // stations alike share their metal
	for _, x := range insertStations(d) {
		n, exact := necksAt(d, stage, j.Fit.Step, x)
		hole := holeAt(d, x) != nil
		is := kind{necks: n, exact: exact}
		if at := nearest(before, x); at != nil {
			is.keep = &at.Keep[0]
			if len(at.Waste) > 0 {
				is.before = &at.Waste[0]
			}
		}
		if i, ok := known[is]; ok && !hole {
			same := s.Stations[i]
			same.X = x
			s.Stations = append(s.Stations, same)
			continue
		}
		if !hole {
			known[is] = len(s.Stations)
		}
		sec := sectionAt(d, n, x)
		ring := sec.ring()
		whole, err := geom.Decompose(ring)
		if err != nil {
			return nil, err
		}
		keep := whole
		st := replay.Station{X: x}
		if stage == Rough {
			st.Waste = geom.Region{stock}.Minus(keep)
		} else {
			// Where no station stood before, the section of the nearest serves
			// if it is the same there; the planes of the steps have their own.
			metal := MetalAt(before, x)
			st.Waste = metal.Minus(keep)
			keep = metal.Intersect(keep)
		}
		st.Keep = []replay.Solid{{Name: "insert", Role: replay.Target, Metal: keep, Outline: append(ring, ring[0])}}
		if exact {
			st.Zones = insertZones(d, sec)
		}
		s.Stations = append(s.Stations, st)
	}
	return s, nil
}

// insertZones are the surfaces whose leftovers count.
func insertZones(d *design.Design, sec section) []replay.Zone {
	zones := []replay.Zone{
		{Name: "straight flank", Surface: sec.straightFlank, Limit: slotLimit},
		{Name: "tight flank", Surface: sec.tightFlank, Limit: slotLimit},
		{Name: "tight side", Surface: sec.tightSide, Limit: slotLimit},
		{Name: "straight side", Surface: sec.straightSide, Limit: slotLimit},
	}
	if sec.hole == nil {
		zones = append(zones, replay.Zone{Name: "top", Surface: sec.top, Limit: slotLimit})
	} else {
		last := len(sec.top) - 1
		zones = append(zones,
			replay.Zone{Name: "top", Surface: []geom.Vec{sec.top[0], sec.hole[len(sec.hole)-1]}, Limit: slotLimit},
			replay.Zone{Name: "top", Surface: []geom.Vec{sec.hole[0], sec.top[last]}, Limit: slotLimit},
			replay.Zone{Name: "hole", Surface: sec.hole, Limit: holeLimit})
	}
	return zones
}

// nearest returns the station nearest to x, nil when there is none.
func nearest(stations []replay.Station, x float64) *replay.Station {
	var at *replay.Station
	best := math.Inf(1)
	for i := range stations {
		if d := math.Abs(stations[i].X - x); d < best {
			best, at = d, &stations[i]
		}
	}
	return at
}

// trialStep returns a check of the false cuts: at each stop the neck over the
// trial length must have the width of its step.
func trialStep(d *design.Design) func(int, []replay.Station) string {
	j := d.Job
	mid := -j.Slot.Depth / 2
	flare := j.Slot.Depth / 2 * d.Sizes.Slope
	return func(step int, stations []replay.Station) string {
		want := d.SlideWidth(step)/2 + flare
		for i, s := range stations {
			if s.X > j.Fit.TrialLength {
				continue
			}
			left, right := MetalAt(stations[i:i+1], s.X).Edges(mid)
			if math.Abs(right-want) > slotLimit || math.Abs(-left-want) > slotLimit {
				return fmt.Sprintf("step %d: the false cut's flanks stand at %.3f and %.3f mm from the middle, %.3f is wanted (X %.3f)", step, -left, right, want, s.X)
			}
		}
		return ""
	}
}

// MetalAt returns all metal of the station nearest to x.
func MetalAt(stations []replay.Station, x float64) geom.Region {
	s := nearest(stations, x)
	if s == nil {
		return nil
	}
	var out geom.Region
	for _, k := range s.Keep {
		out = append(out, k.Metal...)
	}
	return append(out, s.Waste...)
}

// TightShare is the share of the tight middle's height that counts as tight.
const TightShare = 0.98

// TightLength measures the middle of the tight flank on sections of the
// finished insert: the length over which it stands at least share of the job's tight
// middle over the flank at the ends, and the height it reaches. Both are of
// the metal, not of the plan.
func TightLength(d *design.Design, stations []replay.Station, share float64) (length, height float64) {
	j := d.Job
	mid := -j.Slot.Depth / 2
	lead := d.SlideWidth(j.Fit.Step)/2 + j.Slot.Depth/2*d.Sizes.Slope
	want := share * d.Tight()
	var lastX, lastH float64
	for i, s := range stations {
		_, edge := MetalAt(stations[i:i+1], s.X).Edges(mid)
		h := edge - lead
		height = max(height, h)
		if i > 0 {
			a, b := lastH-want, h-want
			w := s.X - lastX
			switch {
			case a >= 0 && b >= 0:
				length += w
			case a < 0 && b >= 0:
				length += w * b / (b - a)
			case a >= 0:
				length += w * a / (a - b)
			}
		}
		lastX, lastH = s.X, h
	}
	return length, height
}
