package figure

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/fogleman/gg"
)

// xy is a point in page pixels, y down.
type xy struct{ x, y float64 }

func (p xy) plus(q xy) xy           { return xy{p.x + q.x, p.y + q.y} }
func (p xy) minus(q xy) xy          { return xy{p.x - q.x, p.y - q.y} }
func (p xy) times(k float64) xy     { return xy{p.x * k, p.y * k} }
func (p xy) dot(q xy) float64       { return p.x*q.x + p.y*q.y }
func (p xy) length() float64        { return math.Hypot(p.x, p.y) }
func lerp(p, q xy, t float64) xy    { return xy{p.x + (q.x-p.x)*t, p.y + (q.y-p.y)*t} }
func (r rect) inset(d float64) rect { return rect{r.x0 + d, r.y0 + d, r.x1 - d, r.y1 - d} }

// rect is a rectangle in page pixels.
type rect struct{ x0, y0, x1, y1 float64 }

func (r rect) w() float64 { return r.x1 - r.x0 }
func (r rect) h() float64 { return r.y1 - r.y0 }
func (r rect) ring() []xy { return []xy{{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}} }
func (r rect) overlaps(q rect) bool {
	return r.x0 < q.x1 && q.x0 < r.x1 && r.y0 < q.y1 && q.y0 < r.y1
}
func (r rect) within(q rect) bool {
	return r.x0 >= q.x0 && r.y0 >= q.y0 && r.x1 <= q.x1 && r.y1 <= q.y1
}

// canvas is a rectangle of the page that clips what is drawn on it. Its
// coordinates are page pixels from its own top left corner; scale turns them
// into device pixels.
type canvas struct {
	im    *image.RGBA
	dc    *gg.Context // made when first asked for: most parts only have areas and plain lines
	scale float64
	lost  *[]string // texts cut short, when someone wants to know
}

func newCanvas(im *image.RGBA, scale float64) *canvas {
	return &canvas{im: im, scale: scale}
}

func (c *canvas) context() *gg.Context {
	if c.dc == nil {
		c.dc = gg.NewContextForRGBA(c.im)
	}
	return c.dc
}

// part returns the canvas of a rectangle of c. It shares c's pixels.
func (c *canvas) part(r rect) *canvas {
	x0, y0 := c.device(r.x0), c.device(r.y0)
	x1, y1 := c.device(r.x1), c.device(r.y1)
	box := image.Rect(x0, y0, x1, y1).Intersect(c.im.Rect)
	sub := &image.RGBA{Pix: c.im.Pix[c.im.PixOffset(box.Min.X, box.Min.Y):], Stride: c.im.Stride,
		Rect: image.Rect(0, 0, box.Dx(), box.Dy())}
	return newCanvas(sub, c.scale)
}

func (c *canvas) device(v float64) int { return int(math.Round(v * c.scale)) }

func (c *canvas) clear(col color.RGBA) {
	draw.Draw(c.im, c.im.Rect, image.NewUniform(col), image.Point{}, draw.Src)
}

// box fills an upright rectangle, snapped to device pixels.
func (c *canvas) box(r rect, col color.RGBA) {
	box := image.Rect(c.device(r.x0), c.device(r.y0), c.device(r.x1), c.device(r.y1))
	draw.Draw(c.im, box, image.NewUniform(col), image.Point{}, draw.Src)
}

// rule draws an upright line as a rectangle, which is sharp at every scale.
func (c *canvas) rule(a, b xy, width float64, col color.RGBA) {
	w := max(1, c.device(width))
	x, y := c.device(a.x)-w/2, c.device(a.y)-w/2
	r := image.Rect(x, y, c.device(b.x)-w/2+w, c.device(b.y)-w/2+w)
	draw.Draw(c.im, r, image.NewUniform(col), image.Point{}, draw.Src)
}

func (c *canvas) frame(r rect, width float64, col color.RGBA) {
	k := r.ring()
	c.rule(k[0], k[1], width, col)
	c.rule(k[1], k[2], width, col)
	c.rule(k[3], k[2], width, col)
	c.rule(k[0], k[3], width, col)
}

// clipReach is how far beyond the canvas shapes are kept, in page pixels: more
// than any line width, so that the edges made by clipping are never seen.
const clipReach = 24

func (c *canvas) reach() rect {
	b := c.im.Rect
	return rect{0, 0, float64(b.Dx()) / c.scale, float64(b.Dy()) / c.scale}.inset(-clipReach)
}

// path puts lines into the drawing context. Points closer than a
// third of a device pixel to the last one are left out: they do not show, and
// the stroker spends its time on them.
func (c *canvas) path(lines [][]xy) {
	const least = 1.0 / 3
	dc := c.context()
	for _, l := range lines {
		var last xy
		for i, p := range l {
			p = p.times(c.scale)
			switch {
			case i == 0:
				dc.NewSubPath()
				dc.MoveTo(p.x, p.y)
			case i < len(l)-1 && math.Abs(p.x-last.x) < least && math.Abs(p.y-last.y) < least:
				continue
			default:
				dc.LineTo(p.x, p.y)
			}
			last = p
		}
	}
}

