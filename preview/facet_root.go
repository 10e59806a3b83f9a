package preview

import (
	"fmt"
	"math"

	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
)

// rootFigure is the root on both sides, magnified, with the cutter's corner at
// every pass and what is to be filed.
func (s Scene) rootFigure(place float64, flanks []flank) *figure.Figure {
	j := s.Plan.Job
	f := s.page("root", "The root, magnified"+s.Plan.PlaceName(place))
	top, bottom := figure.Whole().Stacked(0.64)
	for i := range flanks {
		k := &flanks[i]
		name := "Left root"
		if k.side > 0 {
			name = "Right root"
		}
		upper, lower := top, bottom
		if l, r := top.Beside(0.5); k.side < 0 {
			upper, lower.Right = l, 0.5
		} else {
			upper, lower.Left = r, 0.5
		}
		p := f.Panel(name, upper)
		p.Origin.Z = s.shift()
		box := geom.EmptyBox()
		for _, q := range k.samples {
			if q.at.Norm() < k.form+0.25*j.Gear.Module {
				box = box.Grow(k.own(q.at))
			}
		}
		margin := 0.08 * j.Gear.Module
		p.Window(box.Lo.Y-margin, box.Lo.Z-margin, box.Hi.Y+margin, box.Hi.Z)
		s.gearAt(p, -place*j.Gear.Pitch())
		s.leftOn(p, k, 1)
		s.corners(p, place, k.side)
		if t := s.mostFiled(place, k.side); t.Thick > 0 {
			text := s.len(t.Thick) + " stays: file this"
			if t.Reaches > 0 {
				text += " (a cutter of " + s.len(t.Reaches) + " would reach)"
			}
			p.Label(k.own(k.thickest(p.Max.Z)), text)
		}
		s.rootGraph(f, name, lower, k)
	}
	worst := max(flanks[0].worst(false), flanks[1].worst(false))
	steps := fmt.Sprintf("%s, allowed %s.", s.small(worst), s.small(j.Facets.RootStep))
	f.Notes = []string{"Steps: " + steps + " Nothing is left here for the file."}
	if s.mostFiled(place, -1).Thick > 0 || s.mostFiled(place, 1).Thick > 0 {
		f.Notes = []string{"File what is marked: no cutter of the job reaches it.", "Steps elsewhere: " + steps}
	}
	f.Notes = append(append(f.Notes, "Left and right as seen from +X."), s.verdict()...)
	return f
}

// rootGraph plots the metal left in the root on one side against the way along
// the outline from the form circle.
func (s Scene) rootGraph(f *figure.Figure, name string, box figure.Box, k *flank) {
	j := s.Plan.Job
	size, small := s.units()
	g := f.Graph(name+": metal left, square to the outline", box, figure.Axis{Name: "from the form circle", Unit: size}, figure.Axis{Name: "metal left", Unit: small})
	var curve, filed []geom.Vec
	from := 0.0
	for _, q := range k.samples {
		if q.at.Norm() >= k.form {
			from = q.along
			continue
		}
		at := geom.Vec{Y: q.along - from, Z: q.left}
		curve = append(curve, at)
		if q.filing {
			filed = append(filed, at)
		}
	}
	g.Window(0, 0, curve[len(curve)-1].Y, 1.45*max(j.Facets.RootStep, k.worst(false), k.filed()))
	g.Under(figure.MetalLeft, 0, curve...)
	if len(filed) > 0 {
		g.Under(figure.MustFile, 0, filed...)
	}
	g.Line(figure.Curve, curve...)
	// What is to be filed lies low: there is room above the line before it.
	step := j.Facets.RootStep
	g.Line(figure.ToleranceLine, geom.Vec{Z: step}, geom.Vec{Y: g.Max.Y, Z: step})
	g.Label(geom.Vec{Y: 0.25 * g.Max.Y, Z: step}, s.small(step)+" allowed").Toward(geom.Vec{Z: 1})
}

// mostFiled returns the thickest metal that is to be filed on one side of a
// place; none when its Thick is 0.
func (s Scene) mostFiled(place float64, side int) toolpath.FileThis {
	var most toolpath.FileThis
	for _, t := range s.Plan.FileThis {
		if t.Place == place && t.Side == side && t.Thick > most.Thick {
			most = t
		}
	}
	return most
}

// thickest returns a point in the middle of the thickest metal that is to be
// filed, below a height.
func (f *flank) thickest(below float64) geom.Vec {
	best := sample{}
	for _, q := range f.samples {
		if q.filing && q.left >= best.left && q.at.Z < below {
			best = q
		}
	}
	return best.at.Add(best.out.Scale(best.left / 2))
}

// corners draws the near corner of the cutter at every pass on one side of a
// place: a stretch of its end and of its side, in the tooth's own frame.
func (s Scene) corners(p *figure.Panel, place float64, side int) {
	turnBack := place * s.Plan.Job.Gear.Pitch()
	arm := 0.12 * s.Plan.Job.Gear.Module
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		low := map[float64]spot{}
		var order []float64
		each(op, anywhere, func(q spot) {
			if q.place != place || float64(side)*geom.Turn(-turnBack).Apply(q.inGear()).Y < 0 {
				return
			}
			k := math.Round(q.at.Y*1e4)/1e4 + 1e6*math.Round(q.angle*1e6)
			have, ok := low[k]
			if !ok {
				order = append(order, k)
			}
			if !ok || q.at.Z < have.at.Z {
				low[k] = q
			}
		})
		for _, k := range order {
			q := low[k]
			r := op.Cutter.Radius()
			near := q.at.Add(geom.Vec{Y: -float64(side) * r})
			turn := geom.Turn(-q.angle - turnBack)
			p.Line(figure.Pass, turn.Apply(near.Add(geom.Vec{Z: arm})), turn.Apply(near), turn.Apply(near.Add(geom.Vec{Y: float64(side) * min(arm, 2*r)})))
		}
	}
	p.Name(figure.Pass, "corner of the cutter, one a cut")
}
