package replay

import (
	"math"
	"strings"

	"cogmend/gcode/machine"
)

// least follows how short a program could be: what its cutters may take off in
// a minute, and the way along the work that each pass cannot do without. It
// counts the metal the program really removed, so a pass that removes nothing
// counts nothing.
type least struct {
	minutes float64 // of the passes before this one, turns and changes
	volume  float64 // of this pass over what its cutter may remove, min
	way     float64 // longest single cut of this pass, min
}

// passMark begins the comment that begins a pass.
const passMark = "Pass "

// mark closes a pass at the comment of the next.
func (l *least) mark(comment string) {
	if strings.HasPrefix(comment, passMark) {
		l.close()
	}
}

func (l *least) close() {
	l.minutes += max(l.volume, l.way)
	l.volume, l.way = 0, 0
}

// leastMinutes notes one cutting motion.
func (r *runner) leastMinutes(m *machine.Motion) {
	b, t := &r.bite, r.tool
	if b.area == 0 || !(m.Feed > 0) {
		return
	}
	dx, dy, dz := math.Abs(m.To.X-m.From.X), math.Abs(m.To.Y-m.From.Y), math.Abs(m.To.Z-m.From.Z)
	// The way through metal: along X the work's own length, across it the
	// width that was cut, along Z the depth.
	way := min(dx, r.length)
	if dy > dx {
		way = min(dy, b.width)
	}
	if dx == 0 && dy == 0 {
		way = min(dz, b.depth)
	}
	l := &r.least
	l.way = max(l.way, way/m.Feed)
	switch {
	case dy > dx:
	case t.MaxSide > 0:
		// Its sideways limit asks for every one of its cuts, however thin the
		// wedge that each takes.
		l.volume += way / m.Feed
	case t.MaxDepth > 0:
		l.volume += b.area * way / (t.Diameter * t.MaxDepth * m.Feed)
	}
}
