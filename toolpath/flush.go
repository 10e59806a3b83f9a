package toolpath

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// gearHead states zero and clamping of the gear's programs.
func (w *writer) gearHead() {
	j := w.p.Job
	z := "Z0 at the tips of the two level neighbours of the gap"
	switch low := j.Gear.TipLow; {
	case low[0] > 0:
		z = "Z0 at the tip of the right neighbour; the left one is low"
	case low[1] > 0:
		z = "Z0 at the tip of the left neighbour; the right one is low"
	}
	switch j.Gear.Zero {
	case job.ZeroAxis:
		z = "Z0 at the gear's axis"
	case job.ZeroTip:
		z = "Z0 at the finished tip circle over the repair"
	}
	w.prog.Zero = []string{
		"X0 front face of the gear (least X), Y0 middle of the gap",
		z,
		"A0 the gap at top dead centre, " + levelBy(j),
	}
	if j.Index.Device == job.Head {
		w.prog.Zero[2] += "; come to it with the gear's top going toward -Y, so that the head's backlash lies that way"
	}
	w.prog.Clamp = []string{
		"Gear on its arbor, axis along X, rim supported. Nothing in the way of the holder.",
	}
	if w.prog.Purpose == SlotProgram && j.Lock.Kind != job.NoLock {
		if c := w.p.Drill(j.Lock.RimDrill); c != nil && !w.p.LockHole(c).Blind {
			w.prog.Clamp = append(w.prog.Clamp, fmt.Sprintf("Support the rim on both sides of the gap, not under the lock holes: the drill comes out there, its point %s below the rim.",
				w.p.len(w.p.Sizes.RimInner-w.p.LockHole(c).Tip)))
		}
	}
}

// levelBy says by what the gear is found level.
func levelBy(j *job.Job) string {
	if j.Gear.TipLow != [2]float64{} {
		return "level by the arbor, not by the tips"
	}
	return "both neighbours level"
}

// flush plans the insert's ends and tip.
func (p *planner) flush() error {
	j, d := p.Job, p.Sizes
	if p.bad.err() != nil {
		return nil
	}
	safe := max(math.Hypot(d.InsertTop, d.BlockHalf), d.TipTop) + j.Machine.SafeHeight
	flat := p.inserts(j.Gear.Places)
	p.flatten(flat, j.Gear.Places)
	var faces []endFace
	if j.Over() > j.Flush.Leave {
		for _, run := range runs(j.Gear.Places) {
			faces = append(faces, p.endFace(flat, run))
		}
	}
	beside := p.besideTips()
	mill := p.pick("flush", math.Inf(1), j.Flush.Cutter, func(c *profiles.Cutter) string {
		if why := p.wideUnder(c, d.TipTop, beside, "the tip"); why != "" || len(faces) == 0 {
			return why
		}
		for _, f := range faces {
			if why := p.wideUnder(c, f.low, f.gear, "the end faces"); why != "" {
				return why
			}
		}
		return ""
	})
	if mill == nil {
		return nil
	}
	if sag := p.TipSag(p.TipCuts()); sag > proudTip {
		p.Warnings = append(p.Warnings, fmt.Sprintf("the flat tip stands %s proud of the tip circle at its edges: file it", p.len(sag)))
	}
	what := "insert"
	if j.BuiltUp() {
		what = "bead"
	}
	title, op := "end faces and tip of the "+what+" down to the gear", "ends and tip"
	if len(faces) == 0 {
		title, op = "tip of the "+what+" down to the gear", "tip"
	}
	w := p.start(30, FlushProgram, title, GearSetup, safe)
	w.long = j.Over()
	w.gearHead()
	if j.BuiltUp() {
		w.prog.Clamp = append(w.prog.Clamp, p.beadCautions()...)
	} else {
		w.prog.Clamp = append(w.prog.Clamp,
			"The adhesive has cured: two days (common practice). Find the gap again by touching both neighbours.")
	}
	if len(faces) > 0 {
		deep := "as deep as the dovetail"
		if j.BuiltUp() {
			deep = "down to the root"
		}
		w.prog.Clamp = append(w.prog.Clamp,
			"The cutter works beside the faces "+deep+": nothing of hub, arbor or clamp may stand there.")
	}
	w.tool(op, mill, j.NewMetal(), profiles.SideCut)
	st := p.inserts(j.Gear.Places)
	for _, place := range j.Gear.Places {
		w.tip(st, place)
	}
	for _, f := range faces {
		w.millFace(flat, f, -1)
		w.millFace(flat, f, 1)
	}
	w.end()
	return nil
}

