package toolpath

import (
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

// stock is the metal the plan believes is still there in one section: it
// decides which passes would cut air, and what is left for the file.
type stock struct {
	metal geom.Region
	buf   geom.Scratch
}

func newStock(r geom.Region) *stock {
	return &stock{metal: append(geom.Region(nil), r...)}
}

// column is all that lies above z between y0 and y1 with the gear at angle,
// in the gear's own frame.
func column(angle, y0, y1, z float64) geom.Convex {
	return geom.Rect(y0, z, y1, metal.Sky).Turned(geom.Turn(-angle))
}

// take removes the column and returns how much metal that was, mm^2.
func (s *stock) take(angle, y0, y1, z float64) float64 {
	var area float64
	s.metal = s.metal.Subtract(column(angle, y0, y1, z), &s.buf, func(c geom.Convex) {
		area += geom.Area(c.Pts)
	})
	return area
}

// extent is the box, gear at angle, of the metal in the column.
func (s *stock) extent(angle, y0, y1, z float64) geom.Box {
	box := geom.EmptyBox()
	k := column(angle, y0, y1, z)
	turn := geom.Turn(angle)
	s.metal.Overlaps(k, &s.buf, func(c geom.Convex) {
		for _, p := range c.Pts {
			box = box.Grow(turn.Apply(p))
		}
	})
	return box
}

// box is the extent of all the metal, gear at angle.
func (s *stock) box(angle float64) geom.Box { return s.metal.Turned(angle).Bounds() }

// worth is the area below which a pass is not worth making, mm^2: less than the
// check's, by what rounding of written numbers may add to a piece.
const worth = metal.CrumbArea / 4

// empty says that a box holds nothing.
func empty(b geom.Box) bool { return math.IsInf(b.Lo.Y, 1) }
