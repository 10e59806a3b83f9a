package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// pecksFrom is the depth, in the drill's greatest depths of cut, from which a
// hole is pecked.
const pecksFrom = 1.5

// openFoot is the height open under the insert's foot from which it is told of, mm:
// more than adhesive is meant to fill (common practice, no source).
const openFoot = 0.05

// angleOf is the gear's angle that brings a place to top dead centre.
func (p *planner) angleOf(place float64) float64 {
	return 0 - place*p.Job.Gear.Pitch() // 0, not minus 0, for place 0
}

// slot plans the stub's clearing, the seat, the slot, the dovetail and the
// lock's holes in the gear.
func (p *planner) slot() error {
	j, d := p.Job, p.Sizes
	setup, err := metal.SlotSetup(p.Design)
	if err != nil {
		return err
	}
	around := p.surroundings()
	inSlot := func(c *profiles.Cutter) string {
		for _, q := range metal.Parts(c) {
			if !q.Cuts && q.Z0 < d.Seat-d.Floor && max(q.R0, q.R1) > c.Radius()+geom.Eps {
				return fmt.Sprintf("flute_length %s does not reach down the slot, %s, before its %s", p.len(q.Z0), p.len(d.Seat-d.Floor), q.Name)
			}
		}
		return p.clears(around, d.Floor, d.MouthHalf, -d.MouthHalf)(c)
	}
	slotting := p.pick("slot.mouth", 2*(d.MouthHalf-j.Slot.FinishCut), j.Slot.Roughing, inSlot)
	seating := p.thickest(2*d.PocketHalf, p.clears(around, d.Seat, d.PocketHalf, -d.PocketHalf))
	if seating == nil {
		seating = slotting
	}
	dove := p.Dovetail
	p.dovetailFits(dove, around)
	if p.bad.err() != nil {
		return nil
	}
	if d.FootGap > openFoot {
		p.Warnings = append(p.Warnings, fmt.Sprintf("the root falls away under the seat: each shoulder bears on %s of its %s, and up to %s stay open under the foot; slot.seat_below %s would let all of it bear",
			p.len(d.BearHalf-d.MouthHalf), p.len(d.BodyHalf-d.MouthHalf), p.len(d.FootGap), p.len(math.Ceil((j.Slot.SeatBelow+d.FootGap)*100)/100)))
	}
	if rim, want := d.Floor-d.RimInner, estimate.FullBackup*j.Gear.WholeDepth(); rim < want {
		p.Warnings = append(p.Warnings, fmt.Sprintf("only %s of rim is left under the slot, less than %.1f whole depths (%s): run '%s' before you cut",
			p.len(rim), estimate.FullBackup, p.len(want), j.Command("load")))
	}
	p.warnOfRackTip()
	safe := max(setup.Top, d.TipTop) + j.Machine.SafeHeight
	w := p.start(10, SlotProgram, "clear the stub, mill the seat, cut the slot and its dovetail", GearSetup, safe)
	w.gearHead()
	w.prog.Clamp = append(w.prog.Clamp, "Look for cracks in rim, web and root first: if there is any, do not go on.", p.stubHead())
	stock := newStock(setup.Stations[len(setup.Stations)/2].Waste)

	w.tool("stub and seat", seating, j.Gear.Material, profiles.SlotCut)
	for _, place := range j.Gear.Places {
		w.clear(stock, place, "seat", -d.PocketHalf, d.PocketHalf, d.StubTop, d.Seat)
	}
	if slotting != seating {
		w.tool("slot", slotting, j.Gear.Material, profiles.DeepSlot)
	}
	for _, place := range j.Gear.Places {
		rough := d.MouthHalf - j.Slot.FinishCut
		w.clear(stock, place, "slot", -rough, rough, d.Seat, d.Floor)
		if j.Slot.FinishCut > 0 {
			w.walls(stock, place)
		}
	}
	w.tool("dovetail", dove, j.Gear.Material, profiles.SideCut)
	for _, place := range j.Gear.Places {
		for _, side := range []int{1, -1} {
			w.dovetail(place, side, dove)
		}
	}
	if j.Lock.Kind != job.NoLock {
		w.lockHoles(around)
	}
	w.end()
	return nil
}

// dovetailFits refuses a dovetail cutter that cannot cut the slot: the job's
// check has seen to it that tip, flank and neck go through the slot.
func (p *planner) dovetailFits(c *profiles.Cutter, around scene) {
	j, d := p.Job, p.Sizes
	r := c.Radius()
	if r > d.MouthHalf+j.Slot.RadialCut {
		p.bad.add("cutter."+c.Name, "diameter %s would cut both walls at once; with slot.radial_cut %s the slot takes %s at most",
			p.len(c.Diameter), p.len(j.Slot.RadialCut), p.len(2*(d.MouthHalf+j.Slot.RadialCut)))
	}
	y := d.FloorHalf - r
	need := 0.0
	for _, y := range []float64{y, -y} {
		if part := around.fouls(c, y, d.Floor, 0); part != "" && part != "holder" {
			p.bad.add("cutter."+c.Name, "its %s would touch a neighbouring tooth", part)
		}
		need = max(need, around.needStickOut(c, y, d.Floor))
	}
	if need > c.StickOut {
		p.bad.add("cutter."+c.Name, "stick_out %s is too short, the slot's floor needs at least %s", p.len(c.StickOut), p.len(need))
	}
}

