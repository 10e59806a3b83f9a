package preview

import (
	"math"
	"slices"

	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// planFigure shows the paths from above.
func (s Scene) planFigure() *figure.Figure {
	f := s.page("plan", "Paths from above")
	p := f.Panel("From above", figure.Whole()).Axes("X", "Y")
	if s.turned() {
		p.Caption += ", tooth on top"
	}
	x0, x1 := s.reachX()
	switch {
	case !s.gear():
		s.blockAbove(p, x0, x1)
	case s.Program.Purpose == "flush":
		s.gearAbove(p, x0, x1)
		s.flushAbove(p)
	default:
		s.gearAbove(p, x0, x1)
		s.slotAbove(p)
	}
	for i := range s.Program.Ops {
		s.path(p, &s.Program.Ops[i], func(a toolpath.Pos) geom.Vec { return geom.Vec{Y: a.X, Z: a.Y} })
	}
	p.Line(figure.Centre, geom.Vec{Y: x0}, geom.Vec{Y: x1})
	p.Zero(geom.Vec{}, "X0 Y0")
	f.Notes = append([]string{"An arrow ends the last cut of a pass."}, s.verdict()...)
	return f
}

// sidePanel shows the work and the paths from the side, with the operation's
// cutter at its lowest.
func (s Scene) sidePanel(f *figure.Figure, box figure.Box, main *toolpath.Op) {
	p := f.Panel("From the side", box).Axes("X", "Z")
	if s.turned() {
		p.Lines = []string{"Tooth on top"}
	} else {
		p.Caption += ", cut at Y0"
	}
	if s.indexed() {
		p.Lines = append(p.Lines, "paths as the machine moves, the gear turned for each")
	}
	p.Origin.Z = s.shift()
	x0, x1 := s.reachX()
	switch {
	case !s.gear():
		s.blockBeside(p, x0, x1)
	case s.Program.Purpose == "slot":
		s.slotBeside(p, x0, x1)
	default:
		s.insertBeside(p, x0, x1)
	}
	s.boxesBeside(p)
	if at, ok := deepest(main, anywhere); ok {
		p.Max.Z = max(p.Max.Z, at.at.Z+at.cutter.StickOut+3)
		s.cutterBeside(p, at)
	}
	for i := range s.Program.Ops {
		s.path(p, &s.Program.Ops[i], func(a toolpath.Pos) geom.Vec { return geom.Vec{Y: a.X, Z: a.Z} })
	}
	if d := s.Plan.Sizes; s.gear() && s.Program.Purpose != "slot" {
		// Room for the length, under the floor.
		p.Min.Z = min(p.Min.Z, d.Floor-(p.Max.Z-d.Floor)/4)
	}
	zero := geom.Vec{Z: s.shift()}
	if zero.Z < p.Min.Z {
		p.Min.Z -= (p.Max.Z - p.Min.Z) / 6 // room for the arrow down to it
	}
	p.Zero(zero, "X0 Z0")
}

// turned says that the picture is of a tooth turned on top, one after the
// other.
func (s Scene) turned() bool {
	g := s.Plan.Job.Gear
	return s.gear() && (len(g.Places) > 1 || g.Places[0] != 0)
}

// indexed says that the gear is turned between cuts.
func (s Scene) indexed() bool {
	for _, op := range s.Program.Ops {
		for _, pass := range op.Passes {
			if s.gear() && pass.Angle != 0 {
				return true
			}
		}
	}
	return false
}

// reachX returns the X that the paths and the work take up.
func (s Scene) reachX() (lo, hi float64) {
	lo, hi = -s.Plan.Job.Over(), s.Plan.Job.Gear.Face+s.Plan.Job.Over()
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		each(op, anywhere, func(q spot) {
			lo, hi = min(lo, q.x-op.Cutter.Radius()), max(hi, q.x+op.Cutter.Radius())
		})
	}
	return lo - 1.5, hi + 1.5
}

// path draws an operation's moves below the safe height in a flat view.
func (s Scene) path(p *figure.Panel, op *toolpath.Op, flat func(toolpath.Pos) geom.Vec) {
	last, pass := stroke{}, -1
	end := func() {
		if pass >= 0 {
			p.Arrow(figure.Pass, flat(last.from), flat(last.to))
		}
	}
	var fed, quick []stroke
	s.strokes(op, flat, func(n int, a stroke) {
		if !a.feed {
			quick = append(quick, a)
			return
		}
		if n != pass && pass >= 0 {
			end()
		}
		last, pass = a, n
		fed = append(fed, a)
	})
	end()
	for _, a := range quick {
		p.Line(figure.Rapid, flat(a.from), flat(a.to))
	}
	for _, a := range fed {
		if a != last {
			p.Line(figure.Pass, flat(a.from), flat(a.to))
		}
	}
}

