package figure

import "math"

var labelLetters = lettering{sizeText, false}

// write places the text of an item and draws its leader; the letters follow
// when all leaders are drawn. It is false when there is no room.
func (l *layout) write(c *canvas, it *Item, room *placer) bool {
	at := l.to(it.Pieces[0][0])
	if it.Kind == KindDim {
		return c.dimensionText(at, l.to(it.Pieces[0][1]), it.Offset, it.Text, room)
	}
	prefer, text := xy{it.Prefer.Y * l.kx, -it.Prefer.Z * l.kz}, it.Text
	if h := l.frame.h(); it.Kind == KindZero && at.y > h && at.x >= 0 && at.x <= l.frame.w() {
		at.y, text = h-zeroBelow-arrowSize, text+" below"
		c.arrow(at, xy{at.x, h - zeroBelow/2}, lookOf(Edge), c.reach())
	}
	if !at.inside(rect{0, 0, l.frame.w(), l.frame.h()}) {
		return false // nothing to point at
	}
	if it.Kind == KindBalloon {
		return c.balloon(at, it.Text, prefer, room)
	}
	lines := c.labelLines(text)
	w, h := c.labelSize(lines)
	r, ok := room.find(at, w, h, prefer)
	if !ok {
		return false
	}
	if it.Kind == KindLabel || nearest(r, at).minus(at).length() > 2*nearText {
		c.leader(at, r, it.Kind == KindLabel, room)
	}
	room.later(func() { c.labelText(r, lines) })
	return true
}

// zeroBelow is the length of the arrow to a zero below the panel, page pixels.
const zeroBelow = 40

// labelWidth is the length beyond which a label is broken into lines.
const labelWidth = 240.0

// labelLines breaks a long label into lines of about the same length.
func (c *canvas) labelLines(text string) []string {
	w := c.width(text, labelLetters)
	if w <= labelWidth {
		return []string{text}
	}
	return c.wrap(text, labelLetters, max(0.6*labelWidth, 1.15*w/math.Ceil(w/labelWidth)))
}

func (c *canvas) labelSize(lines []string) (w, h float64) {
	for _, s := range lines {
		w = max(w, c.width(s, labelLetters))
	}
	return w + 2*textPad, labelLetters.size*1.1*float64(len(lines)) + 2*textPad
}

func (c *canvas) labelText(r rect, lines []string) {
	y := r.y0 + textPad + 0.86*labelLetters.size
	for _, s := range lines {
		c.text(xy{r.x0 + textPad, y}, s, labelLetters, rgb(inkRGB), rgb(panelRGB))
		y += 1.1 * labelLetters.size
	}
}

// nearText is the distance within which a text needs no leader, page pixels.
const nearText = 20

// leader draws the thin line from a text to its point, ended by a dot.
func (c *canvas) leader(at xy, r rect, dot bool, room *placer) {
	end := nearest(r, at)
	if end.minus(at).length() <= nearText {
		return
	}
	line := []xy{at, end}
	c.stroke([][]xy{line}, narrow, continuous, rgb(inkRGB))
	if dot {
		c.disc(at, 4, rgb(inkRGB))
	}
	room.mark(at, end)
}

// dimensionText writes the text beside its line, outside first, or beyond its
// ends: never across the line, which could be read as a minus.
func (c *canvas) dimensionText(a, b xy, offset float64, text string, room *placer) bool {
	p, q, d, out, length := dimensionLine(a, b, offset)
	lines := []string{text}
	w, h := c.labelSize(lines)
	mid := lerp(p, q, 0.5)
	// Half the text's size along the line and square to it.
	along := math.Abs(d.x)*w/2 + math.Abs(d.y)*h/2
	side := math.Abs(out.x)*w/2 + math.Abs(out.y)*h/2
	over := out.times((side + 6) * math.Copysign(1, offset))
	beyond := d.times(length/2 + along + 2.2*arrowSize)
	best, bestCost := rect{}, math.Inf(1)
	for _, try := range []struct {
		m    xy
		cost float64
	}{{mid.plus(over), 0}, {mid.minus(over), 20}, {mid.plus(beyond), 150}, {mid.minus(beyond), 170}} {
		r := rect{try.m.x - w/2, try.m.y - h/2, try.m.x + w/2, try.m.y + h/2}
		// The dimension's own line must not count: it is in other cells than
		// what lies this much inside.
		inner := r.inset(cellSize/2 + 1)
		if cost := try.cost + costPerCell*room.busy(inner); cost < bestCost && room.free(r) {
			best, bestCost = r, cost
		}
	}
	if math.IsInf(bestCost, 1) {
		var ok bool
		if best, ok = room.find(mid, w, h, xy{}); !ok {
			return false
		}
		c.leader(mid, best, true, room)
	} else {
		room.take(best)
	}
	room.later(func() { c.labelText(best, lines) })
	return true
}

// balloon draws a text in a circle and a leader from the circle to the point.
func (c *canvas) balloon(at xy, text string, prefer xy, room *placer) bool {
	w := c.width(text, labelLetters)
	radius := max(17, w/2+7)
	// The circle keeps its distance so that the leader shows.
	const gap = 14
	r, ok := room.find(at, 2*(radius+gap), 2*(radius+gap), prefer)
	if !ok {
		return false
	}
	room.taken[len(room.taken)-1] = r.inset(gap - 2)
	centre := xy{(r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2}
	line := []xy{at, centre}
	room.mark(at, centre)
	c.stroke([][]xy{line}, narrow, continuous, rgb(inkRGB))
	room.later(func() {
		c.disc(centre, radius+narrow, rgb(inkRGB))
		c.disc(centre, radius, rgb(panelRGB))
		c.text(xy{centre.x - w/2, centre.y + 0.36*labelLetters.size}, text, labelLetters, rgb(inkRGB), colorNone)
	})
	return true
}