// wideUnder says what of a cutter above its flutes would meet metal that stands
// as high as top, its tip at z; "" when nothing does.
func (p *planner) wideUnder(c *profiles.Cutter, z, top float64, what string) string {
	for _, q := range backParts(c) {
		need := top + q.air - z
		if q.from >= need {
			continue
		}
		if q.from < c.StickOut-geom.Eps {
			return "it is wider from " + p.len(q.from) + " over its tip, " + what + " need at least " + p.len(need)
		}
		return "stick_out " + p.len(c.StickOut) + " is too short for " + what + ", they need at least " + p.len(need)
	}
	return ""
}

// inserts is the metal of the inserts of some places, let in and not yet cut, or
// of their beads: a little more than there is.
func (p *planner) inserts(places []float64) *stock {
	j, d := p.Job, p.Sizes
	if j.BuiltUp() {
		st := &stock{}
		for _, at := range places {
			st.add(p.Bead.Turned(at * j.Gear.Pitch()))
		}
		return st
	}
	step, block := d.WideHalf, d.Bottom+d.SideDepth
	one := geom.Region{
		geom.Rect(-step, d.Bottom, step, d.Seat),
		geom.Rect(-d.BodyHalf, d.Seat, d.BodyHalf, block),
		geom.Rect(-d.BlockHalf, block, d.BlockHalf, d.InsertTop),
	}
	st := &stock{}
	for _, at := range places {
		st.add(one.Turned(at * j.Gear.Pitch()))
	}
	return st
}

// flatten takes the tips of some places down.
func (p *planner) flatten(st *stock, places []float64) {
	for _, place := range places {
		for _, a := range p.tipAngles() {
			if lo, hi, ok := p.tipBand(st, place, a); ok {
				st.take(p.angleOf(place)+a, lo, hi, p.Sizes.TipTop)
			}
		}
	}
}

// tipBand is how far across the metal over the tip circle goes, the gear
// turned by a from where the place is on top: not beyond the middle between
// the place and the next, whose insert has its own turn. Not ok: there is none.
func (p *planner) tipBand(st *stock, place, a float64) (lo, hi float64, ok bool) {
	g := &p.Job.Gear
	lo, hi = -metal.Sky, metal.Sky
	for _, other := range g.Places {
		gap := math.Remainder(other-place, float64(g.Teeth)) * g.Pitch() / 2
		if gap == 0 || math.Abs(gap) > math.Pi/4 {
			continue
		}
		if y := p.Sizes.InsertTop * math.Tan(gap+a); gap > 0 {
			hi = min(hi, y)
		} else {
			lo = max(lo, y)
		}
	}
	box := st.extent(p.angleOf(place)+a, lo, hi, p.Sizes.TipTop)
	over := 2 * p.Job.Rounding() // few decimals would leave a burr standing at the block's side
	return box.Lo.Y - over, box.Hi.Y + over, !empty(box)
}

