package job

import (
	"fmt"
	"math"
	"strings"

	"cogmend/profiles"
)

// Rules of the lock, mm.
const (
	sameDrill  = 0.05 // a drill of the hole's diameter within this: half the step of metric drills
	pinDefault = 3.0
	wallBeside = 1.0 // least metal between a hole and the gear's face or the next hole
)

// checkLock fills in the lock and checks its holes.
func (d *draft) checkLock() {
	l := &d.job.Lock
	if !d.has("lock.kind") {
		switch {
		case d.has("lock.thread"):
			l.Kind = Screw
		case d.has("lock.diameter"):
			l.Kind = Pin
		}
	}
	if !d.ok("lock.kind", "lock.thread", "lock.diameter") {
		return
	}
	switch {
	case d.has("lock.thread") && l.Kind != Screw:
		d.contradict(`only a screw has a thread; allowed with lock.kind = "screw"`, "lock.thread", "lock.kind")
		return
	case d.has("lock.diameter") && l.Kind != Pin:
		d.contradict(`this is the diameter of a pin; allowed with lock.kind = "pin"`, "lock.diameter", "lock.kind")
		return
	}
	if l.Kind == NoLock {
		for _, k := range keysOf("lock") {
			if path := k.Path(); d.has(path) && path != "lock.kind" && path != "lock.draw" && d.ok(path) {
				d.contradict(`there is no lock; lock.kind must be "screw" or "pin"`, path)
			}
		}
		return
	}
	if d.lockSizes() {
		d.lockHoles()
		d.lockDrills()
	}
}

// checkNeck holds what the trial cuts leave of the insert's dovetail to what must
// stay of it.
func (d *draft) checkNeck() {
	if d.slotDone && d.ok("fit.trial_first", "fit.trial_step", "fit.trial_count", "lock.point", "lock.diameter") {
		d.neckStays(d.job, "fit.trial_first", "fit.trial_step", "fit.trial_count")
	}
}

// lockSizes settles the diameters.
func (d *draft) lockSizes() bool {
	l := &d.job.Lock
	unset := func(key string, to *float64, v float64) {
		if !d.has("lock." + key) {
			*to = v
		}
	}
	if l.Kind == Pin {
		l.Major = d.pin
		unset("diameter", &l.Major, pinDefault)
		unset("tap_drill", &l.TapDrill, l.Major)
		unset("point", &l.Point, l.Major)
	} else {
		if l.Thread == "" {
			l.Thread = "M5"
		}
		t, ok := profiles.ThreadByName(l.Thread)
		if !ok {
			d.contradict(fmt.Sprintf("%s is no thread that is known; allowed %s, or metric with pitch, e.g. \"M8x1\"", quote(l.Thread), strings.Join(profiles.ThreadNames(), ", ")), "lock.thread")
			return false
		}
		l.Thread, l.Major = t.Name, t.Major
		unset("tap_drill", &l.TapDrill, t.TapDrill)
		if t.Point != nil {
			unset("point", &l.Point, t.Point.Diameter)
		} else {
			unset("point", &l.Point, downTo(0.7*t.Major, 0.1))
		}
		if d.ok("lock.tap_drill") && !(l.TapDrill < l.Major) {
			d.contradict(fmt.Sprintf("%s leaves no thread on lock.thread %s; allowed less than %s", d.mm(l.TapDrill), l.Thread, d.mm(l.Major)), "lock.tap_drill", "lock.thread")
			return false
		}
	}
	return d.ok("lock.tap_drill", "lock.point", "lock.point_depth", "lock.positions", "lock.draw")
}

// lockHoles checks that the holes lie in metal.
func (d *draft) lockHoles() {
	l, g, s := &d.job.Lock, &d.job.Gear, &d.job.Slot
	if d.ok("gear", "gear.face") {
		if !d.has("lock.positions") {
			l.Positions = []float64{g.Face / 2}
		}
		low := l.Major/2 + wallBeside
		for i, x := range l.Positions {
			if !(x >= low && x <= g.Face-low) {
				d.contradict(fmt.Sprintf("%s is too near the ends of gear.face %s; %s", d.mm(x), d.mm(g.Face), d.allowed(low, g.Face-low)), "lock.positions", "gear.face")
				break
			}
			if i > 0 && !(x-l.Positions[i-1] >= l.Major+wallBeside) {
				d.contradict(fmt.Sprintf("%s and %s (lock.thread, lock.diameter): positions must rise by %s at least", d.mm(l.Positions[i-1]), d.mm(x), d.mm(l.Major+wallBeside)), "lock.positions")
				break
			}
		}
	}
	if !d.slotDone {
		return
	}
	floor := profiles.DovetailSize{Mouth: s.Mouth, Depth: s.Depth, HalfAngle: s.HalfAngle}.Floor()
	if l.Major > floor {
		d.contradict(fmt.Sprintf("a lock of %s is wider than the slot's floor, %s (slot.mouth, slot.depth)", d.mm(l.Major), d.mm(floor)), "lock.thread", "lock.diameter", "lock.kind")
	}
	if most := floor - wallBeside; l.Point > most {
		d.contradict(fmt.Sprintf("%s leaves too little of the dovetail (slot.mouth, slot.depth); %s", d.mm(l.Point), d.allowed(0.5, most)), "lock.point", "lock.diameter", "lock.thread", "lock.kind")
	}
	tall := g.TipRadius() - d.room.seat + s.Depth
	if !d.has("lock.point_depth") {
		l.PointDepth = downTo(math.Min(5, tall/2), 0.1)
	}
	// The drill's point goes deeper than the hole by 0.3 of its diameter.
	if most := tall - 0.3*l.Point - wallBeside; l.PointDepth > most {
		d.contradict(fmt.Sprintf("%s goes through the insert's tip (gear.module, slot.depth); %s", d.mm(l.PointDepth), d.allowed(0.5, most)), "lock.point_depth")
	}
}

// lockDrills finds the drills for both holes, the nearest in diameter where the
// job names none. A hole is as wide as its drill.
func (d *draft) lockDrills() {
	l := &d.job.Lock
	if !d.cuttersDone {
		return
	}
	drill := func(key string, name *string, sizeKey string, size *float64) {
		if *name != "" {
			c := d.job.Cutter(*name)
			switch {
			case c == nil || c.Kind != profiles.Drill: // told already
			case math.Abs(c.Diameter-*size) > sameDrill:
				d.contradict(fmt.Sprintf("cutter.%s.diameter %s is not %s %s", *name, d.mm(c.Diameter), sizeKey, d.mm(*size)), key)
			default:
				*size = c.Diameter
			}
			return
		}
		var best *profiles.Cutter
		off := sameDrill + 1e-9
		for i := range d.job.Cutters {
			c := &d.job.Cutters[i]
			if by := math.Abs(c.Diameter - *size); c.Kind == profiles.Drill && by < off {
				best, off = c, by
			}
		}
		if best == nil {
			d.contradict(fmt.Sprintf("there is no drill of %s; add a table [cutter.NAME] with kind = \"drill\"", d.mm(*size)), sizeKey, "lock.thread", "lock.diameter", "lock.kind")
			return
		}
		*name, *size = best.Name, best.Diameter
	}
	same := l.Point == l.TapDrill && l.PointDrill == l.RimDrill
	drill("lock.rim_drill", &l.RimDrill, "lock.tap_drill", &l.TapDrill)
	if same {
		l.Point, l.PointDrill = l.TapDrill, l.RimDrill
	} else {
		drill("lock.point_drill", &l.PointDrill, "lock.point", &l.Point)
	}
}
