package elastic

import (
	"errors"
	"fmt"
	"math"

	"cogmend/profiles/geom"
)

// ErrLoose: a body is held by nothing, or a triangle is turned over.
var ErrLoose = errors.New("a body is held by nothing")

// System is a mesh with its materials and supports.
type System struct {
	Mesh
	Materials   []Material // of each body
	PlaneStress bool       // else plane strain

	axis   []geom.Vec // of each node, the direction of its first displacement
	held   []bool     // of each displacement: it is zero
	kept   []bool     // of each displacement: it is left to the contact
	fronts []front
	root   border // the kept displacements and their stiffness
}

// NewSystem returns a system of the mesh with nothing held.
func NewSystem(m Mesh, materials []Material, planeStress bool) *System {
	n := len(m.Nodes)
	s := &System{Mesh: m, Materials: materials, PlaneStress: planeStress,
		axis: make([]geom.Vec, n), held: make([]bool, 2*n), kept: make([]bool, 2*n)}
	for i := range s.axis {
		s.axis[i] = geom.Vec{Y: 1}
	}
	return s
}

// Hold keeps node n from moving along a direction.
func (s *System) Hold(n int32, along geom.Vec) {
	s.axis[n] = along.Scale(1 / along.Norm())
	s.held[2*n] = true
}

// Fix keeps node n from moving at all.
func (s *System) Fix(n int32) { s.held[2*n], s.held[2*n+1] = true, true }

// keep leaves node n's displacement along a direction to the contact.
func (s *System) keep(n int32, along geom.Vec) int32 {
	s.axis[n] = along
	s.kept[2*n] = true
	return 2 * n
}

// Load is one force on each displacement.
type Load []float64

// NewLoad returns a load of nothing.
func (s *System) NewLoad() Load { return make(Load, 2*len(s.Nodes)) }

// Push adds force f at node n. Push after every Hold and contact is known.
func (s *System) Push(l Load, n int32, f geom.Vec) {
	a := s.axis[n]
	l[2*n] += a.Dot(f)
	l[2*n+1] += a.Cross(f)
}

// Press adds a traction, MPa, given at each point, along the side from node a
// over its middle to node b.
func (s *System) Press(l Load, a, b int32, traction func(p geom.Vec) geom.Vec) {
	mid, ok := s.Middle(a, b)
	if !ok {
		return
	}
	p, q, m := s.Nodes[a], s.Nodes[b], s.Nodes[mid]
	// Gauss's rule of three points on the side's parabola.
	for i, x := range [3]float64{-math.Sqrt(0.6), 0, math.Sqrt(0.6)} {
		w := [3]float64{5. / 9, 8. / 9, 5. / 9}[i]
		na, nb, nm := x*(x-1)/2, x*(x+1)/2, 1-x*x
		da, db, dm := x-0.5, x+0.5, -2*x
		at := p.Scale(na).Add(q.Scale(nb)).Add(m.Scale(nm))
		ds := p.Scale(da).Add(q.Scale(db)).Add(m.Scale(dm)).Norm()
		f := traction(at).Scale(w * ds)
		s.Push(l, a, f.Scale(na))
		s.Push(l, b, f.Scale(nb))
		s.Push(l, mid, f.Scale(nm))
	}
}

// Displacement is how far each node has moved.
type Displacement []geom.Vec

// plain turns displacements along the nodes' own axes into Y and Z.
func (s *System) plain(u []float64) Displacement {
	d := make(Displacement, len(s.Nodes))
	for n, a := range s.axis {
		x, y := u[2*n], u[2*n+1]
		d[n] = geom.Vec{Y: a.Y*x - a.Z*y, Z: a.Z*x + a.Y*y}
	}
	return d
}

// Solve returns the displacements under a load, nothing being left to
// contacts.
func (s *System) Solve(l Load) (Displacement, error) {
	if err := s.factor(); err != nil {
		return nil, err
	}
	if len(s.root.dof) > 0 {
		return nil, fmt.Errorf("%d displacements are left to contacts: %w", len(s.root.dof), ErrLoose)
	}
	u := append([]float64(nil), l...)
	s.forward(u)
	s.backward(u)
	return s.plain(u), nil
}

// Forces returns a load's force at each node.
func (s *System) Forces(l Load) []geom.Vec { return s.plain(l) }
