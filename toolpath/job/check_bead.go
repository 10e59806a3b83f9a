package job

import (
	"fmt"
	"math"
	"strings"
)

// jointTables are the tables of a tooth that is let in.
var jointTables = []string{"slot", "insert", "fit", "lock"}

// gives returns the first key of a table that is given, or the table itself; ""
// when neither is.
func (d *draft) gives(table string) string {
	for _, k := range keysOf(table) {
		if d.has(k.Path()) {
			return k.Path()
		}
	}
	if d.has(table) {
		return table
	}
	return ""
}

// noBead says that there is none where the tooth is let in, and refuses one.
func (d *draft) noBead() bool {
	key := d.gives(beadTable)
	if key != "" {
		d.contradict(`the tooth is let in, so there is no bead; allowed with repair.by = "build-up"`, key)
	}
	return key == ""
}

// checkBead checks a tooth that has been built up: nothing of what is let in may be
// given, and the bead must be measured and leave room beside it.
func (d *draft) checkBead() {
	d.job.Slot, d.job.Insert, d.job.Fit, d.job.Lock = Slot{}, Insert{}, Fit{}, Lock{}
	for _, table := range jointTables {
		if key := d.gives(table); key != "" {
			d.contradict(fmt.Sprintf("a tooth that is built up (repair.by) has no %s; take [%s] out", table, table), key)
			for _, k := range keysOf(table) {
				d.bad[k.Path()] = true
			}
		}
	}
	if d.partial {
		return // nothing is known of the bead
	}
	for _, name := range []string{"beside", "top", "ends"} {
		if key := beadTable + "." + name; !d.has(key) && d.ok(key) {
			at, ok := d.given[beadTable]
			if !ok {
				at = d.given["repair.by"]
			}
			d.fail(key, at, "this key is missing; a bead is measured: "+KeyAt(key).Meaning)
		}
	}
	if !d.gearDone || !d.ok("bead.beside", "bead.top", "bead.stub", "gear.missing", "gear.missing_at") {
		return
	}
	g, b := &d.job.Gear, &d.job.Bead
	if most := g.WholeDepth(); b.Stub > most {
		d.contradict(fmt.Sprintf("%s is more than the whole tooth of gear.module; %s", d.mm(b.Stub), d.allowed(0, most)), "bead.stub")
	}
	most := math.Inf(1)
	for _, seen := range []float64{g.HalfAngle(g.TipRadius()), g.Mirrored().HalfAngle(g.TipRadius())} {
		most = math.Min(most, g.TipRadius()*(math.Cos(seen)*math.Tan(g.Pitch()/2)-math.Sin(seen)))
	}
	if most = downTo(most, 0.01); b.Beside > most {
		d.contradict(fmt.Sprintf("%s beside the tip lies beyond the middle of the space, where the neighbour's clearance begins: dress the bead down first; %s", d.mm(b.Beside), d.allowed(KeyAt("bead.beside").Low, most)), "bead.beside")
	}
	if most := 2 * g.Module; b.Top > most {
		d.contradict(fmt.Sprintf("%s over the tip is more than two modules: dress the bead down first; %s", d.mm(b.Top), d.allowed(KeyAt("bead.top").Low, most)), "bead.top")
	}
}

// builtUpHasNone refuses, in a job whose tooth is built up, readings of what is let
// in.
func (d *draft) builtUpHasNone() {
	for _, k := range asCutKeys {
		if path := k.Path(); d.has(path) && (strings.HasPrefix(k.Name, "slot.") || strings.HasPrefix(k.Name, "insert.") || k.Name == "shim") {
			d.contradict("a tooth that is built up (repair.by) has neither slot nor insert; take this key out", path)
		}
	}
}
