package toolpath

import (
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

// stock is the metal the plan believes is still there in one section: it
// decides which passes would cut air, and what is left for the file.
type stock struct {
	pieces []*piece
	buf    geom.Scratch
}

// piece is a convex piece of the stock. A cut makes new pieces and changes none,
// so what is known of one stays true, and copies of a stock share it.
type piece struct {
	geom.Convex
	spots map[*flankScene][]spot // where it is over its limits, once looked at
}

func newStock(r geom.Region) *stock {
	s := &stock{}
	s.add(r)
	return s
}

func (s *stock) add(r geom.Region) {
	for _, c := range r {
		s.pieces = append(s.pieces, &piece{Convex: c})
	}
}

func (s *stock) copy() *stock { return &stock{pieces: append([]*piece(nil), s.pieces...)} }

// column is all that lies above z between y0 and y1 with the gear at angle,
// in the gear's own frame.
func column(angle, y0, y1, z float64) geom.Convex {
	return geom.Rect(y0, z, y1, metal.Sky).Turned(geom.Turn(-angle))
}

// take removes the column and returns how much metal that was, mm^2.
func (s *stock) take(angle, y0, y1, z float64) float64 {
	var area float64
	var fresh geom.Region
	k := column(angle, y0, y1, z)
	for i := 0; i < len(s.pieces); {
		cut := false
		if s.pieces[i].Box.Meets(k.Box) {
			rest := geom.Region{s.pieces[i].Convex}.Subtract(k, &s.buf, func(c geom.Convex) {
				cut = true
				area += geom.Area(c.Pts)
			})
			if cut {
				fresh = append(fresh, rest...)
				s.pieces[i] = s.pieces[len(s.pieces)-1]
				s.pieces = s.pieces[:len(s.pieces)-1]
			}
		}
		if !cut {
			i++
		}
	}
	s.add(fresh)
	return area
}

// overlaps visits the metal in a column; each part is only good until the next.
func (s *stock) overlaps(k geom.Convex, visit func(geom.Convex)) {
	for _, p := range s.pieces {
		if p.Box.Meets(k.Box) {
			if c := p.Clip(k, &s.buf); len(c.Pts) > 0 {
				visit(c)
			}
		}
	}
}

// area is how much metal lies in the column, mm^2.
func (s *stock) area(angle, y0, y1, z float64) float64 {
	var area float64
	s.overlaps(column(angle, y0, y1, z), func(c geom.Convex) { area += geom.Area(c.Pts) })
	return area
}

// extent is the box, gear at angle, of the metal in the column.
func (s *stock) extent(angle, y0, y1, z float64) geom.Box {
	box := geom.EmptyBox()
	turn := geom.Turn(angle)
	s.overlaps(column(angle, y0, y1, z), func(c geom.Convex) {
		for _, p := range c.Pts {
			box = box.Grow(turn.Apply(p))
		}
	})
	return box
}

// box is the extent of all the metal, gear at angle.
func (s *stock) box(angle float64) geom.Box {
	box := geom.EmptyBox()
	turn := geom.Turn(angle)
	for _, p := range s.pieces {
		for _, q := range p.Pts {
			box = box.Grow(turn.Apply(q))
		}
	}
	return box
}

// region is the metal as the check has it.
func (s *stock) region() geom.Region {
	out := make(geom.Region, len(s.pieces))
	for i, p := range s.pieces {
		out[i] = p.Convex
	}
	return out
}

// leastCut is the area below which a pass is not worth making, mm^2: less than
// the check's, by what rounding of written numbers may add to a piece.
const leastCut = metal.CrumbArea / 4

// empty says that a box holds nothing.
func empty(b geom.Box) bool { return math.IsInf(b.Lo.Y, 1) }
