package figure

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"cogmend/profiles/geom"
)

// Drawing is a drawn page.
type Drawing struct {
	Image *image.RGBA // the pixels
	// Omitted are labels for which the panel had no room, and captions and
	// fields that were cut short.
	Omitted []string
	// Body is how much of the page's height lies above its title block, a share of
	// 1.
	Body float64
}

// colorNone draws nothing.
var colorNone = color.RGBA{}

// Draw draws the figure; scale 1 is the page's own size in pixels. It fails on
// an empty page, a window or a box without size, and points that are no
// numbers.
func (f *Figure) Draw(scale float64) (*Drawing, error) {
	d, _, err := f.draw(scale)
	return d, err
}

func (f *Figure) draw(scale float64) (*Drawing, []*layout, error) {
	if err := f.check(); err != nil {
		return nil, nil, err
	}
	// A tenth is a thumbnail and four is finer than a printer; beyond these
	// lies a mistake.
	if !(scale >= 0.1 && scale <= 4) {
		return nil, nil, fmt.Errorf("figure %q: scale %g is outside 0.1 to 4", f.Picture, scale)
	}
	w, h := math.Round(f.width*scale), math.Round(f.height*scale)
	d := &Drawing{Image: newPage(image.Rect(0, 0, int(w), int(h)))}
	c := newCanvas(d.Image, scale)
	c.lost = &d.Omitted
	c.clear(rgb(paperRGB))
	border := rect{0, 0, f.width, f.height}.inset(pageMargin)
	area := f.foot(c, border)
	d.Body = area.y1 / f.height
	c.frame(border, narrow, rgb(inkRGB))
	var layouts []*layout
	for _, p := range f.Panels {
		l := c.lay(p, rect{
			area.x0 + area.w()*p.Box.Left, area.y0 + area.h()*p.Box.Top,
			area.x0 + area.w()*p.Box.Right, area.y0 + area.h()*p.Box.Bottom,
		}.inset(panelGap))
		inner := c.part(l.frame)
		inner.clear(rgb(panelRGB))
		l.grid(inner)
		var omitted []string
		l.taken, omitted = l.items(inner, p.Items, nil)
		d.Omitted = append(d.Omitted, omitted...)
		l.surround(c)
		layouts = append(layouts, l)
	}
	return d, layouts, nil
}

// items draws the items of a panel, shapes first in their order and then the
// texts, which keep clear of those in taken. It returns where texts are now and
// those that found no room.
func (l *layout) items(c *canvas, items []*Item, taken []rect) (now []rect, omitted []string) {
	for _, it := range items {
		l.shape(c, it)
	}
	room := newPlacer(c, l.frame.w(), l.frame.h(), taken)
	for _, it := range items {
		switch it.Kind {
		case KindText:
			at := l.to(it.Pieces[0][0])
			w := c.width(it.Text, axisLetters)
			room.take(rect{at.x, at.y - axisLetters.size, at.x + w, at.y + 0.3*axisLetters.size})
			if at.x+w > l.frame.w() {
				omitted = append(omitted, it.Text)
			}
			room.later(func() { c.text(at, it.Text, axisLetters, rgb(inkRGB), rgb(panelRGB)) })
		case KindZero:
			p := l.to(it.Pieces[0][0])
			room.take(rect{p.x, p.y, p.x, p.y}.inset(-14))
		case KindDim:
			// Upright dimension lines with their arrows are kept free of
			// text; slanting ones only cost.
			a, b, _, _, _ := dimensionLine(l.to(it.Pieces[0][0]), l.to(it.Pieces[0][1]), it.Offset)
			if a.x == b.x || a.y == b.y {
				room.take(rect{min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)}.inset(-2))
			}
		}
	}
	// Dimensions have the least choice of place, then balloons, then labels.
	for _, kinds := range [][]Kind{{KindDim}, {KindZero, KindBalloon}, {KindLabel}} {
		for _, it := range items {
			if it.Text == "" || len(it.Pieces) == 0 || len(it.Pieces[0]) == 0 {
				continue
			}
			for _, k := range kinds {
				if it.Kind == k && !l.write(c, it, room) {
					omitted = append(omitted, it.Text)
				}
			}
		}
	}
	for _, draw := range room.letters {
		draw()
	}
	return room.taken, omitted
}

