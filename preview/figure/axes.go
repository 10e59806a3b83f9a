package figure

import (
	"math"
	"strconv"
	"strings"

	"cogmend/profiles/geom"
)

// layout is where the parts of a panel lie on the page, and how its window
// maps to the pixels of its frame.
type layout struct {
	p          *Panel
	outer      rect
	frame      rect
	min, max   geom.Vec // window after it grew to fill the frame
	kx, kz     float64  // page pixels per millimetre
	across, up []tick
	upAbove    bool // the name of the left axis has a line of its own
	keys       []Style
	keyAt      []xy   // left end of each legend entry, on its base line
	taken      []rect // where texts are, in the frame
}

// tick is one labelled step of an axis.
type tick struct {
	at   float64 // mm
	text string
}

// to maps the world to pixels of the frame, y down from its top left.
func (l *layout) to(v geom.Vec) xy {
	return xy{(v.Y - l.min.Y) * l.kx, (l.max.Z - v.Z) * l.kz}
}

func (l *layout) all(pts []geom.Vec) []xy {
	out := make([]xy, len(pts))
	for i, v := range pts {
		out[i] = l.to(v)
	}
	return out
}

const (
	captionRow  = 40.0 // height of the caption with the scale bar
	captionLine = 27.0 // height of a line under it
	tickRow     = tickLength + 28
	keyRow      = 32.0 // height of a legend line
	keyBox      = 34.0 // width of a colour sample
	keyGap      = 26.0
	tickSpaceX  = 90.0 // least distance of labelled steps
	tickSpaceZ  = 64.0
	// A longer name of the left axis gets a line of its own above.
	widestUpName = 80.0
)

var axisLetters = lettering{sizeSmall, false}

// lay finds the layout of p inside outer.
func (c *canvas) lay(p *Panel, outer rect) *layout {
	l := &layout{p: p, outer: outer}
	top := 4.0
	if p.Caption != "" || (p.Equal && !p.NoScale) {
		top = captionRow
	}
	top += captionLine * float64(len(p.Lines))
	l.layKeys(c)
	bottom := 0.0
	if n := len(l.keyAt); n > 0 {
		bottom = l.keyAt[n-1].y + 10
	}
	if p.Bare {
		l.fill(rect{outer.x0, outer.y0 + top, outer.x1, outer.y1 - bottom})
		l.placeKeys()
		return l
	}
	// The width of the numbers depends on the steps and these on the frame,
	// hence two rounds.
	name := c.width(p.Up.title(), axisLetters)
	l.upAbove = name > widestUpName
	column := 60.0
	for range 2 {
		above := top
		if l.upAbove {
			above += 32
		}
		l.fill(rect{outer.x0 + column + tickLength + 6, outer.y0 + above, outer.x1 - 6, outer.y1 - bottom - tickRow})
		o := p.Origin
		l.across = moved(ticks(l.min.Y-o.Y, l.max.Y-o.Y, p.Across.Unit, l.frame.w()/tickSpaceX), o.Y)
		l.up = nil
		if p.Up.title() != "" {
			l.up = moved(ticks(l.min.Z-o.Z, l.max.Z-o.Z, p.Up.Unit, l.frame.h()/tickSpaceZ), o.Z)
		}
		column = 0
		for _, t := range l.up {
			column = max(column, c.width(t.text, axisLetters))
		}
		if !l.upAbove {
			column = max(column, name)
		}
	}
	l.placeKeys()
	return l
}

// fill sets the frame and the mapping.
func (l *layout) fill(frame rect) {
	p := l.p
	frame.x1, frame.y1 = max(frame.x1, frame.x0+1), max(frame.y1, frame.y0+1)
	l.frame, l.min, l.max = frame, p.Min, p.Max
	d := p.Max.Sub(p.Min)
	l.kx, l.kz = frame.w()/d.Y, frame.h()/d.Z
	if !p.Equal {
		return
	}
	k := min(l.kx, l.kz)
	grow := geom.Vec{Y: (frame.w()/k - d.Y) / 2, Z: (frame.h()/k - d.Z) / 2}
	l.kx, l.kz, l.min, l.max = k, k, p.Min.Sub(grow), p.Max.Add(grow)
}

