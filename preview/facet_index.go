package preview

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// How many index positions fit on a page, and on one where what is set by hand
// takes room as well.
const (
	onePage   = 9
	onePageBy = 6
)

// indexFigures show the gear at each index with the cutter at its lowest.
func (s Scene) indexFigures() []*figure.Figure {
	stops := s.stopsOf()
	if len(stops) == 0 {
		return nil
	}
	// One scale and one grid for all pages.
	low, lines, page := math.Inf(1), 0, onePage
	for _, st := range stops {
		low = min(low, st.low(s.Plan.Job))
		lines = max(lines, len(s.settings(st)))
	}
	if lines > 2 {
		page = onePageBy
	}
	// Full pages and one with the rest would leave that one all but empty.
	pages := (len(stops) + page - 1) / page
	page = (len(stops) + pages - 1) / pages
	boxes := grid(page)
	var out []*figure.Figure
	for from := 0; from < len(stops); from += page {
		part, name := "index", "The gear at each index, in the program's order"
		if from > 0 {
			part += "-" + strconv.Itoa(from/page+1)
		}
		to := min(from+page, len(stops))
		f := s.page(part, name)
		f.Scale = "alike in all panels"
		for i, st := range stops[from:to] {
			s.indexPanel(f, boxes[i], low, lines, st)
		}
		f.Notes = []string{
			fmt.Sprintf("Facets %d to %d of %d, by first pass. A dot: where it touches.", from+1, to, len(stops)),
			"Y: middle of the cutter. Z: its end, from the program's zero.",
		}
		switch s.Plan.Job.Index.Device {
		case job.Head:
			f.Notes = append(f.Notes, "Settings count from the pass before; toward +Y go half a turn beyond and come back.")
		case job.Teeth:
			f.Notes = append(f.Notes, "Settings count from the pass before.")
		}
		f.Notes = append(f.Notes, s.verdict()...)
		out = append(out, f)
	}
	return out
}

// low is the least height to be shown.
func (st indexStop) low(j *job.Job) float64 {
	low, _ := j.Gear.TouchHeights()
	low -= j.Gear.Module
	for _, q := range st.spots {
		low = min(low, q.at.Z-0.3*j.Gear.Module)
	}
	return low
}

// settings says pass by pass what is set for a facet.
func (s Scene) settings(st indexStop) []string {
	var out []string
	for _, q := range st.spots {
		out = append(out, fmt.Sprintf("Pass %d, T%d: Y %s Z %s", q.pass, q.cutter.Number, s.number(q.at.Y), s.number(q.at.Z-s.shift())))
		if q.brief != "" {
			out = append(out, "    "+figure.PrintedSigns(q.brief))
		}
	}
	return out
}

// indexPanel draws the gear at one index, the cutters upright, from a height
// up, with so many lines kept for what is set.
func (s Scene) indexPanel(f *figure.Figure, box figure.Box, low float64, lines int, st indexStop) {
	c, j := st.facet, s.Plan.Job
	side := toolpath.SideName(c.Side)
	side = strings.ToUpper(side[:1]) + side[1:]
	angle := "gear at " + degrees(c.Angle)
	if j.Index.Device == job.Rotary {
		angle = "A " + degrees(float64(j.Machine.RotarySign)*c.Angle)
	}
	p := f.Panel(fmt.Sprintf("%s facet %d%s: %s", side, c.Number, s.Plan.PlaceName(c.Place), angle), box)
	p.Bare, p.NoScale, p.NoLegend = true, true, true
	p.Lines = append(s.settings(st), make([]string, lines)...)[:lines]
	// The facet touches at the base radius, a little to the cutter's side of
	// the middle.
	half := j.Gear.Pitch() * s.Plan.Sizes.TipTop
	mid := float64(c.Side) * (c.Y - 0.2*half)
	p.Window(mid-half, low, mid+half, s.Plan.Sizes.TipTop+0.1*j.Gear.Module)
	s.gearAt(p, c.Angle)
	for _, at := range st.spots {
		at.angle = 0
		s.cutterAt(p, at.spot)
	}
	p.Dot(figure.Pass, geom.Vec{Y: float64(c.Side) * c.Y, Z: s.Plan.Target.Seen(c.Side).SupportAt(c.Roll).Slope})
}

// number writes a program's length without its unit.
func (s Scene) number(mm float64) string {
	text := fmt.Sprintf("%.3f", mm)
	if size, _ := s.units(); size == figure.Inch {
		text = fmt.Sprintf("%.4f", mm/25.4)
	}
	return strings.Replace(text, "-", "−", 1)
}

// plainNumber writes v to three decimals, without zeros that say nothing.
func plainNumber(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", v), "0"), ".")
}

// indexStop is one facet as it is cut, with each cutter's lowest place.
type indexStop struct {
	facet toolpath.Facet
	spots []indexSpot
}

// indexSpot is a cutter's lowest place in a pass.
type indexSpot struct {
	spot
	pass  int    // number in the program
	brief string // what is set by hand to get there
}

// stopsOf returns the facets in the order in which the program comes to them.
func (s Scene) stopsOf() []indexStop {
	var out []indexStop
	pass := 0
	for i := range s.Program.Ops {
		op := &s.Program.Ops[i]
		for k := range op.Passes {
			pass++
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
				out[n].spots = append(out[n].spots, indexSpot{at, pass, op.Passes[k].Brief})
			}
		}
	}
	return out
}

// atFacet returns the lowest cut of a pass with the cutter's side on the
// facet's plane.
func atFacet(op *toolpath.Op, pass *toolpath.Pass, c toolpath.Facet) (best spot, found bool) {
	if math.Abs(c.Angle-pass.Angle) > geom.Eps || c.Place != pass.Place {
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