// ends returns the X of the ends of passes along the gear, a radius and the
// approach outside its faces.
func (w *writer) ends(r float64) (lo, hi float64) {
	lo, hi = -w.long, w.p.Job.Gear.Face+w.long
	if w.prog.Setup == InsertSetup {
		hi = w.p.Sizes.Length
	}
	return lo - r - approach, hi + r + approach
}

// clear mills a flat-bottomed pocket along X from top down to bottom, y from
// lo to hi exact, to and fro, leaving out what would cut air.
func (w *writer) clear(s *stock, place float64, name string, lo, hi, top, bottom float64) {
	angle := w.p.angleOf(place)
	x0, x1 := w.ends(w.op.Cutter.Radius())
	for i, c := range w.fewest(s, angle, lo, hi, top, bottom) {
		if i == 0 {
			w.pass(place, angle, "%s%s", name, w.p.PlaceName(place))
			w.over(x0, c.y, c.z)
		} else {
			if math.Abs(w.at.X-x1) < geom.Eps {
				x0, x1 = x1, x0
			}
			w.rapid(x0, c.y, c.z)
		}
		w.sprung(c.area, c.deep)
		w.note(fmt.Sprintf("%s row %d", name, c.row))
		w.through(x1, c.y, c.z, c.off)
	}
}

// layer is one cut along X of a flat-bottomed pocket: the number of its row, the
// cutter's axis, how low it goes, how far off that path the metal lies, how
// much of it there is, mm^2, and how deep the cut is.
type layer struct {
	row       int
	y, z, off float64
	area      float64
	deep      float64
}

// layers takes a pocket out of the metal row by row, each in steps of the cutter's
// depth, or of its flutes where it takes little sideways; cuts in air are left
// out.
func (w *writer) layers(s *stock, angle float64, ys []float64, top, bottom float64) (out []layer) {
	c := w.op.Cutter
	r := c.Radius()
	for i, y := range ys {
		box := s.extent(angle, y-r, y+r, bottom)
		if empty(box) {
			continue
		}
		width := box.Hi.Y - box.Lo.Y
		from := min(top, box.Hi.Z)
		for _, z := range levels(from, bottom, w.strong(min(stepFor(c, width), max(from-bottom, 0)), width)) {
			if area := s.take(angle, y-r, y+r, z); area >= leastCut {
				out = append(out, layer{i + 1, y, z, offPath(box, y), area, from - z})
			}
			from = z
		}
	}
	return out
}

// fewest is layers with rows that lie even, or with rows that lie as far apart as
// they may and a narrow last one, which can be deep: whichever takes fewer cuts.
func (w *writer) fewest(s *stock, angle, lo, hi, top, bottom float64) []layer {
	r := w.op.Cutter.Radius()
	best := rows(lo, hi, r)
	if other := packedRows(lo, hi, r); len(w.layers(s.copy(), angle, other, top, bottom)) < len(w.layers(s.copy(), angle, best, top, bottom)) {
		best = other
	}
	return w.layers(s, angle, best, top, bottom)
}

// stepFor is how deep a cutter may go at once when it takes width sideways.
func stepFor(c *profiles.Cutter, width float64) float64 {
	if light(c, width) {
		return max(c.MaxDepth, c.FluteLength*fluteShare)
	}
	return c.MaxDepth
}

// PlaceName tells places apart where there are several: ", tooth 2".
func (p *Plan) PlaceName(place float64) string {
	if len(p.Job.Gear.Places) == 1 {
		return ""
	}
	for i, q := range p.Job.Gear.Places {
		if q == place {
			return fmt.Sprintf(", tooth %d", i+1)
		}
	}
	return ""
}

// walls finishes both walls of the slot, as deep at once as the cutter bears.
func (w *writer) walls(s *stock, place float64) {
	j, d, angle := w.p.Job, w.p.Sizes, w.p.angleOf(place)
	r := w.op.Cutter.Radius()
	lo, hi := w.ends(r)
	for _, side := range []int{1, -1} {
		y := float64(side) * (d.MouthHalf - r)
		if s.take(angle, y-r, y+r, d.Floor) < leastCut {
			continue
		}
		w.pass(place, angle, "wall %s%s", SideName(side), w.p.PlaceName(place))
		from, to := along(lo, hi, side, j.Facets.Climb)
		// As many strips as the cutter is wide enough for, the wall last.
		strips := math.Ceil(j.Slot.FinishCut / (2 * r * rowShare))
		wide := j.Slot.FinishCut / strips
		for k := strips - 1; k >= 0; k-- {
			at := y - float64(side)*k*wide
			top := d.Seat
			for _, z := range levels(top, d.Floor, w.strong(min(stepFor(w.op.Cutter, wide), top-d.Floor), wide)) {
				w.sprung(wide*(top-z), top-z)
				top = z
				w.over(from, at, z)
				w.through(to, at, z, w.beside(wide))
			}
		}
	}
}

