package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cogmend/profiles/geom"
)

// sketch is a drawing in the page, made of lines in the page's own ink, so
// that it follows dark screens and grey print.
type sketch struct {
	Title  string
	Alt    string  // what is to be seen, for who cannot
	W, H   float64 // the view box; 340 is about a phone's width
	Shapes []shape
	Labels []label
}

// shape is an outline; its class says what it is.
type shape struct{ Class, D string }

// label is a word at a place. Anchor is start, middle or end.
type label struct {
	X, Y         float64
	Anchor, Text string
}

// legend names a class of shapes.
type legend struct{ Class, Text string }

// classNames are the classes that need a key, in the order of legends. One
// look has one meaning in all drawings of the sheet.
var classNames = []legend{
	{"metal", "casting"}, {"insert", "insert"}, {"steel", "arbor, clamps, tools"}, {"keep", "stands there: nothing may touch it"},
	{"support", "support"}, {"touch", "cutter, touching"}, {"stub", "comes off"}, {"left", "file off"}, {"glue", "adhesive"},
}

// legendOf lists the classes that sketches use.
func legendOf(all []sketch) []legend {
	var out []legend
	for _, c := range classNames {
		if slices.ContainsFunc(all, func(v sketch) bool {
			return slices.ContainsFunc(v.Shapes, func(s shape) bool { return s.Class == c.Class })
		}) {
			out = append(out, c)
		}
	}
	return out
}

// view maps a window of the world, mm, to a sketch.
type view struct {
	sketch
	lo    geom.Vec // lower left corner; Y is whatever runs to the right
	scale float64  // of the view box, a millimetre
}

// sketchOf opens a view of w by h that shows at least the window, centred.
func sketchOf(title string, w, h float64, lo, hi geom.Vec) *view {
	v := &view{sketch: sketch{Title: title, W: w, H: h}}
	v.scale = min(w/(hi.Y-lo.Y), h/(hi.Z-lo.Z))
	v.lo = geom.Vec{Y: (lo.Y+hi.Y)/2 - w/v.scale/2, Z: (lo.Z+hi.Z)/2 - h/v.scale/2}
	return v
}

func (v *view) at(p geom.Vec) (x, y float64) {
	return (p.Y - v.lo.Y) * v.scale, v.H - (p.Z-v.lo.Z)*v.scale
}

// right and top are the far sides of the window.
func (v *view) right() float64 { return v.lo.Y + v.W/v.scale }
func (v *view) top() float64   { return v.lo.Z + v.H/v.scale }

func (v *view) shape(class string, pts ...geom.Vec) { v.draw(class, true, pts) }
func (v *view) line(class string, pts ...geom.Vec)  { v.draw(class, false, pts) }

// under draws a shape beneath what has been drawn.
func (v *view) under(class string, pts ...geom.Vec) {
	v.draw(class, true, pts)
	last := v.Shapes[len(v.Shapes)-1]
	v.Shapes = slices.Insert(v.Shapes[:len(v.Shapes)-1], 0, last)
}

func (v *view) draw(class string, closed bool, pts []geom.Vec) {
	var b strings.Builder
	lastX, lastY := math.Inf(1), math.Inf(1)
	for i, p := range pts {
		x, y := v.at(p)
		if i > 0 && i < len(pts)-1 && math.Abs(x-lastX) < 0.25 && math.Abs(y-lastY) < 0.25 {
			continue // it would not show
		}
		fmt.Fprintf(&b, "%c%s %s", "ML"[min(i, 1)], coordinate(x), coordinate(y))
		lastX, lastY = x, y
	}
	if closed {
		b.WriteString("Z")
	}
	v.Shapes = append(v.Shapes, shape{class, b.String()})
}

// coordinate writes a number of the view box to a tenth.
func coordinate(x float64) string { return trim(fmt.Sprintf("%.1f", x)) }

func (v *view) rect(class string, y0, z0, y1, z1 float64) { v.shape(class, corners(y0, z0, y1, z1)...) }

func corners(y0, z0, y1, z1 float64) []geom.Vec {
	return []geom.Vec{{Y: y0, Z: z0}, {Y: y1, Z: z0}, {Y: y1, Z: z1}, {Y: y0, Z: z1}}
}

func (v *view) circle(class string, at geom.Vec, r float64) {
	x, y := v.at(at)
	k := coordinate(r * v.scale)
	d := coordinate(2 * r * v.scale)
	v.Shapes = append(v.Shapes, shape{class, fmt.Sprintf("M%s %sa%s %s 0 1 0 %s 0a%s %s 0 1 0 -%s 0Z", coordinate(x-r*v.scale), coordinate(y), k, k, d, k, k, d)})
}

// corner writes lines in an upper corner.
func (v *view) corner(right bool, lines ...string) {
	x, anchor := 8.0, "start"
	if right {
		x, anchor = v.W-8, "end"
	}
	for i, text := range lines {
		v.Labels = append(v.Labels, label{x, float64(19 + 16*i), anchor, text})
	}
}

// base writes in the lower right corner.
func (v *view) base(name string) {
	v.Labels = append(v.Labels, label{v.W - 8, v.H - 10, "end", short(name)})
}

// short keeps a name the person gave from running over the sketch.
func short(name string) string {
	const most = 14
	if r := []rune(name); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return name
}