// cutterBeside draws the cutter as seen along Y.
func (s Scene) cutterBeside(p *figure.Panel, at spot) {
	for _, q := range metal.Parts(at.cutter) {
		style := figure.Cutter
		switch {
		case q.Name == "holder":
			style = figure.Holder
		case !q.Cuts:
			style = figure.Shank
		}
		x, z := at.x, at.at.Z
		p.Polygon(style, geom.Vec{Y: x - q.R0, Z: z + q.Z0}, geom.Vec{Y: x + q.R0, Z: z + q.Z0},
			geom.Vec{Y: x + q.R1, Z: z + q.Z1}, geom.Vec{Y: x - q.R1, Z: z + q.Z1})
	}
}

// boxAt is an upright rectangle from plain numbers.
func boxAt(p *figure.Panel, style figure.Style, x0, z0, x1, z1 float64) {
	p.Rect(style, geom.Vec{Y: x0, Z: z0}, geom.Vec{Y: x1, Z: z1})
}

// onBothSides draws lines along X on both sides of the middle.
func onBothSides(p *figure.Panel, style figure.Style, x0, x1, y float64) {
	for _, side := range []float64{1, -1} {
		p.Line(style, geom.Vec{Y: x0, Z: side * y}, geom.Vec{Y: x1, Z: side * y})
	}
}

// circleAt draws a hole seen along its axis.
func circleAt(p *figure.Panel, style figure.Style, x, y, r float64) {
	p.Circle(style, geom.Vec{Y: x, Z: y}, r)
}

// gearAbove draws the gear from above, the first place on top.
func (s Scene) gearAbove(p *figure.Panel, x0, x1 float64) {
	d, g := s.Plan.Sizes, s.Plan.Job.Gear
	wide := 1.25 * g.Pitch() * d.GearTop
	p.Window(x0, -wide, x1, wide)
	s.boxesAbove(p)
	boxAt(p, figure.Stock, 0, -2*wide, g.Face, 2*wide)
	p.Name(figure.Stock, "casting")
	turn := geom.Turn(-g.Places[0] * g.Pitch())
	for _, k := range s.Before.Stations[s.show()].Keep {
		if k.Role != replay.Neighbour || k.Name == metal.FarTeeth {
			continue
		}
		// The tip land as far as it shows from above.
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range k.Outline {
			if v.Norm() > d.TipTop-0.05*g.Module {
				v = turn.Apply(v)
				lo, hi = min(lo, v.Y), max(hi, v.Y)
			}
		}
		if lo < hi {
			boxAt(p, figure.Neighbour, 0, lo, g.Face, hi)
		}
	}
	p.Name(figure.Neighbour, "tip of a standing tooth")
	p.Dim(geom.Vec{Y: 0, Z: wide}, geom.Vec{Y: g.Face, Z: wide}, -40, s.len(g.Face))
}

func (s Scene) slotAbove(p *figure.Panel) {
	d, j := s.Plan.Sizes, s.Plan.Job
	boxAt(p, figure.Removed, 0, -d.PocketHalf, j.Gear.Face, d.PocketHalf)
	onBothSides(p, figure.Edge, 0, j.Gear.Face, d.MouthHalf)
	onBothSides(p, figure.Hidden, 0, j.Gear.Face, d.FloorHalf)
	p.Name(figure.Hidden, "floor of the dovetail").Name(figure.Edge, "mouth")
	if j.Lock.Kind != job.NoLock {
		for _, x := range j.Lock.Positions {
			circleAt(p, figure.Edge, x, 0, j.Lock.TapDrill/2)
			p.Label(geom.Vec{Y: x + j.Lock.TapDrill/2}, s.lockName(x)).Toward(geom.Vec{Y: 1, Z: -1})
		}
	}
}

// lockName is what a lock hole is for.
func (s Scene) lockName(x float64) string {
	l := s.Plan.Job.Lock
	name := l.Thread
	if l.Kind == job.Pin || name == "" {
		name = "pin " + s.len(l.Major)
	}
	return name + " at X " + s.len(x)
}

