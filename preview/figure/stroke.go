package figure

import (
	"image/color"
	"math"
)

// strokeSolid draws continuous lines with round ends and joints, page units.
// Each stretch is a bar and each corner a disc, added up in one shape: many
// thin lines cost as much as their length, however many cross a row.
func (c *canvas) strokeSolid(lines [][]xy, width float64, col color.RGBA) {
	half := max(width, leastStroke/c.scale) / 2
	reach := c.reach()
	s := newShape()
	for _, l := range lines {
		for _, part := range clipLine(l, reach) {
			last := part[0]
			for i, p := range part {
				if i > 0 {
					if i < len(part)-1 && p.minus(last).length()*c.scale < leastStep {
						continue
					}
					s.bar(c.scale, last, p, half)
				}
				if half*c.scale > roundFrom {
					s.disc(c.scale, p, half)
				}
				last = p
			}
		}
	}
	s.paint(c.im, col)
}

const (
	// leastStroke is the thinnest line in pixels: thinner ones fade.
	leastStroke = 0.8
	// roundFrom is the half width in pixels from which a corner shows.
	roundFrom = 0.75
	// leastStep is the distance in pixels below which points are one.
	leastStep = 1.0 / 3
	// discSides is how many sides stand for a corner's circle.
	discSides = 8
)

// bar adds a straight line to the shape.
func (s *shape) bar(scale float64, a, b xy, half float64) {
	d := b.minus(a)
	l := d.length()
	if l == 0 {
		return
	}
	n := xy{-d.y / l * half, d.x / l * half}
	s.ring(scale, a.minus(n), b.minus(n), b.plus(n), a.plus(n))
}

// disc adds a small disc, which runs the same way round as a bar.
func (s *shape) disc(scale float64, at xy, r float64) {
	var ring [discSides]xy
	for i := range ring {
		s, cos := math.Sincos(2 * math.Pi * float64(i) / discSides)
		ring[i] = xy{at.x + r*cos, at.y + r*s}
	}
	s.ring(scale, ring[:]...)
}
