package preview

import (
	"image"
	"image/color"
	"math"
	"sync"
)

// area adds up how much of each pixel lies inside polygons. An edge adds, to
// the pixels of its row, the signed height it spans and the part of it to its
// right; summed from the left that is the covered area. Polygons that run the
// same way round and share an edge cancel it exactly, so their union shows no
// seam, and the time grows with the edges only, not with their square.
type area struct {
	w, h  int
	cover []float32 // rows of w+2: an edge on the right border writes beyond it
	lo    []int     // the first and the last cell of each row that an edge met
	hi    []int
}

// covers keeps the memory of areas between shapes.
var covers sync.Pool

func newArea(w, h int) *area {
	n := (w + 2) * h
	a := &area{w: w, h: h, lo: make([]int, h), hi: make([]int, h)}
	for y := range a.lo {
		a.lo[y] = w
	}
	if c, ok := covers.Get().(*[]float32); ok && cap(*c) >= n {
		a.cover = (*c)[:n]
		clear(a.cover)
	} else {
		a.cover = make([]float32, n)
	}
	return a
}

// release gives the memory back; the area must not be used any more.
func (a *area) release() {
	cover := a.cover
	covers.Put(&cover)
	a.cover = nil
}

// edge adds the edge from p to q, in pixels of the area.
func (a *area) edge(p, q xy) {
	sense := 1.0
	if p.y > q.y {
		p, q, sense = q, p, -1
	}
	top, bottom := max(p.y, 0), min(q.y, float64(a.h))
	if !(top < bottom) {
		return
	}
	slope := (q.x - p.x) / (q.y - p.y)
	x := func(y float64) float64 { return min(max(p.x+(y-p.y)*slope, 0), float64(a.w)) }
	for row := int(top); row < a.h && float64(row) < bottom; row++ {
		y0, y1 := max(top, float64(row)), min(bottom, float64(row+1))
		x0, x1 := x(y0), x(y1)
		a.lo[row] = min(a.lo[row], int(x0), int(x1))
		a.hi[row] = max(a.hi[row], int(x0)+1, int(x1)+1)
		a.row(a.cover[row*(a.w+2):], x0, x1, sense*(y1-y0))
	}
}

// row spreads the height d of an edge that runs from x0 to x1 within one row.
func (a *area) row(cells []float32, x0, x1, d float64) {
	if x0 > x1 {
		x0, x1 = x1, x0
	}
	for k := int(x0); ; k++ {
		from, to := max(x0, float64(k)), min(x1, float64(k+1))
		part := d
		if x1 > x0 {
			part *= (to - from) / (x1 - x0)
		}
		left := part * ((from+to)/2 - float64(k))
		cells[k] += float32(part - left)
		cells[k+1] += float32(left)
		if x1 <= float64(k+1) {
			return
		}
	}
}

// paint lays a colour on the image where the area is, its pixel (0, 0) at at.
func (a *area) paint(im *image.RGBA, at image.Point, c color.RGBA) {
	// Sums of many edges are off by rounding; half a step of eight bits is
	// not seen.
	const least = 1.0 / 512
	for y := range a.h {
		pix := im.Pix[im.PixOffset(at.X, at.Y+y):]
		sum := float32(0)
		cells := a.cover[y*(a.w+2):][:a.w]
		for x := a.lo[y]; x < min(a.w, a.hi[y]+1); x++ {
			sum += cells[x]
			if sum < least && sum > -least {
				continue
			}
			t := math.Abs(float64(sum))
			px := pix[4*x:][:4]
			if t > 1-least {
				px[0], px[1], px[2], px[3] = c.R, c.G, c.B, 255
				continue
			}
			m := mix(color.RGBA{px[0], px[1], px[2], 255}, c, t)
			px[0], px[1], px[2] = m.R, m.G, m.B
		}
	}
}