// castingBeside is the rim under the slot cut in the middle plane, with its lock
// holes open.
func (s Scene) castingBeside(p *figure.Panel) {
	d, j := s.Plan.Sizes, s.Plan.Job
	from := 0.0
	var pieces [][]geom.Vec
	piece := func(to float64) {
		if to > from {
			pieces = append(pieces, []geom.Vec{{Y: from, Z: d.RimInner}, {Y: to, Z: d.RimInner}, {Y: to, Z: d.Floor}, {Y: from, Z: d.Floor}})
		}
	}
	if j.Lock.Kind != job.NoLock {
		for _, x := range slices.Sorted(slices.Values(j.Lock.Positions)) {
			piece(x - j.Lock.TapDrill/2)
			from = max(from, x+j.Lock.TapDrill/2)
		}
	}
	piece(j.Gear.Face)
	p.Region(figure.Neighbour, pieces)
	p.Name(figure.Neighbour, "casting")
}

func (s Scene) slotBeside(p *figure.Panel, x0, x1 float64) {
	d, j := s.Plan.Sizes, s.Plan.Job
	p.Window(x0, d.RimInner-2, x1, d.TipTop+4)
	s.castingBeside(p)
	boxAt(p, figure.Removed, 0, d.Floor, j.Gear.Face, d.StubTop)
	if j.Lock.Kind != job.NoLock {
		for _, x := range j.Lock.Positions {
			boxAt(p, figure.Removed, x-j.Lock.TapDrill/2, d.RimInner, x+j.Lock.TapDrill/2, d.Floor)
		}
	}
	p.Line(figure.Hidden, geom.Vec{Y: 0, Z: d.Seat}, geom.Vec{Y: j.Gear.Face, Z: d.Seat})
	p.Line(figure.Alternative, geom.Vec{Y: 0, Z: d.TipTop}, geom.Vec{Y: j.Gear.Face, Z: d.TipTop})
	p.Name(figure.Hidden, "seat").Name(figure.Alternative, "tips of the standing teeth")
	under := "rim "
	if j.Gear.RimInner == j.Gear.Bore {
		under = "under the floor "
	}
	p.Dim(geom.Vec{Y: 0, Z: d.RimInner}, geom.Vec{Y: 0, Z: d.Floor}, 46, under+s.len(d.Floor-d.RimInner))
}

// stands is how far the insert or bead stands over each face when the cutter has been
// there.
func stands(j *job.Job) float64 { return min(j.Flush.Leave, j.Over()) }

func (s Scene) flushAbove(p *figure.Panel) {
	d, j := s.Plan.Sizes, s.Plan.Job
	over, leave := j.Over(), stands(j)
	boxAt(p, figure.Removed, -over, -d.BlockHalf, j.Gear.Face+over, d.BlockHalf)
	boxAt(p, figure.Insert, -leave, -d.BlockHalf, j.Gear.Face+leave, d.BlockHalf)
	s.newMetal(p)
}

// insertBeside is the gear with the insert let in, before and after its ends
// and tip are brought down.
func (s Scene) insertBeside(p *figure.Panel, x0, x1 float64) {
	d, j := s.Plan.Sizes, s.Plan.Job
	over, leave := j.Over(), stands(j)
	top := d.InsertTop
	if s.Program.Purpose == "facets" {
		over, top = leave, d.TipTop
	}
	p.Window(x0, d.Floor-4, x1, top+4)
	s.castingBeside(p)
	boxAt(p, figure.Removed, -over, d.Bottom, j.Gear.Face+over, top)
	boxAt(p, figure.Insert, -leave, d.Bottom, j.Gear.Face+leave, d.TipTop)
	seat, name := s.foot(), "seat"
	if j.BuiltUp() {
		name = "root circle"
		boxAt(p, figure.Neighbour, 0, d.Seat, j.Gear.Face, seat)
		seat = d.Seat
		s.newMetal(p)
	}
	p.Line(figure.Hidden, geom.Vec{Y: 0, Z: seat}, geom.Vec{Y: j.Gear.Face, Z: seat})
	p.Name(figure.Hidden, name)
	if j.Lock.Kind != job.NoLock {
		for _, x := range j.Lock.Positions {
			r := j.Lock.Point / 2
			p.Line(figure.Edge, geom.Vec{Y: x - r, Z: d.Bottom}, geom.Vec{Y: x - r, Z: d.Bottom + j.Lock.PointDepth},
				geom.Vec{Y: x + r, Z: d.Bottom + j.Lock.PointDepth}, geom.Vec{Y: x + r, Z: d.Bottom})
		}
	}
	p.Dim(geom.Vec{Y: -leave, Z: d.Floor}, geom.Vec{Y: j.Gear.Face + leave, Z: d.Floor}, -40, s.len(j.Gear.Face+2*leave))
}

