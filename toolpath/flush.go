package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

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
