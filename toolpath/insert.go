package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// insertHead states zero and clamping of the insert's programs.
func (w *writer) insertHead() {
	j, d := w.p.Job, w.p.Sizes
	w.prog.Zero = []string{
		"X0 front end of the insert, Y0 middle of the block",
		"Z0 top of the insert as faced: the blank stands " + w.p.len(j.Insert.TopCut) + " over it",
	}
	w.prog.Clamp = []string{
		fmt.Sprintf("Block in the vice by its tooth end, dovetail end up, %s clear of the jaws at least.", w.p.len(d.SideDepth+jawAir)),
		"Parallel to X within 0.01 mm. It is turned over about X to enter the gear: mark its front end.",
	}
}

// insert plans the block: top, sides, shoulders, dovetail over size, hole.
func (p *planner) insert() error {
	j, d := p.Job, p.Sizes
	step := d.WideHalf
	less := "" // what would need less
	if d.BlockHalf > d.BodyHalf+geom.Eps {
		less = " (less with a narrower insert.block_width)"
	}
	deep := func(c *profiles.Cutter) string {
		reach := c.FluteLength
		if c.Shank <= c.Diameter+geom.Eps && (c.Neck == 0 || c.Neck <= c.Diameter+geom.Eps) {
			reach = c.StickOut - holderAir
		}
		if reach < d.SideDepth {
			return "reaches " + p.len(reach) + " down the block's sides, they need " + p.len(d.SideDepth) + less
		}
		return ""
	}
	mill := p.pick("insert.body", math.Inf(1), "", deep)
	if most, err := p.widestBlock(); err != nil {
		return err
	} else if d.BlockHalf > most {
		p.bad.add("insert.block_width", "%s does not pass between the neighbours' tips; it may be %s at most", p.len(2*d.BlockHalf), p.len(2*most))
	}
	if d.Height-d.SideDepth < job.LeastGrip-geom.Eps {
		p.bad.add("insert.block_height", "only %s of the block is left in the vice under the milled sides; %s more are needed%s",
			p.len(d.Height-d.SideDepth), p.len(job.LeastGrip-(d.Height-d.SideDepth)), less)
	}
	if out, need := j.Insert.Zero, d.SideDepth+jawAir; out > 0 && out < need {
		p.bad.add("insert.over_jaws", "the block's sides are milled %s deep; its top must stand %s over the jaws at least, not %s", p.len(d.SideDepth), p.len(need), p.len(out))
	}
	var drill *profiles.Cutter
	if j.Lock.Kind != job.NoLock {
		drill = p.Drill(j.Lock.PointDrill)
		neck := min(d.BodyHalf, d.MouthHalf+max(0, j.Slot.Depth-j.Lock.PointDepth)*d.Slope)
		if wide := 2 * (neck - holeWall); j.Lock.Point > wide+geom.Eps {
			p.bad.add("lock.point", "a hole of %s breaks out of the dovetail under the shoulders; %s at most", p.len(j.Lock.Point), p.len(wide))
		}
	}
	if mill == nil || p.bad.err() != nil {
		return nil
	}
	w := p.start(20, InsertProgram, "top, sides, shoulders, dovetail over size", InsertSetup, j.Insert.TopCut+j.Machine.SafeHeight)
	w.insertHead()
	w.tool("top and sides", mill, j.Insert.Material, profiles.SideCut)
	r := mill.Radius()
	lo, hi := w.ends(r)
	w.faceBlock(lo, hi)
	for _, side := range []int{1, -1} {
		w.flat(side, "side", d.BodyHalf, d.BlockHalf, 0, -d.SideDepth)
		w.flat(side, "shoulder", step, d.BodyHalf, 0, -j.Slot.Depth)
	}
	// The holes first: the dovetail cutter then stays for the programs that follow.
	if drill != nil {
		w.tool("holes for the lock", drill, j.Insert.Material, profiles.DeepSlot)
		for i, x := range p.HolesInInsert() {
			w.pass(0, 0, "hole %d", i+1)
			w.hole(x, 0, -j.Lock.PointDepth-drill.Radius()/math.Tan(drill.PointAngle/2))
		}
	}
	w.dovetailOver(step)
	w.end()
	return nil
}

// faceBlock mills the block's top.
func (w *writer) faceBlock(lo, hi float64) {
	j, d, c := w.p.Job, w.p.Sizes, w.op.Cutter
	r := c.Radius()
	if j.Insert.TopCut > 0 {
		w.pass(0, 0, "top")
		top := j.Insert.TopCut
		for _, z := range levels(top, 0, w.strong(min(c.MaxDepth, top), 2*r)) {
			for _, y := range rows(-d.BlockHalf, d.BlockHalf, r) {
				w.sprung(min(2*r, 2*d.BlockHalf)*(top-z), top-z)
				w.zigzag(lo, hi, y, z, 0)
			}
			top = z
		}
	}
}

// dovetailOver mills both flanks of the dovetail over size, step being half the
// block's width there.
func (w *writer) dovetailOver(step float64) {
	j, d, c := w.p.Job, w.p.Sizes, w.p.Dovetail
	w.tool("dovetail, over size", c, j.Insert.Material, profiles.SideCut)
	for _, side := range []int{1, -1} {
		w.pass(0, 0, "dovetail %s", SideName(side))
		w.flankCuts(side, -side, flank{
			from: step + c.Radius(), to: d.MouthHalf + j.Insert.OverSize/2 + c.Radius(), z: -j.Slot.Depth, deep: j.Slot.Depth,
		})
	}
}

