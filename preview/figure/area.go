package figure

import (
	"image"
	"image/color"
	"math"
	"math/bits"
	"slices"
	"sync"
)

// shape is polygons that are filled as one, by their edges in device pixels.
type shape struct {
	edges  []edge
	lo, hi xy // bounds
	band   area
}

// edge runs down from (x, top) to bottom, moving slope to the right with every
// pixel. Its sense is 1, or -1 if the polygon runs up along it.
type edge struct{ x, top, bottom, slope, sense float64 }

// shapes keeps the memory of shapes that were painted.
var shapes = sync.Pool{New: func() any { return new(shape) }}

func newShape() *shape {
	s := shapes.Get().(*shape)
	s.edges = s.edges[:0]
	s.lo, s.hi = xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	return s
}

// ring adds a polygon, its points times scale. All must run the same way round.
func (s *shape) ring(scale float64, points ...xy) {
	p := points[len(points)-1].times(scale)
	for _, q := range points {
		q = q.times(scale)
		s.lo, s.hi = xy{min(s.lo.x, q.x), min(s.lo.y, q.y)}, xy{max(s.hi.x, q.x), max(s.hi.y, q.y)}
		switch slope := (q.x - p.x) / (q.y - p.y); {
		case p.y < q.y:
			s.edges = append(s.edges, edge{p.x, p.y, q.y, slope, 1})
		case p.y > q.y:
			s.edges = append(s.edges, edge{q.x, q.y, p.y, slope, -1})
		}
		p = q
	}
}

// bandHeight is how many rows of pixels are painted at once: few enough that
// their cover stays in the processor's cache.
const bandHeight = 64

// paint lays a colour on the image where the shape is. The shape must not be
// used any more.
func (s *shape) paint(im *image.RGBA, c color.RGBA) {
	defer shapes.Put(s)
	lo, hi := toPixels(s.lo, im.Rect, math.Floor), toPixels(s.hi, im.Rect, math.Ceil)
	for y := lo.Y; y < hi.Y && lo.X < hi.X; y += bandHeight {
		s.band.reset(hi.X-lo.X, min(bandHeight, hi.Y-y))
		for _, e := range s.edges {
			e.x -= float64(lo.X)
			e.top -= float64(y)
			e.bottom -= float64(y)
			s.band.edge(e)
		}
		s.band.paint(im, image.Pt(lo.X, y), c)
	}
}

// toPixels rounds a point to pixels and moves it into r.
func toPixels(p xy, r image.Rectangle, round func(float64) float64) image.Point {
	within := func(v float64, lo, hi int) int { return int(min(max(round(v), float64(lo)), float64(hi))) }
	return image.Pt(within(p.x, r.Min.X, r.Max.X), within(p.y, r.Min.Y, r.Max.Y))
}

// area adds up how much of each pixel lies inside polygons. An edge adds, to
// the pixels of its row, the signed height it spans and the part of it to its
// right; summed from the left that is the covered area. Polygons that run the
// same way round and share an edge cancel it exactly, so their union shows no
// seam, and the time grows with the edges only, not with their square.
type area struct {
	w, h  int
	cover []float32 // rows of w+2: an edge on the right border writes beyond it
	met   []uint64  // rows of words: a bit for every cell that an edge met
	words int       // of a row in met
	solid []byte    // a row of pixels of one colour
}

// reset gives an area without edges another size.
func (a *area) reset(w, h int) {
	a.w, a.h, a.words = w, h, (w+2+63)/64
	if n := (w + 2) * h; n > len(a.cover) {
		a.cover = make([]float32, n)
	}
	if n := a.words * h; n > len(a.met) {
		a.met = make([]uint64, n)
	}
}

// edge adds an edge, in pixels of the area.
func (a *area) edge(e edge) {
	top, bottom := max(e.top, 0), min(e.bottom, float64(a.h))
	if !(top < bottom) {
		return
	}
	right := float64(a.w)
	y0, x0 := top, min(max(e.x+(top-e.top)*e.slope, 0), right)
	for row := int(top); y0 < bottom; row++ {
		y1 := min(bottom, float64(row+1))
		x1 := min(max(e.x+(y1-e.top)*e.slope, 0), right)
		a.row(row, x0, x1, e.sense*(y1-y0))
		y0, x0 = y1, x1
	}
}

// row spreads the height d of an edge that runs from x0 to x1 within one row.
func (a *area) row(row int, x0, x1, d float64) {
	cells, met := a.cover[row*(a.w+2):], a.met[row*a.words:]
	if x0 > x1 {
		x0, x1 = x1, x0
	}
	for k := int(x0); ; k++ {
		from, to := max(x0, float64(k)), min(x1, float64(k+1))
		part := d
		if to-from < x1-x0 {
			part *= (to - from) / (x1 - x0)
		}
		left := part * ((from+to)/2 - float64(k))
		cells[k] += float32(part - left)
		cells[k+1] += float32(left)
		met[k/64] |= 1 << (k % 64)
		met[(k+1)/64] |= 1 << ((k + 1) % 64)
		if x1 <= float64(k+1) {
			return
		}
	}
}

// paint lays a colour on the image where the area is, its pixel (0, 0) at at,
// and takes all edges away.
func (a *area) paint(im *image.RGBA, at image.Point, c color.RGBA) {
	a.solid = slices.Grow(a.solid[:0], 4*a.w)[:4*a.w]
	solid := a.solid
	for i := 0; i < len(solid); i += 4 {
		solid[i], solid[i+1], solid[i+2], solid[i+3] = c.R, c.G, c.B, 255
	}
	for y := range a.h {
		pix := im.Pix[im.PixOffset(at.X, at.Y+y):]
		cells := a.cover[y*(a.w+2):][:a.w+2]
		// Between the cells that edges met the sum stays as it is.
		from, sum := 0, float32(0)
		for i, word := range a.met[y*a.words:][:a.words] {
			for ; word != 0; word &= word - 1 {
				x := 64*i + bits.TrailingZeros64(word)
				if x > from {
					lay(pix[4*from:4*min(x, a.w)], solid, c, sum)
				}
				from, sum = x, sum+cells[x]
				cells[x] = 0
			}
		}
		clear(a.met[y*a.words:][:a.words])
		if from < a.w {
			lay(pix[4*from:4*a.w], solid, c, sum)
		}
	}
}

// lay lays a colour on pixels that are covered by the share sum, or -sum.
func lay(pix, solid []byte, c color.RGBA, sum float32) {
	// Sums of many edges are off by rounding; half a step of eight bits is
	// not seen.
	const least = 1.0 / 512
	t := math.Abs(float64(sum))
	if t < least {
		return
	}
	if t > 1-least {
		copy(pix, solid)
		return
	}
	for ; len(pix) > 0; pix = pix[4:] {
		m := mix(color.RGBA{pix[0], pix[1], pix[2], 255}, c, t)
		pix[0], pix[1], pix[2] = m.R, m.G, m.B
	}
}
