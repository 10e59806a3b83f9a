package design

import (
	"math"

	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
)

// ownPractice is where a default of [uncertainty] comes from.
const ownPractice = "default: common practice, no source"

// influences lists what moves the finished flanks besides the facets' own error
// and the spring of the cutter: each number that hands set or measure, with
// what it does to the two flanks along their normals.
func influences(j *job.Job) []estimate.Influence {
	u := &j.Uncertainty
	source := func(key string) string {
		if j.Given("uncertainty." + key) {
			return "stated"
		}
		return ownPractice
	}
	g, worn := &j.Gear, j.Gear.Standing()
	beside := g.LevelReach() * g.Pitch()
	_, base := g.TouchHeights()
	// A difference in height between the two tips turns the gear by it over the
	// distance between them.
	apart := 2 * worn.TipRadius() * math.Sin(beside)
	// Y0 is then found by touching both neighbours, and has turned with them: along
	// its normal an involute moves by the base radius times the turn, along Y by
	// that over the cosine of the normal's lean, taken at the pitch circle.
	lean := beside - worn.BaseHalfAngle()
	if g.Form == nil {
		lean += math.Tan(g.Pressure)
	} else {
		lean += worn.Roll(g.PitchRadius())
	}
	turned := base * (1 - 1/math.Cos(lean))
	list := []estimate.Influence{
		{Name: "Y zero", Limit: u.YZero, Right: 1, Left: -1, Source: source("y_zero")},
		{Name: "wear of the neighbours", Limit: u.Neighbours / 2, Right: 1, Left: -1, Source: source("neighbours")},
		{Name: "level", Limit: u.Level / apart, Angle: true, Right: turned, Left: -turned, Source: source("level")},
		{Name: "index", Limit: u.Index, Angle: true, Anew: true, Right: base, Left: base, Source: source("index")},
		{Name: "cutter size", Limit: u.CutterSize, Right: -0.5, Left: -0.5, Source: source("cutter_size")},
		// A cutter out of true by a total reading t cuts as if it were t thicker: each
		// flank loses half of what there is, between nothing and the greatest.
		{Name: "runout", Limit: u.Runout / 4, Right: -1, Left: -1, Offset: -u.Runout / 4, Source: source("runout")},
	}
	if g.Copy != nil {
		// The copy is drawn through readings that are each so good.
		from := ownPractice
		if j.Given("copy.within") {
			from = "stated"
		}
		list = append(list, estimate.Influence{Name: "copy of the flank", Limit: g.Copy.Within, Right: 1, Left: 1, Source: from})
	}
	if u.Backlash > 0 {
		list = append(list, estimate.Influence{Name: "backlash of the index device", Limit: u.Backlash / 2, Angle: true, Anew: true, Right: base, Left: base, Source: source("backlash")})
	}
	return list
}

// Influences lists what moves the flanks of one new tooth besides the facets'
// own error and the spring of the cutter.
func (d *Design) Influences() []estimate.Influence { return influences(d.Job) }

// finestDefault is the least tolerance that is taken by default, mm: a program
// written to the micrometre holds no finer one.
const finestDefault = 0.003

// defaultTolerance is the tolerance of a job that states none, mm: the greatest
// error of the facets that does not show against everything else.
func defaultTolerance(j *job.Job) float64 {
	shows := estimate.Shows(influences(j))
	if j.Facets.Lean == job.Even {
		shows /= 2 // the tolerance then lies on both sides
	}
	return max(finestDefault, math.Floor(shows*1000)/1000)
}