// besideTips is the greatest height of anything beside an insert whose tip is
// cut: the standing teeth, and the other inserts while they are whole.
func (p *planner) besideTips() float64 {
	top := p.Sizes.GearTop
	for _, place := range p.Job.Gear.Places {
		for _, other := range p.Job.Gear.Places {
			if other == place {
				continue
			}
			st := p.inserts([]float64{other})
			for _, a := range p.tipAngles() {
				top = max(top, st.box(p.angleOf(place)+a).Hi.Z)
			}
		}
	}
	return top
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

// runName is PlaceName for a run: ", teeth 1 and 2".
func (p *planner) runName(run []float64) string {
	if len(run) == 1 {
		return p.PlaceName(run[0])
	}
	first, last := p.PlaceName(run[0]), p.PlaceName(run[len(run)-1])
	word := " to "
	if len(run) == 2 {
		word = " and "
	}
	return strings.Replace(first, "tooth", "teeth", 1) + word + strings.TrimPrefix(last, ", tooth ")
}

// endFace is where the ends of a run of inserts are milled, the middle of the
// run at top dead centre.
type endFace struct {
	run       []float64
	others    []float64 // places that are not of the run
	angle     float64   // of the gear
	low, half float64   // how deep the inserts reach, and how far across
	gear      float64   // greatest height of teeth and inserts, tips cut
}

// endFace measures the ends of a run. flat are all inserts, tips cut.
func (p *planner) endFace(flat *stock, run []float64) endFace {
	f := endFace{run: run, angle: p.angleOf((run[0] + run[len(run)-1]) / 2)}
	for _, at := range p.Job.Gear.Places {
		if !design.IsPlace(run, at) {
			f.others = append(f.others, at)
		}
	}
	own := p.inserts(run)
	p.flatten(own, run)
	// The outer inserts of a run lean, and with them their corners.
	box := own.box(f.angle)
	f.low, f.half = box.Lo.Z-flushUnder, max(-box.Lo.Y, box.Hi.Y)
	f.gear = max(p.Sizes.GearTop, flat.box(f.angle).Hi.Z)
	return f
}

// offFace is kept from the gear's faces where nothing is to be left on the
// insert's ends, mm: more than a written number is rounded by, an inch's in the
// worst case, and less than the check sees.
const offFace = 0.0015

// faceShare is how much of its diameter a cutter takes off an end face at once:
// a little of it stays outside.
const faceShare = 0.9

// millFace mills one end of the inserts of a run, the cutter outside the
// gear's face: level by level, and where they stand out farther than the cutter
// takes at once, from outside in.
func (w *writer) millFace(flat *stock, f endFace, end int) {
	j, c := w.p.Job, w.op.Cutter
	r, out := c.Radius(), float64(end)
	left := max(j.Flush.Leave, offFace)
	x := -left - r
	name := "front end"
	if end > 0 {
		x, name = j.Gear.Face+left+r, "back end"
	}
	w.pass(f.run[0], f.angle, "%s%s", name, w.p.runName(f.run))
	half := f.half + r + approach
	// Metal lies toward the gear. With Y taken for X: travelling to +Y the
	// right is +X.
	from, to := -half, half
	if (end < 0) != j.Facets.Climb {
		from, to = to, from
	}
	thick := j.Over() - left
	strips := math.Ceil(thick / (faceShare * c.Diameter))
	wide := thick / strips
	// The insert of another run may stand in the way, to be cut with this one.
	crowded := !empty(w.p.inserts(f.others).extent(f.angle, -half-r, half+r, f.low))
	leave := w.rapid
	if crowded {
		leave = w.cut
	}
	clear := x + out*(j.Over()+approach)
	top := flat.extent(f.angle, -half-r, half+r, f.low).Hi.Z
	rest := flat.copy()
	for i, z := range levels(top, f.low, w.endStep(top-f.low, wide, crowded)) {
		if !crowded {
			from, to = w.acrossEnd(rest, f, z, wide, from)
		}
		deep := top - z
		top = z
		for k := strips - 1; k >= 0; k-- {
			at := x + out*k*wide
			cut := func(float64) {
				if w.at.Z == w.prog.Safe {
					w.over(clear, from, z)
				} else {
					leave(clear, w.at.Y, w.at.Z) // straight out: cuts do not end alike at all levels
					w.rapid(clear, from, w.at.Z)
					w.rapid(clear, from, z)
				}
				w.cut(at, from, z) // near the good teeth's faces: not at rapid
				if strips > 1 {
					w.note(fmt.Sprintf("%s level %d, strip %.0f of %.0f", name, i+1, strips-k, strips))
				} else {
					w.note(fmt.Sprintf("%s level %d", name, i+1))
				}
				w.cut(at, to, z)
			}
			w.sprung(wide*deep, deep)
			cut(wide)
			if k == 0 {
				w.finished(deep, wide)
				w.again(deep, endLimit, cut)
			}
		}
	}
	if crowded {
		leave(clear, w.at.Y, w.at.Z) // that insert may hang over the way up
	}
}

// endLimit is how far the cutter's spring may leave an end face off, mm: what is
// left there is filed, by so much in a few strokes (own rule).
const endLimit = 0.05

// endStep is how deep cuts along an end face are that is deep mm high, each
// width wide: as the cutter's depth allows where they are wide or something
// stands in the way; else so that there are fewest, those once more counted.
func (w *writer) endStep(deep, width float64, crowded bool) float64 {
	c := w.op.Cutter
	if crowded || !light(c, width) {
		return w.strong(min(c.MaxDepth, deep), width)
	}
	most := w.strong(min(stepFor(c, width), deep), width)
	best, fewest := most, math.Inf(1)
	for n := math.Ceil(deep / most); n <= math.Ceil(deep/flushDepth(c)); n++ {
		cuts, left := 0.0, width
		for left > endLimit && cuts <= mostAgain {
			left = w.leaves(deep/n, []float64{left})
			cuts++
		}
		if cuts *= n; cuts <= fewest {
			best, fewest = deep/n, cuts
		}
	}
	return best
}

// acrossEnd is where a cut across an end face begins and ends, from the side
// that from lies on: an approach outside the metal between z and the level
// before, which the cutter meets with its side. st follows.
func (w *writer) acrossEnd(st *stock, f endFace, z, wide, from float64) (begin, end float64) {
	r := w.op.Cutter.Radius()
	box := st.extent(f.angle, -f.half-r, f.half+r, z)
	st.take(f.angle, -f.half-r, f.half+r, z)
	half := f.half
	if !empty(box) {
		half = min(half, max(-box.Lo.Y, box.Hi.Y))
	}
	side := math.Copysign(1, from)
	return side * (half + before(r, r-wide) + approach), -side * (half + approach)
}

// tip mills the insert's outer end down to the tip circle; where the land is
// wide, in flats that each touch the circle.
func (w *writer) tip(st *stock, place float64) {
	p := w.p
	x0, x1 := w.ends(w.op.Cutter.Radius())
	angles := p.tipAngles()
	for i, a := range angles {
		name := "tip"
		if len(angles) > 1 {
			name = fmt.Sprintf("tip facet %d of %d", i+1, len(angles))
		}
		lo, hi, ok := p.tipBand(st, place, a)
		if !ok {
			continue
		}
		angle := p.angleOf(place) + a
		cuts := w.fewest(st, angle, lo, hi, math.Inf(1), p.Sizes.TipTop)
		if len(cuts) == 0 {
			continue
		}
		w.pass(place, angle, "%s%s", name, p.PlaceName(place))
		for _, l := range cuts {
			w.sprung(l.area, l.deep)
			w.zigzag(x0, x1, l.y, l.z, l.off)
		}
	}
}

// tipAngles returns the gear angles of the flats over the tip land, from where
// the place is on top.
func (p *planner) tipAngles() []float64 {
	return spread(p.Target.TipHalf(), p.TipCuts())
}

// spread returns the gear angles of n flats spread evenly over a tip land
// of the given half angle; the one nearest upright, which takes the bulk,
// first.
func spread(half float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = half * (2*float64(i) + 1 - float64(n)) / float64(n)
	}
	out[0], out[n/2] = out[n/2], out[0]
	return out
}
