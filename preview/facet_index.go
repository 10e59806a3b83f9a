package preview

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"cogmend/profiles/geom"
	"cogmend/toolpath"
)

// onePage is how many index positions fit on a page.
const onePage = 9

// indexFigures show the gear at each index with the cutter at its lowest.
func (s Scene) indexFigures() []*Figure {
	stops := s.stopsOf()
	var out []*Figure
	for from := 0; from < len(stops); from += onePage {
		part, name := "index", "The gear at each index, in the order of the program"
		if from > 0 {
			part += "-" + strconv.Itoa(from/onePage+1)
		}
		to := min(from+onePage, len(stops))
		f := s.page(part, name)
		boxes := grid(to - from)
		for i, st := range stops[from:to] {
			s.indexPanel(f, boxes[i], from+i+1, st)
		}
		f.Notes = append([]string{"Y: middle of the cutter. Z: its end, from the program's zero.", fmt.Sprintf("Index %d to %d of %d.", from+1, to, len(stops))}, s.verdict()...)
		out = append(out, f)
	}
	return out
}

// indexPanel draws the gear at one index, the cutters upright.
func (s Scene) indexPanel(f *Figure, box Box, n int, st indexStop) {
	c, j := st.facet, s.Plan.Job
	side := "left"
	if c.Side > 0 {
		side = "right"
	}
	p := f.Panel(fmt.Sprintf("%d: %s %d, A %s", n, side, c.Number, deg(float64(j.Machine.RotarySign)*c.Angle)), box)
	p.Bare, p.NoScale, p.NoLegend = true, true, true
	// The facet touches at the base radius, a little to the cutter's side of
	// the middle; the numbers have the other side.
	half := j.Gear.Pitch() * s.Plan.Dims.TipTop
	mid := float64(c.Side) * (c.Y - 0.2*half)
	touch := geom.Vec{Y: float64(c.Side) * c.Y, Z: j.Gear.BaseRadius()}
	low := touch.Z - j.Gear.Module
	for _, at := range st.spots {
		low = min(low, at.at.Z-0.3*j.Gear.Module)
	}
	// Lines of text have a band of their own over the teeth.
	const line = 0.13
	tip := s.Plan.Dims.TipTop
	row := line * (tip - low) / (1 - line*float64(len(st.spots)))
	p.Window(mid-half, low, mid+half, tip+row*float64(len(st.spots)))
	s.teethAt(p, c.Angle)
	for _, at := range st.spots {
		at.angle = 0
		s.cutterAt(p, at)
	}
	p.Dot(Pass, touch)
	left := mid - 0.98*half
	if c.Side < 0 {
		left = touch.Y + 0.03*half
	}
	for i, at := range st.spots {
		p.Write(geom.Vec{Y: left, Z: p.Max.Z - row*(float64(i)+0.85)}, fmt.Sprintf("T%d Y %s Z %s", at.cutter.Number, s.number(at.at.Y), s.number(at.at.Z-s.shift())))
	}
}

// number writes a program's length without its unit.
func (s Scene) number(mm float64) string {
	text := fmt.Sprintf("%.3f", mm)
	if size, _ := s.units(); size == Inch {
		text = fmt.Sprintf("%.4f", mm/25.4)
	}
	return strings.Replace(text, "-", "−", 1)
}

// indexStop is one facet as it is cut, with each cutter's lowest place.
type indexStop struct {
	facet toolpath.Facet
	spots []spot
}

// stopsOf returns the facets in the order in which the program comes to them.
func (s Scene) stopsOf() []indexStop {
	var out []indexStop
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		for k := range op.Passes {
			for _, c := range s.Plan.Facets {
				at, ok := atFacet(op, &op.Passes[k], c)
				if !ok {
					continue
				}
				n := slices.IndexFunc(out, func(st indexStop) bool {
					return st.facet.Number == c.Number && st.facet.Side == c.Side && st.facet.Place == c.Place
				})
				if n < 0 {
					n = len(out)
					out = append(out, indexStop{facet: c})
				}
				out[n].spots = append(out[n].spots, at)
			}
		}
	}
	return out
}

// atFacet returns the lowest cut of a pass with the cutter's side on the
// facet's plane.
func atFacet(op *toolpath.Op, pass *toolpath.Pass, c toolpath.Facet) (best spot, found bool) {
	if c.Angle != pass.Angle || c.Place != pass.Place {
		return best, false
	}
	one := *op
	one.Passes = []toolpath.Pass{*pass}
	each(&one, anywhere, func(q spot) {
		on := math.Abs(float64(c.Side)*q.at.Y-op.Cutter.Radius()-c.Y) < geom.Sliver
		if on && (!found || q.at.Z < best.at.Z) {
			best, found = q, true
		}
	})
	return best, found
}
