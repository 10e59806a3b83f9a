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

// breakThrough is how far the drill's full diameter goes beyond the rim, mm.
const breakThrough = 0.5

// pecksFrom is the depth, in the drill's greatest depths of cut, from which a
// hole is pecked.
const pecksFrom = 1.5

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
	if top := around.highest(-d.PocketHalf, d.PocketHalf); top > d.Seat+geom.Sliver {
		p.bad.add("insert.body: a seat %s wide would cut %s into the neighbours; insert.body + slot.seat_play may be %s at most",
			p.len(2*d.PocketHalf), p.len(top-d.Seat), p.len(2*p.widestSeat(around)))
	}
	if room := d.Seat * math.Tan(j.Gear.Pitch()/2); j.Gear.Adjacent() && d.PocketHalf > room {
		p.bad.add("insert.body: seats side by side overlap; insert.body + slot.seat_play may be %s at most", p.len(2*room))
	}
	if left := d.Floor - d.RimInner; left < 0 {
		p.bad.add("slot.depth: the slot's floor lies %s inside the rim: gear.rim_inner must be less than %s", p.len(-left), p.len(2*d.Floor))
	}
	inSlot := func(c *profiles.Cutter) string {
		for _, q := range metal.Parts(c) {
			if !q.Cuts && q.Z0 < d.Seat-d.Floor && max(q.R0, q.R1) > c.Radius()+geom.Eps {
				return fmt.Sprintf("flute_length %s does not reach down the slot, %s, before its %s", p.len(q.Z0), p.len(d.Seat-d.Floor), q.Name)
			}
		}
		return p.clears(around, d.Floor, d.MouthHalf, -d.MouthHalf)(c)
	}
	slotting := p.pick("slot.mouth", 2*(d.MouthHalf-j.Slot.FinishCut), j.Slot.Roughing, inSlot)
	seating := p.maybe(2*d.PocketHalf, p.clears(around, d.Seat, d.PocketHalf, -d.PocketHalf))
	if seating == nil {
		seating = slotting
	}
	dove := p.Dovetail
	if dove == nil {
		p.bad.add("slot: the job has no dovetail cutter")
	} else {
		p.dovetailFits(dove, around)
	}
	if p.bad.err() != nil {
		return nil
	}
	if rim, want := d.Floor-d.RimInner, estimate.FullBackup*j.Gear.WholeDepth(); rim < want {
		p.Warnings = append(p.Warnings, fmt.Sprintf("only %s of rim is left under the slot, less than %.1f whole depths (%s): run 'cogmend load' before you cut",
			p.len(rim), estimate.FullBackup, p.len(want)))
	}
	safe := max(setup.Top, d.TipTop) + j.Machine.SafeHeight
	w := p.start(10, SlotProgram, "clear the stub, mill the seat, cut the slot and its dovetail", GearSetup, safe)
	w.gearHead()
	w.prog.Clamp = append(w.prog.Clamp, "Look for cracks in rim, web and root first: if there is any, do not go on.")
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

