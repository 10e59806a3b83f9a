package preview

import (
	"math"

	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
)

// cutterFigure shows each operation's cutter whole, at its deepest place, with
// what stands around it; nil when the program has but one.
func (s Scene) cutterFigure() *figure.Figure {
	ops := s.Program.Ops
	if len(ops) < 2 {
		return nil
	}
	f := s.page("cutters", "Each cutter at its deepest")
	i := s.show()
	boxes := grid(len(ops))
	for k := range ops {
		op := &ops[k]
		at, ok := deepest(op, anywhere)
		if !ok {
			continue
		}
		p := f.Panel(s.cutterName(op.Cutter), boxes[k])
		// The gear as it stands under the cutter: here the cutter is upright.
		p.NoLegend = true
		p.Origin.Z = s.shift()
		s.around(p, op, at)
		st := s.Before.Stations[i]
		s.keepOuts(p, st.X)
		p.Region(figure.Removed, pieces(st.Waste.Turned(at.angle)))
		s.kept(p, st, at.angle)
		upright := at
		upright.angle = 0
		s.cutterAt(p, upright)
		p.Label(at.at, "Z "+s.number(at.at.Z-s.shift())).Toward(geom.Vec{Y: 1, Z: -1})
		nose := at.at.Z + op.Cutter.StickOut
		edge := p.Min.Lerp(p.Max, 0.12).Y
		p.Dim(geom.Vec{Y: edge, Z: at.at.Z}, geom.Vec{Y: edge, Z: nose}, 10, s.len(op.Cutter.StickOut))
	}
	f.Notes = append([]string{"The number beside a cutter is its stick-out, end to holder. Set it so: the check counts on it."}, s.verdict()...)
	return f
}

// around sets a window that holds the whole cutter and its holder's nose.
func (s Scene) around(p *figure.Panel, op *toolpath.Op, at spot) {
	half := max(0.7*op.Cutter.Holder/2, 1.5*op.Cutter.Diameter)
	low := at.at.Z - 3
	if !s.gear() {
		low = min(low, -s.Plan.Job.Slot.Depth-3)
		half = max(half, s.Plan.Sizes.BlockHalf+2)
	}
	p.Window(at.at.Y-half, low, at.at.Y+half, at.at.Z+op.Cutter.StickOut+4)
}

// grid cuts the page into n boxes of about the same shape.
func grid(n int) []figure.Box {
	cols := int(math.Ceil(math.Sqrt(float64(n))))
	if n <= 3 {
		cols = n
	}
	rows := (n + cols - 1) / cols
	out := make([]figure.Box, n)
	for i := range out {
		c, r := float64(i%cols), float64(i/cols)
		out[i] = figure.Box{Left: c / float64(cols), Top: r / float64(rows), Right: (c + 1) / float64(cols), Bottom: (r + 1) / float64(rows)}
	}
	return out
}