// label writes beside a point, dx and dy away on the page.
func (v *view) label(p geom.Vec, dx, dy float64, anchor, text string) {
	x, y := v.at(p)
	v.Labels = append(v.Labels, label{math.Round(x + dx), math.Round(y + dy), anchor, text})
}

// letterWidth is about that of a letter, in units of the view box.
const letterWidth = 7.4

// note writes at a place away from its point and leads there with a line.
func (v *view) note(p geom.Vec, x, y float64, anchor, text string) {
	px, py := v.at(p)
	left, right := x, x
	long := letterWidth * float64(len([]rune(text)))
	switch anchor {
	case "start":
		right += long
	case "end":
		left -= long
	default:
		left, right = x-long/2, x+long/2
	}
	ex, ey := min(max(px, left-3), right+3), y-4
	switch {
	case px < left || px > right:
	case py < y:
		ey = y - 12
	default:
		ey = y + 4
	}
	v.Shapes = append(v.Shapes, shape{"dim", fmt.Sprintf("M%s %sL%s %s", coordinate(ex), coordinate(ey), coordinate(px), coordinate(py))},
		shape{"spot", fmt.Sprintf("M%s %sa2 2 0 1 0 4 0a2 2 0 1 0 -4 0Z", coordinate(px-2), coordinate(py))})
	v.Labels = append(v.Labels, label{x, y, anchor, text})
}

// across draws a dimension between two points, level, at the height z.
func (v *view) across(a, b geom.Vec, z float64, text string) {
	ax, ay := v.at(a)
	bx, by := v.at(b)
	_, y := v.at(geom.Vec{Z: z})
	v.dimension(ax, ay, ax, y)
	v.dimension(bx, by, bx, y)
	v.measured(ax, y, bx, y)
	v.Labels = append(v.Labels, label{math.Round((ax + bx) / 2), math.Round(y - 5), "middle", text})
}

// upright draws a dimension between two points, upright, at y; its text stands
// on the side given, -1 left or 1 right.
func (v *view) upright(a, b geom.Vec, y float64, side float64, text string) {
	ax, ay := v.at(a)
	bx, by := v.at(b)
	x, _ := v.at(geom.Vec{Y: y})
	v.dimension(ax, ay, x, ay)
	v.dimension(bx, by, x, by)
	v.measured(x, ay, x, by)
	anchor := "start"
	if side < 0 {
		anchor = "end"
	}
	v.Labels = append(v.Labels, label{math.Round(x + 5*side), math.Round((ay+by)/2 + 4), anchor, text})
}

// dimension is a thin line of the view box.
func (v *view) dimension(ax, ay, bx, by float64) {
	v.Shapes = append(v.Shapes, shape{"dim", fmt.Sprintf("M%s %sL%s %s", coordinate(ax), coordinate(ay), coordinate(bx), coordinate(by))})
}

// measured is a dimension's line with an arrow at each end; where they would
// not fit between they point in from outside.
func (v *view) measured(ax, ay, bx, by float64) {
	const head, wing = 7.0, 2.3
	n := math.Hypot(bx-ax, by-ay)
	if n == 0 {
		return
	}
	dx, dy := (bx-ax)/n, (by-ay)/n
	k := 1.0
	if n < 2.6*head {
		k = -1
		v.dimension(ax-2*head*dx, ay-2*head*dy, bx+2*head*dx, by+2*head*dy)
	} else {
		v.dimension(ax, ay, bx, by)
	}
	arrow := func(x, y, dx, dy float64) {
		v.Shapes = append(v.Shapes, shape{"spot", fmt.Sprintf("M%s %sL%s %sL%s %sZ", coordinate(x), coordinate(y),
			coordinate(x+head*dx-wing*dy), coordinate(y+head*dy+wing*dx), coordinate(x+head*dx+wing*dy), coordinate(y+head*dy-wing*dx))})
	}
	arrow(ax, ay, k*dx, k*dy)
	arrow(bx, by, -k*dx, -k*dy)
}

// zero marks a work zero: a cross in a ring.
func (v *view) zero(p geom.Vec) {
	x, y := v.at(p)
	v.Shapes = append(v.Shapes, shape{"zero", fmt.Sprintf("M%.1f %.1fa6 6 0 1 0 12 0a6 6 0 1 0 -12 0M%.1f %.1fh22M%.1f %.1fv22", x-6, y, x-11, y, x, y-11)})
}

// axes draws two arrows in the lower left corner.
func (v *view) axes(right, up string) {
	const x, long = 14.0, 30.0
	y := v.H - 14
	v.Shapes = append(v.Shapes, shape{"axis", fmt.Sprintf("M%g %gv%gm-4 8l4 -8l4 8M%g %gh%gm-8 -4l8 4l-8 4", x, y, -long, x, y, long)})
	v.Labels = append(v.Labels, label{x + long + 4, y + 4, "start", right}, label{x, y - long - 5, "middle", up})
}

// named writes a box's name inside it, as far as it is in view.
func (v *view) named(name string, x0, x1, top float64) {
	a, b := max(x0, v.lo.Y), min(x1, v.right())
	if a >= b {
		return
	}
	v.label(geom.Vec{Y: (a + b) / 2, Z: min(top, v.top())}, 0, 18, "middle", short(name))
}
