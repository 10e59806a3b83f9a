package toolpath

import (
	"fmt"
	"math"
	"sort"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// gearHead states zero and clamping of the gear's programs.
func (w *path) gearHead() {
	j := w.p.Job
	z := "Z0 at the tips of the two level neighbours of the gap"
	switch j.Gear.Zero {
	case job.ZeroAxis:
		z = "Z0 at the gear's axis"
	case job.ZeroTip:
		z = "Z0 at the finished tip circle over the repair"
	}
	w.prog.Zero = []string{
		"X0 front face of the gear (least X), Y0 middle of the gap",
		z,
		"A0 the gap at top dead centre, both neighbours level",
	}
	w.prog.Clamp = []string{
		"Gear on its arbor, axis along X, rim supported. Nothing in the way of the holder.",
	}
	if w.prog.Purpose == "slot" && j.Lock.Kind != job.NoLock {
		w.prog.Clamp = append(w.prog.Clamp, "Support the rim on both sides of the gap, not under the lock holes: the drill comes out there.")
	}
}

// flush plans the insert's ends and tip.
func (p *planner) flush() error {
	j, d := p.Job, p.Dims
	if p.bad.err() != nil {
		return nil
	}
	around, err := p.gearScene(j.Gear.Places[0], 0)
	if err != nil {
		return err
	}
	top := math.Hypot(d.InsertTop, d.BlockHalf)
	safe := max(top, d.TipTop) + j.Machine.SafeHeight
	low := d.Bottom - flushUnder
	for _, run := range runs(j.Gear.Places) {
		// The outer inserts of a run lean, and with them their lower corners.
		mid, _ := p.lean(run)
		for _, at := range run {
			low = min(low, geom.Turn((at-mid)*j.Gear.Pitch()).Apply(geom.Vec{Y: -d.BlockHalf, Z: d.Bottom - flushUnder}).Z)
		}
	}
	need := func(c *profiles.Cutter) float64 { return d.TipTop + holderAir - low }
	var names string
	if j.Flush.Cutter != "" {
		names = j.Flush.Cutter
	}
	mill := p.pick("flush", math.Inf(1), names, func(c *profiles.Cutter) string {
		if j.Insert.Over <= j.Flush.Leave {
			return p.clears(around, d.TipTop)(c)
		}
		if c.Diameter < j.Insert.Over+approach/2 {
			return "it does not cover the ends, which stand out " + p.len(j.Insert.Over)
		}
		if need(c) > c.StickOut {
			return "stick_out " + p.len(c.StickOut) + " is too short for the end faces, they need at least " + p.len(need(c))
		}
		if c.FluteLength < flushDepth(c) || c.Shank > c.Diameter+geom.Eps && c.FluteLength < d.InsertTop-low {
			return "flute_length " + p.len(c.FluteLength) + " does not reach down the end faces, " + p.len(d.InsertTop-low)
		}
		return ""
	})
	if mill == nil {
		return nil
	}
	if sag := metal.TipSag(j, p.Flanks, metal.TipCuts(j, p.Flanks)); sag > proudTip {
		p.Warnings = append(p.Warnings, fmt.Sprintf("the flat tip stands %s proud of the tip circle at its edges: file it", p.len(sag)))
	}
	w := p.start(30, "flush", "end faces and tip of the insert down to the gear", GearSetup, safe)
	w.long = j.Insert.Over
	w.gearHead()
	w.prog.Clamp = append(w.prog.Clamp,
		"The adhesive has cured: two days (common practice). Find the gap again by touching both neighbours.",
		"The cutter works beside the faces as deep as the dovetail: nothing of hub, arbor or clamp may stand there.")
	w.tool("ends and tip", mill, j.Insert.Material, profiles.SideCut)
	for _, place := range j.Gear.Places {
		w.tip(place)
	}
	if j.Insert.Over > j.Flush.Leave {
		for _, run := range runs(j.Gear.Places) {
			w.endFace(run, -1, low)
			w.endFace(run, 1, low)
		}
	}
	w.end()
	return nil
}

// proudTip is how far the tip's edges may stand out before one is told, mm.
const proudTip = 0.02

// flushUnder is how far below the insert's dovetail the end faces are cut: the
// slot's floor lies a little deeper, and the adhesive that was pressed out.
const flushUnder = 0.05

// flushDepth is the depth of one cut along an end face: narrow, so deeper
// than a wide cut may be.
func flushDepth(c *profiles.Cutter) float64 { return min(c.FluteLength, 2*c.MaxDepth) }

// runs groups places that stand side by side: their ends are milled in one.
func runs(places []float64) [][]float64 {
	sorted := append([]float64(nil), places...)
	sort.Float64s(sorted)
	var out [][]float64
	for i, p := range sorted {
		if i > 0 && p-sorted[i-1] < 1.5 {
			out[len(out)-1] = append(out[len(out)-1], p)
		} else {
			out = append(out, []float64{p})
		}
	}
	return out
}

// lean returns the middle of a run and the angle by which its outermost insert
// leans when the middle is at top dead centre.
func (p *planner) lean(run []float64) (mid, angle float64) {
	mid = (run[0] + run[len(run)-1]) / 2
	return mid, (run[len(run)-1] - mid) * p.Job.Gear.Pitch()
}

// endFace mills one end of the inserts of a run, the cutter outside the gear's
// face, the middle of the run at top dead centre.
func (w *path) endFace(run []float64, end int, low float64) {
	j, d, c := w.p.Job, w.p.Dims, w.op.Cutter
	r := c.Radius()
	x := -j.Flush.Leave - r
	name := "front end"
	if end > 0 {
		x, name = j.Gear.Face+j.Flush.Leave+r, "back end"
	}
	mid, lean := w.p.lean(run)
	w.pass(run[0], w.p.angleOf(mid), "%s%s", name, w.p.PlaceName(run[0]))
	// The outermost inserts lean by lean: their corners bound the cut.
	var half float64
	for _, p := range []geom.Vec{{Y: d.BlockHalf, Z: d.TipTop}, {Y: d.BlockHalf, Z: low}, {Y: -d.BlockHalf, Z: low}} {
		q := geom.Turn(lean).Apply(p)
		half = max(half, q.Y)
		low = min(low, q.Z)
	}
	half += r + approach
	// Metal lies toward the gear. With Y taken for X: travelling to +Y the
	// right is +X.
	from, to := -half, half
	if (end < 0) != j.Facets.Climb {
		from, to = to, from
	}
	step := c.MaxDepth
	if j.Insert.Over-j.Flush.Leave < narrow*c.Diameter {
		step = flushDepth(c)
	}
	clear := x + float64(end)*(j.Insert.Over+approach)
	// The tip's outer flats rise toward the block's far side.
	cuts := metal.TipCuts(j, w.p.Flanks)
	g := w.p.Flanks.Target(j)
	tilt := g.HalfAngle(d.TipTop) * float64(cuts-1) / float64(cuts)
	top := d.TipTop
	for _, at := range run {
		// A leaning insert's flat tip stands highest at its inner corner.
		a := math.Abs(at-mid) * j.Gear.Pitch()
		top = max(top, geom.Turn(a).Apply(geom.Vec{Y: -d.BlockHalf, Z: d.TipTop}).Z)
	}
	top += metal.TipSag(j, w.p.Flanks, cuts) + d.BlockHalf*math.Sin(tilt)
	for i, z := range levels(top, low, step) {
		if i == 0 {
			w.over(clear, from, z)
		} else {
			w.rapid(clear, to, w.at.Z)
			w.rapid(clear, from, w.at.Z)
			w.rapid(clear, from, z)
		}
		w.cut(x, from, z) // near the good teeth's faces: not at rapid
		w.note(fmt.Sprintf("%s level %d", name, i+1))
		w.cut(x, to, z)
	}
}

// tip mills the insert's outer end down to the tip circle; where the land is
// wide, in facets that each touch the circle.
func (w *path) tip(place float64) {
	j, d, c := w.p.Job, w.p.Dims, w.op.Cutter
	r := c.Radius()
	lo, hi := w.ends(r)
	g := w.p.Flanks.Target(j)
	half := g.HalfAngle(d.TipTop)
	angles := tipAngles(half, metal.TipCuts(j, w.p.Flanks))
	for i, a := range angles {
		name := "tip"
		if len(angles) > 1 {
			name = fmt.Sprintf("tip facet %d of %d", i+1, len(angles))
		}
		// The block leans with the gear, so one corner stands higher.
		top := d.InsertTop + d.BlockHalf*math.Sin(math.Abs(a))
		if i > 0 {
			top = d.TipTop + 2*(d.TipTop*(1-math.Cos(half)))
		}
		w.pass(place, w.p.angleOf(place)+a, "%s%s", name, w.p.PlaceName(place))
		wide := d.BlockHalf + top*math.Sin(math.Abs(a))
		if metal.Adjacent(j.Gear.Places) {
			// An insert beside this one has its own turn.
			wide = min(wide, top*math.Tan(g.Pitch()/2))
		}
		for _, z := range levels(top, d.TipTop, c.MaxDepth) {
			for _, y := range rows(-wide, wide, r) {
				w.zigzag(lo, hi, y, z)
			}
		}
	}
}

// tipAngles returns the gear angles of n flats spread evenly over a tip land
// of the given half angle; the one nearest upright, which takes the bulk,
// first.
func tipAngles(half float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = half * (2*float64(i) + 1 - float64(n)) / float64(n)
	}
	out[0], out[n/2] = out[n/2], out[0]
	return out
}
