package metal

import (
	"fmt"
	"math"

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
	edge                                                    bool       // of the hole: nothing is said about it
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
	mirror := func(pts []geom.Vec) []geom.Vec { return geom.Reversed(geom.Mirrored(pts)) }
	side := []geom.Vec{{Y: d.BlockHalf, Z: -d.Height}, {Y: d.BlockHalf, Z: -d.SideDepth}, {Y: d.BodyHalf, Z: -d.SideDepth}, {Y: d.BodyHalf, Z: -depth}}
	s := section{tightSide: side, straightSide: mirror(side), tightFlank: flank(n.tight), straightFlank: mirror(flank(n.straight))}
	s.hole, s.edge = holeAt(of, x)
	right, left := s.tightFlank[len(s.tightFlank)-1], s.straightFlank[0]
	s.top = append(append([]geom.Vec{right}, geom.Reversed(s.hole)...), left)
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
func necksAt(d *design.Design, stage Stage, x float64) (n necks, exact bool) {
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
		width, _ := d.FitWidth()
		slide := width / 2
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
	return between(merge(append(xs, holeStations(d.HolesInInsert(), j.Lock.Point/2)...)), 0, length)
}

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
	at := &inserts{Design: d, stage: stage, before: before, known: map[insertKind]*replay.Section{}}
	for _, x := range merge(append(insertStations(d), changes(before, 0)...)) {
		st, _, err := at.section(x)
		if err != nil {
			return nil, err
		}
		s.Stations = append(s.Stations, replay.Station{X: x, Section: st})
	}
	s.At = func(x float64) (*replay.Section, bool) {
		st, even, err := at.section(x)
		if err != nil { // it was made at every step before
			return replay.SectionAt(s.Stations, x), false
		}
		return st, even
	}
	return s, nil
}

// inserts makes the sections of the insert before one stage.
type inserts struct {
	*design.Design
	stage  Stage
	before []replay.Station // what the stage before left; none for Rough
	known  map[insertKind]*replay.Section
}

// insertKind tells sections apart.
type insertKind struct {
	necks
	exact  bool
	hole   float64 // half its width, 0 for none
	edge   bool    // of the hole
	before *replay.Section
}

// section returns the section at x, the same one wherever it is the same, and
// whether it does not change around x.
func (a *inserts) section(x float64) (st *replay.Section, even bool, err error) {
	n, exact := necksAt(a.Design, a.stage, x)
	is := insertKind{necks: n, exact: exact, before: replay.SectionAt(a.before, x)}
	is.hole, is.edge = holeChord(x, a.HolesInInsert(), a.Job.Lock.Point/2)
	even = is.hole == 0 || is.edge
	if st := a.known[is]; st != nil {
		return st, even, nil
	}
	sec := sectionAt(a.Design, n, x)
	ring := sec.ring()
	if a.stage != Rough {
		// Only the rough stage drills: what it left of a hole stays.
		sec.edge = true
		solid := sec
		solid.top = []geom.Vec{sec.top[0], sec.top[len(sec.top)-1]}
		ring = solid.ring()
	}
	whole, err := geom.Decompose(ring)
	if err != nil {
		return nil, false, err
	}
	keep := whole
	st = &replay.Section{}
	if a.stage == Rough {
		d := &a.Sizes
		st.Waste = geom.Region{geom.Rect(-d.BlockHalf, -d.Height, d.BlockHalf, a.Job.Insert.TopCut)}.Minus(keep)
		if sec.edge {
			hole, err := geom.Decompose(sec.hole)
			if err != nil {
				return nil, false, err
			}
			st.Waste = st.Waste.Minus(hole)
		}
	} else {
		metal := metalOf(is.before)
		st.Waste = metal.Minus(keep)
		keep = metal.Intersect(keep)
	}
	st.Keep = []replay.Solid{{Name: "insert", Role: replay.Target, Metal: keep, Outline: append(ring, ring[0])}}
	if exact {
		st.Zones = insertZones(a.Design, sec)
	}
	a.known[is] = st
	return st, even, nil
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
			replay.Zone{Name: "top", Surface: []geom.Vec{sec.hole[0], sec.top[last]}, Limit: slotLimit})
		if !sec.edge {
			zones = append(zones, replay.Zone{Name: "hole", Surface: sec.hole, Limit: holeLimit})
		}
	}
	return zones
}

// trialStep returns a check of the trial cuts: at each stop the neck over the
// trial length must have the width of its step.
func trialStep(d *design.Design) func(int, []replay.Station) string {
	j := d.Job
	mid := -j.Slot.Depth / 2
	flare := j.Slot.Depth / 2 * d.Sizes.Slope
	near := min(slotLimit, j.Fit.TrialStep/4) + j.Rounding() // half a step is the next one's
	return func(step int, stations []replay.Station) string {
		want := d.SlideWidth(step)/2 + flare
		for _, s := range stations {
			if s.X > j.Fit.TrialLength {
				continue
			}
			left, right := metalOf(s.Section).Edges(mid)
			if math.Abs(right-want) > near || math.Abs(-left-want) > near {
				return fmt.Sprintf("step %d: the trial cut's flanks stand at %.3f and %.3f mm from the middle, %.3f is wanted (X %.3f)", step, -left, right, want, s.X)
			}
		}
		return ""
	}
}

// MetalAt returns all metal that the stations have at x.
func MetalAt(stations []replay.Station, x float64) geom.Region {
	return metalOf(replay.SectionAt(stations, x))
}

// metalOf returns all metal of a section, nil for none.
func metalOf(s *replay.Section) geom.Region {
	if s == nil {
		return nil
	}
	var out geom.Region
	for _, k := range s.Keep {
		out = append(out, k.Metal...)
	}
	return append(out, s.Waste...)
}

// TightShare is the share of the tight middle's height that counts as tight:
// all of it but rounding. What the cutter's radius leaves lower is not tight, as
// in the estimate of the fit.
const TightShare = 0.9999

// TightLength measures the middle of the tight flank on sections of the
// finished insert: the length over which it stands at least share of the job's tight
// middle over the flank at the ends, and the height it reaches. Both are of
// the metal, not of the plan.
func TightLength(d *design.Design, stations []replay.Station, share float64) (length, height float64) {
	j := d.Job
	mid := -j.Slot.Depth / 2
	width, _ := d.FitWidth()
	lead := width/2 + j.Slot.Depth/2*d.Sizes.Slope
	want := share * d.Tight()
	// Two written numbers, each rounded, make the step.
	decimals, _ := j.Decimals()
	rounding := math.Pow10(-decimals)
	if j.Units == job.Inch {
		rounding *= 25.4
	}
	var lastX, lastH float64
	for i, s := range stations {
		_, edge := metalOf(s.Section).Edges(mid)
		h := edge - lead
		if h < want && h > want-rounding {
			h = want
		}
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
