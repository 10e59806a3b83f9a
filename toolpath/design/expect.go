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
// what it does to the two flanks along their normals. base is the base radius
// and tip the tip radius in mm, level the angle between the two tips the gear
// is levelled by.
func influences(j *job.Job, base, tip, level float64) []estimate.Influence {
	u := &j.Uncertainty
	source := func(key string) string {
		if j.Given("uncertainty." + key) {
			return "stated"
		}
		return ownPractice
	}
	// The two tips stand level/2 to each side of the top: a difference in height
	// between them turns the gear by it over the distance between them.
	apart := 2 * tip * math.Sin(level/2)
	list := []estimate.Influence{
		{Name: "Y zero", Limit: u.YZero, Right: 1, Left: -1, Source: source("y_zero")},
		{Name: "wear of the neighbours", Limit: u.Neighbours / 2, Right: 1, Left: -1, Source: source("neighbours")},
		{Name: "level", Limit: u.Level / apart, Angle: true, Right: base, Left: -base, Source: source("level")},
		{Name: "index", Limit: u.Index, Angle: true, Anew: true, Right: base, Left: base, Source: source("index")},
		{Name: "cutter size", Limit: u.CutterSize, Right: -0.5, Left: -0.5, Source: source("cutter_size")},
		// A cutter out of true by a total reading t cuts as if it were t thicker: each
		// flank loses half of what there is, between nothing and the greatest.
		{Name: "runout", Limit: u.Runout / 4, Right: -1, Left: -1, Offset: -u.Runout / 4, Source: source("runout")},
	}
	if u.Backlash > 0 {
		list = append(list, estimate.Influence{Name: "backlash of the index device", Limit: u.Backlash / 2, Angle: true, Anew: true, Right: base, Left: base, Source: source("backlash")})
	}
	return list
}

// Influences lists what moves the flanks of one new tooth besides the facets'
// own error and the spring of the cutter.
func (d *Design) Influences() []estimate.Influence {
	return influences(d.Job, d.True.BaseRadius(), d.Standing.TipRadius(), levelAngle(&d.Job.Gear))
}

// levelAngle is the angle between the two standing teeth beside the gap, which
// the gear is levelled by.
func levelAngle(g *job.Gear) float64 {
	return 2 * levelReach(g) * g.Pitch()
}

// finestDefault is the least tolerance that is taken by default, mm: a program
// written to the micrometre holds no finer one.
const finestDefault = 0.003

// defaultTolerance is the tolerance of a job that states none, mm: the greatest
// error of the facets that does not show against everything else.
func defaultTolerance(j *job.Job) float64 {
	g := &j.Gear
	shows := estimate.Shows(influences(j, g.BaseRadius(), g.Standing().TipRadius(), levelAngle(g)))
	if j.Facets.Lean == job.Even {
		shows /= 2 // the tolerance then lies on both sides
	}
	return max(finestDefault, math.Floor(shows*1000)/1000)
}
