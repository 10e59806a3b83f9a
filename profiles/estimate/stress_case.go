package estimate

import (
	"math"

	"cogmend/profiles/estimate/elastic"
	"cogmend/profiles/geom"
)

// Place is a place in the casting and the first principal stress there, MPa.
type Place struct {
	What   string   // in words
	At     geom.Vec // in the section, from the gear's axis
	Stress float64  // MPa
}

// Stressed is what one case does to the casting. Stresses are first principal
// ones, MPa.
type Stressed struct {
	Floor    float64 // middle of the slot's floor
	Corner   float64 // the worse corner of the floor, at the point method's distance
	Hole     float64 // beside the lock's hole through the floor, at that distance; 0 without one
	Greatest Place   // the greatest anywhere, corners and hole at that distance
	Pressure float64 // mean on the dovetail's flank that carries more

	field []float64 // of each node
}

// stressed reads a solved state.
func (m *model) stressed(st elastic.State) Stressed {
	s := m.sec
	stress := m.sys.Stresses(st.Displacement)
	var r Stressed
	var press [2]float64
	for i, f := range st.Force {
		switch m.side[i] {
		case -1:
			press[0] += f
		case 1:
			press[1] += f
		}
	}
	r.Pressure = max(press[0], press[1]) / ((s.Seat - s.Bottom) / math.Cos(s.HalfAngle))
	r.Floor = stress[m.middle].First()
	r.Greatest = Place{"the middle of the floor", m.sys.Nodes[m.middle], r.Floor}
	r.field = make([]float64, len(stress))
	for i, x := range stress {
		r.field[i] = x.First()
	}
	for i, c := range m.sharp {
		p := m.atCorner(stress, c, m.round[i])
		if math.Abs(c.Z-s.Floor) < 1e-6 && math.Abs(math.Abs(c.Y)-s.halfAt(s.Floor)) < 1e-6 {
			p.What = "a corner of the floor"
			r.Corner = max(r.Corner, p.Stress)
		}
		if p.Stress > r.Greatest.Stress {
			r.Greatest = p
		}
	}
	for _, n := range m.smooth {
		if r.field[n] > r.Greatest.Stress {
			r.Greatest = Place{m.name(m.sys.Nodes[n]), m.sys.Nodes[n], r.field[n]}
		}
	}
	return r
}

// scaled is the case with everything k times as great.
func (r Stressed) scaled(k float64) Stressed {
	r.Floor, r.Corner, r.Hole, r.Pressure, r.Greatest.Stress = k*r.Floor, k*r.Corner, k*r.Hole, k*r.Pressure, k*r.Greatest.Stress
	f := make([]float64, len(r.field))
	for i, v := range r.field {
		f[i] = k * v
	}
	r.field = f
	return r
}

// readPlaces notes where stresses are read: round the re-entrant corners, and
// at nodes far from what makes a stress without bound.
func (m *model) readPlaces() {
	for _, c := range m.sharp {
		m.round = append(m.round, m.sys.Within(castingBody, c, m.near))
	}
	for n, p := range m.sys.Nodes[:m.metal] {
		if m.clear(p) {
			m.smooth = append(m.smooth, int32(n))
		}
	}
}

// clear says whether a place is far enough from what makes a stress without
// bound in a model of sharp corners.
func (m *model) clear(p geom.Vec) bool {
	for _, l := range [2][]geom.Vec{m.sharp, m.edges} {
		for _, c := range l {
			if p.Sub(c).Norm() < 0.999*m.near {
				return false
			}
		}
	}
	return true
}

// atCorner is the greatest first principal stress at the point method's
// distance round a corner.
func (m *model) atCorner(stress []elastic.Stress, c geom.Vec, elements []int32) Place {
	best := Place{What: "a corner of the seat", At: c, Stress: math.Inf(-1)}
	const n = 72
	for i := range n {
		q := c.Add(geom.Polar(m.near, 2*math.Pi*float64(i)/n))
		if x, ok := m.sys.At(stress, elements, q); ok && x.First() > best.Stress {
			best.At, best.Stress = q, x.First()
		}
	}
	return best
}