// SideName is how programs and the sheet call the two sides, as seen from +X
// looking toward -X.
func SideName(side int) string {
	if side > 0 {
		return "right"
	}
	return "left"
}

// dovetail cuts one flank of the slot in passes of the radial cut, entering
// and leaving beyond the faces at full depth.
func (w *writer) dovetail(place float64, side int, c *profiles.Cutter) {
	d, r := w.p.Sizes, c.Radius()
	w.pass(place, w.p.angleOf(place), "dovetail %s%s", SideName(side), w.p.PlaceName(place))
	w.flankCuts(side, side, flank{
		from: max(0, d.MouthHalf-r), to: d.FloorHalf - r, z: d.Floor, deep: d.Seat - d.Floor, first: max(0, r-d.MouthHalf), finish: true,
	})
}

// lockHoles drills the rim from the slot's floor and stops for the tap.
func (w *writer) lockHoles(around scene) {
	j, d := w.p.Job, w.p.Sizes
	c := w.p.Drill(j.Lock.RimDrill)
	r := c.Radius()
	if r > d.MouthHalf+geom.Eps {
		w.p.bad.add("lock", "a drill of %s does not pass slot.mouth %s; take a thinner lock or a wider mouth", w.p.len(c.Diameter), w.p.len(2*d.MouthHalf))
		return
	}
	if d.RimInner < 2*r {
		w.p.bad.add("lock", "a hole of %s cannot come out in a bore or rim of %s; gear.rim_inner must be %s at least, or lock.kind \"none\"",
			w.p.len(c.Diameter), w.p.len(2*d.RimInner), w.p.len(4*r))
		return
	}
	hole := w.p.LockHole(c)
	bottom := hole.Tip
	if need := around.needStickOut(c, 0, bottom); need > c.StickOut {
		w.p.bad.add("cutter."+c.Name, "stick_out %s is too short to drill through the rim, it needs at least %s", w.p.len(c.StickOut), w.p.len(need))
	}
	if c.Shank > c.Diameter && c.FluteLength < d.Floor-bottom {
		w.p.bad.add("cutter."+c.Name, "flute_length %s does not reach through the rim, %s, before its shank", w.p.len(c.FluteLength), w.p.len(d.Floor-bottom))
	}
	w.tool("lock holes", c, j.Gear.Material, profiles.DeepSlot)
	for _, place := range j.Gear.Places {
		for i, x := range j.Lock.Positions {
			w.pass(place, w.p.angleOf(place), "lock hole %d%s", i+1, w.p.PlaceName(place))
			w.hole(x, d.Floor, bottom)
		}
	}
	switch {
	case hole.Blind:
		rest := fmt.Sprintf("The lock holes end %s over the bore, where the arbor is. With the gear off its arbor drill them through by hand", w.p.len(hole.Tip-j.Gear.Bore/2))
		if j.Lock.Kind == job.Screw {
			rest += fmt.Sprintf(", then tap %s", j.Lock.Thread)
		}
		w.stop(rest + ". Clean out the chips.")
	case j.Lock.Kind == job.Screw:
		w.stop(fmt.Sprintf("Tap %s by hand, from the bore side if a hand gets there. Clean out the chips.", j.Lock.Thread))
	}
}

// hole drills at x on the centre line from top to bottom.
func (w *writer) hole(x, top, bottom float64) {
	c := w.op.Cutter
	peck := 0.0
	if top-bottom > pecksFrom*c.MaxDepth {
		peck = c.MaxDepth
	}
	w.over(x, 0, top+approach)
	w.add(Move{Kind: Hole, To: Pos{x, 0, top + approach}, Bottom: bottom, Peck: peck, Feed: w.op.Plunge})
}

// warnOfRackTip speaks when the root is made by a sharper rack than the
// proportions name.
func (p *planner) warnOfRackTip() {
	g := &p.Job.Gear
	if tip := g.RackTip(); g.Form == nil && tip < g.Rack.Fillet-1e-9 {
		p.Warnings = append(p.Warnings, fmt.Sprintf("the basic rack's tip has no room for its rounding of %.3g modules at this pressure angle: the root is planned with %.3g, a full round, and stays so much narrower at its corners",
			g.Rack.Fillet, tip))
	}
}

// stubHead says how high the stub may stand: the first cut goes no higher.
func (p *planner) stubHead() string {
	return fmt.Sprintf("The stub may stand at most Z%s: bring a still cutter over its highest place. Higher: measure it, give slot.stub and make again.", p.len(p.Sizes.StubTop-p.Shift))
}
