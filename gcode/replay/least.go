package replay

import (
	"math"
	"strings"

	"cogmend/gcode"
	"cogmend/gcode/machine"
)

// Least is how short a program could be on its machine with its cutters and
// passes, in minutes, by what cannot be done without.
type Least struct {
	Changes float64 // tools changed, and waits for the spindle
	Turns   float64 // of the rotary axis
	Lifts   float64 // up from the metal where the gear is turned, a tool changed or a hand put in, and down to it again
	Metal   float64 // cuts: what the cutter may take off in a minute, and the way through the metal of each pass
	Again   float64 // cuts ordered once more, with the way back to them
}

// Minutes is all of it.
func (l Least) Minutes() float64 { return l.Changes + l.Turns + l.Lifts + l.Metal + l.Again }

// least follows how short a program could be. It counts the metal the program
// really removed, so a pass that removes nothing counts nothing.
type least struct {
	Least
	volume float64 // of this pass over what its cutter may remove, min
	way    float64 // longest single cut of this pass, min
	short  float64 // shortest, min
	cutZ   float64 // height of the tip at the last cut; NaN before one, and after the way up from it was counted
	high   float64 // greatest height since then
	again  bool    // the next cut is one once more
	fed    bool    // it has begun
}

// mark closes a pass at the comment of the next.
func (l *least) mark(comment string) {
	switch _, _, pass := gcode.ReadPass(comment); {
	case pass:
		l.close()
	case strings.HasPrefix(comment, gcode.OnceMore):
		l.again, l.fed = true, false
	}
}

// close counts a pass: its longest cut, and as many more of its shortest as
// the metal asks for.
func (l *least) close() {
	if l.way > 0 {
		const rounding = 1e-6
		more := math.Ceil(l.volume/l.way-rounding) - 1
		l.Metal += max(l.volume, l.way+max(0, more)*l.short)
	}
	l.volume, l.way, l.short, l.again = 0, 0, 0, false
}

// along is the time, in minutes, of a straight way at rapid.
func (s *Setup) along(way float64) float64 {
	switch {
	case !(way > 0) || !(s.Rapid > 0):
		return 0
	case s.Acceleration > 0:
		return ramped(way, s.Rapid/60, s.Acceleration) / 60
	}
	return way / s.Rapid
}

// lifted counts the way up from the last cut, for something that is done clear
// of the metal.
func (r *runner) lifted() {
	l := &r.least
	if !math.IsNaN(l.cutZ) && !math.IsNaN(r.z) {
		l.Lifts += r.setup.along(r.z - l.cutZ)
		l.cutZ, l.high = math.NaN(), r.z
	}
}

// leastMoved notes one motion that took t minutes.
func (r *runner) leastMoved(m *machine.Motion, t float64) {
	l := &r.least
	if m.Turns() {
		r.lifted()
		l.Turns += t
		return
	}
	if z := m.To.Z + r.setup.ZShift; math.IsNaN(l.cutZ) && !math.IsNaN(z) {
		l.high = max(l.high, z)
	}
	if !l.again {
		return
	}
	switch dx := math.Abs(m.To.X - m.From.X); {
	case m.Kind != machine.Rapid:
		l.fed = true
		if dx > r.length {
			t *= r.length / dx
		}
	case l.fed: // away from it
		l.again, l.fed = false, false
		return
	}
	l.Again += t
}

// leastCut notes one cutting motion.
func (r *runner) leastCut(m *machine.Motion) {
	b, t, l := &r.bite, r.tool, &r.least
	if b.area == 0 || !(m.Feed > 0) {
		return
	}
	z := m.To.Z + r.setup.ZShift
	if math.IsNaN(l.cutZ) {
		l.Lifts += r.setup.along(l.high - z)
	}
	l.cutZ, l.high = z, z
	dx, dy, dz := math.Abs(m.To.X-m.From.X), math.Abs(m.To.Y-m.From.Y), math.Abs(m.To.Z-m.From.Z)
	// The way through metal: along X the work's own length, across it the
	// width that was cut, and before either as far as the cutter is round where
	// it meets the metal; along Z the depth.
	way := min(dx, r.length+rounded(t.Diameter/2, b.area/b.depth))
	if dy > dx {
		way = min(dy, b.width+rounded(t.Diameter/2, b.xhi-b.xlo))
	}
	if dx == 0 && dy == 0 {
		way = min(dz, b.depth)
	}
	minutes := way / m.Feed
	l.way = max(l.way, minutes)
	if l.short == 0 || minutes < l.short {
		l.short = minutes
	}
	switch {
	case dy > dx:
		if t.MaxDepth > 0 { // its breadth lies along X
			l.volume += max(0, b.xhi-b.xlo) * b.depth / (t.Diameter * t.MaxDepth) * minutes
		}
	case t.MaxSide > 0:
		// Its sideways limit asks for every one of its cuts, however thin the
		// wedge that each takes.
		l.volume += minutes
	case t.MaxDepth > 0:
		l.volume += b.area / (t.Diameter * t.MaxDepth) * minutes
	}
}

// rounded is how far before its axis a cutter of radius r meets metal of the
// given width beside its path.
func rounded(r, width float64) float64 {
	if !(width < r) {
		return r
	}
	return math.Sqrt(max(0, r*r-(r-width)*(r-width)))
}
