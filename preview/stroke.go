package preview

import (
	"image/color"
	"math"
)

// strokeSolid draws continuous lines with round ends and joints, page units.
// Each stretch is a bar and each corner a disc, added up in one area: many
// thin lines cost as much as their length, however many cross a row.
func (c *canvas) strokeSolid(lines [][]xy, width float64, col color.RGBA) {
	half := max(width, leastStroke/c.scale) / 2
	reach := c.reach()
	var rings [][]xy
	for _, l := range lines {
		for _, part := range clipLine(l, reach) {
			last := part[0]
			for i, p := range part {
				if i > 0 {
					if i < len(part)-1 && p.minus(last).length()*c.scale < leastStep {
						continue
					}
					if ring := bar(last, p, half); ring != nil {
						rings = append(rings, ring)
					}
				}
				if half*c.scale > roundFrom {
					rings = append(rings, discRing(p, half))
				}
				last = p
			}
		}
	}
	c.fill(rings, col)
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

// bar is the ring of a straight line, all rings the same way round.
func bar(a, b xy, half float64) []xy {
	d := b.minus(a)
	l := d.length()
	if l == 0 {
		return nil
	}
	n := xy{-d.y / l * half, d.x / l * half}
	return []xy{a.minus(n), b.minus(n), b.plus(n), a.plus(n)}
}

// discRing is the ring of a small disc, the same way round as bar's.
func discRing(at xy, r float64) []xy {
	out := make([]xy, discSides)
	for i := range out {
		s, cos := math.Sincos(2 * math.Pi * float64(i) / discSides)
		out[i] = xy{at.x + r*cos, at.y + r*s}
	}
	return out
}
