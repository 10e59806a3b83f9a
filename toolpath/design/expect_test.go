package design

import (
	"math"
	"testing"

	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// TestInfluences: what each setting does to the flanks of the demo, by hand.
// Base radius 85.725 cos 14.5 deg = 82.994; the tips the gear is levelled by are
// 2 x 88.9 sin(360/54 deg) = 20.641 mm apart (computed).
func TestInfluences(t *testing.T) {
	d := of(t, job.Demo())
	by := map[string]estimate.Influence{}
	for _, f := range d.Influences() {
		by[f.Name] = f
		if f.Source == "" {
			t.Errorf("%s has no source", f.Name)
		}
	}
	near(t, "0.01 mm of Y zero, right", 0.01*by["Y zero"].Right, 0.01, 1e-12)
	near(t, "0.01 mm of Y zero, left", 0.01*by["Y zero"].Left, -0.01, 1e-12)
	near(t, "0.02 mm between the tips", by["level"].Limit, 0.02/20.641, 1e-7)
	near(t, "0.01 degree of the index", 0.01*math.Pi/180*by["index"].Right, 0.014485, 1e-6)
	near(t, "0.01 mm of the cutter", 0.01*by["cutter size"].Left, -0.005, 1e-12)
	near(t, "0.02 mm of runout at the most", by["runout"].Offset-by["runout"].Limit, -0.01, 1e-12)
}

// TestDefaultTolerance: a job that states neither tolerance nor count gets as
// many facets as show, and each device its own; a device that cannot make them
// is taken at its best.
func TestDefaultTolerance(t *testing.T) {
	for _, name := range []string{"minimal", "head", "head-scale", "pinion12", "apart"} {
		d := of(t, read(t, name))
		f := d.Flanks
		if !f.ByDefault || !f.Met {
			t.Errorf("%s: by default %t, met %t", name, f.ByDefault, f.Met)
		}
		list := d.Influences()
		rest := estimate.Tooth{Right: 3, Left: 3}.Budget(list).Flank.Half
		if left := max(f.Right.GreatestError, f.Left.GreatestError); left > rest/3 && f.Tolerance <= rest/3 {
			t.Errorf("%s: the facets leave %.4f mm, which shows against %.4f", name, left, rest)
		}
		if math.Abs(f.Tolerance*1000-math.Round(f.Tolerance*1000)) > 1e-6 {
			t.Errorf("%s: tolerance %g is no whole number of micrometres", name, f.Tolerance)
		}
	}
	j := read(t, "teeth")
	j.Facets.Tolerance, j.Facets.Count = 0, 0
	j.Index.HalfTooth = false
	if f := of(t, j).Flanks; !f.Met || !f.ByDefault {
		t.Errorf("stops: met %t, by default %t, tolerance %g", f.Met, f.ByDefault, f.Tolerance)
	}
	j = job.Demo()
	if f := of(t, j).Flanks; f.ByDefault || f.Tolerance != j.Facets.Tolerance {
		t.Errorf("the demo states its tolerance: by default %t, %g", f.ByDefault, f.Tolerance)
	}
}

// TestLevelTurnsTheZeroToo sets the demo's gear a little askew, touches both
// neighbours with the corner of a cutter at the pitch circle's height there, and
// cuts: what the flank is then off must be what the influence says, which leaves
// out second orders.
func TestLevelTurnsTheZeroToo(t *testing.T) {
	d := of(t, job.Demo())
	g := d.Standing.Gear
	beside := g.Pitch()
	// The gap-facing flank of the tooth at +Y, at its pitch circle.
	height := g.PitchRadius() * math.Cos(beside-g.HalfAngle(g.PitchRadius()))
	touch := func(turn, side float64) float64 {
		line := geom.Turn(turn + side*beside).ApplyAll(d.Standing.Outline)
		best := math.Inf(1)
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			if (a.Z-height)*(b.Z-height) > 0 || a.Z == b.Z {
				continue
			}
			y := a.Y + (b.Y-a.Y)*(height-a.Z)/(b.Z-a.Z)
			if math.Abs(y) < math.Abs(best) {
				best = y
			}
		}
		return best
	}
	var level estimate.Influence
	for _, f := range d.Influences() {
		if f.Name == "level" {
			level = f
		}
	}
	const askew = 0.001
	zero := (touch(askew, 1) + touch(askew, -1)) / 2
	// A facet's plane moves with the zero, the flank it makes with the gear.
	off := zero - d.True.BaseRadius()*askew
	if want := -level.Right * askew; math.Abs(off-want) > 0.05*math.Abs(want) {
		t.Errorf("a gear %g rad askew has its flank %.5f mm off, the influence says %.5f", askew, off, want)
	}
}

// TestLockHole: the demo's 4.2 mm drill of 118 degrees comes out under a rim of
// radius 69, its point as far below the hole's edge as its cone is long; a gear
// without a web keeps the point off the arbor in its bore (by hand).
func TestLockHole(t *testing.T) {
	d := of(t, job.Demo())
	c := d.Drill(d.Job.Lock.RimDrill)
	cone := 2.1 / math.Tan(geom.Radians(59))
	hole := d.LockHole(c)
	near(t, "full diameter", hole.Full, math.Sqrt(69*69-2.1*2.1)-0.1, 1e-9)
	near(t, "point", hole.Tip, hole.Full-cone, 1e-9)
	if hole.Blind {
		t.Error("the demo's rim has air under it")
	}
	j := job.Demo()
	j.Gear.RimInner = j.Gear.Bore
	hole = of(t, j).LockHole(c)
	near(t, "point over the bore of 28", hole.Tip, 14.5, 1e-9)
	near(t, "full diameter over the bore", hole.Full, 14.5+cone, 1e-9)
	if !hole.Blind {
		t.Error("an arbor fills a bore without a web above it")
	}
}
