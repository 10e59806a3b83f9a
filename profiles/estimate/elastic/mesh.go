package elastic

import (
	"cogmend/profiles/geom"
)

// Mesh is one or more bodies divided into six-node triangles.
type Mesh struct {
	Nodes   []geom.Vec // places of the nodes, mm
	Element [][6]int32 // corners anticlockwise, then the middles of sides 01, 12, 20
	Body    []int32    // of each element, the index of its body's material
	middles map[[2]int32]int32
}

// Add puts triangles of one body into the mesh: their corners are the nodes
// of that index. curve gives the middle of a side that is not straight; it may
// be nil.
func (m *Mesh) Add(tris [][3]int32, body int, curve func(a, b geom.Vec) (geom.Vec, bool)) {
	if m.middles == nil {
		m.middles = map[[2]int32]int32{}
	}
	for _, v := range tris {
		e := [6]int32{v[0], v[1], v[2]}
		for i := range 3 {
			e[3+i] = m.middle(v[i], v[(i+1)%3], curve)
		}
		m.Element = append(m.Element, e)
		m.Body = append(m.Body, int32(body))
	}
}

// Corners adds nodes and returns the index of the first.
func (m *Mesh) Corners(p []geom.Vec) int32 {
	m.Nodes = append(m.Nodes, p...)
	return int32(len(m.Nodes) - len(p))
}

// Middle returns the node in the middle of the side from node a to node b.
func (m *Mesh) Middle(a, b int32) (int32, bool) {
	n, ok := m.middles[[2]int32{min(a, b), max(a, b)}]
	return n, ok
}

func (m *Mesh) middle(a, b int32, curve func(a, b geom.Vec) (geom.Vec, bool)) int32 {
	if n, ok := m.Middle(a, b); ok {
		return n
	}
	p := m.Nodes[a].Lerp(m.Nodes[b], 0.5)
	if curve != nil {
		if q, ok := curve(m.Nodes[a], m.Nodes[b]); ok {
			p = q
		}
	}
	n := int32(len(m.Nodes))
	m.Nodes = append(m.Nodes, p)
	m.middles[[2]int32{min(a, b), max(a, b)}] = n
	return n
}

// shape returns the six shape functions at area coordinates, and their
// derivatives by the first two.
func shape(l1, l2 float64) (n, d1, d2 [6]float64) {
	l3 := 1 - l1 - l2
	n = [6]float64{l1 * (2*l1 - 1), l2 * (2*l2 - 1), l3 * (2*l3 - 1), 4 * l1 * l2, 4 * l2 * l3, 4 * l3 * l1}
	d1 = [6]float64{4*l1 - 1, 0, 1 - 4*l3, 4 * l2, -4 * l2, 4 * (l3 - l1)}
	d2 = [6]float64{0, 4*l2 - 1, 1 - 4*l3, 4 * l1, 4 * (l3 - l2), -4 * l1}
	return n, d1, d2
}

// gradients returns the shape functions' derivatives by Y and Z at area
// coordinates of element e, and the doubled area the coordinates span there.
func (m *Mesh) gradients(e int, l1, l2 float64) (gy, gz [6]float64, det float64) {
	_, d1, d2 := shape(l1, l2)
	var y1, z1, y2, z2 float64
	for i, k := range m.Element[e] {
		p := m.Nodes[k]
		y1, z1 = y1+d1[i]*p.Y, z1+d1[i]*p.Z
		y2, z2 = y2+d2[i]*p.Y, z2+d2[i]*p.Z
	}
	det = y1*z2 - z1*y2
	for i := range 6 {
		gy[i] = (d1[i]*z2 - d2[i]*z1) / det
		gz[i] = (d2[i]*y1 - d1[i]*y2) / det
	}
	return gy, gz, det
}

// gauss are the points of a rule exact to the second degree, which is exact
// for a straight-sided element, each with a third of the area.
var gauss = [3][2]float64{{2. / 3, 1. / 6}, {1. / 6, 2. / 3}, {1. / 6, 1. / 6}}