// widestBlock is half the widest block that passes between the neighbours'
// tips.
func (p *planner) widestBlock() (float64, error) {
	line, err := p.Job.Gear.NeighbourFlank()
	if err != nil {
		return 0, err
	}
	return line[0].Y - job.TipAir, nil
}

// holeWall is the least metal beside the lock's hole in the insert, mm: that
// the hole does not break out.
const holeWall = 0.15

// jawAir is kept between the cutter and the vice jaws, mm.
const jawAir = 1

// zigzag adds a cut along X at y, z from whichever end is nearer, the
// metal off from its path sideways.
func (w *writer) zigzag(lo, hi, y, z, off float64) {
	from, to := lo, hi
	if w.at.X == hi {
		from, to = hi, lo
	}
	if w.at.Z == w.prog.Safe || w.at.X != from {
		w.over(from, y, z)
	} else {
		w.rapid(from, y, z)
	}
	w.through(to, y, z, off)
}

// flat takes one side of the block from its outer half width in to the inner
// one, between two heights, from outside.
func (w *writer) flat(side int, name string, inner, outer, top, bottom float64) {
	if outer-inner < geom.Sliver {
		return
	}
	c := w.op.Cutter
	r := c.Radius()
	lo, hi := w.ends(r)
	w.pass(0, 0, "%s %s", name, SideName(side))
	// Strips from outside in: wide ones in steps of the cutter's depth, or
	// narrow ones as deep as the flutes, whichever takes fewer passes.
	n := int(math.Ceil((outer - inner) / (2 * r * rowShare)))
	step := w.strong(c.MaxDepth, (outer-inner)/float64(n))
	slim := int(math.Ceil((outer - inner) / (2*r*lightShare - lightSlack)))
	deep := w.strong(min(stepFor(c, 0), top-bottom), (outer-inner)/float64(slim))
	if slim*len(levels(top, bottom, deep)) < n*len(levels(top, bottom, step)) {
		n, step = slim, deep
	}
	from, to := along(lo, hi, -side, w.p.Job.Facets.Climb)
	for i, z := range levels(top, bottom, step) {
		w.sprung((outer-inner)/float64(n)*(top-z), top-z)
		top = z
		w.note(fmt.Sprintf("%s %s level %d", name, SideName(side), i+1))
		for k := n - 1; k >= 0; k-- {
			y := float64(side) * (inner + (outer-inner)*float64(k)/float64(n) + r)
			clear := float64(side) * (outer + r + approach)
			if w.at.Z == w.prog.Safe {
				w.over(from, y, z)
			} else {
				// Back outside the block, not over it.
				w.rapid(to, clear, w.at.Z)
				w.rapid(from, clear, w.at.Z)
				w.rapid(from, y, z)
			}
			w.through(to, y, z, w.beside((outer-inner)/float64(n)))
		}
	}
}

// flank is one flank of a dovetail: the cutter's axis goes from one distance
// from the middle to another, at height z, its flank deep in the metal. The
// first cut takes first more than the others. mm.
type flank struct {
	from, to, z, deep, first float64
	finish                   bool // it is left as the last cut leaves it
}

// jointLimit is how far the cutter's spring may leave a flank of the joint off,
// mm: the steps of the trial cuts tell widths apart, and a width has two flanks.
func (p *planner) jointLimit() float64 { return springShare * p.Job.Fit.TrialStep / 2 }

// flankCuts takes one flank of a dovetail in cuts of the radial cut: to and
// fro, so that the cutter never comes back through the slot; the last cut goes
// the way the job asks. work is the side on which the metal lies.
func (w *writer) flankCuts(side, work int, f flank) {
	j, c := w.p.Job, w.op.Cutter
	lo, hi := w.ends(c.Radius())
	a, b := along(lo, hi, work, j.Facets.Climb)
	limit := 0.0
	if f.finish {
		limit = w.p.jointLimit()
	}
	total := math.Abs(f.from - f.to)
	widths := w.widths(total, j.Slot.RadialCut, f.deep, limit)
	w.bears(f.deep, widths[0]+f.first)
	n, at := len(widths), f.from
	for i, width := range widths {
		at += math.Copysign(width, f.to-f.from)
		if i == n-1 {
			at = f.to
		}
		y := float64(side) * at
		s, e := a, b
		if (n-1-i)%2 == 1 {
			s, e = b, a
		}
		takes := width
		if i == 0 {
			takes += f.first
			w.over(s, y, f.z)
		} else {
			w.rapid(s, y, f.z)
		}
		w.sprung(width*f.deep, f.deep)
		w.note(fmt.Sprintf("dovetail %s cut %d of %d", SideName(side), i+1, n))
		w.through(e, y, f.z, w.beside(takes))
	}
	if !f.finish {
		return
	}
	p := &w.op.Passes[len(w.op.Passes)-1].Spring
	if last := widths[n-1]; n > 1 && last < widths[0]-geom.Eps {
		p.Light = last
	}
	p.More += n - max(1, int(math.Ceil(total/j.Slot.RadialCut-1e-9)))
	w.finished(f.deep, widths...)
	w.again(f.deep, limit, func(width float64) {
		w.over(a, w.at.Y, f.z)
		w.through(b, w.at.Y, f.z, w.beside(width))
	})
}
