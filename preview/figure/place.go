package figure

import (
	"math"
	"slices"
)

// placer finds room for texts inside a frame. It knows the rectangles already
// taken and, in coarse cells, where lines run and dark parts lie, so that it
// can keep clear of them when there is a choice.
type placer struct {
	frame   rect
	taken   []rect
	cols    int
	rows    int
	cells   []uint8 // 0 blank to 255, a black line
	letters []func()
}

// cellSize is the width of a cell in page pixels, about half a letter's height.
const cellSize = 10.0

// newPlacer looks at what is drawn on c. Texts placed before are in taken.
func newPlacer(c *canvas, w, h float64, taken []rect) *placer {
	cols, rows := int(w/cellSize)+1, int(h/cellSize)+1
	p := &placer{frame: rect{0, 0, w, h}.inset(6), taken: slices.Clone(taken),
		cols: cols, rows: rows, cells: make([]uint8, cols*rows)}
	light, dark := make([]uint8, len(p.cells)), make([]uint8, len(p.cells))
	for i := range dark {
		dark[i] = 255
	}
	// Every other pixel is enough to meet every line, none being thinner
	// than that except hatching, which may well lie under a text.
	colOf := make([]int, c.im.Rect.Dx())
	for x := range colOf {
		colOf[x] = min(cols-1, int(float64(x)/c.scale/cellSize))
	}
	for y := 0; y < c.im.Rect.Dy(); y += 2 {
		row := min(rows-1, int(float64(y)/c.scale/cellSize)) * cols
		line := c.im.Pix[y*c.im.Stride:]
		cell, last := -1, uint8(0)
		for x := 0; x < len(colOf); x += 2 {
			i := row + colOf[x]
			v := line[4*x+1] // green is most of what the eye takes for lightness
			if i == cell && v == last {
				continue
			}
			light[i], dark[i] = max(light[i], v), min(dark[i], v)
			cell, last = i, v
		}
	}
	for i := range p.cells {
		if light[i] < dark[i] {
			continue // beyond the last pixel
		}
		// Contrast is a line; an even part disturbs when it is dark.
		p.cells[i] = max(light[i]-dark[i], 160-min(160, light[i]))
	}
	return p
}

// mark notes that a line runs here.
func (p *placer) mark(a, b xy) {
	a, b, ok := clipSegment(a, b, p.frame)
	if !ok {
		return
	}
	steps := int(b.minus(a).length()/cellSize) + 1
	for k := 0; k <= steps; k++ {
		m := lerp(a, b, float64(k)/float64(steps))
		p.cells[int(m.y/cellSize)*p.cols+int(m.x/cellSize)] = 255
	}
}

// busy is the number of cells under r that hold a line, faint ones in a part
// that falls with the square: a text is read well over hatching, but badly
// where a heavy line strikes it out.
func (p *placer) busy(r rect) float64 {
	n := 0
	for y := max(0, int(r.y0/cellSize)); y <= min(p.rows-1, int(r.y1/cellSize)); y++ {
		for x := max(0, int(r.x0/cellSize)); x <= min(p.cols-1, int(r.x1/cellSize)); x++ {
			v := int(p.cells[y*p.cols+x])
			n += v * v
		}
	}
	return float64(n) / (255 * 255)
}

// free tells whether r is inside the frame and touches no other text.
func (p *placer) free(r rect) bool {
	if !r.within(p.frame) {
		return false
	}
	for _, t := range p.taken {
		if r.overlaps(t) {
			return false
		}
	}
	return true
}

// crossed counts the texts under a leader from a to b. What covers a itself is
// the mark that the leader belongs to.
func (p *placer) crossed(a, b xy) float64 {
	n := 0.0
	for _, t := range p.taken {
		if _, _, hit := clipSegment(a, b, t); hit && !a.inside(t) {
			n++
		}
	}
	return n
}

// later keeps the drawing of letters until all leaders are drawn, so that
// letters lie on top.
func (p *placer) later(draw func()) { p.letters = append(p.letters, draw) }

func (p *placer) take(r rect) { p.taken = append(p.taken, r.inset(-3)) }

// Costs of a place, all in page pixels of distance that one would walk to
// avoid the fault.
const (
	costPerCell = 16  // a line or a dark part under the text
	costLeader  = 30  // far enough away to need a leader
	costCrossed = 400 // a leader under another text
	costTurn    = 70  // looking away from the preferred direction
)

// find returns the best rectangle of size w by h near a point and takes it.
// prefer is a direction on the page, or zero. The nearest sides are tried
// first and then, if all near places are taken, the whole frame.
func (p *placer) find(at xy, w, h float64, prefer xy) (rect, bool) {
	if prefer == (xy{}) {
		prefer = xy{0.8, -0.6} // up to the right, as a reader expects
	} else {
		prefer = prefer.times(1 / prefer.length())
	}
	best, bestCost := rect{}, math.Inf(1)
	try := func(centre xy, cost float64) {
		r := rect{centre.x - w/2, centre.y - h/2, centre.x + w/2, centre.y + h/2}
		if cost >= bestCost || !p.free(r) {
			return
		}
		end := nearest(r, at)
		cost += costPerCell*p.busy(r) + costCrossed*p.crossed(at, end)
		if end.minus(at).length() > nearText {
			cost += costLeader
		}
		if cost < bestCost {
			best, bestCost = r, cost
		}
	}
	for _, reach := range []float64{12, 26, 44, 70, 100, 140, 190, 250, 320} {
		for i := range 24 {
			s, c := math.Sincos(2 * math.Pi * float64(i) / 24)
			d := xy{s, c}
			centre := xy{at.x + d.x*(reach+w/2), at.y + d.y*(reach+h/2)}
			try(centre, reach+costTurn*(1-d.dot(prefer)))
		}
	}
	if math.IsInf(bestCost, 1) {
		for y := p.frame.y0 + h/2; y < p.frame.y1; y += h / 2 {
			for x := p.frame.x0 + w/2; x < p.frame.x1; x += h / 2 {
				try(xy{x, y}, xy{x, y}.minus(at).length())
			}
		}
	}
	if math.IsInf(bestCost, 1) {
		return rect{}, false
	}
	p.take(best)
	return best, true
}

// nearest is the point of r nearest to a point.
func nearest(r rect, at xy) xy {
	return xy{min(max(at.x, r.x0), r.x1), min(max(at.y, r.y0), r.y1)}
}
