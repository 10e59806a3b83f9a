package replay

import (
	"math"
	"strings"

	"cogmend/gcode"
	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// engaged is what feed motions have taken at one station while the cutter
// advanced one way: a load does not shrink by being written as many small steps.
type engaged struct {
	stretch int // of the advance it belongs to
	taken
}

// advance is a cutter's way through metal, in however many motions: it begins
// anew where the cutter turns aside, or starts from another place.
type advance struct {
	number   int
	from     machine.Position // where it began
	end      machine.Position // of its last motion
	xlo, xhi float64          // stations it cut at
	wall     [2]bool          // the finished part stands at its side toward -Y, toward +Y
	beside   [2]bool          // it stands not far from that side
	angle    float64          // of the gear, rad
	line     int              // of its last motion
}

// aside is the least length of a motion, mm, that may begin a new advance where
// the one before ended, by turning more than an eighth of a circle from it.
const aside = 0.2

// advances begins a new advance where the motion is not part of the last.
func (r *runner) advances(m *machine.Motion) {
	a := &r.advance
	going, goes := between(a.from, a.end), between(m.From, m.To)
	length := norm(goes)
	turned := dot(going, goes) < math.Sqrt2/2*norm(going)*length
	if a.number == 0 || norm(between(a.end, m.From)) > r.tool.Diameter/2 || turned && length > aside {
		r.newAdvance(m.From)
	}
	a.end, a.line = m.To, m.Line
	if w := &r.again; w.line > 0 && r.alongside(w) {
		w.line = 0
	}
}

// alongside says that the advance goes along the whole of one that cut before: as
// far as its axis went, and its metal.
func (r *runner) alongside(w *advance) bool {
	a := &r.advance
	if max(a.from.Z, a.end.Z) > w.end.Z+sameWay || math.Abs(a.angle-w.angle) > sameTurn {
		return false
	}
	over := func(from, to, low, high float64) bool {
		return min(from, to) < low+sameWay && max(from, to) > high-sameWay
	}
	if math.Abs(w.end.Y-w.from.Y) > math.Abs(w.end.X-w.from.X) { // across the work
		return max(math.Abs(a.from.X-w.end.X), math.Abs(a.end.X-w.end.X)) < sameWay && over(a.from.Y, a.end.Y, min(w.from.Y, w.end.Y), max(w.from.Y, w.end.Y))
	}
	return max(math.Abs(a.from.Y-w.end.Y), math.Abs(a.end.Y-w.end.Y)) < sameWay &&
		over(a.from.X, a.end.X, max(w.xlo, min(w.from.X, w.end.X)), min(w.xhi, max(w.from.X, w.end.X)))
}

// takenAgain notes what is to be cut again, and finds what was to be and was not.
func (r *runner) takenAgain(line int, comment string) {
	more := strings.HasPrefix(comment, gcode.OnceMore)
	_, _, pass := gcode.ReadPass(comment)
	if !more && comment != "" && !pass || r.places != nil {
		return
	}
	if w := &r.again; w.line > 0 {
		r.find(MetalLeft, w.line, 0, "again", "the program says that the cut along Y %.4f is taken once more, and does not take it: what the cutter sprang away from stays", w.end.Y)
	}
	r.again = advance{}
	switch {
	case !more:
		r.cutLast = advance{} // where a pass meets no metal, nothing is to be taken again
	case r.cutLast.number > 0:
		r.again = r.cutLast
		r.again.line = line
	}
}

func (r *runner) newAdvance(from machine.Position) {
	r.closeAdvance()
	a := &r.advance
	*a = advance{number: a.number + 1, from: from, end: from, xlo: math.Inf(1), xhi: math.Inf(-1), angle: r.angle}
}

// wrongWay is a finishing cut along X that went the other way than the job asks.
type wrongWay struct {
	advance
	tool int
}

// sameWay is how near two cuts along one wall stand, mm, and rad of the gear.
const (
	sameWay  = 0.001
	sameTurn = 1e-6
)

// closeAdvance holds a cut along X that has the finished part on one of its sides
// to the way the job asks. One that goes the other way is forgiven when another
// follows it along the same wall, as deep or deeper, the way the job asks.
func (r *runner) closeAdvance() {
	a := &r.advance
	asked := r.setup.Cut
	if asked == AnyCut || a.number == 0 || r.places != nil {
		return
	}
	if math.Abs(a.end.Y-a.from.Y) > sameWay || math.Abs(a.end.Z-a.from.Z) > sameWay {
		return
	}
	good, bad := 1, 0 // sides: going toward +X the left is toward +Y
	if (a.end.X < a.from.X) != (asked == Climb) {
		good, bad = bad, good
	}
	if a.wall[bad] && !a.beside[good] {
		r.wrong = append(r.wrong, wrongWay{*a, r.tool.Number})
		return
	}
	keep := r.wrong[:0]
	for _, w := range r.wrong {
		if back := (a.end.X-a.from.X)*(w.end.X-w.from.X) < 0; !back || !r.alongside(&w.advance) {
			keep = append(keep, w)
		}
	}
	r.wrong = keep
}

// ways tells of the cuts that went the wrong way and stayed the last.
func (r *runner) ways() {
	r.closeAdvance()
	for _, w := range r.wrong {
		if r.setup.Cut == Climb {
			r.find(WrongWay, w.line, 0, "", "tool %d takes its last cut along Y %.4f as a conventional cut where the job asks for a climb cut (facets.cut): it rubs before it cuts, and is pushed away from the flank", w.tool, w.end.Y)
		} else {
			r.find(WrongWay, w.line, 0, "", "tool %d takes its last cut along Y %.4f as a climb cut where the job asks for a conventional one (facets.cut): the play of the screws lets it be drawn into the flank", w.tool, w.end.Y)
		}
	}
}

// bitten notes what the motion has taken at each of the stations.
func (r *runner) bitten(from, to int) {
	b, a := &r.bite, &r.advance
	for k := from; k < to; k++ {
		s := &r.live[k]
		g := &r.groups[s.group]
		if g.cut != r.round {
			continue
		}
		s.Section = g.section
		b.xlo, b.xhi = min(b.xlo, s.X-s.Half), max(b.xhi, s.X+s.Half)
		b.area = max(b.area, g.got.area)
		b.width = max(b.width, g.got.box.Hi.Y-g.got.box.Lo.Y)
		b.depth = max(b.depth, g.got.box.Hi.Z-g.got.box.Lo.Z)
		e := &r.engaged[k]
		if e.stretch != a.number {
			*e = engaged{stretch: a.number, taken: taken{box: geom.EmptyBox()}}
		}
		e.area += g.got.area
		e.box = e.box.Union(g.got.box)
		b.load.area = max(b.load.area, e.area)
		b.load.width = max(b.load.width, e.box.Hi.Y-e.box.Lo.Y)
		b.load.depth = max(b.load.depth, e.box.Hi.Z-e.box.Lo.Z)
	}
	a.xlo, a.xhi = min(a.xlo, b.xlo), max(a.xhi, b.xhi)
	if b.area > 0 {
		r.cutLast = *a
	}
}

// atWall is how near to a finished surface the side of a cutter cuts it, mm; with
// one on its other side not farther than nearWall it cuts neither alone. What it cuts
// with its corner counts for neither.
const (
	atWall   = 0.005
	nearWall = 0.1
)

// walls notes on which sides of the cutter's way along X the finished part stands
// at its side, where the whole of its width is cut.
func (r *runner) walls(g int, shape []geom.Vec) {
	if r.setup.Cut == AnyCut || r.groups[g].cut != r.round {
		return
	}
	b := geom.Bounds(shape)
	if b.Hi.Y-b.Lo.Y < r.tool.Diameter-atWall {
		return
	}
	upright := r.toGear.Inverse()
	for i := range r.groups[g].section.Keep {
		s := &r.groups[g].section.Keep[i]
		if s.Role != Target {
			continue
		}
		r.outline = r.outline[:0]
		for _, v := range s.Outline {
			r.outline = append(r.outline, upright.Apply(v))
		}
		r.work += 5 * len(s.Outline) // turned once, and looked at twice on either side
		for side, y := range [2]float64{b.Lo.Y, b.Hi.Y} {
			a := &r.advance
			a.wall[side] = a.wall[side] || besideWall(r.outline, y, b.Lo.Z+nearWall, b.Hi.Z, atWall+r.setup.Rounding)
			a.beside[side] = a.beside[side] || besideWall(r.outline, y, b.Lo.Z-nearWall, b.Hi.Z, nearWall)
		}
	}
}

// besideWall says that an outline comes as near as this to the upright line at y,
// from z0 up to z1, and runs along it there: a corner of the part that the line
// only passes is no wall.
func besideWall(outline []geom.Vec, y, z0, z1, near float64) bool {
	for i, v := range outline {
		if math.Abs(v.Y-y) >= near || v.Z <= z0 || v.Z >= z1 {
			continue
		}
		before, after := outline[max(i-1, 0)], outline[min(i+1, len(outline)-1)]
		if i > 0 && math.Abs(before.Y-y) < near || i < len(outline)-1 && math.Abs(after.Y-y) < near {
			return true
		}
		in, out := v.Sub(before), after.Sub(v)
		if in.Dot(out) > math.Cos(sharp)*in.Norm()*out.Norm() {
			return true
		}
	}
	return false
}

// sharp is the turn of an outline, rad, from which on it is a corner: flanks and
// roots turn by less from point to point.
const sharp = math.Pi / 6

func between(a, b machine.Position) [3]float64 { return [3]float64{b.X - a.X, b.Y - a.Y, b.Z - a.Z} }

func norm(v [3]float64) float64 { return math.Sqrt(dot(v, v)) }

func dot(v, w [3]float64) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }
