package preview

import (
	"fmt"
	"math"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/metal"
)

// sectionFigure is the section across X: stock before and after, what stays,
// the cutter at its deepest, and every pass.
func (s Scene) sectionFigure() *figure.Figure {
	part := ""
	if s.Program.Purpose == "facets" {
		part = "section"
	}
	f := s.page(part, "Section across X, and from the side")
	i := s.show()
	x := s.Before.Stations[i].X
	left, right := figure.Whole().Beside(0.62)
	p := f.Panel(fmt.Sprintf("Section at X %s, seen from +X", s.len(x)), left)
	p.Origin.Z = s.shift()
	main := s.mainOp()
	at, ok := deepest(main, x)
	if !ok {
		at, ok = deepest(main, anywhere)
	}
	s.frameWork(p, at)
	s.metalAt(p, i)
	if ok {
		s.cutterAt(p, at)
	}
	s.toothToCome(p)
	s.passMarks(p, x)
	s.sizes(p)
	p.Zero(geom.Vec{Z: s.shift()}, "Y0 Z0")
	if ok {
		s.nameCutter(p, at, s.cutterName(at.cutter))
	}
	upper, lower := right.Stacked(0.66)
	s.sidePanel(f, upper, main)
	s.work(f, lower)
	f.Notes = append([]string{strings.ToUpper(s.Program.Title[:1]) + s.Program.Title[1:] + "."}, s.verdict()...)
	return f
}

// mainOp is the operation whose cutter goes deepest, drills aside.
func (s Scene) mainOp() *toolpath.Op {
	ops := s.Program.Ops
	best, low := 0, math.Inf(1)
	for i := range ops {
		if at, ok := deepest(&ops[i], anywhere); ok && ops[i].Cutter.Kind != profiles.Drill && at.at.Z <= low {
			best, low = i, at.at.Z
		}
	}
	return &ops[best]
}

// frameWork sets the window: the work, the cutter up to the holder's nose, and
// the ground below.
func (s Scene) frameWork(p *figure.Panel, at spot) {
	d, j := s.Plan.Sizes, s.Plan.Job
	nose := at.at.Z + at.cutter.StickOut
	if !s.gear() {
		wide := d.BlockHalf + 1.2*max(at.cutter.Diameter, at.cutter.Shank)
		low := -min(d.Height, d.SideDepth+3)
		p.Window(-wide, low, wide, max(nose+3, j.Insert.TopCut+2))
		return
	}
	pitch := j.Gear.Pitch()
	half := 0.0
	for _, q := range j.Gear.Places {
		if near := q * pitch; math.Abs(near) < 1 {
			half = max(half, math.Abs(near))
		}
	}
	wide := (half + 1.4*pitch) * d.GearTop
	low := max(d.Floor-4, d.RimInner-1)
	p.Window(-wide, low, wide, max(nose+3, d.TipTop+2))
}

// metalAt draws the metal of a station: what there was, what is left of it,
// what stays, and the sound teeth.
func (s Scene) metalAt(p *figure.Panel, i int) {
	before := s.Before.Stations[i]
	s.keepOuts(p, before.X)
	p.Region(figure.Removed, pieces(before.Waste))
	s.kept(p, before, 0)
	left := s.stations()[i].Waste
	style := figure.MetalLeft
	if s.Program.Purpose == "flush" {
		style = figure.Insert // for the facets
		s.newMetal(p)
	}
	if len(s.After) != len(s.Before.Stations) || left.Area() <= leastShown {
		return
	}
	var stays, file geom.Region
	for _, c := range left {
		if s.Program.Purpose == "facets" && s.toFile(c, func(toolpath.FileThis) bool { return true }) {
			file = append(file, c)
		} else {
			stays = append(stays, c)
		}
	}
	if len(stays) > 0 {
		p.Region(style, pieces(stays))
	}
	if len(file) > 0 {
		p.Region(figure.MustFile, pieces(file))
	}
}

// leastShown is the area below which leftovers are rounding, mm^2.
const leastShown = 0.01

// kept draws the solids of a station, the gear turned by an angle.
func (s Scene) kept(p *figure.Panel, st replay.Station, angle float64) {
	bodies := map[figure.Style][][]geom.Vec{}
	for _, k := range st.Keep {
		style := s.styleOf(k)
		switch {
		case k.Name == metal.FarTeeth:
			bodies[style] = append(bodies[style], s.farTeeth(p, k.Metal, angle)...)
		case style == figure.KeepOut:
			// Far below, it would only stand in the legend.
			if r := k.Metal.Turned(angle); r.Bounds().Hi.Z >= p.Min.Z {
				bodies[style] = append(bodies[style], pieces(r)...)
			}
		case style != figure.Target:
			bodies[style] = append(bodies[style], p.Visible(k.Metal, angle)...)
		default:
			// Below the seat the finished tooth is casting.
			tooth, casting := s.atSeat(k.Metal)
			bodies[figure.Target] = append(bodies[figure.Target], p.Visible(tooth, angle)...)
			bodies[figure.Neighbour] = append(bodies[figure.Neighbour], p.Visible(casting, angle)...)
		}
	}
	for _, style := range []figure.Style{figure.KeepOut, figure.Insert, figure.Target, figure.Neighbour} {
		if len(bodies[style]) > 0 {
			p.Region(style, bodies[style])
		}
	}
	if s.Program.Purpose == "slot" {
		p.Name(figure.Neighbour, "casting that stays")
	}
}

// farTeeth draws the teeth in whose sectors the check lets no cutter come, and
// the rim under them.
func (s Scene) farTeeth(p *figure.Panel, sectors geom.Region, angle float64) [][]geom.Vec {
	line, err := s.Plan.Job.Gear.Standing().Tooth()
	if err != nil {
		return pieces(sectors.Turned(angle))
	}
	var out [][]geom.Vec
	window := p.Around()
	for _, c := range sectors {
		b := geom.Vec{}
		for _, v := range c.Pts {
			b = b.Add(v)
		}
		turn := geom.Turn(b.Angle() + angle)
		ring := make([]geom.Vec, 0, len(line)+2)
		for _, v := range line {
			ring = append(ring, turn.Apply(v))
		}
		first, last := ring[0], ring[len(ring)-1]
		in := s.Plan.Sizes.RimInner
		ring = append(ring, last.Scale(in/last.Norm()), first.Scale(in/first.Norm()))
		if geom.Bounds(ring).Meets(window) {
			out = append(out, ring)
		}
	}
	return out
}

// foot is the height over the axis where the new metal begins: the seat, or the top
// of the old iron under a built-up tooth.
func (s Scene) foot() float64 {
	if s.Plan.Job.BuiltUp() {
		return s.Plan.Sizes.StubTop
	}
	return s.Plan.Sizes.Seat
}

// newMetal names what a built-up tooth is cut from.
func (s Scene) newMetal(p *figure.Panel) {
	if s.Plan.Job.BuiltUp() {
		p.Name(figure.Insert, "built up")
	}
}

// atSeat divides the metal of a finished tooth where its new metal stands.
func (s Scene) atSeat(r geom.Region) (above, below geom.Region) {
	const far = 1e3
	b := r.Bounds()
	at := b.Lo.Lerp(b.Hi, 0.5).Angle()
	angle, off := 0.0, math.Inf(1)
	for _, q := range s.Plan.Job.Gear.Places {
		q *= s.Plan.Job.Gear.Pitch()
		if d := math.Abs(math.Remainder(q-at, 2*math.Pi)); d < off {
			angle, off = q, d
		}
	}
	band := func(z0, z1 float64) geom.Region {
		return geom.Region{geom.Rect(-far, z0, far, z1)}.Turned(angle)
	}
	return r.Intersect(band(s.foot(), far)), r.Intersect(band(-far, s.foot()))
}

// styleOf returns how a solid is drawn.
func (s Scene) styleOf(k replay.Solid) figure.Style {
	switch {
	case k.Role == replay.Neighbour:
		return figure.Neighbour
	case k.Name == metal.UnderRim:
		return figure.KeepOut // spokes, hub or arbor, whatever there is
	case !s.gear() || k.Name == "dovetail":
		return figure.Insert
	case k.Name == "gear":
		return figure.Neighbour // the same casting, which stays as well
	}
	return figure.Target
}

// pieces returns a region's polygons.
func pieces(r geom.Region) [][]geom.Vec {
	out := make([][]geom.Vec, len(r))
	for i, c := range r {
		out[i] = c.Pts
	}
	return out
}

// keepOuts draws the boxes that the section at x passes through.
func (s Scene) keepOuts(p *figure.Panel, x float64) {
	for _, k := range s.Before.KeepOuts {
		if x >= k.X[0] && x <= k.X[1] {
			p.Rect(figure.KeepOut, geom.Vec{Y: k.Y[0], Z: k.Z[0] + s.shift()}, geom.Vec{Y: k.Y[1], Z: k.Z[1] + s.shift()})
		}
	}
}

// cutterAt draws a cutter where it stands. In gear set-ups the picture is the
// gear's, so it is the cutter that leans.
func (s Scene) cutterAt(p *figure.Panel, at spot) {
	turn := geom.Turn(-at.angle)
	for _, q := range metal.Parts(at.cutter) {
		style := figure.Cutter
		switch {
		case q.Name == "holder":
			style = figure.Holder
		case !q.Cuts:
			style = figure.Shank
		}
		var ring []geom.Vec
		for _, c := range []geom.Vec{{Y: -q.R0, Z: q.Z0}, {Y: q.R0, Z: q.Z0}, {Y: q.R1, Z: q.Z1}, {Y: -q.R1, Z: q.Z1}} {
			ring = append(ring, turn.Apply(at.at.Add(c)))
		}
		p.Polygon(style, ring...)
	}
}