func (s Scene) blockAbove(p *figure.Panel, x0, x1 float64) {
	d, j := s.Plan.Sizes, s.Plan.Job
	top := d.BlockHalf
	for i := range s.Program.Ops {
		s.strokes(&s.Program.Ops[i], func(a toolpath.Pos) geom.Vec { return geom.Vec{Y: a.X, Z: a.Y} }, func(_ int, a stroke) {
			top = max(top, math.Abs(a.from.Y), math.Abs(a.to.Y))
		})
	}
	p.Window(x0, -top-1, x1, top+max((x1-x0)/12, top/4))
	boxAt(p, figure.Removed, 0, -d.BlockHalf, d.Length, d.BlockHalf)
	boxAt(p, figure.Insert, 0, -d.BodyHalf, d.Length, d.BodyHalf)
	neck := d.MouthHalf + j.Insert.OverSize/2
	onBothSides(p, figure.Edge, 0, d.Length, d.WideHalf)
	onBothSides(p, figure.Hidden, 0, d.Length, neck)
	p.Name(figure.Hidden, "dovetail under the shoulders").Name(figure.Edge, "its wide face")
	for _, x := range s.Plan.HolesInInsert() {
		circleAt(p, figure.Edge, x, 0, j.Lock.Point/2)
		p.Label(geom.Vec{Y: x + j.Lock.Point/2}, "hole "+s.len(j.Lock.Point)+" at X "+s.len(x)).Toward(geom.Vec{Y: 1, Z: -1})
	}
	p.DimClear(geom.Vec{Y: 0, Z: d.BlockHalf}, geom.Vec{Y: d.Length, Z: d.BlockHalf}, top, 24, s.len(d.Length))
}

func (s Scene) blockBeside(p *figure.Panel, x0, x1 float64) {
	d, j := s.Plan.Sizes, s.Plan.Job
	p.Window(x0, -min(d.Height, d.SideDepth+4), x1, j.Insert.TopCut+4)
	boxAt(p, figure.Insert, 0, -d.Height, d.Length, 0)
	boxAt(p, figure.Removed, 0, 0, d.Length, j.Insert.TopCut)
	for _, x := range s.Plan.HolesInInsert() {
		r, deep := j.Lock.Point/2, j.Lock.PointDepth
		p.Polygon(figure.Removed, geom.Vec{Y: x - r}, geom.Vec{Y: x - r, Z: -deep}, geom.Vec{Y: x, Z: -deep - r*s.Plan.PointSlope()},
			geom.Vec{Y: x + r, Z: -deep}, geom.Vec{Y: x + r})
	}
	for _, z := range []float64{-j.Slot.Depth, -d.SideDepth} {
		p.Line(figure.Hidden, geom.Vec{Y: 0, Z: z}, geom.Vec{Y: d.Length, Z: z})
	}
	p.Name(figure.Hidden, "shoulder, end of the milled sides")
}

// boxesBeside draws the keep-outs that stand in the middle plane.
func (s Scene) boxesBeside(p *figure.Panel) {
	for _, k := range s.Before.KeepOuts {
		if k.Y[0] > 0 || k.Y[1] < 0 {
			continue
		}
		// The name points at the part in the window; the box itself is drawn whole.
		x0, x1 := max(k.X[0], p.Min.Y), min(k.X[1], p.Max.Y)
		z0, z1 := max(k.Z[0]+s.shift(), p.Min.Z), min(k.Z[1]+s.shift(), p.Max.Z)
		if x0 < x1 && z0 < z1 {
			boxAt(p, figure.KeepOut, k.X[0], k.Z[0]+s.shift(), k.X[1], k.Z[1]+s.shift())
			p.Label(geom.Vec{Y: (x0 + x1) / 2, Z: (z0 + z1) / 2}, k.Name)
		}
	}
}

// boxesAbove draws the keep-outs beside the gear as they lie from above, under
// the paths.
func (s Scene) boxesAbove(p *figure.Panel) {
	for _, k := range s.Before.KeepOuts {
		if k.X[0] < s.Plan.Job.Gear.Face && k.X[1] > 0 {
			continue
		}
		x0, x1 := max(k.X[0], p.Min.Y), min(k.X[1], p.Max.Y)
		y0, y1 := max(k.Y[0], p.Min.Z), min(k.Y[1], p.Max.Z)
		if x0 < x1 && y0 < y1 {
			boxAt(p, figure.KeepOut, k.X[0], k.Y[0], k.X[1], k.Y[1])
			p.Label(geom.Vec{Y: (x0 + x1) / 2, Z: y1 - (y1-y0)/8}, k.Name+", up to Z "+s.len(k.Z[1]))
		}
	}
}