// widestSeat returns half the widest seat the neighbours leave room for.
func (p *planner) widestSeat(s scene) float64 {
	lo, hi := 0.0, p.Sizes.PocketHalf
	for range 40 {
		mid := (lo + hi) / 2
		if s.highest(-mid, mid) > p.Sizes.Seat {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// dovetailFits refuses a dovetail cutter that cannot cut the slot.
func (p *planner) dovetailFits(c *profiles.Cutter, around scene) {
	j, d := p.Job, p.Sizes
	r, deep := c.Radius(), d.Seat-d.Floor
	if math.Abs(c.FlankAngle-j.Slot.HalfAngle) > geom.Radians(0.01) {
		p.bad.add("cutter.%s: its flank stands %.2f deg from the axis, the slot's %.2f deg (half of slot.included_angle)",
			c.Name, geom.Degrees(c.FlankAngle), geom.Degrees(j.Slot.HalfAngle))
		return
	}
	if c.FlankHeight < deep-geom.Eps {
		p.bad.add("cutter.%s: flank_height %s is less than the slot's depth %s", c.Name, p.len(c.FlankHeight), p.len(deep))
	}
	if r > d.FloorHalf+geom.Eps {
		p.bad.add("cutter.%s: diameter %s is wider than the slot's floor %s", c.Name, p.len(c.Diameter), p.len(2*d.FloorHalf))
		return
	}
	if r > d.MouthHalf+j.Slot.RadialCut {
		p.bad.add("cutter.%s: diameter %s would cut both walls at once; with slot.radial_cut %s the slot takes %s at most",
			c.Name, p.len(c.Diameter), p.len(j.Slot.RadialCut), p.len(2*(d.MouthHalf+j.Slot.RadialCut)))
	}
	y := d.FloorHalf - r
	for _, q := range metal.Parts(c) {
		if q.Z0 > deep-geom.Eps {
			break
		}
		// Each part between floor and seat must stay inside the wall, which
		// leans in as it rises.
		top := min(q.Z1, deep)
		at := q.R0 + (q.R1-q.R0)*(top-q.Z0)/(q.Z1-q.Z0)
		for _, e := range [][2]float64{{q.Z0, q.R0}, {top, at}} {
			if wall := d.FloorHalf - e[0]*d.Slope; y+e[1] > wall+1e-6 {
				p.bad.add("cutter.%s: its %s, %s thick, fouls the slot's mouth; it may be %s at most", c.Name, q.Name, p.len(2*e[1]), p.len(2*(wall-y)))
			}
		}
	}
	need := 0.0
	for _, y := range []float64{y, -y} {
		if part := around.fouls(c, y, d.Floor, 0); part != "" && part != "holder" {
			p.bad.add("cutter.%s: its %s would touch a neighbouring tooth", c.Name, part)
		}
		need = max(need, around.needStickOut(c, y, d.Floor))
	}
	if need > c.StickOut {
		p.bad.add("cutter.%s: stick_out %s is too short, the slot's floor needs at least %s", c.Name, p.len(c.StickOut), p.len(need))
	}
}

// ends returns the X of the ends of passes along the gear, a radius and the
// approach outside its faces.
func (w *path) ends(r float64) (lo, hi float64) {
	lo, hi = -w.long, w.p.Job.Gear.Face+w.long
	if w.prog.Setup == InsertSetup {
		hi = w.p.Sizes.Length
	}
	return lo - r - approach, hi + r + approach
}

// clear mills a flat-bottomed pocket along X from top down to bottom, y from
// lo to hi exact, to and fro, leaving out what would cut air: row by row, each
// in steps of the cutter's depth, or of its flutes where it takes little
// sideways.
func (w *path) clear(s *stock, place float64, name string, lo, hi, top, bottom float64) {
	c, angle := w.op.Cutter, w.p.angleOf(place)
	r := c.Radius()
	x0, x1 := w.ends(r)
	first := true
	for i, y := range rows(lo, hi, r) {
		box := s.extent(angle, y-r, y+r, bottom)
		if empty(box) {
			continue
		}
		for _, z := range levels(min(top, box.Hi.Z), bottom, stepFor(c, box.Hi.Y-box.Lo.Y)) {
			if s.take(angle, y-r, y+r, z) < worth {
				continue
			}
			if first {
				w.pass(place, angle, "%s%s", name, w.p.PlaceName(place))
				first = false
				w.over(x0, y, z)
			} else {
				if math.Abs(w.at.X-x1) < geom.Eps {
					x0, x1 = x1, x0
				}
				w.rapid(x0, y, z)
			}
			w.note(fmt.Sprintf("%s row %d", name, i+1))
			w.through(x1, y, z)
		}
	}
}

// stepFor is how deep a cutter may go at once when it takes width sideways.
func stepFor(c *profiles.Cutter, width float64) float64 {
	if width < narrow*c.Diameter {
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
func (w *path) walls(s *stock, place float64) {
	j, d, angle := w.p.Job, w.p.Sizes, w.p.angleOf(place)
	r := w.op.Cutter.Radius()
	lo, hi := w.ends(r)
	for _, side := range []int{1, -1} {
		y := float64(side) * (d.MouthHalf - r)
		if s.take(angle, y-r, y+r, d.Floor) < worth {
			continue
		}
		w.pass(place, angle, "wall %s%s", SideName(side), w.p.PlaceName(place))
		from, to := along(lo, hi, side, j.Facets.Climb)
		for _, z := range levels(d.Seat, d.Floor, stepFor(w.op.Cutter, j.Slot.FinishCut)) {
			w.over(from, y, z)
			w.through(to, y, z)
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
func (w *path) dovetail(place float64, side int, c *profiles.Cutter) {
	d, r := w.p.Sizes, c.Radius()
	w.pass(place, w.p.angleOf(place), "dovetail %s%s", SideName(side), w.p.PlaceName(place))
	w.flankCuts(side, side, max(0, d.MouthHalf-r), d.FloorHalf-r, d.Floor)
}

// lockHoles drills the rim from the slot's floor and stops for the tap.
func (w *path) lockHoles(around scene) {
	j, d := w.p.Job, w.p.Sizes
	c := w.p.Drill(j.Lock.RimDrill)
	if c == nil {
		w.p.bad.add("lock: the job has no drill of %s", w.p.len(j.Lock.TapDrill))
		return
	}
	r := c.Radius()
	if r > d.MouthHalf+geom.Eps {
		w.p.bad.add("lock: a drill of %s does not pass slot.mouth %s; take a thinner lock or a wider mouth", w.p.len(c.Diameter), w.p.len(2*d.MouthHalf))
		return
	}
	if d.RimInner < 2*r {
		w.p.bad.add("lock: a hole of %s cannot come out in a bore or rim of %s; gear.rim_inner must be %s at least, or lock.kind \"none\"",
			w.p.len(c.Diameter), w.p.len(2*d.RimInner), w.p.len(4*r))
		return
	}
	// The edge of the hole comes out last.
	bottom := math.Sqrt(d.RimInner*d.RimInner-r*r) - breakThrough - r/math.Tan(c.PointAngle/2)
	if need := around.needStickOut(c, 0, bottom); need > c.StickOut {
		w.p.bad.add("cutter.%s: stick_out %s is too short to drill through the rim, it needs at least %s", c.Name, w.p.len(c.StickOut), w.p.len(need))
	}
	if c.Shank > c.Diameter && c.FluteLength < d.Floor-bottom {
		w.p.bad.add("cutter.%s: flute_length %s does not reach through the rim, %s, before its shank", c.Name, w.p.len(c.FluteLength), w.p.len(d.Floor-bottom))
	}
	w.tool("lock holes", c, j.Gear.Material, profiles.DeepSlot)
	for _, place := range j.Gear.Places {
		for i, x := range j.Lock.Positions {
			w.pass(place, w.p.angleOf(place), "lock hole %d%s", i+1, w.p.PlaceName(place))
			w.hole(x, d.Floor, bottom)
		}
	}
	if j.Lock.Kind == job.Screw {
		w.stop(fmt.Sprintf("Tap %s by hand, from the bore side if a hand gets there. Clean out the chips.", j.Lock.Thread))
	}
}

// hole drills at x on the centre line from top to bottom.
func (w *path) hole(x, top, bottom float64) {
	c := w.op.Cutter
	peck := 0.0
	if top-bottom > pecksFrom*c.MaxDepth {
		peck = c.MaxDepth
	}
	w.over(x, 0, top+approach)
	w.add(Move{Kind: Hole, To: Pos{x, 0, top + approach}, Bottom: bottom, Peck: peck, Feed: w.op.Plunge})
}