// nameCutter labels a cutter half way between the work and the holder, on the
// side where there is room.
func (s Scene) nameCutter(p *figure.Panel, at spot, text string) {
	work := s.Plan.Job.Insert.TopCut
	if s.gear() {
		work = s.Plan.Sizes.GearTop
	}
	rise := max(at.cutter.StickOut/3, (work-at.at.Z+at.cutter.StickOut)/2)
	for _, q := range metal.Parts(at.cutter) {
		if rise >= q.Z0 && rise <= q.Z1 {
			r := q.R0 + (q.R1-q.R0)*(rise-q.Z0)/(q.Z1-q.Z0)
			if at.inGear().Y > p.Min.Lerp(p.Max, 0.6).Y {
				r = -r
			}
			p.Label(geom.Turn(-at.angle).Apply(at.at.Add(geom.Vec{Y: r, Z: rise})), text).Toward(geom.Vec{Y: r, Z: 0.2 * math.Abs(r)})
			return
		}
	}
}

// cutterName is a cutter in a few words.
func (s Scene) cutterName(c *profiles.Cutter) string {
	return fmt.Sprintf("T%d %s %s", c.Number, c.Kind, s.len(c.Diameter))
}

// work lists the operations with what is set for them.
func (s Scene) work(f *figure.Figure, box figure.Box) {
	p := f.Panel("The work", box)
	p.Bare, p.Equal, p.NoScale, p.NoLegend = true, false, true, true
	p.Window(0, 0, 1, max(float64(2*len(s.Program.Ops))+0.5, 8.5))
	row := p.Max.Z
	write := func(format string, args ...any) {
		row--
		p.Write(geom.Vec{Y: 0.02, Z: row + 0.25}, fmt.Sprintf(format, args...))
	}
	size, _ := s.units()
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		at, _ := deepest(op, anywhere)
		feed := op.Feed
		if op.Cutter.Kind == profiles.Drill {
			feed = op.Plunge
		}
		cuts := "passes"
		if len(op.Passes) == 1 {
			cuts = "pass"
		}
		write("%d  %s: %s", i+1, op.Name, s.cutterName(op.Cutter))
		write("    %d %s to Z %s, S %.0f, F %s", len(op.Passes), cuts, s.number(at.at.Z-s.shift()), op.Rpm, plainNumber(feed*size.PerMM()))
	}
}

// toothToCome draws the outline of the finished tooth at every place.
func (s Scene) toothToCome(p *figure.Panel) {
	if !s.gear() || s.Program.Purpose == "facets" {
		return
	}
	for _, line := range s.targets() {
		p.Line(figure.Alternative, line...)
	}
	p.Name(figure.Alternative, "tooth to come")
}

// targets returns the finished outline at every place, gear at A0.
func (s Scene) targets() [][]geom.Vec {
	g := &s.Plan.Target
	var out [][]geom.Vec
	for _, at := range s.Plan.Job.Gear.Places {
		out = append(out, geom.Turn(at*g.Pitch()).ApplyAll(g.Outline))
	}
	return out
}

// passMarks draws where the tip of the cutter stands in every cut that
// passes x, in the gear's own frame.
func (s Scene) passMarks(p *figure.Panel, x float64) {
	type key [2]int
	seen := map[key]bool{}
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		var at []geom.Vec
		each(op, x, func(q spot) {
			v := q.inGear()
			k := key{int(math.Round(v.Y * 100)), int(math.Round(v.Z * 100))}
			if !seen[k] {
				seen[k] = true
				at = append(at, v)
			}
		})
		p.Cross(figure.Pass, at...)
	}
	p.Name(figure.Pass, "middle of the cutter's end, one a cut")
}

// sizes draws the dimensions a person checks.
func (s Scene) sizes(p *figure.Panel) {
	d, j := s.Plan.Sizes, s.Plan.Job
	v := func(y, z float64) geom.Vec { return geom.Vec{Y: y, Z: z} }
	switch s.Program.Purpose {
	case "slot":
		if len(j.Gear.Places) > 1 || j.Gear.Places[0] != 0 {
			return
		}
		p.Dim(v(-d.FloorHalf, d.Floor), v(d.FloorHalf, d.Floor), -60, s.len(2*d.FloorHalf))
		p.Dim(v(d.PocketHalf, d.Floor), v(d.PocketHalf, d.Seat), -60, s.len(d.Seat-d.Floor))
	case "insert":
		p.Dim(v(-d.BodyHalf, -d.SideDepth), v(d.BodyHalf, -d.SideDepth), -34, s.len(2*d.BodyHalf))
		p.Dim(v(-d.BlockHalf, -j.Slot.Depth), v(-d.BlockHalf, 0), 90, s.len(j.Slot.Depth))
	}
}