// shape draws what an item has besides its text.
func (l *layout) shape(c *canvas, it *Item) {
	k := lookOf(it.Style)
	reach := c.reach()
	switch it.Kind {
	case KindRegion:
		drawRegion(c, k, l.rings(it.Pieces, reach))
	case KindLine:
		c.stroke(clipLine(l.all(it.Pieces[0]), reach), k.width, k.kind, k.line)
	case KindArrow:
		pts := l.all(it.Pieces[0])
		c.arrow(pts[0], pts[1], k, reach)
	case KindDim:
		pts, feet := l.all(it.Pieces[0]), l.all(it.Pieces[len(it.Pieces)-1])
		c.dimension(pts[0], pts[1], feet, it.Offset, reach)
	case KindCross:
		for _, p := range l.all(it.Pieces[0]) {
			if p.inside(reach) {
				c.stroke(cross(p), narrow+1, continuous, k.line)
			}
		}
	case KindDot:
		for _, p := range l.all(it.Pieces[0]) {
			if p.inside(reach) {
				c.disc(p, 6, k.line)
			}
		}
	case KindZero:
		if p := l.to(it.Pieces[0][0]); p.inside(reach) {
			c.zero(p)
		}
	}
}

// cross is the mark of one point.
func cross(p xy) [][]xy {
	const arm = 8
	return [][]xy{{{p.x - arm, p.y}, {p.x + arm, p.y}}, {{p.x, p.y - arm}, {p.x, p.y + arm}}}
}

// markOf returns the kind of mark, cross or dot, that a style stands for in p
// when it stands for nothing else.
func (p *Panel) markOf(s Style) (Kind, bool) {
	var mark Kind
	for _, it := range p.Items {
		if it.Style != s {
			continue
		}
		if it.Kind != KindCross && it.Kind != KindDot {
			return 0, false
		}
		mark = it.Kind
	}
	return mark, mark != 0
}

func (p xy) inside(r rect) bool { return p.x >= r.x0 && p.x <= r.x1 && p.y >= r.y0 && p.y <= r.y1 }

// rings maps polygons to the page, cuts off what is far outside, drops what is
// smaller than can be seen and turns all the same way.
func (l *layout) rings(pieces [][]geom.Vec, reach rect) [][]xy {
	// A third of a pixel both ways leaves no mark; long slivers are kept.
	const least = 1.0 / 3
	var out [][]xy
	for _, piece := range pieces {
		if len(piece) < 3 {
			continue
		}
		box := geom.Bounds(piece)
		a, b := l.to(box.Lo), l.to(box.Hi)
		if b.x < reach.x0 || a.x > reach.x1 || a.y < reach.y0 || b.y > reach.y1 {
			continue
		}
		if b.x-a.x < least && a.y-b.y < least {
			continue
		}
		ring := l.all(piece)
		if geom.Area(piece) < 0 {
			for i, j := 0, len(ring)-1; i < j; i, j = i+1, j-1 {
				ring[i], ring[j] = ring[j], ring[i]
			}
		}
		if ring = clipRing(ring, reach); len(ring) >= 3 {
			out = append(out, ring)
		}
	}
	return out
}

// drawRegion draws rings as one body: the outlines first, twice as wide, and
// then the fill of all over their inner halves, so that only the outer edge of
// the union keeps a line.
func drawRegion(c *canvas, k look, rings [][]xy) {
	if k.fill.A == 0 {
		c.stroke(outline(rings), k.width, k.kind, k.line)
		return
	}
	c.strokeDashed(outline(rings), 2*k.width, k.kind.dashes(k.width*c.scale), k.line)
	c.fill(rings, k.fill)
	if k.hatch != 0 {
		c.stroke(hatchLines(rings, k.hatch), narrow/2, continuous, mix(k.fill, k.line, 0.55))
	}
}