// name says in words where a place lies.
func (m *model) name(p geom.Vec) string {
	s := m.sec
	switch r := p.Norm(); {
	case r < s.Inner+1e-6:
		return "the inner circle"
	case math.Abs(p.Z-s.Floor) < 1e-6 && math.Abs(p.Y) <= s.halfAt(s.Floor):
		return "the floor"
	case p.Z > s.Seat:
		return "the foot of a neighbour"
	case p.Z > s.Floor && math.Abs(p.Y) < s.halfAt(p.Z)+1e-6:
		return "a flank of the slot"
	}
	return "the rim"
}

// toothLoad is a force, N per mm of face, along the flank's normal at the tip
// corner of the new tooth's +Y side, or of its -Y side, with web or spokes
// answering it.
func (m *model) toothLoad(perMM float64, left bool) (elastic.Load, error) {
	g, node, sign := m.sec.Tooth, m.load[0], 1.0
	if left {
		g, node, sign = g.Mirrored(), m.load[1], -1
	}
	line, err := g.RightFlank()
	if err != nil {
		return nil, err
	}
	along := line[1].Sub(line[0])
	f := geom.Vec{Y: sign * along.Z, Z: -along.Y}.Scale(perMM / along.Norm())
	l := m.sys.NewLoad()
	m.sys.Push(l, node, f)
	return l, m.balance(l, f, m.sys.Nodes[node].Cross(f))
}

// screwLoad is a screw's push, N per mm, between the rim, where its thread
// holds, and the insert's bottom, spread over the floor and over the bottom.
func (m *model) screwLoad(perMM float64) elastic.Load {
	l := m.sys.NewLoad()
	s := m.sec
	for _, side := range [2]struct {
		nodes []int32
		force float64
	}{{m.floor, -perMM / (2 * s.halfAt(s.Floor))}, {m.bottom, perMM / (2 * s.halfAt(s.Bottom))}} {
		for i := 1; i < len(side.nodes); i++ {
			m.sys.Press(l, side.nodes[i-1], side.nodes[i], func(geom.Vec) geom.Vec { return geom.Vec{Z: side.force} })
		}
	}
	return l
}

// carried is a force on the tooth's tip, on its +Y side or on its -Y side, and a
// screw's push, N per mm, carried on to the contact. What one newton does is
// worked out once.
func (m *model) carried(load, push float64, left bool) (elastic.Carried, error) {
	out := elastic.Carried(m.sys.NewLoad())
	add := func(unit elastic.Carried, k float64) {
		for i, v := range unit {
			out[i] += k * v
		}
	}
	if load != 0 {
		side := 0
		if left {
			side = 1
		}
		if m.tooth[side] == nil {
			l, err := m.toothLoad(1, left)
			if err != nil {
				return nil, err
			}
			m.tooth[side] = m.contact.Carry(l)
		}
		add(m.tooth[side], load)
	}
	if push != 0 {
		if m.screw == nil {
			m.screw = m.contact.Carry(m.screwLoad(1))
		}
		add(m.screw, push)
	}
	return out, nil
}

// FieldTriangle is a piece of the casting with the first principal stress at
// its corners, MPa.
type FieldTriangle struct {
	P      [3]geom.Vec // corners, from the gear's axis, mm
	Stress [3]float64  // at each corner
}

// Field returns the stress of a case all over the casting, four triangles an
// element.
func (c *Casting) Field(s Stressed) []FieldTriangle {
	var out []FieldTriangle
	sys := c.m.sys
	for e, v := range sys.Element {
		if sys.Body[e] != castingBody {
			continue
		}
		for _, k := range [4][3]int{{0, 3, 5}, {3, 1, 4}, {5, 4, 2}, {3, 4, 5}} {
			var t FieldTriangle
			for i, j := range k {
				t.P[i], t.Stress[i] = sys.Nodes[v[j]], s.field[v[j]]
			}
			out = append(out, t)
		}
	}
	return out
}

// InsertPieces returns the insert's section in convex pieces.
func (c *Casting) InsertPieces() [][]geom.Vec {
	var out [][]geom.Vec
	sys := c.m.sys
	for e, v := range sys.Element {
		if sys.Body[e] == insertBody {
			out = append(out, []geom.Vec{sys.Nodes[v[0]], sys.Nodes[v[1]], sys.Nodes[v[2]]})
		}
	}
	return out
}