// fill fills the union of rings that all run the same way round.
func (c *canvas) fill(rings [][]xy, col color.RGBA) {
	s := newShape()
	for _, r := range rings {
		s.ring(c.scale, r...)
	}
	s.paint(c.im, col)
}

// strokeBatch is the number of points stroked at once. The rasteriser's time
// grows with the square of the edges on one row of pixels.
const strokeBatch = 40

// stroke draws lines of a width in page pixels.
func (c *canvas) stroke(lines [][]xy, width float64, kind lineType, col color.RGBA) {
	c.strokeDashed(lines, width, kind.dashes(width*c.scale), col)
}

// strokeDashed is stroke with a dash pattern in device pixels, none for a
// continuous line.
func (c *canvas) strokeDashed(lines [][]xy, width float64, pattern []float64, col color.RGBA) {
	if pattern == nil {
		c.strokeSolid(lines, width, col)
		return
	}
	dc := c.context()
	dc.SetColor(col)
	dc.SetLineWidth(width * c.scale)
	dc.SetDash(pattern...)
	dc.SetLineCapButt() // dashes need square cut ends
	from, n := 0, 0
	for i, l := range lines {
		if n += len(l); n < strokeBatch && i < len(lines)-1 {
			continue
		}
		c.path(lines[from : i+1])
		dc.Stroke()
		from, n = i+1, 0
	}
}

func (c *canvas) disc(at xy, r float64, col color.RGBA) {
	dc := c.context()
	dc.SetColor(col)
	dc.DrawCircle(at.x*c.scale, at.y*c.scale, r*c.scale)
	dc.Fill()
}

// lettering is a type size in page pixels and a weight.
type lettering struct {
	size float64
	bold bool
}

func (c *canvas) width(s string, l lettering) float64 {
	return faceOf(l.size*c.scale, l.bold).width(s) / c.scale
}

// text writes s with its left end at at.x and its base line at at.y. A halo
// with zero alpha is not drawn.
func (c *canvas) text(at xy, s string, l lettering, ink, halo color.RGBA) {
	faceOf(l.size*c.scale, l.bold).draw(c.im, at.x*c.scale, at.y*c.scale, s, ink, halo)
}

// fit shortens s to the width w, with an ellipsis when anything is lost.
func (c *canvas) fit(s string, l lettering, w float64) string {
	if c.width(s, l) <= w {
		return s
	}
	if c.lost != nil {
		*c.lost = append(*c.lost, s)
	}
	r := []rune(s)
	for len(r) > 0 && c.width(string(r)+"…", l) > w {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// clipLine returns the parts of a polyline inside r.
func clipLine(l []xy, r rect) [][]xy {
	var out [][]xy
	var run []xy
	for i := 1; i < len(l); i++ {
		a, b, ok := clipSegment(l[i-1], l[i], r)
		if !ok {
			continue
		}
		if len(run) == 0 || run[len(run)-1] != a {
			if len(run) > 1 {
				out = append(out, run)
			}
			run = []xy{a}
		}
		run = append(run, b)
	}
	if len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// clipSegment is the clipping of Liang and Barsky (ACM TOG 3(1), 1984).
func clipSegment(a, b xy, r rect) (xy, xy, bool) {
	t0, t1 := 0.0, 1.0
	d := b.minus(a)
	for _, e := range [4][2]float64{{-d.x, a.x - r.x0}, {d.x, r.x1 - a.x}, {-d.y, a.y - r.y0}, {d.y, r.y1 - a.y}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	if t0 > t1 {
		return a, b, false
	}
	from, to := a, b
	if t0 > 0 {
		from = lerp(a, b, t0)
	}
	if t1 < 1 {
		to = lerp(a, b, t1)
	}
	return from, to, true
}

// clipRing cuts a polygon to r, side by side (Sutherland and Hodgman, CACM
// 17(1), 1974). A polygon that is not convex may keep edges along r.
func clipRing(ring []xy, r rect) []xy {
	inside := true
	for _, p := range ring {
		inside = inside && p.x >= r.x0 && p.x <= r.x1 && p.y >= r.y0 && p.y <= r.y1
	}
	if inside {
		return ring
	}
	for _, side := range [4]func(xy) float64{
		func(p xy) float64 { return p.x - r.x0 }, func(p xy) float64 { return r.x1 - p.x },
		func(p xy) float64 { return p.y - r.y0 }, func(p xy) float64 { return r.y1 - p.y },
	} {
		var out []xy
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			dp, dq := side(p), side(q)
			if dp >= 0 {
				out = append(out, p)
			}
			if (dp >= 0) != (dq >= 0) {
				out = append(out, lerp(p, q, dp/(dp-dq)))
			}
		}
		ring = out
	}
	return ring
}