// mix is the colour the share t of the way from a to b.
func mix(a, b color.RGBA, t float64) color.RGBA {
	m := func(x, y uint8) uint8 { return uint8(float64(x) + (float64(y)-float64(x))*t + 0.5) }
	return color.RGBA{m(a.R, b.R), m(a.G, b.G), m(a.B, b.B), 255}
}

func (c *canvas) arrow(a, b xy, k look, reach rect) {
	d := b.minus(a)
	n := d.length()
	if n == 0 {
		return
	}
	d = d.times(1 / n)
	c.stroke(clipLine([]xy{a, b.minus(d.times(min(n, arrowSize/2)))}, reach), k.width, k.kind, k.line)
	if b.inside(reach) {
		c.arrowHead(b, d, k.line)
	}
}

// arrowHead draws a closed filled head of 30 degrees with its point at b.
func (c *canvas) arrowHead(b, d xy, col color.RGBA) {
	side := xy{-d.y, d.x}.times(arrowSize * math.Tan(math.Pi/12))
	back := b.minus(d.times(arrowSize))
	c.fill([][]xy{{b, back.plus(side), back.minus(side)}}, col)
}

// dimensionLine returns the ends of the dimension line and the direction from
// one to the other.
func dimensionLine(a, b xy, offset float64) (p, q, d, out xy, length float64) {
	d = b.minus(a)
	length = d.length()
	if length == 0 {
		return a, b, xy{1, 0}, xy{0, -1}, 0
	}
	d = d.times(1 / length)
	out = xy{d.y, -d.x} // left of the way on a page whose y runs down
	return a.plus(out.times(offset)), b.plus(out.times(offset)), d, out, length
}

// dimension draws extension lines from the feet, the dimension line and its
// arrows, which stand outside when there is no room between.
func (c *canvas) dimension(a, b xy, feet []xy, offset float64, reach rect) {
	p, q, d, out, length := dimensionLine(a, b, offset)
	sign := math.Copysign(1, offset)
	gap, beyond := out.times(4*sign), out.times(8*sign)
	var lines [][]xy
	if math.Abs(offset) > 6 {
		lines = append(lines, []xy{feet[0].plus(gap), p.plus(beyond)}, []xy{feet[1].plus(gap), q.plus(beyond)})
	}
	inward := 1.0
	if length >= 3*arrowSize {
		lines = append(lines, []xy{p, q})
	} else {
		inward = -1
		tail := d.times(2 * arrowSize)
		lines = append(lines, []xy{p.minus(tail), q.plus(tail)})
	}
	ink := rgb(inkRGB)
	for _, l := range lines {
		c.stroke(clipLine(l, reach), narrow, continuous, ink)
	}
	if p.inside(reach) {
		c.arrowHead(p, d.times(-inward), ink)
	}
	if q.inside(reach) {
		c.arrowHead(q, d.times(inward), ink)
	}
}

// zero draws the mark of a program's zero: a cross in a circle with two
// opposite quarters black.
func (c *canvas) zero(p xy) {
	const r = 12
	ink := rgb(inkRGB)
	c.disc(p, r, rgb(panelRGB))
	for _, start := range []float64{0, math.Pi} {
		ring := []xy{p}
		for i := range 13 {
			s, co := math.Sincos(start + math.Pi/2*float64(i)/12)
			ring = append(ring, xy{p.x + r*co, p.y + r*s})
		}
		c.fill([][]xy{ring}, ink)
	}
	circle := make([]xy, 33)
	for i := range circle {
		s, co := math.Sincos(2 * math.Pi * float64(i) / 32)
		circle[i] = xy{p.x + r*co, p.y + r*s}
	}
	c.stroke([][]xy{circle, {{p.x - 22, p.y}, {p.x + 22, p.y}}, {{p.x, p.y - 22}, {p.x, p.y + 22}}}, narrow, continuous, ink)
}