// ticks returns the labelled steps between two worlds ends, at most the given
// number of them.
func ticks(lo, hi float64, u Unit, most float64) []tick {
	k := u.PerMM()
	step := niceStep((hi - lo) * k / max(1, most))
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	var out []tick
	// The margin lets an end that is a step but for rounding be one.
	const margin = 1e-6
	for n := math.Ceil(lo*k/step - margin); n <= hi*k/step+margin; n++ {
		s := strconv.FormatFloat(n*step, 'f', decimals, 64)
		if n == 0 {
			s = "0"
		}
		out = append(out, tick{n * step / k, strings.Replace(s, "-", "−", 1)})
	}
	return out
}

// moved shifts ticks that were found from another origin.
func moved(list []tick, by float64) []tick {
	for i := range list {
		list[i].at += by
	}
	return list
}

// niceStep is the least of 1, 2, 5 times a power of ten that is at least v.
func niceStep(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= v*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// layKeys breaks the legend into lines; y counts from the panel's bottom until
// placeKeys knows where that is.
func (l *layout) layKeys(c *canvas) {
	l.keys = l.p.legend()
	x, row := 0.0, 1
	for _, s := range l.keys {
		w := keyWidth(s) + 8 + c.width(l.p.legendText(s), axisLetters)
		if x > 0 && x+w > l.outer.w() {
			x, row = 0, row+1
		}
		l.keyAt = append(l.keyAt, xy{l.outer.x0 + x, float64(row) * keyRow})
		x += w + keyGap
	}
}

func (l *layout) placeKeys() {
	if len(l.keyAt) == 0 {
		return
	}
	bottom := l.keyAt[len(l.keyAt)-1].y
	for i := range l.keyAt {
		l.keyAt[i].y += l.outer.y1 - bottom - 8
	}
}

// keyWidth is the width of a style's sample in the legend.
func keyWidth(s Style) float64 {
	k := lookOf(s)
	if k.fill.A != 0 {
		return keyBox
	}
	// A line shows its whole pattern and the beginning of the next.
	w := 12 * k.width
	for _, d := range k.kind.dashes(k.width) {
		w += d
	}
	return w
}

// surround draws everything outside the frame: caption, scale bar, axes, legend.
func (l *layout) surround(c *canvas) {
	p := l.p
	ink := rgb(inkRGB)
	right := l.outer.x1 - 6
	base := l.outer.y0 + 28
	if p.Equal && !p.NoScale {
		right = l.scaleBar(c, right, base)
	}
	caption := lettering{sizeCaption, true}
	if c.width(p.Caption, caption) > right-l.outer.x0-20 {
		caption.size = sizeSmall
	}
	c.text(xy{l.outer.x0, base}, c.fit(p.Caption, caption, right-l.outer.x0-20), caption, ink, colorNone)
	for i, s := range p.Lines {
		c.text(xy{l.outer.x0, base + captionLine*float64(i+1)}, c.fit(s, axisLetters, l.outer.w()), axisLetters, ink, colorNone)
	}
	if !p.Bare {
		l.axes(c)
	}
	c.frame(l.frame, narrow, ink)
	for i, s := range l.keys {
		l.key(c, s, l.keyAt[i])
	}
}

// scaleBar draws a bar of a round length ending at the right and returns where
// it begins.
func (l *layout) scaleBar(c *canvas, right, base float64) float64 {
	u := l.p.Across.Unit
	perUnit := l.kx / u.PerMM()
	length := niceStep(90 / perUnit)
	text := num(length) + " " + u.name()
	w := length * perUnit
	x0 := right - w
	mid := base - 8
	// Four parts, every other one black.
	for i := range 4 {
		part := rect{x0 + w*float64(i)/4, mid - 5, x0 + w*float64(i+1)/4, mid + 5}
		c.box(part, rgb(panelRGB))
		if i%2 == 0 {
			c.box(part, rgb(inkRGB))
		}
	}
	c.frame(rect{x0, mid - 5, right, mid + 5}, narrow, rgb(inkRGB))
	x0 -= c.width(text, axisLetters) + 10
	c.text(xy{x0, base}, text, axisLetters, rgb(inkRGB), colorNone)
	return x0
}

// grid draws faint lines at the steps, on the frame's own canvas.
func (l *layout) grid(c *canvas) {
	for _, t := range l.across {
		x := l.to(geom.Vec{Y: t.at}).x
		c.rule(xy{x, 0}, xy{x, l.frame.h()}, narrow/2, rgb(gridRGB))
	}
	for _, t := range l.up {
		y := l.to(geom.Vec{Z: t.at}).y
		c.rule(xy{0, y}, xy{l.frame.w(), y}, narrow/2, rgb(gridRGB))
	}
}

func (l *layout) axes(c *canvas) {
	ink, muted := rgb(inkRGB), rgb(mutedRGB)
	f := l.frame
	// The axis names stand at the ends of the rows of numbers and push out
	// the numbers that they would cover.
	name := l.p.Across.title()
	nameX := f.x1 - c.width(name, axisLetters)
	base := f.y1 + tickLength + 22
	c.text(xy{nameX, base}, name, axisLetters, ink, colorNone)
	for _, t := range l.across {
		x := f.x0 + l.to(geom.Vec{Y: t.at}).x
		c.rule(xy{x, f.y1}, xy{x, f.y1 + tickLength}, narrow, ink)
		w := c.width(t.text, axisLetters)
		if x+w/2 < nameX-12 && x-w/2 >= l.outer.x0 {
			c.text(xy{x - w/2, base}, t.text, axisLetters, muted, colorNone)
		}
	}
	right := f.x0 - tickLength - 4
	upName := l.p.Up.title()
	clear := f.y0 + 12 // lowest base line that the name takes
	if l.upAbove {
		c.text(xy{l.outer.x0, f.y0 - 15}, upName, axisLetters, ink, colorNone)
		clear = f.y0
	} else {
		c.text(xy{right - c.width(upName, axisLetters), f.y0 + 12}, upName, axisLetters, ink, colorNone)
		clear += 26
	}
	for _, t := range l.up {
		y := f.y0 + l.to(geom.Vec{Z: t.at}).y
		c.rule(xy{f.x0 - tickLength, y}, xy{f.x0, y}, narrow, ink)
		if y+8 > clear && y+8 < f.y1+14 {
			c.text(xy{right - c.width(t.text, axisLetters), y + 8}, t.text, axisLetters, muted, colorNone)
		}
	}
}

// key draws a legend entry with its left end on the base line at.
func (l *layout) key(c *canvas, s Style, at xy) {
	k := lookOf(s)
	w := keyWidth(s)
	if k.fill.A != 0 {
		sample := rect{at.x + 2, at.y - 17, at.x + w - 2, at.y + 2}
		part := c.part(sample)
		drawRegion(part, k, [][]xy{rect{0, 0, sample.w(), sample.h()}.ring()})
		c.frame(sample, narrow, k.line)
	} else if mark, ok := l.p.markOf(s); ok {
		m := xy{at.x + w/2, at.y - 8}
		if mark == KindDot {
			c.disc(m, 6, k.line)
		} else {
			c.stroke(cross(m), narrow+1, continuous, k.line)
		}
	} else {
		c.stroke([][]xy{{{at.x, at.y - 8}, {at.x + w, at.y - 8}}}, k.width, k.kind, k.line)
	}
	c.text(xy{at.x + w + 8, at.y}, l.p.legendText(s), axisLetters, rgb(inkRGB), colorNone)
}
